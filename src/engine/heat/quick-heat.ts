// The quick answer: how warm is the top of each piece when the nozzle comes back, and how long should the layer take?
//
// Every piece of a layer is one node, even across; layers are laid at once, a layer time apart; constant cp; the nozzle's heat comes
// with the plastic. The least layer time is the growing column's closed form, scaled by what the model finds at the real layer time, so
// that hollows, neighbours and the way up from the bed count. Near a bed warmer than the limit no layer time helps: NaN.

import type { BeadPlan } from '../beads/index.ts'
import type { Task } from '../kernel/index.ts'
import type { Timeline } from '../timing/index.ts'
import { convectionWPerM2K, radiationWPerM2K, seesDisc } from './air.ts'
import { growingColumnLeastS, growingColumnTop, heldTopHeat } from './closed-forms.ts'
import { AIR_RANGE, HEAT_DEFAULTS, type HeatConditions, type HeatOptions } from './conditions.ts'
import { findPieces, type Pieces } from './find-pieces.ts'
import { layCells } from './lay-cells.ts'
import { GAP_W_PER_MM2_K, ringMm2 } from './nozzle.ts'
import { type PieceState, pieceTree, stepPieces } from './piece-tree.ts'
import { enthalpyTable, meanHeatCapacity } from './plastic.ts'
import type { QuickHeat } from './types.ts'

/** Parts of a layer time that are steps: short just after laying. */
const STEPS = [0.02, 0.04, 0.08, 0.14, 0.22, 0.25, 0.25]
/** Depth followed in these steps, mm; deeper layers move once a layer. */
const WINDOW_MM = 6
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

/** The quick answer for a plan. */
export const quickHeat = async (
  plan: BeadPlan,
  timeline: Timeline,
  conditions: HeatConditions,
  options: Partial<HeatOptions> = {},
  task?: Task,
): Promise<QuickHeat> => {
  const settings = { ...HEAT_DEFAULTS, ...options }
  const laid = await layCells(plan, timeline, settings.cellMm, task)
  return quickHeatOf(plan, timeline, conditions, findPieces(plan, laid), settings)
}

/** The quick answer where the pieces are known already. */
export const quickHeatOf = (
  plan: BeadPlan,
  timeline: Timeline,
  conditions: HeatConditions,
  pieces: Pieces,
  settings: HeatOptions,
): QuickHeat => {
  const airMPerS = Number.isNaN(settings.airMPerS) ? conditions.printer.fanAirMPerS : settings.airMPerS
  const at = (air: number): AtAir => followPieces(plan, timeline, conditions, pieces, settings, air)
  const own = at(airMPerS)
  const others = AIR_RANGE.map(at)
  const realS = Float64Array.from(timeline.layerRealS)
  return {
    kind: 'quick-heat',
    nLayers: plan.nLayers,
    airMPerS,
    topC: own.topC,
    realS,
    leastS: own.leastS,
    airSpeeds: AIR_RANGE,
    topAtAirC: others.map((o) => o.topC),
    leastAtAirS: others.map((o) => o.leastS),
    pauseS: own.leastS.map((least, k) => Math.max(0, least - realS[k])),
    speedShare: own.leastS.map((least, k) =>
      Number.isNaN(least) ? Number.NaN : least > 0 ? Math.min(1, realS[k] / least) : 1,
    ),
    decidingWidthMm: own.widthMm,
    decidingAt: own.at,
    limitC: conditions.filament.softeningFromC,
  }
}

interface AtAir {
  readonly topC: Float64Array
  readonly leastS: Float64Array
  readonly widthMm: Float64Array
  readonly at: Float64Array
}

