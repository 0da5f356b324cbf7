// Up and down: one step back after a good print, one step on after a bad one; threshold and spread from the rarer outcome.
//
// Source: Dixon & Mood, J. Am. Stat. Assoc. 43:109-126 (1948); formulas from memory. Limits: steps of half to two spreads, one print a
// step, normal spread; the spread's formula holds where M is above 0.3.

import { failed, good, type Outcome } from '../engine/kernel/index.ts'

/** One print at a level of the harshness: bad prints are more likely at higher levels. */
export interface StepOutcome {
  readonly level: number
  readonly good: boolean
}

export interface UpAndDownEstimate {
  /** Level at which half of the prints are good. */
  readonly threshold: number
  /** Standard deviation of the threshold from print to print; NaN where the formula does not hold. */
  readonly spread: number
  /** Which outcome was rarer and was counted, and Dixon and Mood's N, A, B, M. */
  readonly counted: 'good' | 'bad'
  readonly n: number
  readonly a: number
  readonly b: number
  readonly m: number
}

/**
 * Estimate after Dixon and Mood.
 * @param step distance of neighbouring levels, above 0
 */
export const estimateUpAndDown = (outcomes: readonly StepOutcome[], step: number): Outcome<UpAndDownEstimate> => {
  const nGood = outcomes.filter(({ good }) => good).length
  const nBad = outcomes.length - nGood
  if (nGood === 0 || nBad === 0)
    return failed('trials/one-sided', 'Up and down needs good and bad prints; walk on until both have been seen.')
  const counted = nGood <= nBad ? 'good' : 'bad'
  const rare = outcomes.filter((one) => one.good === (counted === 'good'))
  const lowest = Math.min(...rare.map(({ level }) => level))
  let a = 0
  let b = 0
  for (const { level } of rare) {
    const i = (level - lowest) / step
    if (Math.abs(i - Math.round(i)) > 1e-6)
      return failed('trials/off-step', `The level ${level} is no whole number of steps of ${step} from ${lowest}.`)
    a += Math.round(i)
    b += Math.round(i) ** 2
  }
  const n = rare.length
  const m = (n * b - a * a) / (n * n)
  return good({
    threshold: lowest + step * (a / n + (counted === 'good' ? 0.5 : -0.5)),
    spread: m > 0.3 ? 1.62 * step * (m + 0.029) : Number.NaN,
    counted,
    n,
    a,
    b,
    m,
  })
}

/** The next level: one step harsher after a good print, one step milder after a bad one, kept within the range. */
export const nextUpAndDown = (last: StepOutcome, step: number, from: number, to: number): number =>
  Math.min(to, Math.max(from, last.level + (last.good ? step : -step)))
