// What is laid over the figure along the outlines of one layer: as the picture takes it, read off, and told in words.

import { type AlongOutline, type ProfileLine, printedUnit, shown } from '../../picture/index.ts'
import type { Paint } from '../elevation/paint.ts'
import type { OutlineLine } from './outline-lines.ts'

/** The lines one after the other, as the section draws them. A point without a value ends a line. */
export const alongOf = (lines: readonly OutlineLine[], { from, to }: Paint): AlongOutline => {
  const points: number[] = []
  const values: number[] = []
  for (const line of lines) {
    for (const v of line.points) points.push(v)
    for (const v of line.values) values.push(v)
    points.push(0, 0)
    values.push(Number.NaN)
  }
  return { points, values, from, to, joinMm: Number.POSITIVE_INFINITY }
}

/** The lines against the way along them, one behind the other, longest first. */
export interface OutlineProfile {
  readonly lines: readonly (ProfileLine & OutlineLine)[]
  readonly lengthMm: number
}

/** Walks along the lines. */
export const profileOf = (lines: readonly OutlineLine[]): OutlineProfile => {
  const walked = lines.map((line) => {
    const atMm = [0]
    for (let i = 1; i < line.values.length; i++)
      atMm.push(
        atMm[i - 1] +
          Math.hypot(line.points[2 * i] - line.points[2 * i - 2], line.points[2 * i + 1] - line.points[2 * i - 1]),
      )
    return { ...line, atMm }
  })
  walked.sort((a, b) => b.atMm[b.atMm.length - 1] - a.atMm[a.atMm.length - 1])
  let lengthMm = 0
  const placed = walked.map((line) => {
    const before = lengthMm
    lengthMm += line.atMm[line.atMm.length - 1]
    return { ...line, atMm: line.atMm.map((mm) => mm + before) }
  })
  return { lines: placed, lengthMm }
}

/** One place along the outlines. */
export interface ProfileSpot {
  readonly atMm: number
  readonly x: number
  readonly y: number
  /** NaN where it is not known. */
  readonly value: number
  /** Number of the outline, from 1, longest first. */
  readonly outline: number
}

/** The place so far along; null on an empty profile. */
export const spotAt = ({ lines, lengthMm }: OutlineProfile, wantedMm: number): ProfileSpot | null => {
  const mm = Math.min(lengthMm, Math.max(0, wantedMm))
  const k = lines.findIndex(({ atMm }) => mm <= atMm[atMm.length - 1])
  if (k < 0) return null
  const { atMm, points, values } = lines[k]
  let i = atMm.findIndex((at) => at >= mm)
  if (i < 1) i = Math.min(1, atMm.length - 1)
  const j = Math.max(0, i - 1)
  const s = atMm[i] > atMm[j] ? (mm - atMm[j]) / (atMm[i] - atMm[j]) : 0
  const between = (list: readonly number[], a: number, b: number) => list[a] + s * (list[b] - list[a])
  return {
    atMm: mm,
    x: between(points, 2 * j, 2 * i),
    y: between(points, 2 * j + 1, 2 * i + 1),
    value: between(values, j, i),
    outline: k + 1,
  }
}

/** How far along the point of the lines stands that is nearest to a place, mm; null when none is within reach. */
export const nearestAlong = ({ lines }: OutlineProfile, x: number, y: number, reachMm: number): number | null => {
  let least = reachMm
  let found: number | null = null
  for (const { points, atMm } of lines)
    for (let i = 0; i + 1 < atMm.length; i++) {
      const [x0, y0] = [points[2 * i], points[2 * i + 1]]
      const [dx, dy] = [points[2 * i + 2] - x0, points[2 * i + 3] - y0]
      const square = dx * dx + dy * dy
      const s = square > 0 ? Math.min(1, Math.max(0, ((x - x0) * dx + (y - y0) * dy) / square)) : 0
      const away = Math.hypot(x - x0 - s * dx, y - y0 - s * dy)
      if (away >= least) continue
      least = away
      found = atMm[i] + s * (atMm[i + 1] - atMm[i])
    }
  return found
}

/** How far a quantity reaches along the outlines, weighed by length. */
export interface AlongReading {
  readonly least: number
  readonly most: number
  readonly mean: number
  /** Length that has a value, and length that has none, mm. */
  readonly lengthMm: number
  readonly unknownMm: number
  /** Length on the bad side of the limit, mm; 0 without a limit. */
  readonly beyondMm: number
}

/** Share of a step, values straight between its ends, that lies on the bad side. */
const beyondShare = (a: number, b: number, { value, bad }: NonNullable<Paint['limit']>): number => {
  const [p, q] = bad === 'above' ? [a - value, b - value] : [value - a, value - b]
  if (p <= 0 && q <= 0) return 0
  return p > 0 && q > 0 ? 1 : Math.max(p, q) / Math.abs(p - q)
}

/** Reads it off; null where nothing has a value. */
export const readAlong = ({ lines }: OutlineProfile, limit?: Paint['limit']): AlongReading | null => {
  let [least, most, sum] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0]
  let [lengthMm, unknownMm, beyondMm] = [0, 0, 0]
  for (const { atMm, values } of lines)
    for (let i = 0; i + 1 < values.length; i++) {
      const [a, b] = [values[i], values[i + 1]]
      const step = atMm[i + 1] - atMm[i]
      if (!Number.isFinite(a) || !Number.isFinite(b)) {
        unknownMm += step
        continue
      }
      least = Math.min(least, a, b)
      most = Math.max(most, a, b)
      sum += (step * (a + b)) / 2
      lengthMm += step
      if (limit) beyondMm += step * beyondShare(a, b, limit)
    }
  return lengthMm > 0 ? { least, most, mean: sum / lengthMm, lengthMm, unknownMm, beyondMm } : null
}

/** A value with its unit, or that it is not known. */
export const valueWords = (value: number, { unit, decimals }: Paint): string =>
  Number.isFinite(value) ? `${shown(value, decimals)} ${printedUnit(unit)}`.trim() : 'not known'

/** Lengths below this are not worth a word, mm. */
const SAID_MM = 0.05

/** The quantity along the outlines in one or two sentences. */
export const alongWords = (profile: OutlineProfile | null, paint: Paint): string => {
  const { name, limit } = paint
  const reading = profile ? readAlong(profile, limit) : null
  if (!reading) return `Along the outline: ${name} is not known at this height.`
  const say = (value: number): string => valueWords(value, paint)
  const { least, most, mean, lengthMm, unknownMm, beyondMm } = reading
  const range =
    say(least) === say(most)
      ? `Coloured along the outline: ${name}, ${say(most)} ${unknownMm > SAID_MM ? 'where it is known' : 'all round'}`
      : `Coloured along the outline: ${name}, ${say(least)} to ${say(most)}, ${say(mean)} in the mean of ${shown(lengthMm, 0)} mm`
  const unknown = unknownMm > SAID_MM ? `; not known along ${shown(unknownMm, 1)} mm` : ''
  const past =
    limit && beyondMm > SAID_MM
      ? ` ${limit.bad === 'above' ? 'Above' : 'Below'} "${limit.label}", ${say(limit.value)}, along ${shown(beyondMm, 1)} mm.`
      : ''
  return `${range}${unknown}.${past}`
}
