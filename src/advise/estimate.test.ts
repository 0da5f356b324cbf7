import { expect, test } from 'vitest'
import { boxLoop, circleLoop, stackByHand } from '../../tests/stack-by-hand.ts'
import { beadArea, pitchOf } from '../engine/beads/index.ts'
import { STARTING_RECIPE } from '../recipe/index.ts'
import { estimator, outlineSums } from './estimate.ts'

const stackOf = (radius: number, nLayers: number, layerMm = 0.1) =>
  stackByHand(
    Array.from({ length: nLayers }, () => [[circleLoop(0, 0, radius, 96)]]),
    layerMm,
  )
const plain = { ...STARTING_RECIPE, leastLayerTimeS: 0, flowShare: 1, capThicknessMm: 0 }

test('areas and outlines of islands, holes included', () => {
  const sums = outlineSums(stackByHand([[[boxLoop(0, 0, 10, 10), boxLoop(3, 3, 2, 2, true)]]], 0.1))
  expect(sums.layerArea[0]).toBeCloseTo(96, 9)
  expect(sums.outline[0]).toBeCloseTo(48, 9)
})

test('shells of a disc are the circles half a pitch, one and a half, two and a half inside', () => {
  const n = 40
  const { massG } = estimator(outlineSums(stackOf(6, n)), 1.24)({ ...plain, infillShare: 0 })
  const pitch = pitchOf(0.4, 0.1)
  const length = [0.5, 1.5, 2.5].reduce((sum, k) => sum + 2 * Math.PI * (6 - k * pitch), 0)
  expect(massG).toBeCloseTo((n * length * beadArea(0.4, 0.1) * 1.24) / 1000, 3)
})

test('a full disc weighs what it holds', () => {
  const n = 40
  const { massG } = estimator(outlineSums(stackOf(6, n)), 1.24)({ ...plain, infillShare: 1 })
  expect(massG / ((Math.PI * 36 * n * 0.1 * 1.24) / 1000)).toBeCloseTo(1, 2)
})

test('thicker layers of the same figure weigh the same and take less time', () => {
  const estimate = estimator(outlineSums(stackOf(5, 60)), 1.24)
  const thin = estimate(plain)
  const thick = estimate({ ...plain, layerHeightMm: 0.12 })
  expect(Math.abs(thick.massG / thin.massG - 1)).toBeLessThan(0.02)
  expect(thick.printS).toBeLessThan(thin.printS)
})

test('short layers are slowed to the least layer time, no farther than the least speed lets them', () => {
  const estimate = estimator(outlineSums(stackOf(2, 50)), 1.24)
  const slowed = estimate({ ...plain, leastLayerTimeS: 4, leastSpeedMmPerS: 1 })
  expect(slowed.printS).toBeCloseTo(50 * 4, 6)
  const floor = estimate({ ...plain, leastLayerTimeS: 100, leastSpeedMmPerS: 10 })
  expect(floor.printS).toBeLessThan(50 * 100)
  expect(estimate({ ...plain, leastLayerTimeS: 100, waitForLayerTime: true }).printS).toBeCloseTo(5000, 6)
})
