// A plan outline turned, grown by half the gap, and told by its envelopes: how far it reaches in narrow strips across x and across y.
//
// Strips make sliding one shape against another a matter of subtraction. They take the most that the outline reaches within each strip, so
// shapes never come nearer than they may; what is lost is the slope times the strip's width.

import type { PolygonKit, Polygons } from '../engine/kernel/index.ts'

/** Width of a strip, mm. */
const STRIP_MM = 0.05

/** Least and most reach of a shape within strips of one axis; strip k covers first + k .. first + k + 1 widths. */
export interface Envelope {
  readonly first: number
  readonly least: Float64Array
  readonly most: Float64Array
}

/** A turned outline with half the gap round it. */
export interface TrayShape {
  readonly turn: number
  /** Outer loops, about the figure's middle, mm. */
  readonly loops: Polygons
  readonly minX: number
  readonly minY: number
  readonly maxX: number
  readonly maxY: number
  readonly areaMm2: number
  /** Reach in y over strips of x, and reach in x over strips of y. */
  readonly overX: Envelope
  readonly overY: Envelope
}

/** Turned about the origin. */
export const turnedLoops = ({ loopStart, points }: Polygons, turn: number): Polygons => {
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  const out = new Float64Array(points.length)
  for (let i = 0; i < points.length; i += 2) {
    out[i] = c * points[i] - s * points[i + 1]
    out[i + 1] = s * points[i] + c * points[i + 1]
  }
  return { loopStart, points: out }
}

const envelopeOf = ({ loopStart, points }: Polygons, axis: 0 | 1, from: number, to: number): Envelope => {
  const first = Math.floor(from / STRIP_MM)
  const n = Math.max(1, Math.floor(to / STRIP_MM) - first + 1)
  const least = new Float64Array(n).fill(Number.POSITIVE_INFINITY)
  const most = new Float64Array(n).fill(Number.NEGATIVE_INFINITY)
  const put = (k: number, v: number): void => {
    if (k < 0 || k >= n) return
    if (v < least[k]) least[k] = v
    if (v > most[k]) most[k] = v
  }
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const [a, b] = [loopStart[j], loopStart[j + 1]]
    for (let i = a; i < b; i++) {
      const next = i + 1 < b ? i + 1 : a
      let [u, v, p, q] = [
        points[2 * i + axis],
        points[2 * i + 1 - axis],
        points[2 * next + axis],
        points[2 * next + 1 - axis],
      ]
      if (u > p) [u, v, p, q] = [p, q, u, v]
      const low = Math.floor(u / STRIP_MM)
      const high = Math.floor(p / STRIP_MM)
      for (let k = low; k <= high; k++) {
        // The part of the edge within the strip: its two ends reach farthest.
        for (const at of [Math.max(u, k * STRIP_MM), Math.min(p, (k + 1) * STRIP_MM)])
          put(k - first, p > u ? v + ((q - v) * (at - u)) / (p - u) : Math.max(v, q))
        if (p <= u) put(k - first, Math.min(v, q))
      }
    }
  }
  return { first, least, most }
}

/** A shape from an outline. @param gapMm least distance between outlines: half of it is grown round each */
export const trayShape = (outline: Polygons, turn: number, gapMm: number, kit: PolygonKit): TrayShape => {
  const turned = turnedLoops(outline, turn)
  // Chords of the round corners lie inside the true offset: grown by their error more, so that the gap is kept.
  const error = 0.01
  const loops = gapMm > 0 ? kit.offset(turned, gapMm / 2 + error, 'round', error) : turned
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < loops.points.length; i += 2) {
    minX = Math.min(minX, loops.points[i])
    maxX = Math.max(maxX, loops.points[i])
    minY = Math.min(minY, loops.points[i + 1])
    maxY = Math.max(maxY, loops.points[i + 1])
  }
  let areaMm2 = 0
  for (let j = 0; j + 1 < loops.loopStart.length; j++)
    for (let i = loops.loopStart[j]; i < loops.loopStart[j + 1]; i++) {
      const k = i + 1 < loops.loopStart[j + 1] ? i + 1 : loops.loopStart[j]
      areaMm2 += (loops.points[2 * i] * loops.points[2 * k + 1] - loops.points[2 * k] * loops.points[2 * i + 1]) / 2
    }
  return {
    turn,
    loops,
    minX,
    minY,
    maxX,
    maxY,
    areaMm2,
    overX: envelopeOf(loops, 0, minX, maxX),
    overY: envelopeOf(loops, 1, minY, maxY),
  }
}

/**
 * How far the second shape must stand beyond the first along an axis so that they just do not meet, when it is shifted across by `shift`.
 * Minus infinity when they pass each other.
 */
export const clearance = (a: Envelope, b: Envelope, shift: number): number => {
  const offset = shift / STRIP_MM + b.first - a.first
  const whole = Math.floor(offset)
  // A shift that is no whole number of strips spreads each strip of b over two of a.
  const isWhole = offset - whole < 1e-9
  let need = Number.NEGATIVE_INFINITY
  const from = Math.max(0, whole)
  const to = Math.min(a.most.length - 1, whole + b.least.length - (isWhole ? 1 : 0))
  for (let k = from; k <= to; k++) {
    const at = k - whole
    const low = isWhole
      ? b.least[at]
      : Math.min(at < b.least.length ? b.least[at] : Infinity, at > 0 ? b.least[at - 1] : Infinity)
    const d = a.most[k] - low
    if (d > need) need = d
  }
  return need
}
