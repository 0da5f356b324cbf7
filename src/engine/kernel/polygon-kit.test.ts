import { expect, test } from 'vitest'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { regionScopeOf } from './plane-region.ts'
import { NO_POLYGONS, type Polygons } from './polygons.ts'

const square = (x: number, y: number, side: number): Polygons => ({
  loopStart: new Uint32Array([0, 4]),
  points: new Float64Array([x, y, x + side, y, x + side, y + side, x, y + side]),
})
const areaOf = ({ loopStart, points }: Polygons): number => {
  let area = 0
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const from = loopStart[j]
    const to = loopStart[j + 1]
    for (let i = from; i < to; i++) {
      const k = i + 1 < to ? i + 1 : from
      area += (points[2 * i] * points[2 * k + 1] - points[2 * k] * points[2 * i + 1]) / 2
    }
  }
  return area
}

test('offsets a square outwards with round corners and inwards exactly (Steiner)', async () => {
  const kit = await loadPolygonKit()
  expect(areaOf(kit.offset(square(0, 0, 10), 1, 'round', 1e-4))).toBeCloseTo(143.1416, 2)
  expect(areaOf(kit.offset(square(0, 0, 10), -1, 'round', 1e-4))).toBeCloseTo(64, 6)
})

test('differences and intersections of overlapping squares', async () => {
  const kit = await loadPolygonKit()
  expect(areaOf(kit.difference(square(0, 0, 10), square(5, 0, 10)))).toBeCloseTo(50, 9)
  expect(areaOf(kit.intersection(square(0, 0, 10), square(5, 5, 10)))).toBeCloseTo(25, 9)
  expect(kit.intersection(square(0, 0, 1), square(5, 5, 1)).loopStart.length).toBe(1)
})

test('tells what an opening takes: the corners of a square, in one call as in three', async () => {
  const kit = await loadPolygonKit()
  const lost = kit.lostByOpening(square(0, 0, 10), 1, 1, 1e-4)
  expect(lost.loopStart.length - 1).toBe(4)
  expect(areaOf(lost)).toBeCloseTo(4 - Math.PI, 2)
  const opened = kit.offset(kit.offset(square(0, 0, 10), -1, 'round', 1e-4), 1, 'round', 1e-4)
  expect(areaOf(lost)).toBeCloseTo(areaOf(kit.difference(square(0, 0, 10), opened)), 6)
  expect(areaOf(kit.lostByOpening(square(0, 0, 1), 1, 1, 1e-4))).toBeCloseTo(1, 9)
})

test('nothing in, nothing out', async () => {
  const kit = await loadPolygonKit()
  const nothing: Polygons = { loopStart: new Uint32Array(1), points: new Float64Array(0) }
  expect(kit.union(nothing, 'positive').points.length).toBe(0)
  expect(kit.offset(nothing, 1, 'round', 0.01).points.length).toBe(0)
  expect(kit.intersection(square(0, 0, 1), nothing).points.length).toBe(0)
  expect(areaOf(kit.difference(square(0, 0, 1), nothing))).toBeCloseTo(1, 9)
})

test('a chain of steps inside the library gives the same as its steps apart, and as a kit without regions', async () => {
  const kit = await loadPolygonKit()
  const shape = square(0, 0, 10)
  const bite = square(4, -1, 2)
  const chain = (scope: ReturnType<typeof regionScopeOf>) =>
    scope((region) => {
      const bitten = region(shape).without(region(bite))
      const inset = bitten.offset(-0.5, 'round', 1e-3)
      return [bitten.areaMm2(), inset.areaMm2(), areaOf(inset.within(region(square(0, 0, 3))).loops())]
    })
  const held = chain(regionScopeOf(kit))
  const copied = chain(regionScopeOf({ ...kit, regions: undefined }))
  held.forEach((area, i) => {
    expect(area).toBeCloseTo(copied[i], 6)
  })
  expect(held[0]).toBeCloseTo(98, 9)
  expect(regionScopeOf(kit)((region) => region(NO_POLYGONS).isEmpty())).toBe(true)
})

test('a piece smaller than the tolerance is thinned away, and does not grow when what is left is offset inwards', async () => {
  const kit = await loadPolygonKit()
  const speck = square(20, 20, 0.004)
  const both: Polygons = {
    loopStart: new Uint32Array([0, 4, 8]),
    points: new Float64Array([...square(0, 0, 10).points, ...speck.points]),
  }
  const [alone, beside] = regionScopeOf(kit)((region) => [
    region(speck).thinned(0.01).offset(-1, 'round', 1e-3).areaMm2(),
    region(both).thinned(0.01).offset(-1, 'round', 1e-3).areaMm2(),
  ])
  expect(alone).toBe(0)
  expect(beside).toBeCloseTo(64, 6)
})
