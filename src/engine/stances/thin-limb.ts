// The thin limb that gives first, as a part that could be printed by itself: its stations, its axis, and where it meets the rest.
//
// From the frame of limbs: the run of thin stations about the weakest place, thin runs of other limbs in the same line (a shaft goes on
// beyond the hand that holds it), and whatever hangs on to them alone. Limit: limbs are told by their axes, a blade counts as a rod.

import type { LimbFrame, WeakPlace } from '../strength/index.ts'
import type { Direction } from './types.ts'

/** Where the limb meets what holds it. */
interface LimbEnd {
  /** Station of the limb next to the holder. */
  readonly station: number
  /** Thickness of what holds it there, mm; infinite on the base. */
  readonly holderMm: number
  /** Depth of plastic along the axis in the holder, mm. */
  readonly depthMm: number
  /** Unit normal of a cut there, along the axis, towards the limb. */
  readonly normal: Direction
  /** True where the limb goes on beyond the holder: the bore goes right through. */
  readonly isThrough: boolean
}

export interface ThinLimb {
  /** 1 for stations of the limb. */
  readonly isLimb: Uint8Array
  readonly at: Direction
  readonly axis: Direction
  readonly lengthMm: number
  readonly thinnestMm: number
  readonly ends: readonly LimbEnd[]
}

/** A station as thick as this times the weak place still belongs to the run. */
const SAME_RUN = 1.45
/** Farthest from the line, mm, and least cosine, for a run to be in line. */
const IN_LINE_MM = 1.2
const IN_LINE_COS = 0.93
/** What holds a limb is looked for this far along, mm. */
const HOLDER_MM = 3

type Neighbours = readonly (readonly number[])[]

const neighboursOf = ({ nStations, pieces }: LimbFrame): Neighbours => {
  const list: number[][] = Array.from({ length: nStations }, () => [])
  for (let p = 0; p < pieces.length; p += 2) {
    list[pieces[p]].push(pieces[p + 1])
    list[pieces[p + 1]].push(pieces[p])
  }
  return list
}

/** Marks everything reached from a start without leaving `may`. */
const spread = (neighbours: Neighbours, start: number, may: (station: number) => boolean, mark: Uint8Array): void => {
  const todo = [start]
  mark[start] = 1
  for (let i = todo.pop(); i !== undefined; i = todo.pop())
    for (const j of neighbours[i])
      if (!mark[j] && may(j)) {
        mark[j] = 1
        todo.push(j)
      }
}

const pointOf = (values: Float64Array, i: number): Direction => [values[3 * i], values[3 * i + 1], values[3 * i + 2]]
const apart = (a: Direction, b: Direction): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2])
const dot = (a: Direction, b: Direction): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]

/** Middle and direction of a set of stations. */
const lineOf = (frame: LimbFrame, isLimb: Uint8Array): { at: Direction; axis: Direction } => {
  const at = [0, 0, 0]
  const axis = [0, 0, 0]
  let first: Direction | null = null
  let n = 0
  for (let i = 0; i < frame.nStations; i++) {
    if (!isLimb[i]) continue
    const along = pointOf(frame.along, i)
    first ??= along
    const sign = dot(along, first) < 0 ? -1 : 1
    for (let c = 0; c < 3; c++) {
      at[c] += frame.at[3 * i + c]
      axis[c] += sign * along[c]
    }
    n++
  }
  const size = Math.hypot(...axis) || 1
  return { at: [at[0] / n, at[1] / n, at[2] / n], axis: [axis[0] / size, axis[1] / size, axis[2] / size] }
}

const fromLine = (p: Direction, at: Direction, axis: Direction): number => {
  const d: Direction = [p[0] - at[0], p[1] - at[1], p[2] - at[2]]
  const s = dot(d, axis)
  return Math.hypot(d[0] - s * axis[0], d[1] - s * axis[1], d[2] - s * axis[2])
}

