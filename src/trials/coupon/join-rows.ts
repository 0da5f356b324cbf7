// Rows printed whole, one after the other, as one bead plan: the nozzle rises over finished rows and waits for its heat beside the new one.

import type { BeadPlan } from '../../engine/beads/index.ts'
import type { Timeline } from '../../engine/timing/index.ts'
import type { Recipe } from '../../recipe/index.ts'

/** One planned row and where it goes. */
export interface LaidRow {
  readonly plan: BeadPlan
  /** Times of the row alone, layers slowed to the least layer time. */
  readonly timeline: Timeline
  readonly recipe: Recipe
  readonly x: number
  readonly y: number
  /** Lowest x of the row's own beads, mm in its own frame: waits are made left of it. */
  readonly leftMm: number
}

/** A wait on the way to a bead, at one of the travel's points. */
interface Pause {
  /** Index of the point within the travel to the bead. */
  readonly point: number
  /** Nozzle temperature to wait for; null for a wait by time alone. */
  readonly nozzleC: number | null
  /** True when the nozzle was hotter before. */
  readonly cooling: boolean
}

export interface JoinedRows {
  readonly plan: BeadPlan
  readonly pauses: ReadonlyMap<number, Pause>
  /** First bead and first layer of every row, with the end of the last: lengths nRows+1. */
  readonly rowBead: readonly number[]
  readonly rowLayer: readonly number[]
}

/** Height over finished rows and over a layer that is waited beside, mm. */
export const OVER_ROWS_MM = 3
const OVER_LAYER_MM = 1
/** Seconds for the block to settle after a change of temperature. */
const SETTLE_S = 5
/** How far beside the row waits are made, mm. */
export const ASIDE_MM = 6

interface Column<T extends Float32Array | Float64Array | Uint8Array | Int32Array> {
  readonly from: (plan: BeadPlan) => T
  readonly make: (n: number) => T
}
const glue = <T extends Float32Array | Float64Array | Uint8Array | Int32Array>(
  rows: readonly LaidRow[],
  { from, make }: Column<T>,
): T => {
  const parts = rows.map(({ plan }) => from(plan))
  const all = make(parts.reduce((n, part) => n + part.length, 0))
  let at = 0
  for (const part of parts) {
    all.set(part as never, at)
    at += part.length
  }
  return all
}
const float32 = (n: number): Float32Array => new Float32Array(n)
const float64 = (n: number): Float64Array => new Float64Array(n)
const bytes = (n: number): Uint8Array => new Uint8Array(n)

/** Points of all rows, moved to their places. */
const placed = (rows: readonly LaidRow[], from: (plan: BeadPlan) => Float64Array): Float64Array => {
  const all = glue(rows, { from, make: float64 })
  let at = 0
  for (const { plan, x, y } of rows) {
    const n = from(plan).length / 3
    for (let i = 0; i < n; i++, at += 3) {
      all[at] += x
      all[at + 1] += y
    }
  }
  return all
}

/** Rows of offsets, one behind the other, with the end. */
const starts = (rows: readonly LaidRow[], from: (plan: BeadPlan) => Uint32Array): Uint32Array => {
  const all: number[] = [0]
  for (const { plan } of rows) {
    const own = from(plan)
    const base = all[all.length - 1]
    for (let i = 1; i < own.length; i++) all.push(base + own[i])
  }
  return Uint32Array.from(all)
}

