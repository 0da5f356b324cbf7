// Where a figure can touch a floor: its outermost points, the poses in which it comes to rest, and how it falls over from standing.

import type { LayerStack } from '../sections/index.ts'
import { evenDirections } from './drop.ts'
import type { FallStart } from './drop-motion.ts'
import { hullOf } from './standing.ts'

export type Triple = readonly [number, number, number]

/** Corners of all layers that can touch a plane: hulls of each layer's outline at its lower and upper face, xyz. */
export const outerPoints = (stack: LayerStack): Float64Array => {
  const out: number[] = []
  for (let layer = 0; layer < stack.nLayers; layer++) {
    const from = stack.loopStart[stack.layerStart[layer]]
    const to = stack.loopStart[stack.layerStart[layer + 1]]
    if (!(to > from)) continue
    const points = stack.points.subarray(2 * from, 2 * to)
    for (const i of hullOf(points))
      for (const z of [stack.faceZ[layer], stack.faceZ[layer + 1]]) out.push(points[2 * i], points[2 * i + 1], z)
  }
  return Float64Array.from(out)
}

/** Index of the point that lies farthest in a direction. */
export const farthest = (points: Float64Array, d: Triple): number => {
  let best = -Infinity
  let at = 0
  for (let i = 0; i < points.length; i += 3) {
    const s = points[i] * d[0] + points[i + 1] * d[1] + points[i + 2] * d[2]
    if (s > best) {
      best = s
      at = i / 3
    }
  }
  return at
}

/** A place that may touch, and the direction in which it was found. */
export interface TouchPlace {
  readonly at: Triple
  readonly down: Triple
}

/**
 * Places spread over the outside: the lowest points of the given directions, then those of many more where nothing is near yet.
 * @param apartMm least distance of those many more; the given ones may be a third of it apart
 */
export const touchPlaces = (
  points: Float64Array,
  given: readonly Triple[],
  apartMm: number,
  most: number,
): TouchPlace[] => {
  const kept: TouchPlace[] = []
  const taken = new Set<number>()
  const add = (down: Triple, apart: number): void => {
    const i = farthest(points, down)
    if (taken.has(i) || kept.length >= most) return
    taken.add(i)
    const at: Triple = [points[3 * i], points[3 * i + 1], points[3 * i + 2]]
    if (kept.some((o) => Math.hypot(o.at[0] - at[0], o.at[1] - at[1], o.at[2] - at[2]) < apart)) return
    kept.push({ at, down })
  }
  for (const d of given) add(d, apartMm / 3)
  for (const d of evenDirections(900)) add(d, apartMm)
  return kept
}

/** Outward normals of the faces of a convex hull with one point on each, normal xyz and offset; points within `flatMm` count as on it. */
const hullPlanes = (points: Float64Array): Triple[] => {
  const directions = evenDirections(700)
  const index = [...new Set(directions.map((d) => farthest(points, d)))]
  const p = index.map((i): Triple => [points[3 * i], points[3 * i + 1], points[3 * i + 2]])
  const sub = (a: Triple, b: Triple): Triple => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
  const cross = (a: Triple, b: Triple): Triple => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ]
  const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
  interface Face {
    readonly v: readonly [number, number, number]
    readonly n: Triple
    readonly d: number
  }
  const inside: [number, number, number] = [0, 0, 0]
  for (const q of p) for (let a = 0; a < 3; a++) inside[a] += q[a] / p.length
  const faceOf = (a: number, b: number, c: number): Face => {
    let n = cross(sub(p[b], p[a]), sub(p[c], p[a]))
    const l = Math.hypot(...n) || 1
    n = [n[0] / l, n[1] / l, n[2] / l]
    return { v: [a, b, c], n, d: dot(n, p[a]) }
  }
  // First tetrahedron: far apart, not in one plane.
  let [i1, i2, i3] = [1, 2, 3]
  const size = (f: (k: number) => number): number => p.reduce((best, _, k) => (f(k) > f(best) ? k : best), 0)
  i1 = size((k) => Math.hypot(...sub(p[k], p[0])))
  i2 = size((k) => Math.hypot(...cross(sub(p[i1], p[0]), sub(p[k], p[0]))))
  const normal = cross(sub(p[i1], p[0]), sub(p[i2], p[0]))
  i3 = size((k) => Math.abs(dot(normal, sub(p[k], p[0]))))
  if (!(Math.abs(dot(normal, sub(p[i3], p[0]))) > 1e-9)) return []
  const middle: [number, number, number] = [0, 0, 0]
  for (const k of [0, i1, i2, i3]) for (let a = 0; a < 3; a++) middle[a] += p[k][a] / 4
  const outward = (a: number, b: number, c: number): Face => {
    const f = faceOf(a, b, c)
    return dot(f.n, middle) > f.d ? faceOf(a, c, b) : f
  }
  let faces = [outward(0, i1, i2), outward(0, i1, i3), outward(0, i2, i3), outward(i1, i2, i3)]
  for (let k = 0; k < p.length; k++) {
    const seen = faces.filter((f) => dot(f.n, p[k]) > f.d + 1e-7)
    if (seen.length === 0) continue
    // Edges of what the new point sees that belong to one seen face only.
    const edges = new Map<number, [number, number]>()
    for (const { v } of seen)
      for (let e = 0; e < 3; e++) {
        const [a, b] = [v[e], v[(e + 1) % 3]]
        if (!edges.delete(b * p.length + a)) edges.set(a * p.length + b, [a, b])
      }
    const hidden = new Set(seen)
    faces = faces.filter((f) => !hidden.has(f))
    for (const [a, b] of edges.values()) faces.push(faceOf(a, b, k))
  }
  return faces.map((f) => f.n)
}

