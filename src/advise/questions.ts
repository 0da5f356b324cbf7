// The questions that recipes are compared by, as columns of small numbers, and in words.

import type { AdviceLimits, TrialNumbers } from './types.ts'

/** Columns: places that fail, 1/m of fall, mm3 out of place, s, g. All are to be small. */
export const QUESTIONS = 5
export const FAILS = 0
export const FRAGILITY = 1
export const SHAPE = 2
export const TIME = 3
export const GRAMS = 4

/** A trial as a row of the questions. */
export const rowOf = (numbers: TrialNumbers): number[] => [
  numbers.fails,
  1 / Math.max(numbers.halfBreakM, 1e-3),
  numbers.shapeMm3,
  numbers.printS,
  numbers.massG,
]

/** How far a row lies over the limits: sum of the shares beyond them, 0 within. */
export const overLimits = (row: ArrayLike<number>, limits: AdviceLimits): number => {
  const over = (value: number, most: number | undefined): number =>
    most === undefined ? 0 : Math.max(0, value / Math.max(most, 1e-9) - 1)
  return (
    over(row[TIME], limits.mostMinutes === undefined ? undefined : limits.mostMinutes * 60) +
    over(row[GRAMS], limits.mostGrams) +
    over(row[SHAPE], limits.mostShapeMm3) +
    over(row[FRAGILITY], limits.leastFallM === undefined ? undefined : 1 / limits.leastFallM)
  )
}

const minutes = (s: number): string => {
  const whole = Math.round(s / 60)
  return whole < 1 ? `${Math.round(s)} s` : whole >= 90 ? `${(s / 3600).toFixed(1)} h` : `${whole} min`
}
const grams = (g: number): string => `${g.toFixed(2)} g`
const fall = (m: number): string => `${m < 1 ? m.toFixed(2) : m.toFixed(1)} m`
const volume = (mm3: number): string => `${mm3.toFixed(mm3 < 10 ? 1 : 0)} mm3`

/** Differences below these shares are not told. */
const TELLS = 0.03

const differs = (a: number, b: number): boolean => Math.abs(a - b) > TELLS * Math.max(Math.abs(a), Math.abs(b), 1e-9)

/** Whether two trials agree in everything that would be told. */
export const isAlike = (a: TrialNumbers, b: TrialNumbers): boolean =>
  gainWords(a, b).length === 0 && gainWords(b, a).length === 0

/** What the given numbers bring against others, in words: only what is better. */
export const gainWords = (own: TrialNumbers, other: TrialNumbers): string[] => {
  const words: string[] = []
  if (own.fails < other.fails) words.push(`${other.fails - own.fails} fewer places that fail while printing`)
  if (own.halfBreakM > other.halfBreakM && differs(own.halfBreakM, other.halfBreakM))
    words.push(`outlives half of all falls from ${fall(own.halfBreakM)} instead of ${fall(other.halfBreakM)}`)
  if (own.shapeMm3 < other.shapeMm3 && differs(own.shapeMm3, other.shapeMm3))
    words.push(`${volume(other.shapeMm3 - own.shapeMm3)} less out of place`)
  if (own.printS < other.printS && differs(own.printS, other.printS))
    words.push(`${minutes(other.printS - own.printS)} less`)
  if (own.massG < other.massG && differs(own.massG, other.massG))
    words.push(`${grams(other.massG - own.massG)} less plastic`)
  return words
}

/** What the given numbers give up against the best of each question in a list. */
export const givesUpWords = (own: TrialNumbers, list: readonly TrialNumbers[]): string[] => {
  const words: string[] = []
  const best = (value: (n: TrialNumbers) => number): number => Math.min(...list.map(value))
  const fails = best((n) => n.fails)
  if (own.fails > fails) words.push(`${own.fails - fails} more places that fail while printing than the soundest`)
  const toughest = -best((n) => -n.halfBreakM)
  if (differs(own.halfBreakM, toughest))
    words.push(`half of all falls break it from ${fall(own.halfBreakM)}; the toughest bears ${fall(toughest)}`)
  const truest = best((n) => n.shapeMm3)
  if (differs(own.shapeMm3, truest)) words.push(`${volume(own.shapeMm3 - truest)} more out of place than the truest`)
  const quickest = best((n) => n.printS)
  if (differs(own.printS, quickest)) words.push(`${minutes(own.printS - quickest)} more than the quickest`)
  const lightest = best((n) => n.massG)
  if (differs(own.massG, lightest)) words.push(`${grams(own.massG - lightest)} heavier than the lightest`)
  return words
}

/** Which limits none of the rows keeps, and how near the best comes. */
export const missedWords = (rows: readonly ArrayLike<number>[], limits: AdviceLimits): string[] => {
  const least = (column: number): number => Math.min(...rows.map((row) => row[column]))
  const words: string[] = []
  if (limits.mostMinutes !== undefined && least(TIME) > 60 * limits.mostMinutes)
    words.push(`no recipe tried takes ${limits.mostMinutes} min or less; the quickest takes ${minutes(least(TIME))}`)
  if (limits.mostGrams !== undefined && least(GRAMS) > limits.mostGrams)
    words.push(`no recipe tried weighs ${limits.mostGrams} g or less; the lightest weighs ${grams(least(GRAMS))}`)
  if (limits.mostShapeMm3 !== undefined && least(SHAPE) > limits.mostShapeMm3)
    words.push(
      `no recipe tried has ${limits.mostShapeMm3} mm3 or less out of place; the truest has ${volume(least(SHAPE))}`,
    )
  if (limits.leastFallM !== undefined && 1 / least(FRAGILITY) < limits.leastFallM)
    words.push(
      `no recipe tried outlives half of all falls from ${limits.leastFallM} m; the toughest does from ${fall(1 / least(FRAGILITY))}`,
    )
  if (words.length === 0 && rows.every((row) => overLimits(row, limits) > 0))
    words.push('each limit is kept by some recipe tried, but none keeps all of them at once')
  return words
}
