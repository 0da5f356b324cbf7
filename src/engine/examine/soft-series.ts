// "Ask the sheet": how deep one place softens again against layer height and against outer-shell speed, by windows of the whole run.

import type { PlannedBeads } from '../beads/index.ts'
import type { PrintResults } from '../findings/index.ts'
import type { HeatResult } from '../heat/index.ts'
import {
  breathe,
  failed,
  finiteMean,
  good,
  type Outcome,
  type PolygonKit,
  partOf,
  type StartWasm,
  type Task,
} from '../kernel/index.ts'
import { edgeNeighbours } from '../mesh/index.ts'
import { runFullHeat } from './run-heat.ts'
import { planOf, replanned, retimed } from './run-print.ts'
import { runSections } from './run-rooms.ts'
import type { Examination, ExamineSettings } from './types.ts'

/** What is asked, unless said otherwise: the range that workshops argue about. */
export const SOFT_LAYERS_MM: readonly number[] = Object.freeze([0.05, 0.08, 0.1, 0.12, 0.15, 0.2])
export const SOFT_SPEEDS_MM_PER_S: readonly number[] = Object.freeze([10, 15, 22.5, 30, 45])
/** Height around the place that is averaged, mm. */
const AROUND_MM = 1.5
/** Least share of an answer's change that counts as one. */
const SAME_SHARE = 0.05

/** One run: means over the place's layers. */
export interface SoftPoint {
  readonly value: number
  /** Plastic just under the nozzle, deg C; depth softened again, mm and layers; depth still soft when the nozzle comes back, mm. */
  readonly landingC: number
  readonly softDepthMm: number
  readonly softDepthLayers: number
  readonly standingMm: number
  /** Mean layer time at the place, s. */
  readonly layerS: number
  /** Heat of the nozzle beside the beads' own, share. */
  readonly nozzleShare: number
}

export interface SoftSeries {
  readonly what: 'layerHeightMm' | 'outerShellSpeedMmPerS'
  readonly name: string
  readonly unit: string
  /** False where layers are not slowed down for the least layer time, so that the typed speed holds. */
  readonly slowsDown: boolean
  readonly points: readonly SoftPoint[]
  /** What it says, one sentence. */
  readonly says: string
}

export interface SoftAnswer {
  readonly kind: 'soft-answer'
  readonly fromMm: number
  readonly toMm: number
  readonly widthMm: number
  readonly softFromC: number
  readonly softToC: number
  readonly series: readonly SoftSeries[]
}

export interface SoftQuestion {
  /** Height to ask about, mm; the place that softens deepest when nothing is said. */
  readonly atMm?: number
  readonly layersMm?: readonly number[]
  readonly speedsMmPerS?: readonly number[]
}

/** First and last layer whose middle lies within heights; the last before the first where there is none. */
const layersWithin = (middles: ArrayLike<number>, fromMm: number, toMm: number): readonly [number, number] => {
  let from = 0
  while (from < middles.length && middles[from] < fromMm) from++
  let to = from - 1
  while (to + 1 < middles.length && middles[to + 1] <= toMm) to++
  return [from, to]
}

/** The layer that softens deepest above the part that the bed keeps warm. */
const deepest = ({ layers, quick }: HeatResult): number => {
  let best = -1
  for (let k = 0; k < layers.softDepthPieceMm.length; k++) {
    if (Number.isNaN(quick.leastS[k]) || Number.isNaN(layers.softDepthPieceMm[k])) continue
    if (best < 0 || layers.softDepthPieceMm[k] > layers.softDepthPieceMm[best]) best = k
  }
  return best
}

const pointOf = (value: number, print: PrintResults, heat: HeatResult, fromMm: number, toMm: number): SoftPoint => {
  const { layerTopZ, layerHeight } = print.plan
  const [from, to] = layersWithin(
    layerTopZ.map((z, k) => z - layerHeight[k] / 2),
    fromMm,
    toMm,
  )
  const mean = (values: ArrayLike<number>): number => finiteMean(values, from, to)
  const depth = mean(heat.layers.softDepthPieceMm)
  return {
    value,
    landingC: mean(heat.layers.belowPieceC),
    softDepthMm: depth,
    softDepthLayers: depth / mean(layerHeight),
    standingMm: mean(heat.layers.standingSoftMm),
    layerS: mean(print.timeline.layerRealS),
    nozzleShare: mean(heat.nozzleContactShare) + mean(heat.nozzleGapShare),
  }
}

