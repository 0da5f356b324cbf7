// Binary PLY of a mesh: shared vertices, so a third of the size of STL.

import type { Mesh } from './types.ts'

/** The mesh as little-endian PLY; coordinates are rounded to single precision. */
export const writePly = ({ positions, triangles }: Pick<Mesh, 'positions' | 'triangles'>): Uint8Array => {
  const nVertices = positions.length / 3
  const n = triangles.length / 3
  const header = new TextEncoder().encode(
    `ply\nformat binary_little_endian 1.0\nelement vertex ${nVertices}\nproperty float x\nproperty float y\nproperty float z\n` +
      `element face ${n}\nproperty list uchar uint vertex_indices\nend_header\n`,
  )
  const bytes = new Uint8Array(header.length + 12 * nVertices + 13 * n)
  bytes.set(header)
  const view = new DataView(bytes.buffer)
  let at = header.length
  for (let i = 0; i < positions.length; i++, at += 4) view.setFloat32(at, positions[i], true)
  for (let t = 0; t < triangles.length; t += 3) {
    bytes[at++] = 3
    for (let k = 0; k < 3; k++, at += 4) view.setUint32(at, triangles[t + k], true)
  }
  return bytes
}