/** Joins rows in their order. */
export const joinRows = (rows: readonly LaidRow[]): JoinedRows => {
  const rowBead = [0]
  const rowLayer = [0]
  for (const { plan } of rows) {
    rowBead.push(rowBead[rowBead.length - 1] + plan.nBeads)
    rowLayer.push(rowLayer[rowLayer.length - 1] + plan.nLayers)
  }
  const nBeads = rowBead[rows.length]
  const points = placed(rows, (plan) => plan.points)
  const beadStart = starts(rows, (plan) => plan.beadStart)
  const layerStart = starts(rows, (plan) => plan.layerStart)
  const dwell = glue(rows, { from: (plan) => plan.dwell, make: float32 })
  const lift = glue(rows, { from: (plan) => plan.lift, make: float32 })
  const retraction = glue(rows, { from: (plan) => plan.retraction, make: float32 })
  const retractionSpeed = glue(rows, { from: (plan) => plan.retractionSpeed, make: float32 })
  const speed = glue(rows, { from: (plan) => plan.speed, make: float32 })
  const pauses = new Map<number, Pause>()
  const oldTravel = starts(rows, (plan) => plan.travelStart)
  const oldTravelPoints = placed(rows, (plan) => plan.travelPoints)
  const travelStart = new Uint32Array(nBeads + 1)
  const travelPoints: number[] = []

  /** Leaves the row for a wait: lifted, with the filament drawn back. */
  const leave = (bead: number, over: number, recipe: Recipe): void => {
    lift[bead] = over
    retraction[bead] = recipe.retractionMm
    retractionSpeed[bead] = recipe.retractionSpeedMmPerS
  }
  for (const [r, row] of rows.entries()) {
    const { plan, timeline, recipe } = row
    for (let b = 0; b < plan.nBeads; b++) speed[rowBead[r] + b] = timeline.setSpeed[b]
    for (let layer = 0; layer < plan.nLayers; layer++) {
      const first = rowBead[r] + plan.layerStart[layer]
      const nozzleC = plan.nozzleC[layer]
      const beforeC = layer > 0 ? plan.nozzleC[layer - 1] : r > 0 ? lastOf(rows[r - 1].plan.nozzleC) : nozzleC
      const waitS = layer > 0 ? timeline.layerWaitS[layer - 1] : 0
      const isChange = nozzleC !== beforeC
      if (r > 0 && layer === 0) {
        leave(first, OVER_ROWS_MM, recipe)
        pauses.set(first, { point: 0, nozzleC: isChange ? nozzleC : null, cooling: nozzleC < beforeC })
        dwell[first] = isChange ? SETTLE_S : 0
      } else if (isChange || waitS > 0) {
        leave(first, OVER_LAYER_MM, recipe)
        pauses.set(first, { point: 0, nozzleC: isChange ? nozzleC : null, cooling: nozzleC < beforeC })
        dwell[first] = Math.max(waitS, isChange ? SETTLE_S : 0)
      }
    }
    for (let b = rowBead[r]; b < rowBead[r + 1]; b++) {
      const p = 3 * beadStart[b]
      const isRowStart = b === rowBead[r]
      if (isRowStart) {
        // Above the first priming loop: straight down from there, over the bare bed.
        const z = r === 0 ? points[p + 2] + OVER_ROWS_MM : points[p + 2]
        travelPoints.push(points[p], points[p + 1], z)
      } else if (pauses.has(b)) travelPoints.push(row.x + row.leftMm - ASIDE_MM, row.y, points[p + 2])
      else for (let t = 3 * oldTravel[b]; t < 3 * oldTravel[b + 1]; t++) travelPoints.push(oldTravelPoints[t])
      travelStart[b + 1] = travelPoints.length / 3
    }
  }
  const plan: BeadPlan = {
    kind: 'bead-plan',
    nLayers: rowLayer[rows.length],
    layerTopZ: glue(rows, { from: (one) => one.layerTopZ, make: float64 }),
    layerHeight: glue(rows, { from: (one) => one.layerHeight, make: float64 }),
    layerStart,
    fanShare: glue(rows, { from: (one) => one.fanShare, make: float32 }),
    nozzleC: glue(rows, { from: (one) => one.nozzleC, make: float32 }),
    bedC: glue(rows, { from: (one) => one.bedC, make: float32 }),
    nBeads,
    beadStart,
    points,
    pointWidth: glue(rows, { from: (one) => one.pointWidth, make: float32 }),
    role: glue(rows, { from: (one) => one.role, make: bytes }),
    closed: glue(rows, { from: (one) => one.closed, make: bytes }),
    width: glue(rows, { from: (one) => one.width, make: float32 }),
    height: glue(rows, { from: (one) => one.height, make: float32 }),
    speed,
    volume: glue(rows, { from: (one) => one.volume, make: float64 }),
    island: glue(rows, { from: (one) => one.island, make: (n) => new Int32Array(n) }).fill(-1),
    travelStart,
    travelPoints: Float64Array.from(travelPoints),
    travelSpeed: glue(rows, { from: (one) => one.travelSpeed, make: float32 }),
    retraction,
    retractionSpeed,
    lift,
    dwell,
  }
  return { plan, pauses, rowBead, rowLayer }
}

const lastOf = (values: Float32Array): number => values[values.length - 1]
