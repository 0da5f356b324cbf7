import { expect, test } from 'vitest'
import { asSoup, box, insideOut, moved, revolved, sphere, together, torus } from '../../../tests/solids.ts'
import { massOf } from './mass-of.ts'
import { prepareMesh } from './prepare-mesh.ts'

const prepared = ({ positions, triangles }: { positions: Float64Array; triangles: Uint32Array }) =>
  prepareMesh(positions, triangles)

test('a soup of loose triangles becomes one closed shell', () => {
  const soup = asSoup(torus(10, 2, 48, 24))
  for (const { mesh, health } of [prepareMesh(soup), prepareMesh(Float32Array.from(soup))]) {
    expect(health).toMatchObject({
      nVertices: 48 * 24,
      nTriangles: 2 * 48 * 24,
      nShells: 1,
      closed: true,
      nOpenEdges: 0,
    })
    expect(massOf(mesh).volume).toBeGreaterThan(770)
  }
})

test('minus zero and zero are one place', () => {
  const soup = asSoup(box(1, 1, 1)).map((p, i) => (p === 0 && i % 2 ? -0 : p))
  expect(prepareMesh(soup).health.nVertices).toBe(8)
  expect(prepareMesh(Float32Array.from(soup)).health.nVertices).toBe(8)
})

test('wrongly turned triangles are turned back, the smaller part of them', () => {
  const solid = sphere(5, 24)
  const triangles = solid.triangles.slice()
  for (const t of [3, 40, 41, 100]) triangles.set([triangles[3 * t], triangles[3 * t + 2], triangles[3 * t + 1]], 3 * t)
  const { mesh, health } = prepareMesh(solid.positions, triangles)
  expect(health).toMatchObject({ nTurnedTriangles: 4, closed: true, nInsideOutShells: 0 })
  expect([...mesh.triangles]).toEqual([...solid.triangles])
})

test('a shell inside out is turned; a cavity stays; a whole solid inside out keeps its cavity', () => {
  const hollow = together(sphere(5, 24), insideOut(sphere(2, 16)))
  expect(prepared(insideOut(sphere(5, 24))).health).toMatchObject({ nInsideOutShells: 1, nCavities: 0 })
  expect(prepared(hollow).health).toMatchObject({ nInsideOutShells: 0, nCavities: 1, nShells: 2 })
  const back = prepared(insideOut(hollow))
  expect(back.health).toMatchObject({ nInsideOutShells: 2, nCavities: 1 })
  expect(massOf(back.mesh).volume).toBeCloseTo(massOf(prepared(hollow).mesh).volume, 9)
})

test('a shell inside out that only touches the box of another is no cavity', () => {
  const solids = together(torus(10, 2, 48, 24), insideOut(sphere(1, 16)))
  expect(prepared(solids).health).toMatchObject({ nInsideOutShells: 1, nCavities: 0 })
})

test('overlapping shells are all kept', () => {
  const { health, mesh } = prepared(together(box(2, 2, 2), moved(box(2, 2, 2), 1, 1, 1), moved(sphere(1, 16), 1, 1, 1)))
  expect(health).toMatchObject({ nShells: 3, closed: true, nCavities: 0, nInsideOutShells: 0 })
  expect(new Set(mesh.shellOf)).toEqual(new Set([0, 1, 2]))
})

test('doubled triangles are dropped, touching faces are not', () => {
  const solid = box(1, 1, 1)
  const doubled = Uint32Array.from([...solid.triangles, 0, 2, 1, 4, 5, 6, 5, 6, 4])
  expect(prepareMesh(solid.positions, doubled).health).toMatchObject({
    nDoubledTriangles: 3,
    closed: true,
    nTriangles: 12,
  })
  // Two boxes on a shared face: its four triangles face both ways.
  const stacked = prepared(together(box(1, 1, 1), moved(box(1, 1, 1), 0, 0, 1)))
  expect(stacked.health).toMatchObject({ nDoubledTriangles: 0, nShells: 2, nOpenEdges: 0 })
  expect(massOf(stacked.mesh).volume).toBeCloseTo(2, 12)
})

