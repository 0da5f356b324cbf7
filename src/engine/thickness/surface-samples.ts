// Points spread over a mesh's surface, and their values carried to the vertices.

import type { TriangleTree } from '../kernel/index.ts'

/** Points on triangles, in the tree's order (neighbours in space stand near each other). */
export interface SurfacePoints {
  readonly triangle: Uint32Array
  /** xyz per point. */
  readonly points: Float64Array
}

/** Steps of the R2 sequence (Roberts 2018), which fills the unit square evenly. */
const R2_U = 0.7548776662466927
const R2_V = 0.5698402909980532

const areaOfSlot = (corners: Float64Array, slot: number): number => {
  const at = 9 * slot
  const ux = corners[at + 3] - corners[at]
  const uy = corners[at + 4] - corners[at + 1]
  const uz = corners[at + 5] - corners[at + 2]
  const vx = corners[at + 6] - corners[at]
  const vy = corners[at + 7] - corners[at + 1]
  const vz = corners[at + 8] - corners[at + 2]
  const x = uy * vz - uz * vy
  const y = uz * vx - ux * vz
  const z = ux * vy - uy * vx
  return Math.sqrt(x * x + y * y + z * z) / 2
}

/**
 * Spreads points evenly by area, about `spacing` apart but about `most` in all: one at every equal step of area along the
 * triangles in the tree's order. A triangle with one point has it at its middle. When there are no more than half as many
 * triangles as points allowed, each has at least one.
 * @param seed shifts the points; the same seed gives the same points
 */
export const spreadPoints = (tree: TriangleTree, most: number, spacing: number, seed: number): SurfacePoints => {
  const { nTriangles, corners, triangleOf } = tree
  let area = 0
  for (let slot = 0; slot < nTriangles; slot++) area += areaOfSlot(corners, slot)
  const each = 2 * nTriangles <= most
  const nSpread = Math.max(1, Math.min(each ? most - nTriangles : most, area / (spacing * spacing)))
  const step = area / nSpread
  const shift = (seed * R2_U) % 1
  const counts = new Uint32Array(nTriangles)
  let total = 0
  let passed = shift * step
  let taken = 0
  for (let slot = 0; slot < nTriangles; slot++) {
    passed += areaOfSlot(corners, slot)
    const due = Math.floor(passed / step)
    counts[slot] = each ? Math.max(1, due - taken) : due - taken
    taken = due
    total += counts[slot]
  }
  const triangle = new Uint32Array(total)
  const points = new Float64Array(3 * total)
  let at = 0
  for (let slot = 0; slot < nTriangles; slot++) {
    const n = counts[slot]
    const c = 9 * slot
    for (let k = 0; k < n; k++) {
      let u = 1 / 3
      let v = 1 / 3
      if (n > 1) {
        u = (0.5 + (k + 1) * R2_U + shift) % 1
        v = (0.5 + (k + 1) * R2_V + shift) % 1
        if (u + v > 1) {
          u = 1 - u
          v = 1 - v
        }
      }
      for (let axis = 0; axis < 3; axis++) {
        const a = corners[c + axis]
        points[3 * at + axis] = a + u * (corners[c + 3 + axis] - a) + v * (corners[c + 6 + axis] - a)
      }
      triangle[at++] = triangleOf[slot]
    }
  }
  return { triangle, points }
}

/** Passes over the triangles at most; each pass carries values across many triangles, so few are needed. */
const MOST_PASSES = 40

/**
 * Carries each sample's value to the vertices nearest to it, walking along the surface (so not through a thin wall).
 * Vertices that no sample can reach stay NaN.
 */
export const carryToVertices = (
  positions: Float64Array,
  triangles: Uint32Array,
  sampled: SurfacePoints,
  value: Float32Array,
  isSurface: (triangle: number) => boolean,
): Float32Array => {
  const nVertices = positions.length / 3
  const nearest = new Int32Array(nVertices).fill(-1)
  const distance = new Float64Array(nVertices).fill(Infinity)
  const { points } = sampled
  const offer = (vertex: number, sample: number): boolean => {
    if (nearest[vertex] === sample) return false
    const x = positions[3 * vertex] - points[3 * sample]
    const y = positions[3 * vertex + 1] - points[3 * sample + 1]
    const z = positions[3 * vertex + 2] - points[3 * sample + 2]
    const d2 = x * x + y * y + z * z
    if (d2 >= distance[vertex]) return false
    distance[vertex] = d2
    nearest[vertex] = sample
    return true
  }
  for (let k = 0; k < value.length; k++) {
    if (Number.isNaN(value[k])) continue
    const t = 3 * sampled.triangle[k]
    offer(triangles[t], k)
    offer(triangles[t + 1], k)
    offer(triangles[t + 2], k)
  }
  const nTriangles = triangles.length / 3
  const pass = (triangle: number): boolean => {
    const a = triangles[3 * triangle]
    const b = triangles[3 * triangle + 1]
    const c = triangles[3 * triangle + 2]
    const sa = nearest[a]
    const sb = nearest[b]
    const sc = nearest[c]
    if ((sa === sb && sb === sc) || !isSurface(triangle)) return false
    let changed = false
    if (sa >= 0) changed = offer(b, sa) || offer(c, sa) || changed
    if (sb >= 0) changed = offer(a, sb) || offer(c, sb) || changed
    if (sc >= 0) changed = offer(a, sc) || offer(b, sc) || changed
    return changed
  }
  for (let n = 0; n < MOST_PASSES; n++) {
    let changed = false
    if (n % 2 === 0) for (let t = 0; t < nTriangles; t++) changed = pass(t) || changed
    else for (let t = nTriangles - 1; t >= 0; t--) changed = pass(t) || changed
    if (!changed) break
  }
  const carried = new Float32Array(nVertices)
  for (let v = 0; v < nVertices; v++) carried[v] = nearest[v] >= 0 ? value[nearest[v]] : Number.NaN
  return carried
}
