// Spreads the beads over cells: which cell gets how much plastic from which bead, and when.
//
// A bead is followed in pieces of half a cell, each spread evenly over the bead's width. What one bead puts into one cell within a second is
// one landing. Cells that get very little hand it to their fullest neighbour: a sliver of plastic at the rim is part of the bead beside it.

import { BEAD_ROLES, type BeadPlan } from '../beads/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import type { Timeline } from '../timing/index.ts'
import type { HeatGrid } from './types.ts'

/** Landings in order of time, and what the figure is made of in the end. Arrays over cells have an empty border all round (see HeatField). */
export interface LaidCells {
  readonly grid: HeatGrid
  readonly nLandings: number
  readonly cell: Int32Array
  readonly bead: Int32Array
  /** When the bead first touches the cell, and how long the nozzle is over it, s. */
  readonly timeS: Float64Array
  readonly overS: Float32Array
  /** mm3. */
  readonly volume: Float32Array
  /** Final share of each cell that is plastic. */
  readonly fill: Float32Array
}

const SLIVER = 0.3
const PRIMING = BEAD_ROLES.indexOf('priming loop')
/** Landings of one bead in one cell that are farther apart are two. */
const ONE_LANDING_S = 1

/** Bounds of all beads but priming loops, mm. */
const boundsOf = (plan: BeadPlan): [number, number, number, number] => {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let b = 0; b < plan.nBeads; b++) {
    if (plan.role[b] === PRIMING) continue
    for (let p = plan.beadStart[b]; p < plan.beadStart[b + 1]; p++) {
      const r = plan.pointWidth[p] / 2
      x0 = Math.min(x0, plan.points[3 * p] - r)
      y0 = Math.min(y0, plan.points[3 * p + 1] - r)
      x1 = Math.max(x1, plan.points[3 * p] + r)
      y1 = Math.max(y1, plan.points[3 * p + 1] + r)
    }
  }
  return x0 <= x1 ? [x0, y0, x1, y1] : [0, 0, 1, 1]
}

/** Growing columns of landings. */
class Landings {
  n = 0
  cell = new Int32Array(1 << 16)
  bead = new Int32Array(1 << 16)
  timeS = new Float64Array(1 << 16)
  overS = new Float32Array(1 << 16)
  volume = new Float32Array(1 << 16)

  add(cell: number, bead: number, timeS: number): number {
    if (this.n === this.cell.length) {
      const grown = <T extends Int32Array | Float32Array | Float64Array>(old: T, fresh: T): T => {
        fresh.set(old)
        return fresh
      }
      const size = 2 * this.n
      this.cell = grown(this.cell, new Int32Array(size))
      this.bead = grown(this.bead, new Int32Array(size))
      this.timeS = grown(this.timeS, new Float64Array(size))
      this.overS = grown(this.overS, new Float32Array(size))
      this.volume = grown(this.volume, new Float32Array(size))
    }
    this.cell[this.n] = cell
    this.bead[this.n] = bead
    this.timeS[this.n] = timeS
    return this.n++
  }
}

