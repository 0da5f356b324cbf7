// Beads over air: how much of each lies on the layer below, and how far the stretches that hang sink while they are soft.
//
// A point of a bead is carried by the share of its width inside the outline below (edge taken as straight there). Stretches with less
// than half are runs: held at both ends they are clamped spans, at one end stubs; where a bead laid before runs alongside in the same
// layer the run is held by its side and is a strip bending down over its reach. Held nowhere, it falls.
// Where the layer's greatest reach is within half a bead no bead can have less than half: such layers are not walked.
// Limits: infill below counts as full plastic; a curved run is as long as its path; the load of later layers is left out.

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import type { HeatResult } from '../heat/index.ts'
import { breathe, type NearestOnSegments, nearestResult, SegmentGrid, type Task } from '../kernel/index.ts'
import type { LayerRelations, LayerStack } from '../sections/index.ts'
import { beadSetting, type SettingConditions } from './bead-setting.ts'
import { footingShare } from './footing.ts'
import { type Hanging, RUN_COLUMNS, RUN_ROW } from './types.ts'
import { spanSagMm, spanShape, stadiumMoment, stubSagMm, stubShape, weightPerMm } from './viscous-sag.ts'

/** Roles that are no part of the figure. */
const BESIDE = new Set([roleIndex('prop'), roleIndex('priming loop')])
/** Distance between points tried along a bead, mm. */
const SPACING_MM = 0.2
/** Runs shorter than this share of a bead width do not hang. */
const LEAST_RUN = 0.5
/** A bead laid before counts as alongside within this many widths. */
const ALONGSIDE = 1.25

/** One point tried along a bead. */
interface Walk {
  x: Float64Array
  y: Float64Array
  /** Distance inside the outline below, mm, negative outside. */
  inside: Float64Array
  n: number
}

const grown = (walk: Walk): void => {
  const bigger = (a: Float64Array): Float64Array => {
    const b = new Float64Array(2 * a.length)
    b.set(a)
    return b
  }
  walk.x = bigger(walk.x)
  walk.y = bigger(walk.y)
  walk.inside = bigger(walk.inside)
}

/** Walks a bead in steps of at most SPACING_MM. */
const walkBead = (plan: BeadPlan, bead: number, below: SegmentGrid, found: NearestOnSegments, walk: Walk): void => {
  const { points, beadStart } = plan
  walk.n = 0
  const put = (x: number, y: number): void => {
    if (walk.n === walk.x.length) grown(walk)
    below.nearest(x, y, 1e6, found)
    const away = found.segment < 0 ? 1e3 : Math.sqrt(found.d2)
    walk.x[walk.n] = x
    walk.y[walk.n] = y
    walk.inside[walk.n++] = found.segment >= 0 && below.isSolidSide(x, y, found) ? away : -away
  }
  const from = beadStart[bead]
  const to = beadStart[bead + 1]
  for (let i = from; i < to; i++) {
    const x = points[3 * i]
    const y = points[3 * i + 1]
    if (i > from) {
      const px = points[3 * i - 3]
      const py = points[3 * i - 2]
      const parts = Math.ceil(Math.hypot(x - px, y - py) / SPACING_MM)
      for (let s = 1; s < parts; s++) put(px + ((x - px) * s) / parts, py + ((y - py) * s) / parts)
    }
    put(x, y)
  }
}

/** Square of the distance from a point to a bead's path. */
const distance2ToBead = ({ points, beadStart }: BeadPlan, bead: number, x: number, y: number): number => {
  let least = Infinity
  for (let i = beadStart[bead] + 1; i < beadStart[bead + 1]; i++) {
    const ax = points[3 * i - 3]
    const ay = points[3 * i - 2]
    const dx = points[3 * i] - ax
    const dy = points[3 * i + 1] - ay
    const l2 = dx * dx + dy * dy
    const s = l2 > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / l2)) : 0
    least = Math.min(least, (x - ax - s * dx) ** 2 + (y - ay - s * dy) ** 2)
  }
  return least
}

/** Whether a bead of the layer that was laid before runs alongside, and does not fall itself. */
const isAlongside = (
  plan: BeadPlan,
  layer: number,
  bead: number,
  loose: ReadonlySet<number>,
  x: number,
  y: number,
): boolean => {
  const reach = (ALONGSIDE * plan.width[bead]) ** 2
  for (let b = plan.layerStart[layer]; b < bead; b++)
    if (!BESIDE.has(plan.role[b]) && !loose.has(b) && distance2ToBead(plan, b, x, y) <= reach) return true
  return false
}