/** Says which way the depth goes, and by how much. */
const saysOf = (points: readonly SoftPoint[], unit: string): string => {
  const known = points.filter(({ softDepthMm }) => Number.isFinite(softDepthMm))
  if (known.length < 2) return 'Too few runs gave an answer.'
  const least = known.reduce((a, b) => (b.softDepthMm < a.softDepthMm ? b : a))
  const most = known.reduce((a, b) => (b.softDepthMm > a.softDepthMm ? b : a))
  const name = ({ value, softDepthMm, softDepthLayers }: SoftPoint): string =>
    `${softDepthMm.toFixed(2)} mm (${softDepthLayers.toFixed(1)} layers) at ${value} ${unit}`
  if (most.softDepthMm - least.softDepthMm < SAME_SHARE * most.softDepthMm)
    return `It makes no difference here: ${name(known[0])}, ${name(known[known.length - 1])}.`
  return `Least softened again ${name(least)}, most ${name(most)}.`
}

/**
 * Asks what layer height and outer-shell speed do to one place.
 * @param examination with the detailed calculation of heat: its kept states are where the windows start
 */
export const softSeries = async (
  examination: Examination,
  kit: PolygonKit,
  startWasm: StartWasm | null,
  question: SoftQuestion = {},
  task?: Task,
): Promise<Outcome<SoftAnswer>> => {
  const { print, heat, figure, layers, settings } = examination
  const full = heat?.full
  if (!print || !full)
    return failed(
      'soft/no-heat',
      'Heat was not followed through the beads, expected a whole run; examine with heat followed whole.',
    )
  const layer = deepest(full)
  const middle = question.atMm ?? (layer < 0 ? Number.NaN : layers.faceZ[layer])
  if (!(middle > 0 && middle < figure.max[2]))
    return failed(
      'soft/place',
      `The height asked about is ${Number.isFinite(middle) ? `${middle} mm` : 'not known'}, expected one within the figure's ${figure.max[2].toFixed(1)} mm; name another height.`,
    )
  const fromMm = Math.max(0, Math.min(middle - AROUND_MM / 2, figure.max[2] - AROUND_MM))
  const toMm = Math.min(figure.max[2], fromMm + AROUND_MM)
  const window = { fromMm, toMm, states: full.states }
  const quiet: Task | undefined = task && { signal: task.signal, breathe: task.breathe }
  const follow = async (value: number, planned: PlannedBeads, changed: ExamineSettings): Promise<SoftPoint> => {
    const timed = await retimed(planned, changed, print, quiet)
    return pointOf(value, timed, await runFullHeat(timed, { startWasm }, quiet, window), fromMm, toMm)
  }
  const heights = question.layersMm ?? SOFT_LAYERS_MM
  const speeds = question.speedsMmPerS ?? SOFT_SPEEDS_MM_PER_S
  const part = partOf(task, 0, 1)
  const all = heights.length + 2 * speeds.length
  let done = 0
  const tell = async (): Promise<void> => {
    part?.onProgress?.(done++ / all, 'asking for other layers and speeds')
    await breathe(task)
  }

  const neighbours = edgeNeighbours(figure.mesh)
  const byHeight: SoftPoint[] = []
  for (const layerHeightMm of heights) {
    await tell()
    const changed: ExamineSettings = {
      ...settings,
      layerHeightMm,
      firstLayerHeightMm: Math.max(settings.firstLayerHeightMm, layerHeightMm),
    }
    const cut = await runSections({ figure, neighbours, settings: changed, kit }, quiet)
    byHeight.push(await follow(layerHeightMm, await planOf(cut, changed, kit, quiet), changed))
  }
  const bySpeed = async (slowsDown: boolean): Promise<SoftPoint[]> => {
    const points: SoftPoint[] = []
    for (const speed of speeds) {
      await tell()
      const { recipe } = settings
      const changed: ExamineSettings = {
        ...settings,
        recipe: { ...recipe, outerShellSpeedMmPerS: speed, ...(slowsDown ? {} : { leastLayerTimeS: 0 }) },
      }
      const change = { what: 'outerShellSpeedMmPerS', from: recipe.outerShellSpeedMmPerS, to: speed }
      points.push(await follow(speed, replanned(print, change) ?? print, changed))
    }
    return points
  }
  const slowed = await bySpeed(true)
  const typed = await bySpeed(false)
  part?.onProgress?.(1, 'asking for other layers and speeds')
  const series = (
    what: SoftSeries['what'],
    name: string,
    unit: string,
    slowsDown: boolean,
    points: readonly SoftPoint[],
  ): SoftSeries => ({ what, name, unit, slowsDown, points, says: saysOf(points, unit) })
  const [first, last] = layersWithin(layers.cutZ, fromMm, toMm)
  return good({
    kind: 'soft-answer',
    fromMm,
    toMm,
    widthMm: finiteMean(full.layers.belowPieceWidthMm, first, last),
    softFromC: full.softFromC,
    softToC: full.softToC,
    series: [
      series('layerHeightMm', 'layer height', 'mm', true, byHeight),
      series('outerShellSpeedMmPerS', 'outer shell speed, slowed down for the least layer time', 'mm/s', true, slowed),
      series('outerShellSpeedMmPerS', 'outer shell speed as typed', 'mm/s', false, typed),
    ],
  })
}
