// Cheap measures of some two thousand stances: even over the sphere, in finer steps about the given one, and the attitudes of rest.

import { breathe, type Task } from '../kernel/index.ts'
import { outermost, restingDirections, sphereDirections, tiltDirections } from './directions.ts'
import { type LimbTable, leastForce, thinAcross } from './limb-table.ts'
import { type MeasureSettings, measureSurfaceOf, reachAlong, type SurfaceTable } from './surface-table.ts'
import { type Direction, STANCE_COLUMNS, STANCE_ROW, type StanceSearch } from './types.ts'
import { markUnbeaten } from './unbeaten.ts'

/** What is known of the body and its print. */
export interface SearchBody {
  readonly table: SurfaceTable
  readonly centre: Direction
  readonly volumeMm3: number
  /** Limbs and the limits of the plastic over cos2; null without them. */
  readonly limbs: { readonly table: LimbTable; readonly curve: Float64Array } | null
}

/** What the print is made with. */
export interface SearchPrint extends MeasureSettings {
  readonly nShells: number
  readonly beadWidthMm: number
  readonly infillShare: number
  readonly leastLayerTimeS: number
  readonly shellSpeedMmPerS: number
  readonly infillSpeedMmPerS: number
  /** How rough times become true ones; without it minutes only compare. */
  readonly times?: TimeScale
}

export interface SearchOptions {
  /** Directions over the whole sphere. */
  readonly nSphere: number
  /** Leans of the given stance about its base, degrees, each tried all round. */
  readonly leansDeg: readonly number[]
  readonly nAround: number
}

/** 1800 directions lie about 5 degrees apart. */
export const SEARCH_DEFAULTS: SearchOptions = Object.freeze({
  nSphere: 1800,
  leansDeg: [2, 4, 6, 8, 10, 12, 15, 18, 21, 25, 30, 35, 40, 45],
  nAround: 16,
})

/** Pull at which a first layer lets go of the bed, MPa: from memory, as in the strength room; differs tenfold by bed and plastic. */
const BED_MPA = 0.06

/** Sideways force at the top that peels a contact of that area off the bed, N: stress at the rim of a disc bent off it. */
export const pryForceN = (contactMm2: number, heightMm: number): number => {
  const radius = Math.sqrt(contactMm2 / Math.PI)
  return (BED_MPA * Math.PI * radius ** 3) / 4 / Math.max(heightMm, 1e-9)
}

/** Seconds of laying by outline length and volume alone: no corners, no travels, no slow-down. */
const layingS = (outlineMm: number, volumeMm3: number, print: SearchPrint): number => {
  const { layerHeightMm, nShells, beadWidthMm, infillShare } = print
  const bead = beadWidthMm * layerHeightMm
  const shellMm = outlineMm * nShells
  const insideMm = Math.max(0, volumeMm3 - shellMm * bead) / bead
  return shellMm / print.shellSpeedMmPerS + (insideMm * infillShare) / print.infillSpeedMmPerS
}

/** How rough laying times become print times: by a stance that was timed for true. */
export interface TimeScale {
  /** True seconds of laying for one rough second. */
  readonly perLayingS: number
  /** Slack for the least layer time is that of all layers times exp(-fall x), x the mean layer's share of the least time. */
  readonly fall: number
}

/** Nothing known: half the set speed is reached, as on small figures (from memory), and layers scatter evenly about their mean. */
const NO_SCALE: TimeScale = { perLayingS: 2, fall: 1 }

/**
 * The scale of a stance that was timed.
 * @param row its cheap measures
 * @param pureS print time without slow-down for short layers, s
 * @param printS print time with it, s
 */
export const timeScaleOf = (
  row: ArrayLike<number>,
  volumeMm3: number,
  print: SearchPrint,
  pureS: number,
  printS: number,
): TimeScale => {
  const perLayingS = pureS / Math.max(layingS(row[STANCE_ROW.outline], volumeMm3, print), 1e-9)
  const allS = (row[STANCE_ROW.height] / print.layerHeightMm) * print.leastLayerTimeS
  const slack = (printS - pureS) / allS
  if (!(slack > 1e-6)) return { perLayingS, fall: 6 }
  return { perLayingS, fall: Math.max(0.05, -Math.log(Math.min(1, slack)) / (pureS / allS)) }
}