/** Rows and points that grow. */
class RunList {
  readonly rows: number[] = []
  readonly start: number[] = [0]
  readonly points: number[] = []
  /** Beads that nothing holds. */
  readonly loose = new Set<number>()
}

/** What the sag needs. */
interface SagFacts {
  readonly densityGPerCm3: number
  /** Integral of dt / viscosity of a bead of the plan, 1/MPa. */
  readonly fluidityOf: (bead: number) => number
}

/** Writes the run from point `from` to `to` of a walk (may pass the end of a closed bead). */
const writeRun = (
  plan: BeadPlan,
  layer: number,
  bead: number,
  walk: Walk,
  from: number,
  count: number,
  holds: number,
  { densityGPerCm3, fluidityOf }: SagFacts,
  list: RunList,
): number => {
  const { n, x, y, inside } = walk
  const at = (i: number): number => (from + i) % n
  const along = new Float64Array(count)
  let reach = 0
  for (let i = 0; i < count; i++) {
    const k = at(i)
    if (i > 0) along[i] = along[i - 1] + Math.hypot(x[k] - x[at(i - 1)], y[k] - y[at(i - 1)])
    reach = Math.max(reach, -inside[k])
  }
  const lengthMm = along[count - 1]
  const width = plan.width[bead]
  const height = plan.height[bead]
  if (lengthMm < LEAST_RUN * width && reach < width) return 0
  const middle = at(count >> 1)
  const besides = isAlongside(plan, layer, bead, list.loose, x[middle], y[middle])
  const area = Math.max(0, width - height) * height + (Math.PI * height * height) / 4
  const beam = {
    lengthMm,
    areaMm2: area,
    momentMm4: stadiumMoment(width, height),
    weightNPerMm: weightPerMm(area, densityGPerCm3),
  }
  const fluidity = fluidityOf(bead)
  // A strip one mm wide, held along its inner edge.
  const strip = {
    lengthMm: reach + width / 2,
    areaMm2: height,
    momentMm4: height ** 3 / 12,
    weightNPerMm: weightPerMm(height, densityGPerCm3),
  }
  const bySide = besides ? stubSagMm(strip, fluidity) : Infinity
  const byEnds = holds === 2 ? spanSagMm(beam, fluidity) : holds === 1 ? stubSagMm(beam, fluidity) : Infinity
  const sag = Math.min(bySide, byEnds)
  if (sag === Infinity) list.loose.add(bead)
  const droopAt = (u: number): number => {
    if (!Number.isFinite(sag)) return 0
    if (bySide <= byEnds) return sag
    return sag * (holds === 2 ? spanShape(u) : stubShape(u))
  }
  const row = new Array<number>(RUN_COLUMNS).fill(0)
  row[RUN_ROW.layer] = layer
  row[RUN_ROW.bead] = bead
  row[RUN_ROW.x] = x[middle]
  row[RUN_ROW.y] = y[middle]
  row[RUN_ROW.lengthMm] = lengthMm
  row[RUN_ROW.reachMm] = reach
  row[RUN_ROW.holds] = holds
  row[RUN_ROW.besides] = besides ? 1 : 0
  row[RUN_ROW.sagMm] = Number.isFinite(sag) ? sag : Number.NaN
  list.rows.push(...row)
  // The end that is held comes first for a stub.
  const heldFirst = holds !== 1 || inside[at(-1 + n)] > inside[at(count)]
  for (let i = 0; i < count; i++) {
    const u = lengthMm > 0 ? along[i] / lengthMm : 0
    list.points.push(x[at(i)], y[at(i)], droopAt(heldFirst ? u : 1 - u))
  }
  list.start.push(list.points.length / 3)
  return Number.isFinite(sag) ? sag : 0
}

/** What is known when sag is worked out. */
export interface HangingConditions extends Omit<SettingConditions, 'widthMm' | 'heightMm'> {
  /** Result of the heat room on the same plan, when there is one. */
  readonly heat?: HeatResult | null
  /** Air speed at the part with the fan full, m/s. */
  readonly fullAirMPerS: number
}

