// How far a share may be trusted after so many of so many: Wilson's and Jeffreys' intervals, and the sequential test of two shares.
//
// Sources: Wilson, J. Am. Stat. Assoc. 22 (1927); Brown, Cai & DasGupta, Statistical Science 16 (2001) for Jeffreys and its ends;
// Wald, Sequential Analysis (1947). The incomplete beta function by its continued fraction (Lentz).

import { normalShare } from '../engine/strength/index.ts'

export interface ShareInterval {
  readonly low: number
  readonly high: number
}

/** Value below which a share of the normal distribution lies, in deviations: bisection of the distribution function, 1e-12. */
const normalQuantile = (share: number): number => {
  if (!(share > 0)) return Number.NEGATIVE_INFINITY
  if (!(share < 1)) return Number.POSITIVE_INFINITY
  let low = -8
  let high = 8
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2
    if (normalShare(middle) < share) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** Wilson's interval for a share. @param good of @param tried (above 0) @param sure e.g. 0.95 */
export const wilsonInterval = (good: number, tried: number, sure = 0.95): ShareInterval => {
  const z = normalQuantile((1 + sure) / 2)
  const p = good / tried
  const scale = 1 + (z * z) / tried
  const middle = (p + (z * z) / (2 * tried)) / scale
  const half = (z * Math.sqrt((p * (1 - p)) / tried + (z * z) / (4 * tried * tried))) / scale
  return { low: good === 0 ? 0 : Math.max(0, middle - half), high: good === tried ? 1 : Math.min(1, middle + half) }
}

/** log of the gamma function, Lanczos' series (g 7, nine terms), relative error about 1e-14 for x above 0. */
const logGamma = (x: number): number => {
  const terms = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
    12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
  ]
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x)
  const y = x - 1
  const t = y + 7.5
  const sum = terms.reduce((all, term, k) => (k === 0 ? term : all + term / (y + k)), 0)
  return 0.5 * Math.log(2 * Math.PI) + (y + 0.5) * Math.log(t) - t + Math.log(sum)
}

/** Share of a beta distribution below x: the regularised incomplete beta function. */
export const betaShare = (x: number, a: number, b: number): number => {
  if (x <= 0) return 0
  if (x >= 1) return 1
  // The fraction converges fast on one side of the mean only.
  if (x > (a + 1) / (a + b + 2)) return 1 - betaShare(1 - x, b, a)
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a
  const least = 1e-300
  let c = 1
  let d = 1 / Math.max(least, 1 - ((a + b) * x) / (a + 1))
  let fraction = d
  for (let m = 1; m < 400; m++) {
    for (const coefficient of [
      (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m)),
      (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1)),
    ]) {
      d = 1 + coefficient * d
      d = 1 / (Math.abs(d) < least ? least : d)
      c = 1 + coefficient / c
      if (Math.abs(c) < least) c = least
      fraction *= c * d
    }
    if (Math.abs(c * d - 1) < 1e-15) break
  }
  return front * fraction
}

/** Value below which a share of a beta distribution lies. */
export const betaQuantile = (share: number, a: number, b: number): number => {
  let low = 0
  let high = 1
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2
    if (betaShare(middle, a, b) < share) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** Jeffreys' interval for a share, with the usual ends: 0 when nothing was good, 1 when everything was. */
export const jeffreysInterval = (good: number, tried: number, sure = 0.95): ShareInterval => {
  const tail = (1 - sure) / 2
  const a = good + 0.5
  const b = tried - good + 0.5
  return {
    low: good === 0 ? 0 : betaQuantile(tail, a, b),
    high: good === tried ? 1 : betaQuantile(1 - tail, a, b),
  }
}

/** Two shares to tell apart, one print after the other. */
export interface SequentialTest {
  /** Share good that is too low, and share that is wanted. */
  readonly low: number
  readonly wanted: number
  /** Chance of taking a bad recipe for a good one, and a good one for a bad one. */
  readonly wrongTake: number
  readonly wrongDrop: number
}
/** Tells a recipe that works half the time from one that works 19 times of 20. */
export const SEQUENTIAL_DEFAULTS: SequentialTest = Object.freeze({
  low: 0.5,
  wanted: 0.95,
  wrongTake: 0.05,
  wrongDrop: 0.1,
})

/** Wald's test: take the recipe, drop it, or print once more. `score` lies between `dropAt` and `takeAt` while it goes on. */
export const judgeInTurn = (good: number, bad: number, test: SequentialTest = SEQUENTIAL_DEFAULTS) => {
  const { low, wanted, wrongTake, wrongDrop } = test
  const score = good * Math.log(wanted / low) + bad * Math.log((1 - wanted) / (1 - low))
  const takeAt = Math.log((1 - wrongDrop) / wrongTake)
  const dropAt = Math.log(wrongDrop / (1 - wrongTake))
  const verdict: 'take' | 'drop' | 'go on' = score >= takeAt ? 'take' : score <= dropAt ? 'drop' : 'go on'
  return { verdict, score, takeAt, dropAt }
}
