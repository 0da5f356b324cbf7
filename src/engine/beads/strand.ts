// A bead before it has a place in the order: its path in the plane, its width, what it is for.

import { beadArea } from './bead-section.ts'
import type { BeadRole } from './types.ts'

export interface Strand {
  readonly role: BeadRole
  readonly closed: boolean
  /** xy per point; a closed strand does not repeat its first point; a point deposit has one point. */
  readonly points: Float64Array
  /** Width at every point, mm, or one width for all. */
  readonly widths: Float64Array | number
  /** Volume at full flow, mm3. */
  readonly volume: number
}

/** Volume at full flow of a path of varying width, mm3: stadium area times length, piece by piece (ends and corners belong to the path). */
export const volumeOfPath = (
  points: Float64Array,
  widths: Float64Array | number,
  closed: boolean,
  heightMm: number,
): number => {
  const n = points.length / 2
  const same = typeof widths === 'number' ? beadArea(widths, heightMm) : 0
  let volume = 0
  for (let i = closed ? 0 : 1; i < n; i++) {
    const h = i === 0 ? n - 1 : i - 1
    const length = Math.hypot(points[2 * i] - points[2 * h], points[2 * i + 1] - points[2 * h + 1])
    const area = typeof widths === 'number' ? same : (beadArea(widths[h], heightMm) + beadArea(widths[i], heightMm)) / 2
    volume += area * length
  }
  return volume
}

/** A strand along a path, with its volume. */
export const strandAlong = (
  role: BeadRole,
  closed: boolean,
  points: Float64Array,
  widths: Float64Array | number,
  heightMm: number,
): Strand => ({ role, closed, points, widths, volume: volumeOfPath(points, widths, closed, heightMm) })