/** A pose in which it can lie. */
export interface RestingPose {
  /** Downwards in the figure's frame. */
  readonly down: Triple
  /** Least distance from the middle of the mass, seen from above, to the rim of what it lies on, mm. */
  readonly marginMm: number
}

/** Points within this of a plane carry it, mm: about a layer. */
const FLAT_MM = 0.15
/** Poses nearer than this to a steadier one are the same. */
const SAME_POSE_COS = Math.cos((12 * Math.PI) / 180)

/** Poses in which the middle of the mass lies over what touches the floor, the steadiest first. */
export const restingPoses = (points: Float64Array, centre: Triple, most: number): RestingPose[] => {
  const poses: RestingPose[] = []
  for (const n of hullPlanes(points)) {
    const far = farthest(points, n)
    const d = points[3 * far] * n[0] + points[3 * far + 1] * n[1] + points[3 * far + 2] * n[2]
    // Axes in the plane.
    const a: Triple = Math.abs(n[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0]
    const l = Math.hypot(n[1] * a[2] - n[2] * a[1], n[2] * a[0] - n[0] * a[2], n[0] * a[1] - n[1] * a[0])
    const u = [(n[1] * a[2] - n[2] * a[1]) / l, (n[2] * a[0] - n[0] * a[2]) / l, (n[0] * a[1] - n[1] * a[0]) / l]
    const w = [n[1] * u[2] - n[2] * u[1], n[2] * u[0] - n[0] * u[2], n[0] * u[1] - n[1] * u[0]]
    const flat: number[] = []
    for (let i = 0; i < points.length; i += 3) {
      if (points[i] * n[0] + points[i + 1] * n[1] + points[i + 2] * n[2] < d - FLAT_MM) continue
      const r = [points[i] - centre[0], points[i + 1] - centre[1], points[i + 2] - centre[2]]
      flat.push(r[0] * u[0] + r[1] * u[1] + r[2] * u[2], r[0] * w[0] + r[1] * w[1] + r[2] * w[2])
    }
    const hull = hullOf(flat)
    if (hull.length < 3) continue
    let marginMm = Infinity
    for (let k = 0; k < hull.length; k++) {
      const [i, j] = [hull[k], hull[(k + 1) % hull.length]]
      const [ex, ey] = [flat[2 * j] - flat[2 * i], flat[2 * j + 1] - flat[2 * i + 1]]
      const length = Math.hypot(ex, ey)
      if (length > 1e-9) marginMm = Math.min(marginMm, (ey * flat[2 * i] - ex * flat[2 * i + 1]) / length)
    }
    if (marginMm > 0.05 && Number.isFinite(marginMm)) poses.push({ down: n, marginMm })
  }
  poses.sort((a, b) => b.marginMm - a.marginMm)
  const kept: RestingPose[] = []
  for (const p of poses) {
    const same = (o: RestingPose): boolean =>
      o.down[0] * p.down[0] + o.down[1] * p.down[1] + o.down[2] * p.down[2] > SAME_POSE_COS
    if (kept.length < most && !kept.some(same)) kept.push(p)
  }
  return kept
}

/** Parts of the rim that are rolled over at most, and how far from the pivot (share of the height) the blow lies that ends the fall. */
const MOST_ROLLS = 12
const BLOW_SHARE = 0.4

/**
 * Falls over from standing about the edge of its foot, rolls over what comes near the pivot (a base's own rim), and stops where
 * something farther out strikes the floor: attitude, speed and spin at that moment. Each new pivot takes over the turning about it.
 * @param towards level direction of the fall, unit
 * @returns null when nothing farther out can strike
 */
export const tipOver = (
  points: Float64Array,
  centre: Triple,
  massT: number,
  inertia: readonly number[],
  towards: readonly [number, number],
): FallStart | null => {
  const n = points.length / 3
  const across = Float64Array.from({ length: n }, (_, i) => points[3 * i] * towards[0] + points[3 * i + 1] * towards[1])
  const floor = points.reduce((low, v, i) => (i % 3 === 2 ? Math.min(low, v) : low), Infinity)
  const height = points.reduce((top, v, i) => (i % 3 === 2 ? Math.max(top, v) : top), -Infinity) - floor
  let [pivot, pivotZ] = [-Infinity, floor]
  for (let i = 0; i < n; i++) if (points[3 * i + 2] < floor + 0.01) pivot = Math.max(pivot, across[i])
  // Axis: up x towards; turning about it through the middle of the mass.
  const axis: Triple = [-towards[1], towards[0], 0]
  const own = inertia[0] * axis[0] ** 2 + inertia[1] * axis[1] ** 2 + 2 * inertia[3] * axis[0] * axis[1]
  const middle = centre[0] * towards[0] + centre[1] * towards[1]
  let angle = 0
  let spin = 0
  for (let roll = 0; roll < MOST_ROLLS; roll++) {
    let next = -1
    let least = Infinity
    let reach = 0
    for (let i = 0; i < n; i++) {
      const s = across[i] - pivot
      const z = points[3 * i + 2] - pivotZ
      const r = Math.hypot(s, z)
      if (r < 0.1) continue
      const a = Math.atan2(z, s)
      const turned = a < angle - 1e-6 ? a + 2 * Math.PI : a
      // Of what strikes together the farthest counts.
      if (turned < least - 1e-3 || (turned < least + 1e-3 && r > reach)) {
        least = turned
        next = i
        reach = r
      }
    }
    const s = middle - pivot
    const z = centre[2] - pivotZ
    if (next < 0 || least > angle + Math.PI) return null
    // From standing it is let go at its highest; from then on what the middle falls becomes turning.
    const highest = roll === 0 ? Math.hypot(s, z) : z * Math.cos(angle) - s * Math.sin(angle)
    const low = z * Math.cos(least) - s * Math.sin(least)
    const about = own + massT * (s * s + z * z)
    const square = spin * spin + (2 * massT * 9806.65 * (highest - low)) / about
    if (!(square > 0)) return null
    spin = Math.sqrt(square)
    angle = least
    const [ns, nz] = [across[next] - pivot, points[3 * next + 2] - pivotZ]
    if (Math.hypot(ns, nz) > BLOW_SHARE * height)
      return {
        down: [towards[0] * Math.sin(angle), towards[1] * Math.sin(angle), -Math.cos(angle)],
        speedMmPerS: spin * (z * Math.sin(angle) + s * Math.cos(angle)),
        spin: [axis[0] * spin, axis[1] * spin, 0],
      }
    const [ms, mz] = [s - ns, z - nz]
    spin *= (own + massT * (s * ms + z * mz)) / (own + massT * (ms * ms + mz * mz))
    if (!(spin > 0)) return null
    pivot += ns
    pivotZ += nz
  }
  return null
}
