import { beforeAll, expect, test } from 'vitest'
import { cutSolid, layerArea, stackVolume } from '../../../tests/section-cases.ts'
import { box, cylinder, insideOut, moved, sphere, together, torus } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { Cancelled, type PolygonKit } from '../kernel/index.ts'
import { edgeNeighbours, prepareMesh } from '../mesh/index.ts'
import { cutHeights } from './cut-heights.ts'
import { cutLayers } from './cut-layers.ts'
import { simplifyLoop } from './simplify-loop.ts'
import { traceLoops } from './trace-loops.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

test('layers: a first one of its own height, cut in the middle, the last kept when its middle is inside', () => {
  const { faceZ, cutZ } = cutHeights(1, 0.1, 0.2)
  expect(cutZ.length).toBe(9)
  expect(faceZ[1]).toBeCloseTo(0.2)
  expect(cutZ[0]).toBeCloseTo(0.1)
  expect(faceZ[9]).toBeCloseTo(1)
  expect(cutHeights(1.04, 0.1, 0.2).cutZ.length).toBe(9)
  expect(cutHeights(1.06, 0.1, 0.2).cutZ.length).toBe(10)
  const part = cutHeights(1, 0.1, 0.2, [0.45, 0.65])
  expect(part.firstLayer).toBe(3)
  expect(part.cutZ.length).toBe(3)
})

test('a box keeps its four corners and exact area in every layer, vertices exactly on cut planes included', async () => {
  const stack = await cutSolid(box(4, 3, 2), { layerHeightMm: 0.1, firstLayerHeightMm: 0.2 }, kit)
  expect(stack.nLayers).toBe(19)
  for (let k = 0; k < stack.nLayers; k++) {
    expect(stack.layerStart[k + 1] - stack.layerStart[k]).toBe(1)
    expect(layerArea(stack, k)).toBeCloseTo(12, 10)
  }
  expect(stack.loopStart[1]).toBe(4)
})

test('a plane through a ring of vertices still gives one closed loop', () => {
  // A sphere of revolution has rings of vertices at equal heights: cut exactly there.
  const solid = sphere(5, 32)
  const { mesh } = prepareMesh(Float64Array.from(solid.positions), Uint32Array.from(solid.triangles))
  const heights = new Set<number>()
  for (let i = 2; i < mesh.positions.length; i += 3)
    if (Math.abs(mesh.positions[i]) < 4.9) heights.add(mesh.positions[i])
  const cuts = Float64Array.from([...heights].sort((a, b) => a - b))
  const raw = traceLoops(mesh, edgeNeighbours(mesh), cuts)
  expect(raw.closed.every((c) => c === 1)).toBe(true)
  for (let k = 0; k < cuts.length; k++) expect(raw.layerStart[k + 1] - raw.layerStart[k]).toBe(1)
})

test('a torus on its side nests a hole in an outer loop, then falls apart in two', async () => {
  const stack = await cutSolid(torus(10, 2, 96, 48), { layerHeightMm: 0.2, firstLayerHeightMm: 0.2 }, kit)
  const middle = 9
  const loops = stack.layerStart[middle + 1] - stack.layerStart[middle]
  expect(loops).toBe(2)
  const first = stack.layerStart[middle]
  expect(stack.loopParent[first]).toBe(-1)
  expect(stack.loopParent[first + 1]).toBe(first)
  expect(stack.loopArea[first]).toBeGreaterThan(0)
  expect(stack.loopArea[first + 1]).toBeLessThan(0)
  expect(stack.loopIsland[first]).toBe(stack.loopIsland[first + 1])
})

test('a shell inside a shell counts once; a cavity stays empty; an island in a cavity is solid again', async () => {
  const outer = box(10, 10, 10)
  const inner = moved(box(6, 6, 6), 2, 2, 2)
  const core = moved(box(2, 2, 2), 4, 4, 4)
  const doubled = await cutSolid(together(outer, inner), {}, kit)
  expect(layerArea(doubled, 50)).toBeCloseTo(100, 8)
  const hollow = await cutSolid(together(outer, insideOut(inner), core), {}, kit)
  expect(layerArea(hollow, 50)).toBeCloseTo(100 - 36 + 4, 8)
  const island = hollow.islandStart[50]
  expect(hollow.islandStart[51] - island).toBe(2)
})

test('overlapping shells give the outline of their union', async () => {
  const two = together(box(10, 10, 5), moved(box(10, 10, 5), 5, 5, 0))
  const stack = await cutSolid(two, {}, kit)
  expect(stack.nResolvedLayers).toBe(stack.nLayers)
  expect(layerArea(stack, 20)).toBeCloseTo(175, 6)
  expect(stack.layerStart[21] - stack.layerStart[20]).toBe(1)
})

