// The order of the beads of one layer.
//
// Policy, stated so that it can be argued with:
// - Islands: the nearest next one, from where the nozzle stands.
// - In an island: inner shells from the inside out, gap beads and deposits, then the outer shell, then caps, then infill.
//   The outer shell comes after the inner ones because on a leaning wall it is held sideways by a bead already there; it comes
//   before caps and infill so that it is laid at once after its neighbour while that is warm. (Outer first is a wish.)
// - Among beads of one kind: the nearest next. Open beads may be laid from either end.
// - An outer shell starts in its sharpest concave corner, where the mark is hidden, else at its point nearest to the nozzle;
//   inner shells, which nobody sees, at the nearest point.
// - Travels are straight. Inside the island: no retraction. Across an outline, and longer than a stated length: retraction (and
//   lift, where that is wished).

import { beadStartOf, turnsOf } from './bead-start.ts'
import type { PlanWriter } from './plan-writer.ts'
import type { Strand } from './strand.ts'

/** Beads of one island, sorted by what they are for. */
export interface IslandStrands {
  readonly island: number
  /** Shells by level, outermost level first. */
  readonly shells: Strand[][]
  readonly gaps: Strand[]
  readonly caps: Strand[]
  readonly infill: Strand[]
}

/** What tells whether a straight travel leaves the plastic: the layer's outlines. */
export interface TravelGround {
  readonly points: Float64Array
  readonly loopStart: Uint32Array
  readonly firstLoop: number
  readonly endLoop: number
  readonly leastTravelToRetractMm: number
}

/** True when the straight way from a to b crosses an outline. */
export const crossesOutline = (ground: TravelGround, ax: number, ay: number, bx: number, by: number): boolean => {
  const { points, loopStart, firstLoop, endLoop } = ground
  const lowX = Math.min(ax, bx)
  const highX = Math.max(ax, bx)
  const lowY = Math.min(ay, by)
  const highY = Math.max(ay, by)
  const dx = bx - ax
  const dy = by - ay
  for (let j = firstLoop; j < endLoop; j++) {
    const to = loopStart[j + 1]
    let px = points[2 * to - 2]
    let py = points[2 * to - 1]
    for (let i = loopStart[j]; i < to; i++) {
      const qx = points[2 * i]
      const qy = points[2 * i + 1]
      const apart = (px < lowX && qx < lowX) || (px > highX && qx > highX) || (py < lowY && qy < lowY)
      if (!apart && !(py > highY && qy > highY)) {
        const sideP = dx * (py - ay) - dy * (px - ax)
        const sideQ = dx * (qy - ay) - dy * (qx - ax)
        if (sideP > 0 !== sideQ > 0) {
          const ex = qx - px
          const ey = qy - py
          const sideA = ex * (ay - py) - ey * (ax - px)
          const sideB = ex * (by - py) - ey * (bx - px)
          if (sideA > 0 !== sideB > 0) return true
        }
      }
      px = qx
      py = qy
    }
  }
  return false
}

const retractsFor = (ground: TravelGround | null, writer: PlanWriter, x: number, y: number): boolean =>
  ground !== null &&
  Math.hypot(x - writer.x, y - writer.y) > ground.leastTravelToRetractMm &&
  crossesOutline(ground, writer.x, writer.y, x, y)

/** Lays strands, each time the one whose start is nearest. @param hidesStart closed beads start in a concave corner */
export const layNearestNext = (
  strands: readonly Strand[],
  island: number,
  layer: number,
  ground: TravelGround | null,
  hidesStart: boolean,
  writer: PlanWriter,
): void => {
  const left = [...strands]
  const turns = new Map<Strand, Float64Array>()
  if (hidesStart) for (const s of left) if (s.closed) turns.set(s, turnsOf(s.points))
  while (left.length > 0) {
    let best = 0
    let least = Infinity
    let start = 0
    let reversed = false
    for (let k = 0; k < left.length; k++) {
      const { points, closed } = left[k]
      const n = points.length / 2
      if (closed) {
        if (left.length === 1) {
          best = 0
          start = beadStartOf(points, turns.get(left[0]) ?? null, writer.x, writer.y)
          break
        }
        const i = beadStartOf(points, turns.get(left[k]) ?? null, writer.x, writer.y)
        const d = (points[2 * i] - writer.x) ** 2 + (points[2 * i + 1] - writer.y) ** 2
        if (d < least) {
          least = d
          best = k
          start = i
          reversed = false
        }
        continue
      }
      const d0 = (points[0] - writer.x) ** 2 + (points[1] - writer.y) ** 2
      const d1 = (points[2 * n - 2] - writer.x) ** 2 + (points[2 * n - 1] - writer.y) ** 2
      if (Math.min(d0, d1) < least) {
        least = Math.min(d0, d1)
        best = k
        start = 0
        reversed = d1 < d0
      }
    }
    const strand = left[best]
    left[best] = left[left.length - 1]
    left.pop()
    const from = strand.closed ? start : reversed ? strand.points.length / 2 - 1 : 0
    const x = strand.points[2 * from]
    const y = strand.points[2 * from + 1]
    writer.lay({ strand, island, start, reversed, retracts: retractsFor(ground, writer, x, y) }, layer)
  }
}

/** Squared distance from the nozzle to an island: to the nearest point of its beads. */
const distanceTo = (beads: IslandStrands, x: number, y: number): number => {
  let least = Infinity
  for (const group of [beads.shells.flat(), beads.gaps, beads.caps, beads.infill]) {
    for (const { points } of group) {
      for (let i = 0; i < points.length; i += 2) {
        const d = (points[i] - x) ** 2 + (points[i + 1] - y) ** 2
        if (d < least) least = d
      }
    }
    if (least < Infinity) return least
  }
  return least
}

/** Lays all beads of one layer by the policy above. */
export const layLayer = (
  islands: readonly IslandStrands[],
  layer: number,
  ground: TravelGround,
  outerShellFirst: boolean,
  writer: PlanWriter,
): void => {
  const left = [...islands]
  while (left.length > 0) {
    let best = 0
    if (left.length > 1) {
      const distances = left.map((beads) => distanceTo(beads, writer.x, writer.y))
      for (let k = 1; k < left.length; k++) if (distances[k] < distances[best]) best = k
    }
    const [beads] = left.splice(best, 1)
    const lay = (strands: Strand[], hidesStart: boolean) =>
      layNearestNext(strands, beads.island, layer, ground, hidesStart, writer)
    const [outer = [], ...inner] = beads.shells
    if (outerShellFirst) lay(outer, true)
    for (const level of outerShellFirst ? inner : inner.reverse()) lay(level, false)
    lay(beads.gaps, false)
    if (!outerShellFirst) lay(outer, true)
    lay(beads.caps, false)
    lay(beads.infill, false)
  }
}
