// The full field of a shaft on a base against its beam; error from three grids.

import { expect, test } from 'vitest'
import { EVEN, shaftOnBase } from '../../../tests/strength-bodies.ts'
import { fillGrid } from './fill-grid.ts'
import { extrapolate, fieldModel, fullField, loadField } from './full-field.ts'

test('a shaft pushed at its tip: travel, and where it breaks', async () => {
  const { stack } = await shaftOnBase(2, 15, 0.25)
  const grid = await fillGrid(stack, 0.25, null, null)
  const model = await fieldModel(grid, EVEN, { holdBelowMm: 2 })
  const push = { at: [0, 0, 18], forceN: [1, 0, 0], spreadMm: 1.1 } as const
  const side = { at: [0, 0, 18], forceN: [0, 2, 0], spreadMm: 1.1 } as const
  const { answers, nUnknowns } = await loadField(model, [push, side])
  expect(nUnknowns).toBeGreaterThan(10_000)
  const [one, two] = answers
  // Clamped in a base that gives a little: somewhat over the clamped beam, less the filled rim's own stiffness.
  expect(one.travelMm / 0.60291).toBeGreaterThan(0.93)
  expect(one.travelMm / 0.60291).toBeLessThan(1.15)
  expect(one.greatestAt[2]).toBeLessThan(4)
  expect(one.breakForceN).toBeGreaterThan(0.5)
  expect(one.breakForceN).toBeLessThan(22.8 / 19.1 + 0.1)
  // A round shaft is alike in both directions, and twice the force does twice as much; in the corner at its foot, which no grid
  // resolves, the two directions differ by a tenth.
  expect(two.travelMm / one.travelMm).toBeCloseTo(2, 1)
  expect(Math.abs(two.breakForceN / one.breakForceN - 1)).toBeLessThan(0.15)
  expect(one.linear).toBe(true)
})

test('weak bonds lower the force, infill the stiffness', async () => {
  const { stack } = await shaftOnBase(6, 15, 0.25)
  const wishes = { nShells: 2, beadWidthMm: 0.4, layerHeightMm: 0.1, capThicknessMm: 0.8, infillShare: 0.2 }
  const load = { at: [0, 0, 18], forceN: [1, 0, 0], spreadMm: 2 } as const
  const solid = await fullField(await fillGrid(stack, 0.5, null, null), EVEN, [load], { holdBelowMm: 2 })
  const hollow = await fullField(await fillGrid(stack, 0.5, wishes, null), EVEN, [load], {
    holdBelowMm: 2,
    infillShare: 0.2,
  })
  const weak = await fullField(await fillGrid(stack, 0.5, null, null), EVEN, [load], {
    holdBelowMm: 2,
    weldAt: () => 0.5,
  })
  expect(hollow.answers[0].travelMm).toBeGreaterThan(1.05 * solid.answers[0].travelMm)
  expect(weak.answers[0].breakForceN / solid.answers[0].breakForceN).toBeCloseTo(0.5, 1)
})

test('three grids give limit, order and error', () => {
  // 1 + h^2 at h = 0.4, 0.2, 0.1.
  const { limit, order, error } = extrapolate(1.16, 1.04, 1.01)
  expect(limit).toBeCloseTo(1, 12)
  expect(order).toBeCloseTo(2, 12)
  expect(error).toBeCloseTo(0.01, 12)
  expect(extrapolate(1, 1.2, 1.1).order).toBeNaN()
})
