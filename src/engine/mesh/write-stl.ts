// Binary STL of a mesh.

import type { Mesh } from './types.ts'

const HEADER_TEXT = 'binary triangles, mm'

/** The mesh as binary STL; coordinates are rounded to single precision. */
export const writeStl = ({ positions, triangles }: Pick<Mesh, 'positions' | 'triangles'>): Uint8Array => {
  const n = triangles.length / 3
  const bytes = new Uint8Array(84 + 50 * n)
  bytes.set(new TextEncoder().encode(HEADER_TEXT))
  const view = new DataView(bytes.buffer)
  view.setUint32(80, n, true)
  for (let t = 0, at = 84; t < n; t++, at += 50) {
    const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]]
    const [ux, uy, uz] = [0, 1, 2].map((k) => positions[b + k] - positions[a + k])
    const [vx, vy, vz] = [0, 1, 2].map((k) => positions[c + k] - positions[a + k])
    const normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    const length = Math.hypot(...normal) || 1
    for (let k = 0; k < 3; k++) {
      view.setFloat32(at + 4 * k, normal[k] / length, true)
      view.setFloat32(at + 12 + 4 * k, positions[a + k], true)
      view.setFloat32(at + 24 + 4 * k, positions[b + k], true)
      view.setFloat32(at + 36 + 4 * k, positions[c + k], true)
    }
  }
  return bytes
}
