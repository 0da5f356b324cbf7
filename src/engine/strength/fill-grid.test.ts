// Filled shares against areas and volumes; infill against what shells and caps leave.

import { expect, test } from 'vitest'
import { boxLoop, circleLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { fillGrid } from './fill-grid.ts'

const sum = (values: Float32Array): number => values.reduce((a, b) => a + b, 0)

test('volume is kept whatever the cell', async () => {
  const stack = stackByHand(
    Array.from({ length: 37 }, () => [[circleLoop(0.13, -0.07, 3, 80), circleLoop(0.13, -0.07, 1, 80, true)]]),
    0.1,
  )
  for (const cell of [0.15, 0.2, 0.37]) {
    const grid = await fillGrid(stack, cell, null, null)
    expect((sum(grid.fill) * cell ** 3) / (Math.PI * 8 * 3.7)).toBeCloseTo(1, 2)
    expect(Math.max(...grid.fill)).toBeLessThan(1.0001)
    expect(sum(grid.core as unknown as Float32Array)).toBe(0)
  }
})

test('boxes that cut cells give exact shares', async () => {
  const grid = await fillGrid(stackByHand([[[boxLoop(-0.45, -0.45, 0.9, 0.9)]]], 0.1), 0.2, null, null)
  expect(sum(grid.fill) * 0.008).toBeCloseTo(0.081, 6)
})

test('infill lies inside shells and caps', async () => {
  const stack = stackByHand(
    Array.from({ length: 100 }, () => [[boxLoop(-5, -5, 10, 10)]]),
    0.1,
  )
  const wishes = { nShells: 3, beadWidthMm: 0.4, layerHeightMm: 0.1, capThicknessMm: 0.8, infillShare: 0.5 }
  const grid = await fillGrid(stack, 0.2, wishes, null)
  const core = grid.core.reduce((a, b) => a + b, 0) * 0.008
  // Shells take 3 pitches of 0.3785 and the rounding, caps 0.8 below and above.
  const side = 10 - 2 * (3 * (0.4 - 0.1 * (1 - Math.PI / 4)) + 0.1 * (1 - Math.PI / 4))
  expect(core / (side * side * 8.4)).toBeGreaterThan(0.9)
  expect(core / (side * side * 8.4)).toBeLessThan(1.1)
  const thin = await fillGrid(
    stackByHand(
      Array.from({ length: 40 }, () => [[boxLoop(-1, -1, 2, 2)]]),
      0.1,
    ),
    0.2,
    wishes,
    null,
  )
  expect(thin.core.every((c) => c === 0)).toBe(true)
})