/** Minutes by layers and outline length. */
const roughMinutes = (row: ArrayLike<number>, at: number, body: SearchBody, print: SearchPrint): number => {
  const scale = print.times ?? NO_SCALE
  const pureS = scale.perLayingS * layingS(row[at + STANCE_ROW.outline], body.volumeMm3, print)
  const allS = (row[at + STANCE_ROW.height] / print.layerHeightMm) * print.leastLayerTimeS
  return (pureS + (allS > 0 ? allS * Math.exp((-scale.fall * pureS) / allS) : 0)) / 60
}

/** Fills one row. */
export const measureStance = (
  body: SearchBody,
  print: SearchPrint,
  up: Direction,
  row: Float64Array,
  at = 0,
  reach = reachAlong(body.table, up[0], up[1], up[2]),
): void => {
  const [dx, dy, dz] = up
  measureSurfaceOf(body.table, dx, dy, dz, reach.low, reach.high, print, row, at)
  row[at + STANCE_ROW.leastForce] = body.limbs
    ? leastForce(body.limbs.table, body.limbs.curve, dx, dy, dz).force
    : Infinity
  row[at + STANCE_ROW.thinAcross] = body.limbs ? thinAcross(body.limbs.table, dx, dy, dz) : 0
  const height = row[at + STANCE_ROW.height]
  row[at + STANCE_ROW.minutes] = roughMinutes(row, at, body, print)
  row[at + STANCE_ROW.pry] = pryForceN(row[at + STANCE_ROW.contact], height)
}

/** Every how many stances messages are let in. */
const BREATH = 8

/** Measures all stances. */
export const searchStances = async (
  body: SearchBody,
  print: SearchPrint,
  options: SearchOptions = SEARCH_DEFAULTS,
  task?: Task,
): Promise<StanceSearch> => {
  const { table, centre } = body
  const sphere = sphereDirections(options.nSphere)
  const tried = [0, 0, 1, ...tiltDirections(options.nAround, options.leansDeg), ...sphere]
  const nTried = tried.length / 3
  const lowest = new Uint32Array(nTried)
  const low = new Float64Array(nTried)
  const high = new Float64Array(nTried)
  const heights = new Float64Array(nTried)
  for (let i = 0; i < nTried; i++) {
    if (i % BREATH === 0) {
      task?.onProgress?.((0.3 * i) / nTried, 'turning the figure')
      await breathe(task)
    }
    const reach = reachAlong(table, tried[3 * i], tried[3 * i + 1], tried[3 * i + 2])
    lowest[i] = reach.lowest
    low[i] = reach.low
    high[i] = reach.high
    heights[i] = centre[0] * tried[3 * i] + centre[1] * tried[3 * i + 1] + centre[2] * tried[3 * i + 2] - reach.low
  }
  const vertices = new Float64Array(3 * table.vx.length)
  for (let v = 0; v < table.vx.length; v++) vertices.set([table.vx[v], table.vy[v], table.vz[v]], 3 * v)
  const rests = restingDirections(outermost(vertices, lowest), centre, Float64Array.from(tried), heights)
  const ups = Float64Array.from([...tried, ...rests])
  const nStances = ups.length / 3
  const rows = new Float64Array(STANCE_COLUMNS * nStances)
  for (let i = 0; i < nStances; i++) {
    if (i % BREATH === 0) {
      task?.onProgress?.(0.3 + (0.6 * i) / nStances, 'measuring stances')
      await breathe(task)
    }
    const up: Direction = [ups[3 * i], ups[3 * i + 1], ups[3 * i + 2]]
    const reach = i < nTried ? { low: low[i], high: high[i], lowest: lowest[i] } : undefined
    measureStance(body, print, up, rows, STANCE_COLUMNS * i, reach)
  }
  const resting = new Uint8Array(nStances)
  resting.fill(1, nTried)
  return {
    kind: 'stance-search',
    nStances,
    ups,
    rows,
    unbeaten: markUnbeaten(rows, print.layerHeightMm),
    resting,
    undersideSlope: print.undersideSlope,
    headShare: table.totalArea > 0 ? table.headArea / table.totalArea : 0,
  }
}
