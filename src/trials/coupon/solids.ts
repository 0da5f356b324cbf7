// Small closed solids put together: boxes, upright rods, leaning blocks. Parts touch and do not overlap, so their volumes add up.

import type { Mesh } from '../../engine/mesh/index.ts'

/** Corners xyz and triangles, outside counter-clockwise. */
export interface Part {
  readonly positions: readonly number[]
  readonly triangles: readonly number[]
}

/** Rings of equal length, one above the other, closed at both ends; each ring counter-clockwise seen from its end. */
const tube = (low: readonly number[], high: readonly number[]): Part => {
  const n = low.length / 3
  const triangles: number[] = []
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n
    triangles.push(i, j, n + j, i, n + j, n + i)
    if (i > 1) triangles.push(0, i, i - 1, n, n + i - 1, n + i)
  }
  return { positions: [...low, ...high], triangles }
}

/** Box from its lowest to its highest corner. */
export const boxPart = (x0: number, y0: number, z0: number, x1: number, y1: number, z1: number): Part => {
  const ring = (z: number): number[] => [x0, y0, z, x1, y0, z, x1, y1, z, x0, y1, z]
  return tube(ring(z0), ring(z1))
}

/** Upright rod about x, y; the polygon has the circle's own area. */
export const rodPart = (x: number, y: number, diameter: number, z0: number, z1: number, sides = 20): Part => {
  const r = diameter / 2 / Math.sqrt((sides / (2 * Math.PI)) * Math.sin((2 * Math.PI) / sides))
  const ring = (z: number): number[] =>
    Array.from({ length: sides }, (_, i) => (2 * Math.PI * i) / sides).flatMap((a) => [
      x + r * Math.cos(a),
      y + r * Math.sin(a),
      z,
    ])
  return tube(ring(z0), ring(z1))
}

/** A block that leans along x: its top is moved by `lean` against its foot. */
export const leaningPart = (
  x0: number,
  y0: number,
  z0: number,
  x1: number,
  y1: number,
  z1: number,
  lean: number,
): Part => {
  const ring = (z: number, dx: number): number[] => [x0 + dx, y0, z, x1 + dx, y0, z, x1 + dx, y1, z, x0 + dx, y1, z]
  return tube(ring(z0, 0), ring(z1, lean))
}

/** All parts as one mesh, moved by dx, dy; every part is a shell of its own. */
export const meshOf = (parts: readonly Part[], places: readonly (readonly [number, number])[] = [[0, 0]]): Mesh => {
  const positions: number[] = []
  const triangles: number[] = []
  const shellOf: number[] = []
  let nShells = 0
  for (const [dx, dy] of places)
    for (const part of parts) {
      const first = positions.length / 3
      for (let i = 0; i < part.positions.length; i += 3)
        positions.push(part.positions[i] + dx, part.positions[i + 1] + dy, part.positions[i + 2])
      for (const corner of part.triangles) triangles.push(first + corner)
      for (let t = 0; t < part.triangles.length / 3; t++) shellOf.push(nShells)
      nShells++
    }
  return {
    kind: 'mesh',
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from(triangles),
    shellOf: Uint32Array.from(shellOf),
    nShells,
  }
}
