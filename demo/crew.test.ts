// The crew is what it says it is: size, base, eye line, shaft, ribbon, lantern, hole, shells, the same every time.

import { createHash } from 'node:crypto'
import Module, { type ManifoldToplevel } from 'manifold-3d'
import { beforeAll, describe, expect, test } from 'vitest'
import { CREW, type CrewMember } from './crew.ts'
import { BASE, BOAT_HOOK, EYES, HOLE, LANTERN, PASSENGER_SHELLS, RIBBON, UMBRELLA } from './facts.ts'
import { modelFigure } from './model/model-figure.ts'
import { type Triangles, writePly } from './model/triangles.ts'

type Id = CrewMember['id']
type Segment = readonly [number, number, number, number]

const figures = {} as Record<Id, Triangles>
const newLibrary = async (): Promise<ManifoldToplevel> => {
  const library = await Module()
  library.setup()
  return library
}

beforeAll(async () => {
  for (const { id } of CREW) figures[id] = modelFigure(id, await newLibrary())
})

/** Where the plane at height z cuts the triangles: x0, y0, x1, y1 each. */
const cutAt = ({ positions, triangles }: Triangles, z: number): Segment[] => {
  const found: Segment[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const ends: number[] = []
    for (let k = 0; k < 3; k++) {
      const a = 3 * triangles[t + k]
      const b = 3 * triangles[t + ((k + 1) % 3)]
      if (positions[a + 2] < z === positions[b + 2] < z) continue
      const f = (z - positions[a + 2]) / (positions[b + 2] - positions[a + 2])
      ends.push(
        positions[a] + f * (positions[b] - positions[a]),
        positions[a + 1] + f * (positions[b + 1] - positions[a + 1]),
      )
    }
    if (ends.length === 4) found.push(ends as unknown as Segment)
  }
  return found
}

const fromPointTo = (px: number, py: number, [x0, y0, x1, y1]: Segment): number => {
  const dx = x1 - x0
  const dy = y1 - y0
  const l2 = dx * dx + dy * dy
  const f = l2 > 0 ? Math.min(1, Math.max(0, ((px - x0) * dx + (py - y0) * dy) / l2)) : 0
  return Math.hypot(x0 + f * dx - px, y0 + f * dy - py)
}

/** How far from a point, along a line through it either way, the line meets a segment; infinite where it does not. */
const alongLine = (px: number, py: number, nx: number, ny: number, [x0, y0, x1, y1]: Segment): number => {
  const side0 = (x0 - px) * ny - (y0 - py) * nx
  const side1 = (x1 - px) * ny - (y1 - py) * nx
  if (side0 < 0 === side1 < 0) return Infinity
  const f = side0 / (side0 - side1)
  return Math.abs((x0 + f * (x1 - x0) - px) * nx + (y0 + f * (y1 - y0) - py) * ny)
}

/** Distances along a ray at which it meets the triangles, nearest first. */
const alongRay = ({ positions: p, triangles }: Triangles, from: readonly number[], to: readonly number[]): number[] => {
  const found: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]]
    const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]]
    const h = [to[1] * v[2] - to[2] * v[1], to[2] * v[0] - to[0] * v[2], to[0] * v[1] - to[1] * v[0]]
    const det = u[0] * h[0] + u[1] * h[1] + u[2] * h[2]
    if (Math.abs(det) < 1e-14) continue
    const s = [from[0] - p[a], from[1] - p[a + 1], from[2] - p[a + 2]]
    const f = (s[0] * h[0] + s[1] * h[1] + s[2] * h[2]) / det
    if (f < 0 || f > 1) continue
    const q = [s[1] * u[2] - s[2] * u[1], s[2] * u[0] - s[0] * u[2], s[0] * u[1] - s[1] * u[0]]
    const g = (to[0] * q[0] + to[1] * q[1] + to[2] * q[2]) / det
    if (g < 0 || f + g > 1) continue
    const d = (v[0] * q[0] + v[1] * q[1] + v[2] * q[2]) / det
    if (d > 0) found.push(d)
  }
  return found.sort((one, other) => one - other)
}

/** Edges that one triangle has and no neighbour answers, as [from, to]; crowded edges throw. */
const openEdges = ({ triangles }: Triangles): [number, number][] => {
  const seen = new Map<number, number>()
  const key = (a: number, b: number) => a * 1e7 + b
  for (let i = 0; i < triangles.length; i++) {
    const next = i % 3 === 2 ? i - 2 : i + 1
    const k = key(triangles[i], triangles[next])
    if (seen.has(k)) throw new Error(`edge ${triangles[i]}-${triangles[next]} stands twice`)
    seen.set(k, i)
  }
  const open: [number, number][] = []
  for (const k of seen.keys()) {
    const [a, b] = [Math.floor(k / 1e7), k % 1e7]
    if (!seen.has(key(b, a))) open.push([a, b])
  }
  return open
}

