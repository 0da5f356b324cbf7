// The layer model: every piece of a layer one node, laid at its mean time at the nozzle's temperature; how warm is what it lies on?

import type { BeadPlan } from '../beads/index.ts'
import type { Timeline } from '../timing/index.ts'
import { convectionWPerM2K, radiationWPerM2K, seesDisc } from './air.ts'
import { growingColumnLeastS, growingColumnTop, heldTopHeat } from './closed-forms.ts'
import type { HeatConditions, HeatOptions } from './conditions.ts'
import type { Pieces } from './find-pieces.ts'
import { GAP_W_PER_MM2_K, ringMm2 } from './nozzle.ts'
import { type PieceState, pieceTree, stepPieces } from './piece-tree.ts'
import { enthalpyAt, enthalpyTable, meanHeatCapacity, temperatureAt } from './plastic.ts'

/** Parts of the time between two landings that are steps: short just after laying. */
const STEPS = [0.02, 0.05, 0.1, 0.18, 0.3, 0.35]
/** Warmth of a piece that is not yet there, J/K. */
const NOT_LAID = 1e-12
/** Depth followed in these steps, mm; deeper layers move once a layer. */
const WINDOW_MM = 4
const SURFACE_C = 65
/** Tops wider than this are only partly under the block, mm2. */
const BLOCK_SEEN_MM2 = 150

/** Heat of the nozzle's end into a layer, as a rise of the fresh plastic, K: under the land, and through gap air onto half the ring. */
const nozzleRise = (
  plan: BeadPlan,
  timeline: Timeline,
  layer: number,
  landMm: number,
  nozzleC: number,
  conductivity: number,
  alpha: number,
): number => {
  const h = plan.layerHeight[layer]
  let volume = 0
  let seconds = 0
  let length = 0
  for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
    const s = timeline.endS[b] - timeline.startS[b]
    volume += plan.volume[b]
    seconds += s
    length += s * timeline.meanSpeed[b]
  }
  if (!(length > 0)) return 0
  const over = nozzleC - SURFACE_C
  const contact = heldTopHeat(h, alpha, conductivity, (landMm / 2 / length) * seconds) * over * (volume / h)
  const gap = (ringMm2(landMm) / 2) * GAP_W_PER_MM2_K * over * seconds
  return ((contact + gap) * alpha) / conductivity / volume
}

/** What the model finds for each piece; NaN where a piece lies on the bed or on nothing. */
export interface FollowedPieces {
  /** Temperature just under the piece as it is laid, deg C; time since what is below was laid, s. */
  readonly landC: Float64Array
  readonly intervalS: Float64Array
  /** Least time by the growing column's closed form, scaled by landC; NaN where the bed alone holds the limit, s. */
  readonly columnS: Float64Array
}

