// Buckling between the two limits of its foot.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import { bucklingN } from './buckling.ts'
import { eulerN } from './impact.ts'

test('a foot that does not give is clamped, one that gives freely is a hinge', () => {
  expect(bucklingN(2400, 0.05, 40, Infinity, 'free') / eulerN(2400, 0.05, 40, 2)).toBeCloseTo(1, 9)
  expect(bucklingN(2400, 0.05, 40, Infinity, 'pinned') / eulerN(2400, 0.05, 40, 0.6992)).toBeCloseTo(1, 3)
  expect(bucklingN(2400, 0.05, 40, 1e-9, 'pinned') / eulerN(2400, 0.05, 40, 1)).toBeCloseTo(1, 6)
  expect(bucklingN(2400, 0.05, 40, 0, 'free')).toBe(0)
})

test('a soft foot under a free shaft: the rigid shaft on a spring, couple over length', () => {
  expect(bucklingN(2400, 0.05, 40, 0.01, 'free') / (0.01 / 40)).toBeCloseTo(1, 2)
})

test('a stiffer foot never buckles sooner', () => {
  const positive = fc.double({ min: 0.01, max: 1e4, noNaN: true })
  fc.assert(
    fc.property(positive, positive, fc.constantFrom('free' as const, 'pinned' as const), (a, b, end) => {
      const [soft, stiff] = [Math.min(a, b), Math.max(a, b)]
      expect(bucklingN(2400, 0.05, 30, soft, end)).toBeLessThanOrEqual(bucklingN(2400, 0.05, 30, stiff, end) + 1e-12)
    }),
  )
})