/** Footing, runs and sag of all beads of a plan. */
export const findHanging = async (
  plan: BeadPlan,
  layers: LayerStack,
  relations: LayerRelations,
  conditions: HangingConditions,
  task?: Task,
): Promise<Hanging> => {
  const n = Math.min(plan.nLayers, layers.nLayers)
  const layerFooting = new Float64Array(layers.nLayers).fill(Number.NaN)
  const layerHangingMm = new Float64Array(layers.nLayers)
  const layerSagMm = new Float64Array(layers.nLayers)
  const list = new RunList()
  const found = nearestResult()
  const walk: Walk = { x: new Float64Array(512), y: new Float64Array(512), inside: new Float64Array(512), n: 0 }
  const nominal = plan.nBeads > 0 ? median(plan.width) : 0.4
  const usualSize = { widthMm: nominal, heightMm: median(plan.height) }
  const usual = beadSetting({ ...conditions, ...usualSize })
  const softS = conditions.heat?.beads.softS
  const facts: SagFacts = {
    densityGPerCm3: conditions.filament.densityGPerCm3,
    fluidityOf: (bead) => {
      const known = softS?.[bead] ?? Number.NaN
      return known > 0 ? (usual.fluidity * known) / usual.softS : usual.fluidity
    },
  }
  for (let layer = 1; layer < n; layer++) {
    const mostReach = relations.unsupportedMm[layer]
    layerFooting[layer] = footingShare(nominal, nominal / 2 - mostReach)
    if (!(mostReach > nominal / 2)) continue
    if (layer % 4 === 0) {
      task?.onProgress?.(layer / n, 'looking at undersides')
      await breathe(task)
    }
    const below = new SegmentGrid(
      layers.points,
      layers.loopStart.subarray(layers.layerStart[layer - 1], layers.layerStart[layer] + 1),
    )
    for (let bead = plan.layerStart[layer]; bead < plan.layerStart[layer + 1]; bead++) {
      if (BESIDE.has(plan.role[bead]) || plan.beadStart[bead + 1] - plan.beadStart[bead] < 2) continue
      walkBead(plan, bead, below, found, walk)
      const isClosed = plan.closed[bead] === 1
      const nPoints = isClosed ? walk.n - 1 : walk.n
      walk.n = nPoints
      // From the first carried point on, so that a run over the joint of a closed bead stays whole.
      let first = 0
      while (first < nPoints && walk.inside[first] < 0) first++
      if (first === nPoints) {
        layerFooting[layer] = 0
        layerSagMm[layer] = Math.max(layerSagMm[layer], writeRun(plan, layer, bead, walk, 0, nPoints, 0, facts, list))
        layerHangingMm[layer] += lengthOfWalk(walk)
        continue
      }
      const start = isClosed ? first : 0
      let run = 0
      for (let i = 0; i <= nPoints; i++) {
        const k = (start + i) % nPoints
        const hangs = i < nPoints && walk.inside[k] < 0
        if (hangs) {
          run++
          layerFooting[layer] = Math.min(layerFooting[layer], footingShare(plan.width[bead], walk.inside[k]))
          continue
        }
        if (run > 1) {
          const from = start + i - run
          const holds = isClosed ? 2 : (from > 0 ? 1 : 0) + (i < nPoints ? 1 : 0)
          layerSagMm[layer] = Math.max(
            layerSagMm[layer],
            writeRun(plan, layer, bead, walk, from % nPoints, run, holds, facts, list),
          )
          for (let j = 1; j < run; j++) {
            const a = (from + j) % nPoints
            const b = (from + j - 1) % nPoints
            layerHangingMm[layer] += Math.hypot(walk.x[a] - walk.x[b], walk.y[a] - walk.y[b])
          }
        }
        run = 0
      }
    }
  }
  return {
    layerFooting,
    layerHangingMm,
    layerSagMm,
    runs: Float64Array.from(list.rows),
    nRuns: list.rows.length / RUN_COLUMNS,
    runStart: Uint32Array.from(list.start),
    runPoints: Float32Array.from(list.points),
    fluidS: usual.fluidS,
    setS: usual.setS,
    coolerShare:
      beadSetting({ ...conditions, nozzleC: conditions.nozzleC - 10, ...usualSize }).fluidity / usual.fluidity,
    fullFanShare:
      beadSetting({ ...conditions, airMPerS: conditions.fullAirMPerS, ...usualSize }).fluidity / usual.fluidity,
    cooling: softS ? 'from heat' : 'single bead in the fan',
  }
}

const lengthOfWalk = ({ x, y, n }: Walk): number => {
  let length = 0
  for (let i = 1; i < n; i++) length += Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1])
  return length
}

const median = (values: Float32Array): number => {
  if (values.length === 0) return 0.1
  const sorted = values.slice().sort()
  return sorted[sorted.length >> 1]
}
