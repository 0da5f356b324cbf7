import fc from 'fast-check'
import { expect, test } from 'vitest'
import { bestOfTrials, bestSoFarWords } from './best-of-trials.ts'
import { FAILS, overLimits, QUESTIONS, TIME } from './questions.ts'
import type { TrialNumbers } from './types.ts'

const rowsOf = fc
  .array(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: QUESTIONS, maxLength: QUESTIONS }), {
    minLength: 1,
    maxLength: 12,
  })
  .map((rows) => ({ rows, packed: new Float64Array(rows.flat()) }))

test('the best is unbeaten, fails nowhere more than another unbeaten one, and keeps the limits where any does', () => {
  fc.assert(
    fc.property(rowsOf, fc.integer({ min: 1, max: 9 }), ({ rows, packed }, mostS) => {
      const limits = { mostMinutes: mostS / 60 }
      const { best, unbeaten, isWithinLimits } = bestOfTrials(packed, limits)
      expect(unbeaten).toContain(best)
      expect(isWithinLimits).toBe(rows.some((row) => row[TIME] <= mostS))
      const least = Math.min(...rows.map((row) => overLimits(row, limits)))
      const beats = (a: readonly number[], b: readonly number[]) =>
        a.every((v, c) => v <= b[c]) && a.some((v, c) => v < b[c])
      for (const j of unbeaten) {
        expect(overLimits(rows[j], limits)).toBe(least)
        expect(rows[j][FAILS]).toBe(rows[best][FAILS])
        const rivals = rows.filter((row) => overLimits(row, limits) <= least)
        expect(rivals.some((row) => beats(row, rows[j]))).toBe(false)
      }
    }),
    { numRuns: 300 },
  )
})

test('one trial alone is the best there is', () => {
  expect(bestOfTrials(new Float64Array([2, 3, 4, 5, 6]), { mostGrams: 1 })).toEqual({
    isWithinLimits: false,
    unbeaten: [0],
    best: 0,
  })
})

test('words for the line of progress', () => {
  const base = { fails: 1, halfBreakM: 0.5, shapeMm3: 40, printS: 3600, massG: 5 } as TrialNumbers
  expect(bestSoFarWords(base, base)).toBe('the given recipe is the best so far')
  expect(bestSoFarWords({ ...base, fails: 0, printS: 3000 }, base)).toBe(
    'best so far: 1 fewer places that fail while printing, 10 min less',
  )
})