/** Pieces joined through shared vertices: volume of each, mm3. */
const shellVolumes = ({ positions: p, triangles }: Triangles): number[] => {
  const parent = new Uint32Array(p.length / 3).map((_, i) => i)
  const root = (v: number): number => {
    let r = v
    while (parent[r] !== r) {
      parent[r] = parent[parent[r]]
      r = parent[r]
    }
    return r
  }
  for (let t = 0; t < triangles.length; t += 3) {
    parent[root(triangles[t])] = root(triangles[t + 1])
    parent[root(triangles[t + 1])] = root(triangles[t + 2])
  }
  const volumes = new Map<number, number>()
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const six =
      p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
      p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
      p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c])
    const r = root(triangles[t])
    volumes.set(r, (volumes.get(r) ?? 0) + six / 6)
  }
  return [...volumes.values()]
}

describe.each(CREW)('$id', ({ id, soleToEyeMm }) => {
  test('has no two vertices in one place and no triangle without area', () => {
    const { positions: p, triangles } = figures[id]
    const places = new Set<string>()
    for (let i = 0; i < p.length; i += 3) places.add(`${p[i].toFixed(4)} ${p[i + 1].toFixed(4)} ${p[i + 2].toFixed(4)}`)
    expect(places.size).toBe(p.length / 3)
    let least = Infinity
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
      const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]]
      const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]]
      const n = Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
      least = Math.min(least, n / 2)
    }
    expect(least).toBeGreaterThan(0)
  })

  test('has 40 000 to 150 000 triangles', () => {
    const n = figures[id].triangles.length / 3
    expect(n).toBeGreaterThanOrEqual(40_000)
    expect(n).toBeLessThanOrEqual(150_000)
  })

  test('stands on z = 0 on a round base of 25 mm and stays above it', () => {
    const { positions } = figures[id]
    let [lowest, highest, widest] = [Infinity, -Infinity, 0]
    for (let i = 0; i < positions.length; i += 3) {
      lowest = Math.min(lowest, positions[i + 2])
      highest = Math.max(highest, positions[i + 2])
      widest = Math.max(widest, Math.hypot(positions[i], positions[i + 1]))
    }
    expect(lowest).toBe(0)
    expect(2 * widest).toBeCloseTo(BASE.diameter, 3)
    expect(highest).toBeGreaterThan(BASE.height + soleToEyeMm)
    expect(highest).toBeLessThan(42)
    const rim = cutAt(figures[id], 1).flatMap(([x, y]) => Math.hypot(x, y))
    expect(2 * Math.max(...rim)).toBeCloseTo(BASE.diameter, 3)
    expect(2 * Math.min(...rim)).toBeGreaterThan(BASE.diameter * Math.cos(Math.PI / 192) - 1e-3)
    const bevel = cutAt(figures[id], BASE.height - 1e-3).map(([x, y]) => Math.hypot(x, y))
    expect(bevel.filter((r) => r > 11.9).length).toBeGreaterThan(50)
  })

  test('looks out of eyes at the stated height', () => {
    const { at, gaze, size } = EYES[id]
    expect(at[2] - BASE.height).toBeCloseTo(soleToEyeMm, 9)
    const l = Math.hypot(gaze[0], gaze[1])
    const [gx, gy] = [gaze[0] / l, gaze[1] / l]
    const apart = (id === 'ferry-dog' ? 0.78 : 0.66) * size
    for (const side of [-1, 1]) {
      // how far forward the face stands in front of one eye, by height
      const forward = (z: number): number => {
        const from = [at[0] - side * gy * apart + 5 * gx, at[1] + side * gx * apart + 5 * gy, z]
        return 5 - alongRay(figures[id], from, [-gx, -gy, 0])[0]
      }
      const heights = Array.from({ length: 31 }, (_, i) => at[2] - 0.3 + 0.02 * i)
      const face = heights.map(forward)
      // the eyeball is the boss between the hollows above and below it
      const bosses = heights.filter((_, i) => i > 0 && i < 30 && face[i] >= face[i - 1] && face[i] >= face[i + 1])
      expect(Math.min(...bosses.map((z) => Math.abs(z - at[2])))).toBeLessThan(0.15)
    }
  })
})

