// The predicted surface as a file: binary STL, or binary PLY with the deviation as a number and as a colour of every vertex.
//
// Colours run from blue (plastic is missing) over pale grey to amber (plastic stands proud), told apart by all common kinds of colour
// blindness; 0.1 mm either way is full colour. Vertices inside the print are dark grey, their deviation is not a number.

import { writeStl } from '../mesh/index.ts'
import type { PredictedSurface } from './predict-surface.ts'

/** Deviation that is drawn in full colour, mm. */
export const FULL_COLOUR_MM = 0.1
const MISSING = [24, 78, 140]
const PALE = [226, 226, 220]
const PROUD = [206, 122, 8]
const INSIDE = [70, 70, 74]

/** Red, green, blue, 0-255, of a deviation in mm. */
export const deviationColour = (mm: number): readonly number[] => {
  if (Number.isNaN(mm)) return INSIDE
  const end = mm < 0 ? MISSING : PROUD
  const s = Math.min(1, Math.abs(mm) / FULL_COLOUR_MM)
  return PALE.map((c, k) => Math.round(c + (end[k] - c) * s))
}

const ply = ({ mesh, deviationMm }: PredictedSurface): Uint8Array => {
  const { positions, triangles } = mesh
  const nVertices = positions.length / 3
  const n = triangles.length / 3
  const header = new TextEncoder().encode(
    `ply\nformat binary_little_endian 1.0\ncomment deviation from the sculpt in mm, positive where plastic stands proud\n` +
      `element vertex ${nVertices}\nproperty float x\nproperty float y\nproperty float z\n` +
      `property uchar red\nproperty uchar green\nproperty uchar blue\nproperty float deviation\n` +
      `element face ${n}\nproperty list uchar uint vertex_indices\nend_header\n`,
  )
  const bytes = new Uint8Array(header.length + 19 * nVertices + 13 * n)
  bytes.set(header)
  const view = new DataView(bytes.buffer)
  let at = header.length
  for (let v = 0; v < nVertices; v++, at += 19) {
    for (let k = 0; k < 3; k++) view.setFloat32(at + 4 * k, positions[3 * v + k], true)
    bytes.set(deviationColour(deviationMm[v]), at + 12)
    view.setFloat32(at + 15, deviationMm[v], true)
  }
  for (let t = 0; t < triangles.length; t += 3) {
    bytes[at++] = 3
    for (let k = 0; k < 3; k++, at += 4) view.setUint32(at, triangles[t + k], true)
  }
  return bytes
}

/** Bytes of the file. */
export const writePredicted = (surface: PredictedSurface, format: 'stl' | 'ply'): Uint8Array =>
  format === 'stl' ? writeStl(surface.mesh) : ply(surface)
