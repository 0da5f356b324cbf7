// The point of a triangle tree that lies nearest to a given point.

import type { TriangleTree } from './triangle-tree.ts'

/** A nearest point; reused by the caller from query to query. */
export interface NearestPoint {
  triangle: number
  x: number
  y: number
  z: number
  distance: number
}
export const newNearestPoint = (): NearestPoint => ({ triangle: -1, x: 0, y: 0, z: 0, distance: Infinity })

/** Square of the distance between a point and a node's box, 0 inside it. */
export const boxDistance2 = (boxes: Float32Array, node: number, x: number, y: number, z: number): number => {
  const at = 6 * node
  const dx = x < boxes[at] ? boxes[at] - x : x > boxes[at + 3] ? x - boxes[at + 3] : 0
  const dy = y < boxes[at + 1] ? boxes[at + 1] - y : y > boxes[at + 4] ? y - boxes[at + 4] : 0
  const dz = z < boxes[at + 2] ? boxes[at + 2] - z : z > boxes[at + 5] ? z - boxes[at + 5] : 0
  return dx * dx + dy * dy + dz * dz
}

// Point found by the last `nearestOfSlot`.
let foundX = 0
let foundY = 0
let foundZ = 0

/** Square of the distance to a triangle, by the region of the plane that the point falls in (Ericson, Real-Time Collision Detection, 5.1.5). */
const nearestOfSlot = (corners: Float64Array, slot: number, x: number, y: number, z: number): number => {
  const at = 9 * slot
  const ax = corners[at]
  const ay = corners[at + 1]
  const az = corners[at + 2]
  const ux = corners[at + 3] - ax
  const uy = corners[at + 4] - ay
  const uz = corners[at + 5] - az
  const vx = corners[at + 6] - ax
  const vy = corners[at + 7] - ay
  const vz = corners[at + 8] - az
  const px = x - ax
  const py = y - ay
  const pz = z - az
  const d1 = ux * px + uy * py + uz * pz
  const d2 = vx * px + vy * py + vz * pz
  const uu = ux * ux + uy * uy + uz * uz
  const uv = ux * vx + uy * vy + uz * vz
  const vv = vx * vx + vy * vy + vz * vz
  const d3 = d1 - uu
  const d4 = d2 - uv
  const d5 = d1 - uv
  const d6 = d2 - vv
  let s = 0
  let t = 0
  const vc = d1 * d4 - d3 * d2
  const vb = d5 * d2 - d1 * d6
  const va = d3 * d6 - d5 * d4
  if (d1 <= 0 && d2 <= 0) {
    s = 0
  } else if (d3 >= 0 && d4 <= d3) {
    s = 1
  } else if (vc <= 0 && d1 >= 0 && d3 <= 0) {
    s = d1 / (d1 - d3)
  } else if (d6 >= 0 && d5 <= d6) {
    t = 1
  } else if (vb <= 0 && d2 >= 0 && d6 <= 0) {
    t = d2 / (d2 - d6)
  } else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    t = (d4 - d3) / (d4 - d3 + d5 - d6)
    s = 1 - t
  } else {
    const whole = va + vb + vc
    s = vb / whole
    t = vc / whole
  }
  // A triangle without area has no inside: its corner stands for it.
  if (Number.isNaN(s) || Number.isNaN(t)) {
    s = 0
    t = 0
  }
  foundX = ax + s * ux + t * vx
  foundY = ay + s * uy + t * vy
  foundZ = az + s * uz + t * vz
  const dx = x - foundX
  const dy = y - foundY
  const dz = z - foundZ
  return dx * dx + dy * dy + dz * dz
}

/**
 * Nearest point of all triangles within a radius.
 * @returns whether there is one; then `nearest` holds it
 */
export const nearestPoint = (
  tree: TriangleTree,
  x: number,
  y: number,
  z: number,
  radius: number,
  nearest: NearestPoint,
): boolean => {
  nearest.triangle = -1
  if (tree.nNodes === 0) return false
  const { boxes, second, nSlots, triangleOf, corners, pending } = tree
  let best = radius * radius
  let n = 0
  pending[n++] = 0
  while (n > 0) {
    const node = pending[--n]
    if (boxDistance2(boxes, node, x, y, z) > best) continue
    if (nSlots[node] === 0) {
      const a = node + 1
      const b = second[node]
      const da = boxDistance2(boxes, a, x, y, z)
      const db = boxDistance2(boxes, b, x, y, z)
      if (da <= db) {
        if (db <= best) pending[n++] = b
        if (da <= best) pending[n++] = a
      } else {
        if (da <= best) pending[n++] = a
        if (db <= best) pending[n++] = b
      }
      continue
    }
    const from = -1 - second[node]
    for (let slot = from; slot < from + nSlots[node]; slot++) {
      const d2 = nearestOfSlot(corners, slot, x, y, z)
      if (d2 > best || (d2 === best && nearest.triangle >= 0)) continue
      best = d2
      nearest.triangle = triangleOf[slot]
      nearest.x = foundX
      nearest.y = foundY
      nearest.z = foundZ
    }
  }
  nearest.distance = Math.sqrt(best)
  return nearest.triangle >= 0
}