/** @param stretch all times are this much longer than the timeline's, by waiting: the nozzle's own heat stays that of the real speed */
export const followPieces = (
  plan: BeadPlan,
  timeline: Timeline,
  { filament, printer, recipe }: HeatConditions,
  pieces: Pieces,
  { roomC, bedContactWPerM2K }: HeatOptions,
  airMPerS: number,
  stretch = 1,
): FollowedPieces => {
  const { n, layerStart, plasticMm2, outlineMm2, perimeterMm, widthMm, timeS, belowStart, below, sharedMm2 } = pieces
  const { nLayers, layerHeight, layerTopZ } = plan
  const conductivity = filament.conductivityWPerMK * 1e-3
  const tree = pieceTree(pieces, layerHeight, conductivity)
  const table = enthalpyTable(filament.heatCapacityJPerKgK, 512)
  // One cp for all: the model's temperature stands for enthalpy, and is read as a true temperature through the table.
  const cp = meanHeatCapacity(table, roomC, recipe.nozzleC)
  const zero = enthalpyAt(table, roomC)
  const trueC = (modelC: number): number => temperatureAt(table, zero + (modelC - roomC) * cp * 1e-3)
  const heatPerMm3 = filament.densityGPerCm3 * 1e-3 * cp * 1e-3
  const alpha = conductivity / heatPerMm3
  const state: PieceState = {
    celsius: new Float64Array(n).fill(roomC),
    capacity: new Float64Array(n).fill(NOT_LAID),
    loss: new Float64Array(n),
    bed: new Float64Array(n),
    source: new Float64Array(n),
    diagonal: new Float64Array(n),
    right: new Float64Array(n),
    guess: new Float64Array(n),
  }
  const radiation = radiationWPerM2K(filament.emissivityShare, SURFACE_C, roomC) * 1e-6
  const sky = seesDisc(printer.blockWidthMm / 2, printer.blockHeightMm)
  const side = new Float64Array(n)
  const landC = new Float64Array(n).fill(Number.NaN)
  const intervalS = new Float64Array(n).fill(Number.NaN)
  const columnS = new Float64Array(n).fill(Number.NaN)
  const limit = (enthalpyAt(table, filament.softeningFromC) - zero) / (cp * 1e-3)
  let fan = Number.NaN
  let low = 0
  let now = 0
  for (let layer = 0; layer < nLayers; layer++) {
    const from = layerStart[layer]
    const to = layerStart[layer + 1]
    const h = layerHeight[layer]
    const nozzleC = Number.isFinite(plan.nozzleC[layer]) ? plan.nozzleC[layer] : recipe.nozzleC
    const bedC = Number.isFinite(plan.bedC[layer]) ? plan.bedC[layer] : recipe.bedC
    const seconds = stretch * (timeline.layerS[layer + 1] - timeline.layerS[layer])
    if (!(seconds > 0) || to === from) continue
    if (plan.fanShare[layer] !== fan) {
      fan = plan.fanShare[layer]
      for (let i = 0; i < n; i++)
        side[i] = convectionWPerM2K(widthMm[i], airMPerS * fan, SURFACE_C, roomC) * 1e-6 + radiation
      for (let k = 0; k < layer; k++)
        for (let i = layerStart[k]; i < layerStart[k + 1]; i++)
          state.loss[i] = side[i] * perimeterMm[i] * layerHeight[k]
    }
    const extraC = nozzleRise(plan, timeline, layer, printer.nozzleLandMm, nozzleC, conductivity, alpha)
    const block = sky * radiationWPerM2K(filament.emissivityShare, nozzleC, SURFACE_C) * 1e-6 * (nozzleC - SURFACE_C)
    const order = Array.from({ length: to - from }, (_, k) => from + k).sort((p, q) => timeS[p] - timeS[q])
    while (layerTopZ[layer] - layerTopZ[low] > WINDOW_MM) low++
    for (const i of order) {
      const gap = stretch * timeS[i] - now
      if (gap > 0) {
        for (const share of STEPS) stepPieces(tree, state, layerStart[low], to, share * gap, roomC, bedC)
        now += gap
      }
      let shared = 0
      let under = 0
      let laidAt = 0
      for (let k = belowStart[i]; k < belowStart[i + 1]; k++) {
        const b = below[k]
        shared += sharedMm2[k]
        under += sharedMm2[k] * state.celsius[b]
        laidAt += sharedMm2[k] * timeS[b]
        const left = Math.max(0, 1 - sharedMm2[k] / plasticMm2[b])
        state.loss[b] = Math.max(
          side[b] * perimeterMm[b] * layerHeight[layer - 1],
          state.loss[b] - side[b] * sharedMm2[k],
        )
        state.source[b] *= left
      }
      state.celsius[i] = nozzleC + extraC
      state.capacity[i] = plasticMm2[i] * h * heatPerMm3
      // The free top cools as well, and sees the block, until it is covered.
      state.loss[i] = side[i] * (perimeterMm[i] * h + plasticMm2[i])
      state.source[i] = block * Math.min(BLOCK_SEEN_MM2, plasticMm2[i])
      if (layer === 0) state.bed[i] = plasticMm2[i] / (1 / (bedContactWPerM2K * 1e-6) + h / 2 / conductivity)
      if (!(shared > 0)) continue
      const t = under / shared
      const interval = stretch * (timeS[i] - laidAt / shared)
      landC[i] = trueC(t)
      intervalS[i] = interval
      // What the bed alone would hold here, as in a long fin.
      const m = Math.sqrt((side[i] * perimeterMm[i]) / (conductivity * outlineMm2[i]))
      const byBed = (bedC - roomC) * Math.exp(-m * layerTopZ[layer - 1])
      if (byBed >= 0.9 * limit || !(interval > 0)) continue
      const column = {
        widthMm: (4 * plasticMm2[i]) / perimeterMm[i],
        layerMm: h,
        lossWPerMm2K: side[i],
        conductivity,
        alpha,
      }
      const arriving = nozzleC - roomC
      const scale = Math.max(0, t - roomC - byBed) / (growingColumnTop(column, interval).share * arriving)
      columnS[i] = growingColumnLeastS(column, scale > 0 ? (limit - byBed) / (scale * arriving) : 1)
    }
    if (low > 0) stepPieces(tree, state, 0, layerStart[low], seconds, roomC, bedC)
  }
  return { landC, intervalS, columnS }
}
