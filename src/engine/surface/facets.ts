// Unit normals and areas of a mesh's triangles.

import { facetNormal, type Mesh } from '../mesh/index.ts'

/** Normals xyz per triangle (zero where it has no area) and areas, mm2. */
export interface Facets {
  readonly normals: Float32Array
  readonly areas: Float32Array
}

export const facetsOf = ({ positions, triangles }: Pick<Mesh, 'positions' | 'triangles'>): Facets => {
  const n = triangles.length / 3
  const normals = new Float32Array(3 * n)
  const areas = new Float32Array(n)
  const normal = new Float64Array(3)
  for (let t = 0; t < n; t++) {
    areas[t] = facetNormal(positions, triangles, t, normal) / 2
    normals.set(normal, 3 * t)
  }
  return { normals, areas }
}
