// Removes triangles without area whose three corners lie in a line, without tearing the mesh.

import { pairEdges } from './edge-pairs.ts'

/** Half-edge opposite the middle corner of a triangle without area, or -1 when the triangle has area. Exact for coordinates in single precision. */
const longSideOfFlat = (p: Float64Array, triangles: Uint32Array, t: number): number => {
  const a = 3 * triangles[3 * t]
  const b = 3 * triangles[3 * t + 1]
  const c = 3 * triangles[3 * t + 2]
  const ux = p[b] - p[a]
  const uy = p[b + 1] - p[a + 1]
  const uz = p[b + 2] - p[a + 2]
  const vx = p[c] - p[a]
  const vy = p[c + 1] - p[a + 1]
  const vz = p[c + 2] - p[a + 2]
  if (uy * vz !== uz * vy || uz * vx !== ux * vz || ux * vy !== uy * vx) return -1
  const ab = ux * ux + uy * uy + uz * uz
  const ca = vx * vx + vy * vy + vz * vz
  const bc = (ux - vx) ** 2 + (uy - vy) ** 2 + (uz - vz) ** 2
  if (ab >= bc && ab >= ca) return 3 * t
  return bc >= ca ? 3 * t + 1 : 3 * t + 2
}

const PASSES = 12

/**
 * Takes the flat triangles out. Where the long side has a neighbour, that neighbour is split at the middle corner, so that both
 * pieces have area and no seam opens; flat triangles without such a neighbour are dropped.
 * @returns the triangles without flat ones and how many flat ones there were; the same array when there were none
 */
export const removeFlat = (positions: Float64Array, given: Uint32Array): { triangles: Uint32Array; nFlat: number } => {
  let flats: number[] = []
  for (let t = 0; t < given.length / 3; t++) if (longSideOfFlat(positions, given, t) >= 0) flats.push(t)
  const nFlat = flats.length
  if (nFlat === 0) return { triangles: given, nFlat }
  let triangles: Uint32Array = given.slice()
  const gone = new Set<number>()
  for (let pass = 0; pass < PASSES && flats.length > 0; pass++) {
    const { neighbours } = pairEdges(positions, triangles)
    const touched = new Set<number>()
    const waiting: number[] = []
    for (const t of flats) {
      const h = longSideOfFlat(positions, triangles, t)
      if (h < 0) continue
      const g = neighbours[h]
      const u = g < 0 ? -1 : (g / 3) | 0
      if (touched.has(t) || touched.has(u)) {
        waiting.push(t)
        continue
      }
      const from = triangles[h]
      const to = triangles[3 * t + ((h - 3 * t + 1) % 3)]
      const middle = triangles[3 * t + ((h - 3 * t + 2) % 3)]
      touched.add(t)
      if (u < 0) {
        gone.add(t)
        triangles.fill(0, 3 * t, 3 * t + 3)
        continue
      }
      touched.add(u)
      const across = triangles[3 * u + ((g - 3 * u + 2) % 3)]
      if (across === middle) {
        // The neighbour is the same sliver seen from the other side: together they enclose nothing.
        for (const s of [t, u]) {
          gone.add(s)
          triangles.fill(0, 3 * s, 3 * s + 3)
        }
        continue
      }
      triangles.set([to, middle, across], 3 * t)
      triangles.set([middle, from, across], 3 * u)
      waiting.push(t, u)
    }
    flats = waiting.filter((t) => !gone.has(t) && longSideOfFlat(positions, triangles, t) >= 0)
  }
  for (const t of flats) gone.add(t)
  triangles = withoutTriangles(triangles, (t) => gone.has(t))
  return { triangles, nFlat }
}

/** The triangles that are not dropped, in their order. */
export const withoutTriangles = (triangles: Uint32Array, isDropped: (t: number) => boolean): Uint32Array => {
  const kept = new Uint32Array(triangles.length)
  let at = 0
  for (let t = 0; t < triangles.length / 3; t++) {
    if (isDropped(t)) continue
    kept[at++] = triangles[3 * t]
    kept[at++] = triangles[3 * t + 1]
    kept[at++] = triangles[3 * t + 2]
  }
  return kept.slice(0, at)
}
