// Straight beads across a region: infill at a share, or lines side by side for caps and full infill.

import type { Polygons } from '../kernel/index.ts'

/** How the lines lie. */
export interface LineRules {
  /** Direction of the lines, radians from x. */
  readonly angle: number
  /** Distance between lines, mm. */
  readonly spacing: number
  /** Distance of one of the lines from the origin, mm; the others follow in steps of the spacing. */
  readonly phase: number
  /** How far each end is drawn out beyond the region, mm. */
  readonly reach: number
  /** Lines shorter than this are left out, mm. */
  readonly leastLength: number
}

/** Extent of a region across lines of the given direction: least and greatest distance from the origin, mm. */
export const extentAcross = ({ points }: Polygons, angle: number): [number, number] => {
  const s = Math.sin(angle)
  const c = Math.cos(angle)
  let least = Infinity
  let most = -Infinity
  for (let i = 0; i < points.length; i += 2) {
    const v = points[i + 1] * c - points[i] * s
    if (v < least) least = v
    if (v > most) most = v
  }
  return [least, most]
}

/** Lines clipped to the region: x1 y1 x2 y2 per line, row after row. The region's loops are counted by crossings (even-odd). */
export const linesAcross = (region: Polygons, rules: LineRules): Float64Array => {
  const { loopStart, points } = region
  const { angle, spacing, phase, reach, leastLength } = rules
  const s = Math.sin(angle)
  const c = Math.cos(angle)
  const [least, most] = extentAcross(region, angle)
  if (!(most > least)) return new Float64Array(0)
  const first = Math.ceil((least - phase) / spacing)
  const nRows = Math.floor((most - phase) / spacing) - first + 1
  if (nRows <= 0) return new Float64Array(0)
  const rows: number[][] = Array.from({ length: nRows }, () => [])
  for (let j = 0; j + 1 < loopStart.length; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const u1 = points[2 * i] * c + points[2 * i + 1] * s
      const v1 = (points[2 * i + 1] * c - points[2 * i] * s - phase) / spacing - first
      const u2 = points[2 * k] * c + points[2 * k + 1] * s
      const v2 = (points[2 * k + 1] * c - points[2 * k] * s - phase) / spacing - first
      if (v1 === v2) continue
      // Half-open in v: a row through a corner meets exactly one of the two edges there.
      const low = Math.min(v1, v2)
      const high = Math.max(v1, v2)
      for (let row = Math.max(0, Math.ceil(low)); row < high && row < nRows; row++)
        rows[row].push(u1 + ((row - v1) / (v2 - v1)) * (u2 - u1))
    }
  }
  const out: number[] = []
  for (let row = 0; row < nRows; row++) {
    const crossings = rows[row].sort((a, b) => a - b)
    const v = (row + first) * spacing + phase
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      if (crossings[i + 1] - crossings[i] < leastLength) continue
      const a = crossings[i] - reach
      const b = crossings[i + 1] + reach
      out.push(a * c - v * s, a * s + v * c, b * c - v * s, b * s + v * c)
    }
  }
  return Float64Array.from(out)
}
