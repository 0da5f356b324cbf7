import { expect, test } from 'vitest'
import { oneLayer, rectangle } from '../../../tests/solids-2d.ts'
import { measureOutlines } from './measure-outlines.ts'
import { thinnestOver } from './thinnest-over.ts'

test('a wall keeps its thickness', async () => {
  const stack = oneLayer([rectangle(8, 0.7)])
  expect(thinnestOver(stack, await measureOutlines(stack)).islandThinnest[0]).toBeCloseTo(0.7, 2)
})

test('the tip of a wedge of 45 degrees does not count, though at a point it is as thin as you like', async () => {
  const half = 6 * Math.tan(Math.PI / 8)
  const stack = oneLayer([
    [
      [0, 0],
      [6, -half],
      [6, half],
    ],
  ])
  const measured = await measureOutlines(stack)
  expect(measured.islandThinnest[0]).toBeLessThan(0.5)
  expect(thinnestOver(stack, measured).islandThinnest[0]).toBeGreaterThan(1)
})

test('a blade of 20 degrees counts, where enough of it is thin', async () => {
  const half = 6 * Math.tan(Math.PI / 18)
  const stack = oneLayer([
    [
      [0, 0],
      [6, -half],
      [6, half],
    ],
  ])
  const { islandThinnest } = thinnestOver(stack, await measureOutlines(stack))
  // 0.3 mm of either wall from the tip: 2 s tan(10 deg) with s about 0.3.
  expect(islandThinnest[0]).toBeGreaterThan(0.05)
  expect(islandThinnest[0]).toBeLessThan(0.2)
})