/** Spreads all beads. */
export const layCells = async (plan: BeadPlan, timeline: Timeline, cellMm: number, task?: Task): Promise<LaidCells> => {
  const [bx0, by0, bx1, by1] = boundsOf(plan)
  const x0 = bx0 - cellMm / 4
  const y0 = by0 - cellMm / 4
  // With their border rows are whole vectors of four cells.
  const nX = 4 * Math.ceil((Math.max(1, Math.ceil((bx1 - x0) / cellMm)) + 2) / 4) - 2
  const nY = Math.max(1, Math.ceil((by1 - y0) / cellMm))
  const nZ = plan.nLayers
  const rowX = nX + 2
  const nColumns = rowX * (nY + 2)
  const landings = new Landings()
  const fill = new Float32Array(nColumns * nZ)
  // Last landing in each column of the layer being spread.
  const lastOf = new Int32Array(nColumns)
  const { points, pointWidth, beadStart } = plan

  for (let layer = 0; layer < nZ; layer++) {
    lastOf.fill(-1)
    const room = cellMm * cellMm * plan.layerHeight[layer]
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      if (plan.role[b] === PRIMING) continue
      const from = beadStart[b]
      const to = beadStart[b + 1]
      let weight = 0
      for (let p = from + 1; p < to; p++)
        weight +=
          Math.hypot(points[3 * p] - points[3 * p - 3], points[3 * p + 1] - points[3 * p - 2]) *
          (pointWidth[p] + pointWidth[p - 1])
      const put = (x: number, y: number, timeS: number, overS: number, volume: number): void => {
        const cx = Math.min(nX - 1, Math.max(0, Math.floor((x - x0) / cellMm)))
        const cy = Math.min(nY - 1, Math.max(0, Math.floor((y - y0) / cellMm)))
        const column = (cy + 1) * rowX + cx + 1
        let e = lastOf[column]
        if (e < 0 || landings.bead[e] !== b || timeS - landings.timeS[e] > ONE_LANDING_S) {
          e = landings.add(layer * nColumns + column, b, timeS)
          lastOf[column] = e
        }
        landings.volume[e] += volume
        landings.overS[e] += overS
        fill[layer * nColumns + column] += volume / room
      }
      if (!(weight > 0)) {
        // A point deposit: a round patch of its width.
        const r = Math.max(plan.width[b], cellMm / 2) / 2
        for (let k = 0; k < 16; k++) {
          const a = 2.399963 * k
          const at = r * Math.sqrt((k + 0.5) / 16)
          put(
            points[3 * from] + at * Math.cos(a),
            points[3 * from + 1] + at * Math.sin(a),
            timeline.startS[b],
            (timeline.endS[b] - timeline.startS[b]) / 16,
            plan.volume[b] / 16,
          )
        }
        continue
      }
      for (let p = from + 1; p < to; p++) {
        const ax = points[3 * p - 3]
        const ay = points[3 * p - 2]
        const dx = points[3 * p] - ax
        const dy = points[3 * p + 1] - ay
        const length = Math.hypot(dx, dy)
        if (length === 0) continue
        const t0 = timeline.pointS[p - 1]
        const t1 = timeline.pointS[p]
        const n = Math.ceil((2 * length) / cellMm)
        const share = (plan.volume[b] * length * (pointWidth[p] + pointWidth[p - 1])) / weight / n
        for (let k = 0; k < n; k++) {
          const s = (k + 0.5) / n
          const w = pointWidth[p - 1] + (pointWidth[p] - pointWidth[p - 1]) * s
          const across = Math.ceil((2 * w) / cellMm) + 1
          for (let j = 0; j < across; j++) {
            const off = (((j + 0.5) / across - 0.5) * w) / length
            put(
              ax + dx * s - dy * off,
              ay + dy * s + dx * off,
              t0 + ((t1 - t0) * k) / n,
              (t1 - t0) / n / across,
              share / across,
            )
          }
        }
      }
    }
    if (layer % 8 === 0) {
      task?.onProgress?.(layer / nZ, 'Spreading the beads over cells')
      await breathe(task)
    }
  }
  const { n } = landings
  joinSlivers(landings, fill, rowX)
  return {
    grid: { cellMm, nX, nY, nLayers: nZ, x0, y0 },
    nLandings: n,
    cell: landings.cell.slice(0, n),
    bead: landings.bead.slice(0, n),
    timeS: landings.timeS.slice(0, n),
    overS: landings.overS.slice(0, n),
    volume: landings.volume.slice(0, n),
    fill,
  }
}

/** Hands the plastic of nearly empty cells to their fullest neighbour in the same layer. */
const joinSlivers = (landings: Landings, fill: Float32Array, rowX: number): void => {
  const to = new Map<number, number>()
  for (let e = 0; e < landings.n; e++) {
    const cell = landings.cell[e]
    if (fill[cell] >= SLIVER || to.has(cell)) continue
    let best = -1
    for (const step of [1, -1, rowX, -rowX])
      if (fill[cell + step] >= SLIVER && (best < 0 || fill[cell + step] > fill[best])) best = cell + step
    if (best >= 0) to.set(cell, best)
  }
  for (const [cell, best] of to) {
    fill[best] += fill[cell]
    fill[cell] = 0
  }
  for (let e = 0; e < landings.n; e++) {
    const best = to.get(landings.cell[e])
    if (best !== undefined) landings.cell[e] = best
  }
}
