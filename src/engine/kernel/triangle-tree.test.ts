import { describe, expect, test } from 'vitest'
import { nearestPoint, newNearestPoint } from './nearest-on-triangles.ts'
import { allHits, buildTriangleTree, firstHit, newRayHit } from './triangle-tree.ts'

const seeded = (seed: number) => () => {
  seed = (seed + 0x6d2b79f5) | 0
  let t = Math.imul(seed ^ (seed >>> 15), 1 | seed)
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296
}
const soup = (n: number, seed: number, size: number) => {
  const random = seeded(seed)
  const positions = new Float64Array(9 * n)
  for (let i = 0; i < n; i++) {
    const middle = [random() * 20 - 4, random() * 20, random() * 40]
    for (let k = 0; k < 9; k++) positions[9 * i + k] = middle[k % 3] + (random() - 0.5) * size
  }
  return { positions, triangles: Uint32Array.from({ length: 3 * n }, (_, i) => i) }
}
type Three = [number, number, number]
const sub = (a: Three, b: Three): Three => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
const dot = (a: Three, b: Three): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const cross = (a: Three, b: Three): Three => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
const corner = (p: Float64Array, i: number): Three => [p[3 * i], p[3 * i + 1], p[3 * i + 2]]

/** The slow way: by the triangle's plane, and the signs of the three sides. */
const slowHit = (p: Float64Array, i: number, o: Three, d: Three): number => {
  const [a, b, c] = [corner(p, 3 * i), corner(p, 3 * i + 1), corner(p, 3 * i + 2)]
  const normal = cross(sub(b, a), sub(c, a))
  const t = dot(normal, sub(a, o)) / dot(normal, d)
  const q: Three = [o[0] + t * d[0], o[1] + t * d[1], o[2] + t * d[2]]
  const inside = [
    [a, b],
    [b, c],
    [c, a],
  ].every(([from, to]) => dot(cross(sub(to, from), sub(q, from)), normal) >= 0)
  return inside && t >= 0 ? t : Infinity
}
/** The slow way: the foot of the perpendicular when it falls inside, else the nearest of the three sides. */
const slowDistance = (p: Float64Array, i: number, x: Three): number => {
  const abc = [corner(p, 3 * i), corner(p, 3 * i + 1), corner(p, 3 * i + 2)]
  const normal = cross(sub(abc[1], abc[0]), sub(abc[2], abc[0]))
  const length = Math.sqrt(dot(normal, normal))
  let inside = true
  let best = Infinity
  for (let k = 0; k < 3; k++) {
    const a = abc[k]
    const b = abc[(k + 1) % 3]
    if (dot(cross(sub(b, a), sub(x, a)), normal) < 0) inside = false
    const u = sub(b, a)
    const t = Math.min(1, Math.max(0, dot(sub(x, a), u) / dot(u, u)))
    const e = sub(x, [a[0] + t * u[0], a[1] + t * u[1], a[2] + t * u[2]])
    best = Math.min(best, Math.sqrt(dot(e, e)))
  }
  return inside ? Math.abs(dot(normal, sub(x, abc[0]))) / length : best
}

describe.each([1, 2, 3])('against every triangle in turn (seed %i)', (seed) => {
  const n = 700
  const { positions, triangles } = soup(n, seed, seed === 2 ? 12 : 5)
  const tree = buildTriangleTree(positions, triangles)
  const random = seeded(seed + 90)

  test('first hit and all hits of a ray', () => {
    const hit = newRayHit()
    let nMet = 0
    for (let k = 0; k < 400; k++) {
      const o: Three = [random() * 30 - 10, random() * 30 - 5, random() * 50 - 5]
      const d: Three = [random() - 0.5, random() - 0.5, random() - 0.5]
      if (k % 5 === 0) d[k % 3] = 0
      const ts = Array.from({ length: n }, (_, i) => slowHit(positions, i, o, d))
      const least = Math.min(...ts)
      expect(firstHit(tree, ...o, ...d, 0, Infinity, hit)).toBe(least < Infinity)
      if (least < Infinity) {
        nMet++
        expect(hit.t).toBeCloseTo(least, 9)
        expect(ts[hit.triangle]).toBe(least)
      }
      const met: number[] = []
      allHits(tree, ...o, ...d, 0, (triangle) => met.push(triangle))
      expect(met.sort((a, b) => a - b)).toEqual(ts.flatMap((t, i) => (t < Infinity ? [i] : [])))
    }
    expect(nMet).toBeGreaterThan(50)
  })

  test('nearest point within a radius', () => {
    const nearest = newNearestPoint()
    let nNone = 0
    for (let k = 0; k < 300; k++) {
      const x: Three = [random() * 40 - 15, random() * 40 - 10, random() * 60 - 10]
      const slow = Math.min(...Array.from({ length: n }, (_, i) => slowDistance(positions, i, x)))
      expect(nearestPoint(tree, ...x, Infinity, nearest)).toBe(true)
      expect(nearest.distance).toBeCloseTo(slow, 9)
      expect(Math.hypot(x[0] - nearest.x, x[1] - nearest.y, x[2] - nearest.z)).toBeCloseTo(slow, 9)
      const within = nearestPoint(tree, ...x, 1, nearest)
      expect(within).toBe(slow <= 1)
      if (!within) nNone++
    }
    expect(nNone).toBeGreaterThan(20)
  })
})

test('a ray leaves a solid through the back of a triangle, and accept leaves triangles out', () => {
  // A tetrahedron with outward faces.
  const positions = new Float64Array([0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1])
  const tree = buildTriangleTree(positions, new Uint32Array([0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3]))
  const hit = newRayHit()
  expect(firstHit(tree, 0.1, 0.1, 0.1, 1, 0, 0, 0, Infinity, hit)).toBe(true)
  expect([hit.triangle, hit.leaves]).toEqual([3, 1])
  expect(hit.t).toBeCloseTo(0.7, 12)
  expect(firstHit(tree, -1, 0.1, 0.1, 1, 0, 0, 0, Infinity, hit)).toBe(true)
  expect([hit.triangle, hit.leaves]).toEqual([2, -1])
  expect(firstHit(tree, -1, 0.1, 0.1, 1, 0, 0, 0, Infinity, hit, (triangle) => triangle !== 2)).toBe(true)
  expect(hit.triangle).toBe(3)
})

test('equal middles, flat triangles and no triangles at all', () => {
  const one = [0, 0, 0, 1, 0, 0, 0, 1, 0]
  const many = new Float64Array(Array.from({ length: 50 }, () => one).flat())
  const tree = buildTriangleTree(
    many,
    Uint32Array.from({ length: 150 }, (_, i) => i),
  )
  expect(allHits(tree, 0.2, 0.2, 1, 0, 0, -1, 0, () => {})).toBe(50)
  const flat = buildTriangleTree(new Float64Array([1, 1, 1, 1, 1, 1, 1, 1, 1]), new Uint32Array([0, 1, 2]))
  const nearest = newNearestPoint()
  expect(nearestPoint(flat, 1, 1, 3, 5, nearest)).toBe(true)
  expect(nearest.distance).toBeCloseTo(2, 12)
  const none = buildTriangleTree(new Float64Array(0), new Uint32Array(0))
  expect(firstHit(none, 0, 0, 0, 1, 0, 0, 0, Infinity, newRayHit())).toBe(false)
  expect(nearestPoint(none, 0, 0, 0, 1, nearest)).toBe(false)
})
