import { expect, test } from 'vitest'
import type { ModalAttitude } from '../../engine/strength/index.ts'
import { tiltWords, useOf, worstApart, worstFirst } from './worst-apart.ts'

const fall = (degrees: number, chance: number, use: number, fineUse?: number): ModalAttitude => {
  const a = (degrees * Math.PI) / 180
  return {
    kind: 'even',
    down: [Math.sin(a), 0, -Math.cos(a)],
    contact: [0, 0, 0],
    radiusMm: 1,
    greatestForceN: 10,
    contactMs: 0.1,
    dentMm: 0,
    use,
    at: [0, 0, 5],
    timeMs: 0.2,
    gives: 'in the layer',
    stressMPa: 20,
    strainUse: 0.1,
    breakChance: { value: chance, low: chance, high: chance },
    fine: fineUse === undefined ? null : { use: fineUse, at: [0, 0, 5], peakUse: 9, peakAt: [0, 0, 5] },
  }
}

test('the worst falls stand first, and of those that are alike only the worst is kept', () => {
  const falls = [fall(0, 0.1, 0.8), fall(90, 0.9, 1.6), fall(100, 0.8, 1.5), fall(180, 0.8, 1.5, 1.7)]
  expect(worstFirst(falls).map((f) => f.breakChance.value)).toEqual([0.9, 0.8, 0.8, 0.1])
  expect(worstFirst(falls)[1]).toBe(falls[3])
  expect(worstApart(falls, 4)).toEqual([falls[1], falls[3], falls[0]])
  expect(worstApart(falls, 2)).toEqual([falls[1], falls[3]])
  expect(worstApart([], 4)).toEqual([])
})

test('finer cells count where they find more, and are no excuse where they find less', () => {
  expect(useOf(fall(0, 0, 0.8, 1.1))).toBe(1.1)
  expect(useOf(fall(0, 0, 0.8, 0.7))).toBe(0.8)
})

test('attitudes in words, from upright to head down', () => {
  const words = [0, 45, 90, 150, 180].map((degrees) => tiltWords(fall(degrees, 0, 0)))
  expect(words).toEqual([
    'upright',
    'sole first, 45° from upright',
    'on its side, 90° from upright',
    'head first, 150° from upright',
    'on its head',
  ])
})
