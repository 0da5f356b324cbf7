import { expect, test } from 'vitest'
import { informationAt, informationOfRows, mostTelling, mostTellingRun, workGroups } from './next-level.ts'
import { chanceAt, entropyOf, learn, successPrior, sureOf, thresholdOf, upperOf } from './success-model.ts'

const ladder = [185, 190, 195, 200, 205]
const falling = successPrior({ shape: 'falling', from: 170, to: 220, gridStep: 1, spreads: [3, 6] })

test('more good prints move the threshold; all weights sum to one', () => {
  const before = thresholdOf(falling)
  expect(before.mean).toBeCloseTo(195, 9)
  const after = learn(falling, [{ level: 200, good: 1, tried: 1 }])
  expect(thresholdOf(after).mean).toBeGreaterThan(before.mean)
  expect(after.weight.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12)
  expect(chanceAt(after, 200).mean).toBeGreaterThan(chanceAt(falling, 200).mean)
  expect(chanceAt(after, 185).mean).toBeGreaterThan(chanceAt(after, 205).mean)
})

test('a row of like pieces counts for less than as many rows', () => {
  const together = learn(falling, [{ level: 195, good: 6, tried: 6 }])
  const apart = learn(falling, Array(6).fill({ level: 195, good: 1, tried: 1 }))
  const one = learn(falling, [{ level: 195, good: 1, tried: 1 }])
  expect(entropyOf(together)).toBeGreaterThan(entropyOf(apart))
  expect(entropyOf(together)).toBeLessThan(entropyOf(one))
  expect(entropyOf(learn(falling, [{ level: 195, good: 6, tried: 6 }], 0))).toBeCloseTo(entropyOf(apart), 9)
})

test('a window is found from both sides', () => {
  const prior = successPrior({ shape: 'window', from: 180, to: 215, gridStep: 2.5, spreads: [2] })
  const seen = learn(prior, [
    { level: 185, good: 0, tried: 1 },
    { level: 195, good: 1, tried: 1 },
    { level: 195, good: 1, tried: 1 },
    { level: 205, good: 0, tried: 1 },
  ])
  expect(thresholdOf(seen).mean).toBeGreaterThan(185)
  expect(thresholdOf(seen).mean).toBeLessThan(196)
  expect(upperOf(seen).mean).toBeGreaterThan(195)
  expect(sureOf(seen, 195, 0.8)).toBeGreaterThan(sureOf(seen, 205, 0.8))
})

test('one row teaches what one print teaches; two teach no more than their sum, and more than each', () => {
  expect(informationOfRows(falling, [195])).toBeCloseTo(informationAt(falling, 195), 12)
  const two = informationOfRows(falling, [190, 200])
  expect(two).toBeLessThan(informationAt(falling, 190) + informationAt(falling, 200))
  expect(two).toBeGreaterThan(Math.max(informationAt(falling, 190), informationAt(falling, 200)))
})

test('expected information is the expected fall of uncertainty', () => {
  const p = chanceAt(falling, 192).mean
  const after =
    p * entropyOf(learn(falling, [{ level: 192, good: 1, tried: 1 }])) +
    (1 - p) * entropyOf(learn(falling, [{ level: 192, good: 0, tried: 1 }]))
  expect(informationAt(falling, 192)).toBeCloseTo(entropyOf(falling) - after, 10)
  expect(mostTelling(falling, ladder).level).toBe(195)
  expect(mostTellingRun(falling, ladder, 3).levels).toEqual([190, 195, 200])
})

test('what is asked about groups of curves is never more than what is asked about all of them', () => {
  const about = workGroups(falling, ladder, 0.85)
  for (const rows of [[195], [185, 190], [190, 195, 200]]) {
    const some = informationOfRows(falling, rows, about)
    expect(some).toBeGreaterThan(0)
    expect(some).toBeLessThan(informationOfRows(falling, rows))
  }
  const each = { group: Int32Array.from(falling.weight, (_, i) => i), nGroups: falling.weight.length }
  expect(informationOfRows(falling, [195, 200], each)).toBeCloseTo(informationOfRows(falling, [195, 200]), 10)
})
