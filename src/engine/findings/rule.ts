// What a rule is: a pair of eyes for one kind of fault, and the number by which a remedy is judged.

import { layerAtHeight } from '../kernel/index.ts'
import type { RoomResults } from './results.ts'
import type { Finding, Remedy } from './types.ts'

/** A place in a figure that may have been scaled or turned since the finding was made. */
export interface Spot {
  readonly x: number
  readonly y: number
  readonly fromMm: number
  readonly toMm: number
  /** How far around to look, mm. */
  readonly radiusMm: number
}

/** The number that tells whether things are better at a spot. */
export interface Measure {
  readonly label: string
  readonly value: number
  readonly unit: string
}

/** One kind of fault. */
export interface Rule {
  readonly id: string
  /** What it looks for, one sentence; goes into the documentation. */
  readonly about: string
  /** True when it can judge from outlines and relations alone, without thickness: such rules judge other stances. */
  readonly byOutlines?: true
  /** True when several notes of it are shown as one: the largest, with the number of the others. */
  readonly foldsNotes?: true
  readonly look: (results: RoomResults) => Finding[]
  /** Whether a remedy that brings the measure to this value is enough; rules without it are looked at again. */
  readonly enough?: (results: RoomResults, value: number) => boolean
  /** Measured before and after a remedy; rules without remedies have none. */
  readonly measure?: (results: RoomResults, spot: Spot) => Measure
}

/** Most findings of one rule that are shown; the worst are kept. */
export const MOST_OF_A_RULE = 12

/** Stable name of a finding: rule, height in tenths of a millimetre and place in half millimetres. */
export const findingId = (rule: string, fromMm: number, x: number, y: number): string =>
  `${rule}@${Math.round(fromMm * 10)}:${Math.round(x * 2)},${Math.round(y * 2)}`

/** A remedy without its effect, which is computed later. */
export const remedy = (
  id: string,
  label: string,
  what: Remedy['change']['what'],
  from: number | readonly number[],
  to: number | readonly number[],
): Remedy => ({ id, label, change: { what, from, to }, effect: null })

/** Leaves out remedies that do not apply. */
export const present = (remedies: readonly (Remedy | null)[]): Remedy[] => remedies.filter((r) => r !== null)

/** Layer of a height, kept within the stack. */
export const layerAt = (results: RoomResults, z: number): number => layerAtHeight(results.layers.faceZ, z)

/** Layers whose middle lies in a height range; at least the one nearest to it. */
export const layersBetween = (results: RoomResults, fromMm: number, toMm: number): [number, number] => {
  const from = layerAt(results, fromMm + 1e-9)
  return [from, Math.max(from, layerAt(results, toMm - 1e-9))]
}

/** Where a place is, in words, seen from the front (the figure looks towards -y). */
export const whereInWords = (results: RoomResults, x: number, y: number): string => {
  const { min, max } = results.figure
  const share = (v: number, lo: number, hi: number): number => (hi > lo ? (v - (lo + hi) / 2) / (hi - lo) : 0)
  const side = share(x, min[0], max[0])
  const depth = share(y, min[1], max[1])
  const words = [
    depth < -0.12 ? 'front' : depth > 0.12 ? 'back' : '',
    side < -0.12 ? 'left' : side > 0.12 ? 'right' : '',
  ].filter(Boolean)
  return words.length > 0 ? words.join(' ') : 'in the middle'
}

/** Millimetres with as many digits as matter. */
export const mm = (value: number, digits = 2): string => `${value.toFixed(digits)} mm`
