// Unit normals and areas of a mesh's triangles.

import type { Mesh } from '../mesh/index.ts'

/** Normals xyz per triangle (zero where it has no area) and areas, mm2. */
export interface Facets {
  readonly normals: Float32Array
  readonly areas: Float32Array
}

export const facetsOf = ({ positions, triangles }: Pick<Mesh, 'positions' | 'triangles'>): Facets => {
  const n = triangles.length / 3
  const normals = new Float32Array(3 * n)
  const areas = new Float32Array(n)
  for (let t = 0; t < n; t++) {
    const a = 3 * triangles[3 * t]
    const b = 3 * triangles[3 * t + 1]
    const c = 3 * triangles[3 * t + 2]
    const ux = positions[b] - positions[a]
    const uy = positions[b + 1] - positions[a + 1]
    const uz = positions[b + 2] - positions[a + 2]
    const vx = positions[c] - positions[a]
    const vy = positions[c + 1] - positions[a + 1]
    const vz = positions[c + 2] - positions[a + 2]
    const x = uy * vz - uz * vy
    const y = uz * vx - ux * vz
    const z = ux * vy - uy * vx
    const size = Math.sqrt(x * x + y * y + z * z)
    areas[t] = size / 2
    if (size > 0) {
      normals[3 * t] = x / size
      normals[3 * t + 1] = y / size
      normals[3 * t + 2] = z / size
    }
  }
  return { normals, areas }
}
