import { expect, test } from 'vitest'
import { boxLoop } from '../../../tests/stack-by-hand.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { Polygons } from '../kernel/index.ts'
import { capReach, runningIntersections } from './caps.ts'
import { areaOf } from './loops.ts'

test('reach counts millimetres of uneven layers, not layers', () => {
  const faceZ = Float64Array.of(0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1)
  expect(capReach(faceZ, 0, 0.2)).toEqual([-1, 2])
  expect(capReach(faceZ, 1, 0.2)).toEqual([0, 3])
  expect(capReach(faceZ, 1, 0.25)).toEqual([-1, 4])
  expect(capReach(faceZ, 8, 0.1)).toEqual([7, 9])
  expect(capReach(faceZ, 4, 0)).toEqual([4, 4])
})

test('running intersections equal the plain ones over every run', async () => {
  const kit = await loadPolygonKit()
  const layers: Polygons[] = Array.from({ length: 13 }, (_, i) => ({
    loopStart: Uint32Array.of(0, 4),
    points: Float64Array.from(boxLoop(Math.sin(i), Math.cos(2 * i), 6, 5).flat()),
  }))
  const region = runningIntersections(layers, 4, kit)
  for (let from = 0; from < 13; from++) {
    let plain = layers[from]
    for (let to = from; to < Math.min(13, from + 4); to++) {
      if (to > from) plain = kit.intersection(plain, layers[to])
      expect(areaOf(region(from, to))).toBeCloseTo(areaOf(plain), 6)
    }
  }
})