const followPieces = (
  plan: BeadPlan,
  timeline: Timeline,
  { filament, printer, recipe }: HeatConditions,
  pieces: Pieces,
  { roomC, bedContactWPerM2K }: HeatOptions,
  airMPerS: number,
): AtAir => {
  const { n, layerStart, plasticMm2, outlineMm2, perimeterMm, widthMm, middle, belowStart, sharedMm2 } = pieces
  const { nLayers, layerHeight } = plan
  const conductivity = filament.conductivityWPerMK * 1e-3
  const tree = pieceTree(pieces, layerHeight, conductivity)
  const cp = meanHeatCapacity(enthalpyTable(filament.heatCapacityJPerKgK, 512), roomC, recipe.nozzleC)
  const heatPerMm3 = filament.densityGPerCm3 * 1e-3 * cp * 1e-3
  const alpha = conductivity / heatPerMm3
  const state: PieceState = {
    celsius: new Float64Array(n).fill(roomC),
    capacity: new Float64Array(n),
    loss: new Float64Array(n),
    bed: new Float64Array(n),
    diagonal: new Float64Array(n),
    right: new Float64Array(n),
    guess: new Float64Array(n),
  }
  const radiation = radiationWPerM2K(filament.emissivityShare, SURFACE_C, roomC) * 1e-6
  const sky = seesDisc(printer.blockWidthMm / 2, printer.blockHeightMm)
  const side = new Float64Array(n)
  const topC = new Float64Array(nLayers).fill(Number.NaN)
  const leastS = new Float64Array(nLayers).fill(Number.NaN)
  const width = new Float64Array(nLayers).fill(Number.NaN)
  const place = new Float64Array(2 * nLayers).fill(Number.NaN)
  const limit = filament.softeningFromC - roomC
  let fan = Number.NaN
  let low = 0
  for (let layer = 0; layer < nLayers; layer++) {
    const from = layerStart[layer]
    const to = layerStart[layer + 1]
    const h = layerHeight[layer]
    const nozzleC = Number.isFinite(plan.nozzleC[layer]) ? plan.nozzleC[layer] : recipe.nozzleC
    const bedC = Number.isFinite(plan.bedC[layer]) ? plan.bedC[layer] : recipe.bedC
    const seconds = timeline.layerS[layer + 1] - timeline.layerS[layer]
    if (plan.fanShare[layer] !== fan) {
      fan = plan.fanShare[layer]
      for (let i = 0; i < n; i++)
        side[i] = convectionWPerM2K(widthMm[i], airMPerS * fan, SURFACE_C, roomC) * 1e-6 + radiation
      for (let k = 0; k < layer; k++)
        for (let i = layerStart[k]; i < layerStart[k + 1]; i++)
          state.loss[i] = side[i] * perimeterMm[i] * layerHeight[k]
    }
    const extraC = nozzleRise(plan, timeline, layer, printer.nozzleLandMm, nozzleC, conductivity, alpha)
    // The block's heat on the free top during one layer time is given to the layer as it is laid.
    const block =
      (sky * radiationWPerM2K(filament.emissivityShare, nozzleC, SURFACE_C) * 1e-6 * (nozzleC - SURFACE_C)) /
      heatPerMm3 /
      h
    for (let i = from; i < to; i++) {
      state.celsius[i] = nozzleC + extraC + block * seconds * Math.min(1, BLOCK_SEEN_MM2 / plasticMm2[i])
      state.capacity[i] = plasticMm2[i] * h * heatPerMm3
      // The free top cools as well, until it is covered.
      state.loss[i] = side[i] * (perimeterMm[i] * h + plasticMm2[i])
      if (layer === 0) state.bed[i] = plasticMm2[i] / (1 / (bedContactWPerM2K * 1e-6) + h / 2 / conductivity)
      for (let k = belowStart[i]; k < belowStart[i + 1]; k++)
        state.loss[pieces.below[k]] = Math.max(
          side[pieces.below[k]] * perimeterMm[pieces.below[k]] * layerHeight[layer - 1],
          state.loss[pieces.below[k]] - side[pieces.below[k]] * sharedMm2[k],
        )
    }
    if (!(seconds > 0) || to === from) continue
    while (plan.layerTopZ[layer] - plan.layerTopZ[low] > WINDOW_MM) low++
    for (const share of STEPS) stepPieces(tree, state, layerStart[low], to, share * seconds, roomC, bedC)
    if (low > 0) stepPieces(tree, state, 0, layerStart[low], seconds, roomC, bedC)

    for (let i = from; i < to; i++) {
      const t = state.celsius[i]
      if (!(t <= topC[layer])) topC[layer] = t
      const column = {
        widthMm: (4 * plasticMm2[i]) / perimeterMm[i],
        layerMm: h,
        lossWPerMm2K: side[i],
        conductivity,
        alpha,
      }
      // What the bed alone would hold here, as in a long fin.
      const m = Math.sqrt((side[i] * perimeterMm[i]) / (conductivity * outlineMm2[i]))
      const byBed = (bedC - roomC) * Math.exp(-m * plan.layerTopZ[layer])
      if (byBed >= 0.9 * limit) continue
      const steady = growingColumnTop(column, seconds).share * (nozzleC - roomC)
      const scale = Math.max(0, t - roomC - byBed) / steady
      const share = scale > 0 ? (limit - byBed) / (scale * (nozzleC - roomC)) : 1
      const least = growingColumnLeastS(column, share)
      if (!(least <= leastS[layer])) {
        leastS[layer] = least
        width[layer] = widthMm[i]
        place[2 * layer] = middle[2 * i]
        place[2 * layer + 1] = middle[2 * i + 1]
      }
    }
  }
  return { topC, leastS, widthMm: width, at: place }
}
