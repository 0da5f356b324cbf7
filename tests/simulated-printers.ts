// Printers that exist as numbers only: a threshold, a spread, a lapse. Three ways to find the threshold, for checks and benchmarks.

import { chanceAt, learn, mostTelling, type SuccessModel, successPrior, thresholdOf } from '../src/trials/index.ts'
import { seededRandom } from './seeded-random.ts'

export interface SimulatedPrinter {
  readonly threshold: number
  readonly spread: number
  readonly lapse: number
}

/** The ladder they are tried on: 0 to 100 in steps of 5. */
export const LADDER = Array.from({ length: 21 }, (_, i) => 5 * i)

/** What is known beforehand: the threshold lies anywhere on the ladder, the spread is one of four. */
const PRIOR: SuccessModel = successPrior({
  shape: 'falling',
  from: 0,
  to: 100,
  gridStep: 1,
  spreads: [2, 4, 8, 16],
  lapse: 0.025,
})

/** A printer drawn from what is known beforehand. */
export const drawPrinter = (random: () => number): SimulatedPrinter => ({
  threshold: 100 * random(),
  spread: [2, 4, 8, 16][Math.floor(4 * random())],
  lapse: 0.025,
})

/** One print at a level: good or not. */
export const printAt = (
  { threshold, spread, lapse }: SimulatedPrinter,
  level: number,
  random: () => number,
): boolean => {
  // Normal by Box and Muller: the print is good while the level stays under its own threshold.
  const normal = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  const good = level < threshold + spread * normal
  const slip = random()
  return slip < lapse ? true : slip < 2 * lapse ? false : good
}

/** Errors of the threshold after 1, 2, ... prints. */
export type Errors = readonly number[]

/** By expected information. */
export const byInformation = (printer: SimulatedPrinter, nPrints: number, random: () => number): Errors => {
  let model = PRIOR
  const errors: number[] = []
  for (let k = 0; k < nPrints; k++) {
    const { level } = mostTelling(model, LADDER)
    model = learn(model, [{ level, good: printAt(printer, level, random) ? 1 : 0, tried: 1 }], 0)
    errors.push(Math.abs(thresholdOf(model).mean - printer.threshold))
  }
  return errors
}

/** By plain halving: good goes on with the upper half, bad with the lower one. */
export const byHalving = (printer: SimulatedPrinter, nPrints: number, random: () => number): Errors => {
  let low = 0
  let high = 100
  const errors: number[] = []
  for (let k = 0; k < nPrints; k++) {
    const level = (low + high) / 2
    if (printAt(printer, level, random)) low = level
    else high = level
    errors.push(Math.abs((low + high) / 2 - printer.threshold))
  }
  return errors
}

/** By a grid: every second level once, again and again from the start; judged by the same model. */
export const byGrid = (printer: SimulatedPrinter, nPrints: number, random: () => number): Errors => {
  let model = PRIOR
  const levels = LADDER.filter((_, i) => i % 2 === 0)
  const errors: number[] = []
  for (let k = 0; k < nPrints; k++) {
    const level = levels[k % levels.length]
    model = learn(model, [{ level, good: printAt(printer, level, random) ? 1 : 0, tried: 1 }], 0)
    errors.push(Math.abs(thresholdOf(model).mean - printer.threshold))
  }
  return errors
}

/** Mean error after every number of prints, over many printers. */
export const meanErrors = (
  way: (printer: SimulatedPrinter, nPrints: number, random: () => number) => Errors,
  nPrinters: number,
  nPrints: number,
  seed: number,
): Float64Array => {
  const mean = new Float64Array(nPrints)
  for (let p = 0; p < nPrinters; p++) {
    const random = seededRandom(seed + p)
    const errors = way(drawPrinter(random), nPrints, random)
    for (let k = 0; k < nPrints; k++) mean[k] += errors[k] / nPrinters
  }
  return mean
}

/** Prints needed until the mean error is at most so much and stays there; infinite when it never is. */
export const printsNeeded = (errors: Float64Array, most: number): number => {
  let needed = Number.POSITIVE_INFINITY
  for (let k = errors.length - 1; k >= 0 && errors[k] <= most; k--) needed = k + 1
  return needed
}

/** How often the range that should hold the threshold nine times of ten does, and the mean width of it. */
export const intervalsHold = (nPrinters: number, nPrints: number, seed: number): { share: number; width: number } => {
  let held = 0
  let width = 0
  for (let p = 0; p < nPrinters; p++) {
    const random = seededRandom(seed + p)
    const printer = drawPrinter(random)
    let model = PRIOR
    for (let k = 0; k < nPrints; k++) {
      const { level } = mostTelling(model, LADDER)
      model = learn(model, [{ level, good: printAt(printer, level, random) ? 1 : 0, tried: 1 }], 0)
    }
    const { low, high } = thresholdOf(model)
    if (printer.threshold >= low && printer.threshold <= high) held++
    width += (high - low) / nPrinters
  }
  return { share: held / nPrinters, width }
}

/** Stated chances of a good print against what happens, in so many bins: largest gap weighed by how often a bin is met. */
export const chancesHold = (nPrinters: number, nPrints: number, seed: number, bins: number): number => {
  const stated = new Float64Array(bins)
  const seen = new Float64Array(bins)
  const met = new Float64Array(bins)
  for (let p = 0; p < nPrinters; p++) {
    const random = seededRandom(seed + p)
    const printer = drawPrinter(random)
    let model = PRIOR
    for (let k = 0; k < nPrints; k++) {
      const { level } = mostTelling(model, LADDER)
      model = learn(model, [{ level, good: printAt(printer, level, random) ? 1 : 0, tried: 1 }], 0)
    }
    for (const level of LADDER) {
      const chance = chanceAt(model, level).mean
      const bin = Math.min(bins - 1, Math.floor(bins * chance))
      stated[bin] += chance
      seen[bin] += printAt(printer, level, random) ? 1 : 0
      met[bin]++
    }
  }
  let off = 0
  const all = met.reduce((a, b) => a + b, 0)
  for (let b = 0; b < bins; b++) if (met[b] > 0) off += (Math.abs(stated[b] - seen[b]) / met[b]) * (met[b] / all)
  return off
}