test('a mesh written from both sides keeps one side', () => {
  const solid = sphere(3, 12)
  const both = together(solid, insideOut(solid))
  const { health, mesh } = prepared(both)
  expect(health).toMatchObject({ nDoubledTriangles: solid.triangles.length / 3, closed: true, nShells: 1 })
  expect(massOf(mesh).volume).toBeGreaterThan(80)
})

test('flat triangles leave without tearing the mesh', () => {
  // The edge 0-1 of a box's floor carries an extra vertex on one side only, closed by a triangle without area.
  const solid = box(2, 2, 2)
  const positions = Float64Array.from([...solid.positions, 1, 0, 0])
  const rest = [...solid.triangles].slice(3)
  const triangles = Uint32Array.from([0, 2, 8, 8, 2, 1, 0, 8, 1, 5, 5, 6, ...rest])
  const { health, mesh } = prepareMesh(positions, triangles)
  expect(health).toMatchObject({ nFlatTriangles: 2, closed: true, nOpenEdges: 0 })
  expect(massOf(mesh).volume).toBeCloseTo(8, 12)
  expect(massOf(mesh).area).toBeCloseTo(24, 12)
})

test('holes are counted, placed and measured', () => {
  const solid = sphere(5, 24)
  const cap = new Set([solid.positions.length / 3 - 1])
  const kept: number[] = []
  for (let t = 0; t < solid.triangles.length; t += 3) {
    const corners = solid.triangles.subarray(t, t + 3)
    if (!corners.some((v) => cap.has(v))) kept.push(...corners)
  }
  const { health } = prepareMesh(solid.positions, Uint32Array.from([...kept.slice(3)]))
  expect(health).toMatchObject({ nHoles: 2, nOpenEdges: 27, closed: false, nShells: 1 })
  const top = health.holes.slice(health.holes[2] > 0 ? 0 : 4)
  const r = 5 * Math.sin(Math.PI / 12)
  expect(top[2]).toBeCloseTo(5 * Math.cos(Math.PI / 12), 9)
  expect(top[3]).toBeCloseTo(24 * 2 * r * Math.sin(Math.PI / 24), 9)
})

test('an open shell with a small hole that came inside out is turned', () => {
  const solid = insideOut(sphere(5, 24))
  const { mesh, health } = prepareMesh(solid.positions, solid.triangles.slice(3))
  expect(health).toMatchObject({ nInsideOutShells: 1, nHoles: 1 })
  expect(massOf(mesh).volume).toBeGreaterThan(480)
})

test('vertices that no triangle uses are dropped', () => {
  const solid = box(1, 1, 1)
  const { mesh } = prepareMesh(
    Float64Array.from([99, 99, 99, ...solid.positions]),
    solid.triangles.map((v) => v + 1),
  )
  expect(Math.max(...mesh.positions)).toBe(1)
  expect(mesh.positions.length).toBe(24)
})

test('a Möbius band stays open and does not hang', () => {
  const n = 12
  const positions: number[] = []
  for (let i = 0; i < n; i++) {
    const a = (2 * Math.PI * i) / n
    for (const s of [-1, 1]) {
      const r = 5 + s * Math.cos(a / 2)
      positions.push(r * Math.cos(a), r * Math.sin(a), s * Math.sin(a / 2))
    }
  }
  const triangles: number[] = []
  for (let i = 0; i < n; i++) {
    const last = i === n - 1
    const [a, b] = [2 * i, 2 * i + 1]
    const [c, d] = last ? [1, 0] : [2 * i + 2, 2 * i + 3]
    triangles.push(a, c, b, b, c, d)
  }
  const { health } = prepareMesh(Float64Array.from(positions), Uint32Array.from(triangles))
  expect(health.closed).toBe(false)
  expect(health.nTriangles).toBe(2 * n)
})

test('nothing at all is an empty mesh', () => {
  expect(prepareMesh(new Float32Array(0)).health).toMatchObject({ nTriangles: 0, closed: false, nShells: 0 })
})

test('profile of revolution with many parts closes at the axis', () => {
  expect(
    prepared(
      revolved(
        [
          [0, 0],
          [2, 0],
          [1, 3],
          [0, 4],
        ],
        200,
      ),
    ).health.closed,
  ).toBe(true)
})