test('a missing triangle leaves a seam that is bridged and reported', async () => {
  const solid = cylinder(3, 4, 64)
  const sides: number[] = []
  for (let t = 0; t < solid.triangles.length; t += 3) sides.push(t)
  // Leave out one side triangle: one that touches both the floor and the roof.
  const tall = sides.find((t) => {
    const z = [0, 1, 2].map((c) => solid.positions[3 * solid.triangles[t + c] + 2])
    return Math.max(...z) - Math.min(...z) > 1
  }) as number
  const torn = { positions: solid.positions, triangles: solid.triangles.filter((_, i) => i < tall || i >= tall + 3) }
  const whole = await cutSolid(solid, {}, kit)
  const stack = await cutSolid(torn, {}, kit)
  expect(stack.seams.length / 4).toBeGreaterThan(10)
  for (let s = 3; s < stack.seams.length; s += 4) expect(stack.seams[s]).toBeLessThan(0.35)
  for (let k = 1; k < stack.nLayers; k++) expect(layerArea(stack, k)).toBeCloseTo(layerArea(whole, k), 1)
})

test('simplifying stays within the tolerance and keeps the area', () => {
  const n = 720
  const points = new Float64Array(2 * n)
  for (let i = 0; i < n; i++) {
    const a = (2 * Math.PI * i) / n
    points[2 * i] = 5 * Math.cos(a)
    points[2 * i + 1] = 3 * Math.sin(a)
  }
  const room = { points: new Float64Array(0) }
  const kept = simplifyLoop(points, 0, n, 0.01, room)
  expect(kept).toBeLessThan(120)
  let area = 0
  for (let i = 0; i < kept; i++) {
    const j = (i + 1) % kept
    area += (room.points[2 * i] * room.points[2 * j + 1] - room.points[2 * j] * room.points[2 * i + 1]) / 2
  }
  let full = 0
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n
    full += (points[2 * i] * points[2 * j + 1] - points[2 * j] * points[2 * i + 1]) / 2
  }
  expect(area).toBeCloseTo(full, 9)
  for (let i = 0; i < n; i++) {
    let nearest = Infinity
    for (let u = 0; u < kept; u++) {
      const v = (u + 1) % kept
      const ax = room.points[2 * u]
      const ay = room.points[2 * u + 1]
      const dx = room.points[2 * v] - ax
      const dy = room.points[2 * v + 1] - ay
      const s = Math.min(
        1,
        Math.max(0, ((points[2 * i] - ax) * dx + (points[2 * i + 1] - ay) * dy) / (dx * dx + dy * dy)),
      )
      nearest = Math.min(nearest, Math.hypot(points[2 * i] - ax - s * dx, points[2 * i + 1] - ay - s * dy))
    }
    expect(nearest).toBeLessThanOrEqual(0.02)
  }
})

test('growing every outline by half a wanted thickness', async () => {
  const stack = await cutSolid(box(2, 2, 1), { thickenMm: 1 }, kit)
  // Square grown by 0.5 with round corners: A + P r + pi r2.
  expect(layerArea(stack, 5)).toBeCloseTo(4 + 8 * 0.5 + Math.PI * 0.25, 2)
})

test('a window gives the same layers as the whole', async () => {
  const solid = sphere(5, 48)
  const whole = await cutSolid(solid, {}, kit)
  const part = await cutSolid(solid, { window: [4, 5] }, kit)
  const at = whole.faceZ.findIndex((z) => Math.abs(z - part.faceZ[0]) < 1e-9)
  for (let k = 0; k < part.nLayers; k++) expect(layerArea(part, k)).toBeCloseTo(layerArea(whole, at + k), 9)
})

test('the work stops when its signal says so', async () => {
  const { positions, triangles } = sphere(5, 48)
  const { mesh } = prepareMesh(Float64Array.from(positions), Uint32Array.from(triangles))
  const stop = new AbortController()
  const task = { signal: stop.signal, breathe: async () => stop.abort() }
  await expect(cutLayers(mesh, 10, { layerHeightMm: 0.1, firstLayerHeightMm: 0.1 }, kit, task)).rejects.toBeInstanceOf(
    Cancelled,
  )
})

test('volume of all layers matches the mesh', async () => {
  const stack = await cutSolid(torus(8, 3, 128, 64), {}, kit)
  expect(stackVolume(stack) / (2 * Math.PI ** 2 * 8 * 9)).toBeCloseTo(1, 2)
})
