import { expect, test } from 'vitest'
import { gainWords, givesUpWords, isAlike, missedWords, overLimits, rowOf } from './questions.ts'
import type { TrialNumbers } from './types.ts'

const numbers = (changes: Partial<TrialNumbers> = {}): TrialNumbers => ({
  fails: 0,
  failing: [],
  fallsBroken: 0.5,
  halfBreakM: 0.5,
  leastForceN: 1,
  shapeMm3: 20,
  shape: { stepsMm3: 10, lostMm3: 0, surplusMm3: 5, gapsMm3: 5, threadsMm3: 0, onSoftMm3: 0 },
  threads: 0,
  printS: 3600,
  massG: 2,
  findings: { breaks: 0, marks: 0, costs: 0, note: 0 },
  ...changes,
})

test('a trial within its limits is over by nothing, beyond them by its share', () => {
  const row = rowOf(numbers())
  expect(overLimits(row, { mostMinutes: 60, mostGrams: 2, leastFallM: 0.5, mostShapeMm3: 20 })).toBeCloseTo(0, 12)
  expect(overLimits(row, { mostMinutes: 30 })).toBeCloseTo(1, 12)
  expect(overLimits(row, { leastFallM: 1 })).toBeCloseTo(1, 12)
})

test('gains and losses are told in words, small differences are not', () => {
  const base = numbers()
  const better = numbers({ halfBreakM: 1, printS: 1800, massG: 1.99 })
  expect(gainWords(better, base)).toEqual(['outlives half of all falls from 1.0 m instead of 0.50 m', '30 min less'])
  expect(gainWords(base, better)).toEqual([])
  expect(givesUpWords(base, [base, better])).toEqual([
    'half of all falls break it from 0.50 m; the toughest bears 1.0 m',
    '30 min more than the quickest',
  ])
  expect(isAlike(base, numbers({ massG: 2.01, printS: 3610 }))).toBe(true)
  expect(isAlike(base, better)).toBe(false)
})

test('limits that nobody keeps are told with the nearest, and limits that only exclude one another too', () => {
  const quick = rowOf(numbers({ printS: 600, massG: 3 }))
  const light = rowOf(numbers({ printS: 6000, massG: 1 }))
  expect(missedWords([quick, light], { mostMinutes: 5 })).toEqual([
    'no recipe tried takes 5 min or less; the quickest takes 10 min',
  ])
  expect(missedWords([quick, light], { mostMinutes: 20, mostGrams: 2 })).toEqual([
    'each limit is kept by some recipe tried, but none keeps all of them at once',
  ])
  expect(missedWords([quick, light], { mostMinutes: 20 })).toEqual([])
})
