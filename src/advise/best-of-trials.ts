// Which of the recipes laid so far are worth telling, and which of them is the best trade-off: for the answer, and on the way to it.

import { nearestToBest, unbeatenRows } from './pareto.ts'
import { FAILS, gainWords, overLimits, QUESTIONS } from './questions.ts'
import type { AdviceLimits, TrialNumbers } from './types.ts'

export interface BestOfTrials {
  /** Whether any row keeps all limits; else those that come nearest are looked at. */
  readonly isWithinLimits: boolean
  /** Rows that no other beats, with as few places that fail as any of them. */
  readonly unbeaten: readonly number[]
  /** The one of these nearest to the best of every question. */
  readonly best: number
}

/** @param rows trials as rows of the questions, length n*QUESTIONS, at least one */
export const bestOfTrials = (rows: Float64Array, limits: AdviceLimits): BestOfTrials => {
  const rowAt = (j: number): Float64Array => rows.subarray(j * QUESTIONS, (j + 1) * QUESTIONS)
  const over = Array.from({ length: rows.length / QUESTIONS }, (_, j) => overLimits(rowAt(j), limits))
  const nearest = Math.max(0, Math.min(...over))
  const pool = over.flatMap((value, j) => (value <= nearest ? [j] : []))
  const packed = new Float64Array(pool.flatMap((j) => [...rowAt(j)]))
  const front = unbeatenRows(packed, QUESTIONS).map((j) => pool[j])
  // No trade pays for a place that does not come out.
  const fewest = Math.min(...front.map((j) => rowAt(j)[FAILS]))
  const unbeaten = front.filter((j) => rowAt(j)[FAILS] <= fewest)
  return { isWithinLimits: nearest === 0, unbeaten, best: nearestToBest(rows, QUESTIONS, unbeaten) }
}

/** What the best so far brings against the given recipe, a few words for a line of progress. */
export const bestSoFarWords = (best: TrialNumbers, base: TrialNumbers): string => {
  const gains = best === base ? [] : gainWords(best, base)
  return gains.length === 0 ? 'the given recipe is the best so far' : `best so far: ${gains.join(', ')}`
}
