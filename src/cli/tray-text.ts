// A tray in words for a terminal: plates with order and times, what each figure fits, heat, risk, spools, cost, calendar, class.

import { durationWords } from '../guide/index.ts'
import type { ClassCase, TrayFacts, TrayPlate } from '../tray/index.ts'
import { wrap } from './help.ts'
import { type Ink, tame } from './terminal.ts'

const at = (value: number): string => value.toFixed(0)

const plateText = (one: TrayPlate, number: number, tray: TrayFacts, ink: Ink): string[] => {
  const { plate, together, inTurn, notInTurn, risk } = one
  const nameOf = (k: number): string => tame(tray.figures[plate.places[k].figure].name)
  const counts = tray.figures
    .map(({ name }, figure) => [plate.places.filter((place) => place.figure === figure).length, tame(name)] as const)
    .filter(([n]) => n > 0)
    .map(([n, name]) => `${n} ${name}`)
    .join(', ')
  const { travels } = together
  const lines = [
    ink.strong(`Plate ${number}: ${counts}`) + ink.faint(`  (${tame(plate.spool)}; ${plate.layout})`),
    ...wrap(
      `together: ${durationWords(together.printS)} printing, ${durationWords(together.totalS)} in all · ${together.massG.toFixed(1)} g · ${together.filamentM.toFixed(2)} m · least gap ${Number.isFinite(plate.leastGapMm) ? `${plate.leastGapMm.toFixed(1)} mm` : 'none'}`,
      3,
    ),
    ...wrap(
      `order: ${together.order.map((k) => `${nameOf(k)} at ${at(plate.places[k].x)},${at(plate.places[k].y)}${plate.places[k].turn ? ` turned ${at((plate.places[k].turn * 180) / Math.PI)} deg` : ''}`).join(' - ')}`,
      3,
    ),
  ]
  if (travels.nCrossings > 0)
    lines.push(
      ...wrap(
        `between pieces: ${travels.nCrossings} travels, ${travels.airM.toFixed(1)} m over air, ${durationWords(travels.travelS)}; ${travels.nThreads} leave a thread by pressure in the nozzle`,
        3,
      ),
    )
  lines.push(
    ...wrap(
      inTurn
        ? `one after another: ${durationWords(inTurn.printS)} printing, low pieces first`
        : `one after another: no. ${notInTurn}`,
      3,
    ),
    ...wrap(
      `risk at ${risk.hazardPerHour} per hour: of ${risk.nFigures} expect ${risk.together.toFixed(2)} good all at once, ${risk.inTurn.toFixed(2)} one after another, ${risk.apart.toFixed(2)} each on its own plate; fewest hours for a good one with ${risk.bestPerPlate} on a plate (${risk.hoursPerGoodAtBest.toFixed(2)} h, here ${risk.hoursPerGoodTogether.toFixed(2)})`,
      3,
    ),
    '',
  )
  return lines
}

/** The class in words. */
const classText = ({ words }: ClassCase, ink: Ink): string[] => [
  ink.strong('The class'),
  ...words.flatMap((line) => wrap(line, 3)),
  '',
]

/** The whole report. */
export const trayText = (tray: TrayFacts, taught: ClassCase | null, ink: Ink): string => {
  const lines = [
    ink.strong(`Tray on a bed of ${tray.bed.xMm} x ${tray.bed.yMm} mm`),
    '',
    ...tray.plates.flatMap((plate, i) => plateText(plate, i + 1, tray, ink)),
  ]
  if (tray.leftOver.length > 0)
    lines.push(
      ...wrap(
        `On no bed: ${[...new Set(tray.leftOver)].map((figure) => tame(tray.figures[figure].name)).join(', ')}: larger than the bed.`,
      ),
      '',
    )
  lines.push(ink.strong('Of each figure'))
  tray.figures.forEach(({ name, minutesAlone, massG }, figure) => {
    lines.push(
      ...wrap(
        `${tame(name)}: alone ${durationWords(minutesAlone * 60)}, ${massG.toFixed(2)} g; at most ${tray.mostOfEach[figure]} on one bed`,
        3,
      ),
    )
  })
  for (const { words } of tray.cool) lines.push(...wrap(tame(words), 3))
  lines.push('', ink.strong('Plastic and cost'))
  for (const { spool, massG, lengthM, leftG, plasticCost } of tray.spools)
    lines.push(
      ...wrap(
        `${tame(spool)}: ${massG.toFixed(1)} g, ${lengthM.toFixed(2)} m, costs ${plasticCost.toFixed(2)}${leftG === null ? '' : leftG < 0 ? `; ${at(-leftG)} g too little on the spool` : `; ${at(leftG)} g remain`}`,
        3,
      ),
    )
  lines.push(...wrap(`power: ${tray.power.kWh.toFixed(2)} kWh, costs ${tray.power.cost.toFixed(2)}`, 3), '')
  lines.push(ink.strong('Calendar'), ...tray.calendar.words.flatMap((line) => wrap(line, 3)), '')
  if (taught) lines.push(...classText(taught, ink))
  lines.push(
    ...tray.assumed.flatMap((line) => wrap(line)),
    ...wrap(
      'Do not leave a printer alone: somebody must be in the house, and a smoke alarm near it; heed local rules.',
    ),
  )
  return `${lines.join('\n')}\n`
}
