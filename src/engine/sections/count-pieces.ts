// How many pieces of outline a cut would give, before any memory is taken for them.

import type { Mesh } from '../mesh/index.ts'

/** Most layers and most pieces of outline that a cut may have: beyond them a browser tab runs out of memory. */
export const CUT_LIMITS = Object.freeze({ layers: 20_000, pieces: 120_000_000 })

/** Number of layers, and about as many pieces of outline as triangles cross cuts. */
export const countPieces = (
  mesh: Mesh,
  totalHeightMm: number,
  layerHeightMm: number,
): { layers: number; pieces: number } => {
  const { positions, triangles } = mesh
  let span = 0
  for (let c = 0; c < triangles.length; c += 3) {
    const a = positions[3 * triangles[c] + 2]
    const b = positions[3 * triangles[c + 1] + 2]
    const d = positions[3 * triangles[c + 2] + 2]
    span += Math.max(a, b, d) - Math.min(a, b, d)
  }
  return { layers: Math.ceil(totalHeightMm / layerHeightMm), pieces: Math.round(span / layerHeightMm) }
}
