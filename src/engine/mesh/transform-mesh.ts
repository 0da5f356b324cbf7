// Moves, turns and scales a mesh.

import type { Mesh } from './types.ts'

/** Three rows of four numbers: x' = m0 x + m1 y + m2 z + m3, and so on. */
export type Affine = readonly number[]

/** The mesh under an affine map. A map that mirrors turns the triangles too, so that outside stays outside. */
export const transformMesh = (mesh: Mesh, map: Affine): Mesh => {
  const [a, b, c, d, e, f, g, h, i, j, k, l] = map
  const given = mesh.positions
  const positions = new Float64Array(given.length)
  for (let v = 0; v < given.length; v += 3) {
    const x = given[v]
    const y = given[v + 1]
    const z = given[v + 2]
    positions[v] = a * x + b * y + c * z + d
    positions[v + 1] = e * x + f * y + g * z + h
    positions[v + 2] = i * x + j * y + k * z + l
  }
  const determinant = a * (f * k - g * j) - b * (e * k - g * i) + c * (e * j - f * i)
  if (determinant >= 0) return { ...mesh, positions }
  const triangles = mesh.triangles.slice()
  for (let t = 0; t < triangles.length; t += 3) {
    triangles[t + 1] = mesh.triangles[t + 2]
    triangles[t + 2] = mesh.triangles[t + 1]
  }
  return { ...mesh, positions, triangles }
}