test.each(['keeper', 'ferry-dog'] as const)('%s is one closed shell that the boolean library accepts', async (id) => {
  expect(openEdges(figures[id])).toEqual([])
  expect(shellVolumes(figures[id])).toHaveLength(1)
  const { Mesh, Manifold } = await newLibrary()
  const { positions, triangles } = figures[id]
  const solid = Manifold.ofMesh(new Mesh({ numProp: 3, vertProperties: positions, triVerts: triangles }))
  expect(solid.status()).toBe('NoError')
  expect(solid.volume()).toBeCloseTo(
    shellVolumes(figures[id]).reduce((sum, v) => sum + v, 0),
    0,
  )
})

test('the passenger is closed shells that overlap, all turned outwards', async () => {
  expect(openEdges(figures.passenger)).toEqual([])
  const volumes = shellVolumes(figures.passenger)
  expect(volumes).toHaveLength(PASSENGER_SHELLS)
  expect(Math.min(...volumes)).toBeGreaterThan(0)
  const { Mesh, Manifold } = await newLibrary()
  const { positions, triangles } = figures.passenger
  const solid = Manifold.ofMesh(new Mesh({ numProp: 3, vertProperties: positions, triVerts: triangles }))
  expect(solid.status()).toBe('NoError')
  // merged they are one piece, with less volume than the sum: they do overlap
  const parts = solid.decompose()
  expect(parts).toHaveLength(PASSENGER_SHELLS)
  const merged = Manifold.union(parts)
  expect(merged.volume()).toBeLessThan(0.95 * volumes.reduce((sum, v) => sum + v, 0))
  expect(merged.decompose().filter((piece) => piece.volume() > 0)).toHaveLength(1)
})

test("the keeper's shaft is a round rod of 1.2 mm, upright and free of the coat", () => {
  const [x, y] = BOAT_HOOK.axis
  for (let k = 0; k < 2; k++) {
    const [from, to] = [BOAT_HOOK.bareFrom[k], BOAT_HOOK.bareTo[k]]
    for (let i = 0; i <= 8; i++) {
      const near = cutAt(figures.keeper, from + ((to - from) * i) / 8 + 1e-4).filter((s) => fromPointTo(x, y, s) < 0.9)
      const out = near.map((s) => Math.max(Math.hypot(s[0] - x, s[1] - y), Math.hypot(s[2] - x, s[3] - y)))
      const within = near.map((s) => fromPointTo(x, y, s))
      expect(near.length).toBeGreaterThan(60)
      expect(2 * Math.max(...out)).toBeCloseTo(BOAT_HOOK.diameter, 3)
      // the flats of 96 sides lie 0.05 % further in
      expect(2 * Math.min(...within)).toBeCloseTo(BOAT_HOOK.diameter * Math.cos(Math.PI / 96), 3)
    }
  }
  let top = 0
  for (let i = 0; i < figures.keeper.positions.length; i += 3) top = Math.max(top, figures.keeper.positions[i + 2])
  expect(top).toBeCloseTo(BOAT_HOOK.top, 4)
})

test("the scarf's tail is 0.3 mm thick along its free length", () => {
  let [bottom, top, measured, seen] = [Infinity, -Infinity, 0, 0]
  const { positions } = figures.lamplighter
  for (let i = 0; i < positions.length; i += 3)
    if (positions[i] > 7.5 && positions[i + 2] > 20) {
      bottom = Math.min(bottom, positions[i + 2])
      top = Math.max(top, positions[i + 2])
    }
  expect(bottom).toBeCloseTo(RIBBON.bottom, 1)
  for (const z of [25.3, 26, 26.5, 27, 27.5, 28]) {
    const tail = cutAt(figures.lamplighter, z).filter((s) => Math.min(s[0], s[2]) > RIBBON.freeFrom && s[1] > 1.2)
    for (const [x0, y0, x1, y1] of tail) {
      const l = Math.hypot(x1 - x0, y1 - y0)
      const [mx, my] = [(x0 + x1) / 2, (y0 + y1) / 2]
      if (l < 0.05 || mx < RIBBON.freeFrom + 0.6 || mx > 10) continue
      // square across to the other side; the short ends of the strip look along it and meet nothing near
      const across = tail
        .map((s) => alongLine(mx, my, (y0 - y1) / l, (x1 - x0) / l, s))
        .filter((d) => d > 0.01 && d < 1.4 * RIBBON.thickness)
      seen += l
      if (across.length === 0) continue
      expect(Math.min(...across)).toBeGreaterThan(RIBBON.thickness - 0.01)
      expect(Math.min(...across)).toBeLessThan(RIBBON.thickness + 0.01)
      measured += l
    }
  }
  expect(measured).toBeGreaterThan(20)
  expect(measured).toBeGreaterThan(0.9 * seen)
  expect(top).toBeLessThan(RIBBON.top + 0.1)
})

