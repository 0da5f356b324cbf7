import { expect, test } from 'vitest'
import { boxLoop } from '../../../tests/stack-by-hand.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { Polygons } from '../kernel/index.ts'
import { capReach, commonRegions } from './caps.ts'
import { areaOf } from './loops.ts'

test('reach counts millimetres of uneven layers, not layers', () => {
  const faceZ = Float64Array.of(0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1)
  expect(capReach(faceZ, 0, 0.2)).toEqual([-1, 2])
  expect(capReach(faceZ, 1, 0.2)).toEqual([0, 3])
  expect(capReach(faceZ, 1, 0.25)).toEqual([-1, 4])
  expect(capReach(faceZ, 8, 0.1)).toEqual([7, 9])
  expect(capReach(faceZ, 4, 0)).toEqual([4, 4])
})

test('common regions of sliding runs equal the plain ones, whatever their lengths', async () => {
  const kit = await loadPolygonKit()
  const layers: Polygons[] = Array.from({ length: 13 }, (_, i) => ({
    loopStart: Uint32Array.of(0, 4),
    points: Float64Array.from(boxLoop(Math.sin(i), Math.cos(2 * i), 6, 5).flat()),
  }))
  const runs: [number, number][] = []
  for (let from = 0; from < 13; from++) for (let to = from; to < Math.min(13, from + 4); to++) runs.push([from, to])
  const common = await commonRegions(layers, runs, kit)
  runs.forEach(([from, to], r) => {
    let plain = layers[from]
    for (let i = from + 1; i <= to; i++) plain = kit.intersection(plain, layers[i])
    expect(areaOf(common[r]), `${from}-${to}`).toBeCloseTo(areaOf(plain), 6)
  })
})
