// Inward normals of the smooth surface that a mesh stands for, at points of its triangles.
//
// A ball that touches a facet beside its middle, square to it, is soon stopped by the neighbouring facet. The surface that was
// meant turns steadily from corner to corner: the normal at a corner is the mean of its triangles' normals, weighted by their
// angles there (Thuermer and Wuethrich 1998), of those that lie within 40 degrees of the facet (beyond lies a true edge);
// between the corners it is interpolated.

import { facetNormal } from '../mesh/index.ts'

/** cos of 40 degrees. */
const CREASE_COS = 0.766

/** Triangles round every vertex, in the compressed-row manner. */
export interface TrianglesAround {
  readonly start: Uint32Array
  readonly around: Uint32Array
}

export const trianglesAround = (triangles: Uint32Array, nVertices: number): TrianglesAround => {
  const start = new Uint32Array(nVertices + 2)
  for (let i = 0; i < triangles.length; i++) start[triangles[i] + 2]++
  for (let v = 0; v < nVertices; v++) start[v + 2] += start[v + 1]
  const around = new Uint32Array(triangles.length)
  for (let i = 0; i < triangles.length; i++) around[start[triangles[i] + 1]++] = (i / 3) | 0
  return { start, around }
}

/** Angle of a triangle at one of its vertices, radians. */
const angleAt = (positions: Float64Array, triangles: Uint32Array, triangle: number, vertex: number): number => {
  const t = 3 * triangle
  const k = triangles[t] === vertex ? 0 : triangles[t + 1] === vertex ? 1 : 2
  const a = 3 * vertex
  const b = 3 * triangles[t + ((k + 1) % 3)]
  const c = 3 * triangles[t + ((k + 2) % 3)]
  const ux = positions[b] - positions[a]
  const uy = positions[b + 1] - positions[a + 1]
  const uz = positions[b + 2] - positions[a + 2]
  const vx = positions[c] - positions[a]
  const vy = positions[c + 1] - positions[a + 1]
  const vz = positions[c + 2] - positions[a + 2]
  const dot = ux * vx + uy * vy + uz * vz
  const squares = (ux * ux + uy * uy + uz * uz) * (vx * vx + vy * vy + vz * vz)
  return squares > 0 ? Math.acos(Math.max(-1, Math.min(1, dot / Math.sqrt(squares)))) : 0
}

const facet = new Float64Array(3)
const other = new Float64Array(3)

/**
 * Inward unit normal at a point of a triangle, written to `normal`.
 * @returns false where the triangle has no area
 */
export const smoothInwardNormal = (
  positions: Float64Array,
  triangles: Uint32Array,
  { start, around }: TrianglesAround,
  triangle: number,
  x: number,
  y: number,
  z: number,
  normal: Float64Array,
): boolean => {
  if (facetNormal(positions, triangles, triangle, facet) === 0) return false
  const fx = facet[0]
  const fy = facet[1]
  const fz = facet[2]
  normal.fill(0)
  for (let k = 0; k < 3; k++) {
    const vertex = triangles[3 * triangle + k]
    // Weight of this corner: area of the triangle between the point and the opposite side (the common factor does not matter).
    const b = 3 * triangles[3 * triangle + ((k + 1) % 3)]
    const c = 3 * triangles[3 * triangle + ((k + 2) % 3)]
    const ux = positions[b] - x
    const uy = positions[b + 1] - y
    const uz = positions[b + 2] - z
    const vx = positions[c] - x
    const vy = positions[c + 1] - y
    const vz = positions[c + 2] - z
    const weight = fx * (uy * vz - uz * vy) + fy * (uz * vx - ux * vz) + fz * (ux * vy - uy * vx)
    let mx = 0
    let my = 0
    let mz = 0
    for (let i = start[vertex]; i < start[vertex + 1]; i++) {
      const neighbour = around[i]
      if (facetNormal(positions, triangles, neighbour, other) === 0) continue
      if (fx * other[0] + fy * other[1] + fz * other[2] < CREASE_COS) continue
      const angle = angleAt(positions, triangles, neighbour, vertex)
      mx += angle * other[0]
      my += angle * other[1]
      mz += angle * other[2]
    }
    const size = Math.sqrt(mx * mx + my * my + mz * mz)
    if (size === 0) continue
    normal[0] -= (weight * mx) / size
    normal[1] -= (weight * my) / size
    normal[2] -= (weight * mz) / size
  }
  const size = Math.sqrt(normal[0] * normal[0] + normal[1] * normal[1] + normal[2] * normal[2])
  if (!(size > 0)) return false
  normal[0] /= size
  normal[1] /= size
  normal[2] /= size
  return true
}