/** The thin limb about a weak place; null where it is no limb that could come off. */
export const thinLimbAt = (frame: LimbFrame, place: WeakPlace, baseTopMm: number): ThinLimb | null => {
  const { nStations, held, thickMm } = frame
  const neighbours = neighboursOf(frame)
  const isThin = (i: number): boolean => thickMm[i] <= SAME_RUN * place.thickMm
  const isLimb = new Uint8Array(nStations)
  if (!isThin(place.station)) return null
  spread(neighbours, place.station, isThin, isLimb)
  const { at, axis } = lineOf(frame, isLimb)
  // The same shaft on the other side of a hand: a run of its own, at least as long as it is thick, in the same line.
  const seen = isLimb.slice()
  for (let i = 0; i < nStations; i++) {
    if (seen[i] || !isThin(i) || thickMm[i] < place.thickMm / SAME_RUN) continue
    const run = new Uint8Array(nStations)
    spread(neighbours, i, (j) => isThin(j) && !isLimb[j], run)
    let [nRun, nIn] = [0, 0]
    for (let j = 0; j < nStations; j++) {
      if (!run[j]) continue
      seen[j] = 1
      nRun++
      const p = pointOf(frame.at, j)
      if (fromLine(p, at, axis) < IN_LINE_MM && Math.abs(dot(pointOf(frame.along, j), axis)) > IN_LINE_COS) nIn++
    }
    if (nRun >= 4 && nIn > 0.8 * nRun) for (let j = 0; j < nStations; j++) if (run[j]) isLimb[j] = 1
  }
  // What hangs on to the limb alone comes with it: whatever is cut off from the held part.
  const rest = new Uint8Array(nStations)
  for (let i = 0; i < nStations; i++) if (held[i] && !rest[i]) spread(neighbours, i, (j) => !isLimb[j], rest)
  let thickest = 0
  for (let i = 1; i < nStations; i++) if (thickMm[i] > thickMm[thickest]) thickest = i
  if (!rest[thickest] && !isLimb[thickest]) spread(neighbours, thickest, (j) => !isLimb[j], rest)
  for (let i = 0; i < nStations; i++) if (!rest[i]) isLimb[i] = 1
  return measured(frame, isLimb, neighbours, at, axis, baseTopMm)
}

/** Mean way from a place to the limb's stations near by, along the axis: +1 or -1. */
const sideOf = (frame: LimbFrame, isLimb: Uint8Array, p: Direction, axis: Direction): number => {
  let sum = 0
  for (let j = 0; j < frame.nStations; j++) {
    const q = pointOf(frame.at, j)
    if (isLimb[j] && apart(p, q) < 4) sum += dot(q, axis) - dot(p, axis)
  }
  return sum < 0 ? -1 : 1
}

/** Thickness and depth of what holds a limb: the thickest place of it near by. */
const holderAt = (frame: LimbFrame, isLimb: Uint8Array, p: Direction): { holderMm: number; depthMm: number } => {
  let [holderMm, depthMm] = [0, 0]
  for (let j = 0; j < frame.nStations; j++) {
    const d = apart(pointOf(frame.at, j), p)
    if (isLimb[j] || d > HOLDER_MM) continue
    holderMm = Math.max(holderMm, frame.thickMm[j])
    depthMm = Math.max(depthMm, Math.min(frame.thickMm[j], d + frame.thickMm[j] / 2))
  }
  return { holderMm, depthMm }
}

const measured = (
  frame: LimbFrame,
  isLimb: Uint8Array,
  neighbours: Neighbours,
  at: Direction,
  axis: Direction,
  baseTopMm: number,
): ThinLimb | null => {
  let [from, to, thinnestMm] = [Infinity, -Infinity, Infinity]
  const found: Omit<LimbEnd, 'isThrough'>[] = []
  for (let i = 0; i < frame.nStations; i++) {
    if (!isLimb[i]) continue
    const p = pointOf(frame.at, i)
    const s = dot(p, axis)
    from = Math.min(from, s)
    to = Math.max(to, s)
    if (fromLine(p, at, axis) < IN_LINE_MM) thinnestMm = Math.min(thinnestMm, frame.thickMm[i])
    const isOnBase = baseTopMm > 0 && p[2] - baseTopMm < 0.6
    if (!isOnBase && neighbours[i].every((j) => isLimb[j])) continue
    // Ends within a wall's thickness of each other are one.
    if (found.some((end) => apart(pointOf(frame.at, end.station), p) < 1.2)) continue
    const side = sideOf(frame, isLimb, p, axis)
    const normal: Direction = [side * axis[0], side * axis[1], side * axis[2]]
    const holder = isOnBase ? { holderMm: Infinity, depthMm: baseTopMm } : holderAt(frame, isLimb, p)
    found.push({ station: i, ...holder, normal })
  }
  if (!(to > from) || found.length === 0) return null
  const heightOf = (end: (typeof found)[number]): number => dot(pointOf(frame.at, end.station), axis)
  const ends = found.map((end) => ({
    ...end,
    isThrough: found.some(
      (other) =>
        other !== end &&
        Math.abs(heightOf(other) - heightOf(end)) < 3 * HOLDER_MM &&
        dot(other.normal, end.normal) < 0 &&
        // The other lies on the side away from the limb: both look away from one holder.
        (heightOf(other) - heightOf(end)) * dot(end.normal, axis) < 0,
    ),
  }))
  return { isLimb, at, axis, lengthMm: to - from, thinnestMm, ends }
}