test('the lantern starts in mid air: nothing under it but the deck', () => {
  const [x, y] = LANTERN.axis
  const { positions } = figures.lamplighter
  let lowest = Infinity
  for (let i = 0; i < positions.length; i += 3) {
    const z = positions[i + 2]
    if (z > 4 && Math.hypot(positions[i] - x, positions[i + 1] - y) < LANTERN.radius + 0.6) lowest = Math.min(lowest, z)
  }
  expect(lowest).toBeCloseTo(LANTERN.lowest, 4)
  for (const [dx, dy] of [
    [0.05, 0.02],
    [1.2, 0.3],
    [-1.1, 0.5],
    [0.2, -1.2],
  ]) {
    const [first] = alongRay(figures.lamplighter, [x + dx, y + dy, LANTERN.lowest - 0.01], [0, 0, -1])
    expect(LANTERN.lowest - 0.01 - first).toBeLessThan(BASE.height + 0.2)
  }
})

test('the lamplighter has one hole of about half a millimetre, and nothing else is open', async () => {
  const open = openEdges(figures.lamplighter)
  expect(open.length).toBeGreaterThanOrEqual(3)
  const next = new Map(open)
  expect(next.size).toBe(open.length)
  const rim = [open[0][0]]
  for (let v = next.get(rim[0])!; v !== rim[0]; v = next.get(v)!) rim.push(v)
  expect(rim).toHaveLength(open.length)
  const at = rim.map((v) => [...figures.lamplighter.positions.subarray(3 * v, 3 * v + 3)])
  let across = 0
  for (const a of at) for (const b of at) across = Math.max(across, Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]))
  expect(across).toBeGreaterThan(HOLE.across - 0.15)
  expect(across).toBeLessThan(HOLE.across + 0.15)
  for (const a of at)
    expect(Math.hypot(a[0] - HOLE.near[0], a[1] - HOLE.near[1], a[2] - HOLE.near[2])).toBeLessThan(1 + HOLE.across)
  expect(shellVolumes(figures.lamplighter)).toHaveLength(1)
  // the boolean library refuses an open mesh; stopped with a fan it is sound
  const { Mesh, Manifold } = await newLibrary()
  const { positions, triangles } = figures.lamplighter
  expect(() => Manifold.ofMesh(new Mesh({ numProp: 3, vertProperties: positions, triVerts: triangles }))).toThrow()
  const middle = [0, 1, 2].map((k) => at.reduce((sum, a) => sum + a[k], 0) / at.length)
  const stopped = Manifold.ofMesh(
    new Mesh({
      numProp: 3,
      vertProperties: Float32Array.from([...positions, ...middle]),
      triVerts: Uint32Array.from([...triangles, ...open.flatMap(([a, b]) => [b, a, positions.length / 3])]),
    }),
  )
  expect(stopped.status()).toBe('NoError')
})

test("the umbrella's stick is thin where it meets the deck", () => {
  const [x, y] = UMBRELLA.axis
  const near = cutAt(figures.passenger, 3.6).filter((s) => fromPointTo(x, y, s) < 0.8)
  const out = near.map((s) => Math.max(Math.hypot(s[0] - x, s[1] - y), Math.hypot(s[2] - x, s[3] - y)))
  expect(2 * Math.max(...out)).toBeCloseTo(UMBRELLA.stick, 3)
})

test('the same figure comes out byte for byte, and its file says what it holds', async () => {
  const hash = (figure: Triangles) => createHash('sha256').update(writePly(figure, 'twice')).digest('hex')
  const again = modelFigure('ferry-dog', await newLibrary())
  expect(hash(again)).toBe(hash(figures['ferry-dog']))
  const file = writePly(again, 'twice')
  const text = Buffer.from(file).toString('latin1', 0, 400)
  const end = text.indexOf('end_header\n') + 11
  expect(text).toContain(`element face ${again.triangles.length / 3}\n`)
  expect(file.length).toBe(end + 4 * again.positions.length + (13 * again.triangles.length) / 3)
  const view = new DataView(file.buffer, end)
  expect(view.getFloat32(8, true)).toBe(again.positions[2])
  const faces = 4 * again.positions.length
  expect([view.getUint8(faces), view.getUint32(faces + 9, true)]).toEqual([3, again.triangles[2]])
})
