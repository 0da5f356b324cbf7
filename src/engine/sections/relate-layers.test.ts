import { beforeAll, expect, test } from 'vitest'
import { cutSolid } from '../../../tests/section-cases.ts'
import { box, cone, cylinder, moved, type Solid, sphere, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { PolygonKit } from '../kernel/index.ts'
import { relateLayers } from './relate-layers.ts'
import { STRIP_COLUMNS, STRIP_ROW } from './types.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const relate = async (solid: Solid, layerHeightMm = 0.1) => {
  const stack = await cutSolid(solid, { layerHeightMm, firstLayerHeightMm: layerHeightMm }, kit)
  return { stack, relations: await relateLayers(stack, { allowanceMm: 0.2 }, kit) }
}

test('a straight post rests wholly on itself and on the bed', async () => {
  const { stack, relations } = await relate(box(6, 4, 3))
  expect(relations.bedContact).toBeCloseTo(24, 6)
  expect(Math.max(...relations.unsupportedMm)).toBeLessThan(1e-9)
  expect(relations.nStrips).toBe(0)
  expect(relations.startsInAir.every((s) => s === 0)).toBe(true)
  for (let island = 1; island < stack.islandLoop.length; island++) {
    expect(relations.restingArea[island]).toBeCloseTo(24, 6)
    expect([...relations.below.slice(relations.belowStart[island], relations.belowStart[island + 1])]).toEqual([
      island - 1,
    ])
  }
})

test('a block on a shelf beyond the post reaches as far as it is drawn', async () => {
  // A post of 4 with a plate of 10 on top, 3 mm out to one side.
  const { stack, relations } = await relate(together(box(4, 4, 3), moved(box(7, 4, 1), 0, 0, 3)))
  const layer = 30
  expect(relations.unsupportedMm[layer]).toBeCloseTo(3, 6)
  expect(relations.unsupportedSlope[layer]).toBeCloseTo(Math.atan2(3, 0.1), 6)
  expect(relations.unsupportedAt[2 * layer]).toBeCloseTo(7, 6)
  expect(relations.nStrips).toBe(1)
  expect(relations.strips[STRIP_ROW.layer]).toBe(layer)
  expect(relations.strips[STRIP_ROW.holds]).toBe(1)
  expect(relations.strips[STRIP_ROW.spanMm]).toBe(0)
  // 3 mm of overhang less the allowance of 0.2, by 4 mm; the raster counts whole cells.
  expect(Math.abs(relations.strips[STRIP_ROW.areaMm2] - 2.8 * 4)).toBeLessThan(0.5)
  expect(stack.islandStart[layer + 1] - stack.islandStart[layer]).toBe(1)
})

test('a lintel on two posts is a span held at both ends', async () => {
  const { relations } = await relate(together(box(2, 3, 4), moved(box(2, 3, 4), 6, 0, 0), moved(box(8, 3, 1), 0, 0, 4)))
  const rows: number[] = []
  for (let s = 0; s < relations.nStrips; s++) {
    if (relations.strips[s * STRIP_COLUMNS + STRIP_ROW.layer] === 40) rows.push(s * STRIP_COLUMNS)
  }
  expect(rows.length).toBe(1)
  expect(relations.strips[rows[0] + STRIP_ROW.holds]).toBe(2)
  expect(Math.abs(relations.strips[rows[0] + STRIP_ROW.spanMm] - 4)).toBeLessThan(0.25)
  // The middle of the span is 2 mm from either post.
  expect(relations.strips[rows[0] + STRIP_ROW.reach]).toBeCloseTo(2, 1)
})

test('a roof over a closed room is held all round', async () => {
  const wall = (x: number, y: number, sx: number, sy: number): Solid => moved(box(sx, sy, 3), x, y, 0)
  const room = together(
    wall(0, 0, 8, 1),
    wall(0, 7, 8, 1),
    wall(0, 0, 1, 8),
    wall(7, 0, 1, 8),
    moved(box(8, 8, 1), 0, 0, 3),
  )
  const { relations } = await relate(room)
  const row = [...Array(relations.nStrips).keys()]
    .map((s) => s * STRIP_COLUMNS)
    .find((r) => relations.strips[r + STRIP_ROW.layer] === 30) as number
  expect(relations.strips[row + STRIP_ROW.holds]).toBe(2)
  expect(Math.abs(relations.strips[row + STRIP_ROW.spanMm] - 6)).toBeLessThan(0.25)
  expect(relations.strips[row + STRIP_ROW.reach]).toBeCloseTo(3, 1)
})

test('a ball over a plate starts in mid air; touching it would not', async () => {
  const plate = box(10, 10, 1)
  const ball = moved(sphere(1.5, 48), 5, 5, 4)
  const { stack, relations } = await relate(together(plate, ball))
  const starts = [...relations.startsInAir.keys()].filter((i) => relations.startsInAir[i] === 1)
  expect(starts.length).toBe(1)
  const layer = stack.islandStart.findIndex((s) => s > starts[0]) - 1
  expect(Math.abs(stack.faceZ[layer] - 2.5)).toBeLessThan(0.15)
  const standing = await relate(together(plate, moved(sphere(1.5, 48), 5, 5, 2)))
  expect(standing.relations.startsInAir.every((s) => s === 0)).toBe(true)
})

test('a thread thinner than a raster cell still rests on itself', async () => {
  const { relations } = await relate(together(box(20, 20, 1), moved(cylinder(0.03, 3, 24), 10.03, 10.07, 1)))
  expect(relations.startsInAir.every((s) => s === 0)).toBe(true)
})

test('a cone on its tip widens by h tan(half angle) a layer', async () => {
  const upright = cone(5, 5, 256)
  const onTip: Solid = {
    positions: Float64Array.from(upright.positions, (v, i) => (i % 3 === 2 ? -v : v)),
    triangles: Uint32Array.from(upright.triangles, (_, i) => upright.triangles[i - (i % 3) + [0, 2, 1][i % 3]]),
  }
  const { relations, stack } = await relate(onTip)
  for (let k = 10; k < stack.nLayers; k++) {
    expect(relations.unsupportedMm[k]).toBeGreaterThan(0.09)
    expect(relations.unsupportedMm[k]).toBeLessThan(0.115)
    expect(relations.unsupportedSlope[k]).toBeCloseTo(Math.PI / 4, 1)
  }
  expect(relations.nStrips).toBe(0)
})
