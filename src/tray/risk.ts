// What it costs to lose a plate: a hazard per hour that ends everything on the bed (knocked off, clogged, power gone), all at once against
// one after another, and the number per plate that costs the fewest hours for each good figure.
//
// A constant hazard (exponential law). All at once: everything is lost unless the whole print lives. One after another on one plate: what
// was finished stays good, the print stops at the loss. Limit: one local failure that could be skipped counts as none.

import type { TrayRisk } from './types.ts'

/** Good figures to be expected from a plate of n, all at once. */
export const goodTogether = (n: number, hoursEach: number, hazard: number): number =>
  n * Math.exp(-hazard * n * hoursEach)
/** One after another on one plate, until it is lost. */
export const goodInTurn = (n: number, hoursEach: number, hazard: number): number => {
  let sum = 0
  for (let k = 1; k <= n; k++) sum += Math.exp(-hazard * k * hoursEach)
  return sum
}
/** Each on a plate of its own. */
export const goodApart = (n: number, hoursEach: number, hazard: number): number => n * Math.exp(-hazard * hoursEach)

/** Hours a plate of so many hours takes on the mean, when it stops at the loss. */
const hoursUntilLost = (hours: number, hazard: number): number =>
  hazard > 0 ? (1 - Math.exp(-hazard * hours)) / hazard : hours

/** Hours for each good figure, all at once. */
export const hoursPerGood = (n: number, hoursEach: number, hazard: number, startCostH: number): number =>
  (startCostH + hoursUntilLost(n * hoursEach, hazard)) / goodTogether(n, hoursEach, hazard)

/** Number per plate with the fewest hours for each good figure. @param most pieces that fit */
export const bestPerPlate = (
  hoursEach: number,
  hazard: number,
  startCostH: number,
  most: number,
): { readonly n: number; readonly hours: number } => {
  let best = { n: 1, hours: hoursPerGood(1, hoursEach, hazard, startCostH) }
  for (let n = 2; n <= most; n++) {
    const hours = hoursPerGood(n, hoursEach, hazard, startCostH)
    if (hours < best.hours) best = { n, hours }
  }
  return best
}

/** Everything about one plate of n alike. @param most pieces that fit on the bed */
export const trayRisk = (
  n: number,
  hoursEach: number,
  hazardPerHour: number,
  startCostH: number,
  most = Math.max(n, 60),
): TrayRisk => {
  const best = bestPerPlate(hoursEach, hazardPerHour, startCostH, most)
  return {
    hazardPerHour,
    startCostH,
    nFigures: n,
    hoursEach,
    together: goodTogether(n, hoursEach, hazardPerHour),
    inTurn: goodInTurn(n, hoursEach, hazardPerHour),
    apart: goodApart(n, hoursEach, hazardPerHour),
    hoursPerGoodTogether: hoursPerGood(n, hoursEach, hazardPerHour, startCostH),
    hoursPerGoodInTurn:
      (startCostH + hoursUntilLost(n * hoursEach, hazardPerHour)) / goodInTurn(n, hoursEach, hazardPerHour),
    bestPerPlate: best.n,
    hoursPerGoodAtBest: best.hours,
  }
}
