// The quick answer: how warm is what each piece is laid on, and how much time should pass between its layers?
//
// The layer model (follow-pieces.ts) is run at the real times and at times two and four times as long; between these the time at which the
// top is just back below the limit is read off, beyond them it follows the growing column's closed form, scaled by what the model finds.
// For other air speeds the closed form's ratio is used. Near a bed warmer than the limit no time helps: NaN.

import type { BeadPlan } from '../beads/index.ts'
import type { Task } from '../kernel/index.ts'
import type { Timeline } from '../timing/index.ts'
import { AIR_RANGE, HEAT_DEFAULTS, type HeatConditions, type HeatOptions } from './conditions.ts'
import { findPieces, type Pieces } from './find-pieces.ts'
import { type FollowedPieces, followPieces } from './follow-pieces.ts'
import { layCells } from './lay-cells.ts'
import type { QuickHeat } from './types.ts'

/** Times the model is run at, as a multiple of the real ones. */
const STRETCHES = [2, 4]

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

/** Least time of one piece from runs at rising times, s. */
const leastOf = (runs: readonly FollowedPieces[], i: number, limitC: number, roomC: number): number => {
  const { landC, intervalS, columnS } = runs[0]
  if (Number.isNaN(columnS[i])) return Number.NaN
  // Soft enough already at the real times: the closed form carries on to shorter ones.
  if (landC[i] <= limitC) return Math.min(columnS[i], intervalS[i])
  for (let k = 1; k < runs.length; k++) {
    if (runs[k].landC[i] > limitC) continue
    const before = Math.log((runs[k - 1].landC[i] - roomC) / (limitC - roomC))
    const after = Math.log(Math.max(1e-3, runs[k].landC[i] - roomC) / (limitC - roomC))
    return runs[k - 1].intervalS[i] * (runs[k].intervalS[i] / runs[k - 1].intervalS[i]) ** (before / (before - after))
  }
  const last = runs[runs.length - 1]
  return Math.max(last.columnS[i], last.intervalS[i])
}

/** The quick answer where the pieces are known already. */
export const quickHeatOf = (
  plan: BeadPlan,
  timeline: Timeline,
  conditions: HeatConditions,
  pieces: Pieces,
  settings: HeatOptions,
): QuickHeat => {
  const { nLayers } = plan
  const airMPerS = Number.isNaN(settings.airMPerS) ? conditions.printer.fanAirMPerS : settings.airMPerS
  const limitC = conditions.filament.softeningFromC
  const follow = (air: number, stretch = 1): FollowedPieces =>
    followPieces(plan, timeline, conditions, pieces, settings, air, stretch)
  const own = follow(airMPerS)
  const { timesToo } = settings
  const airSpeeds = timesToo ? AIR_RANGE : []
  const runs = [own, ...(timesToo ? STRETCHES : []).map((stretch) => follow(airMPerS, stretch))]
  const others = airSpeeds.map((air) => (air === airMPerS ? own : follow(air)))
  const nan = (n = nLayers): Float64Array => new Float64Array(n).fill(Number.NaN)
  const topC = nan()
  const leastS = nan()
  const intervalS = nan()
  const pauseS = nan()
  const speedShare = nan()
  const decidingWidthMm = nan()
  const decidingAt = nan(2 * nLayers)
  const topAtAirC = airSpeeds.map(() => nan())
  const leastAtAirS = airSpeeds.map(() => nan())
  for (let layer = 0; layer < nLayers; layer++) {
    let decides = -1
    for (let i = pieces.layerStart[layer]; i < pieces.layerStart[layer + 1]; i++) {
      if (!(own.landC[i] <= topC[layer])) topC[layer] = own.landC[i]
      for (let a = 0; a < others.length; a++)
        if (!(others[a].landC[i] <= topAtAirC[a][layer])) topAtAirC[a][layer] = others[a].landC[i]
      const least = leastOf(runs, i, limitC, settings.roomC)
      if (Number.isNaN(least)) continue
      // The piece that misses most of its time decides.
      if (decides >= 0 && least - own.intervalS[i] <= leastS[layer] - intervalS[layer]) continue
      decides = i
      leastS[layer] = least
      intervalS[layer] = own.intervalS[i]
    }
    if (decides < 0) continue
    pauseS[layer] = Math.max(0, leastS[layer] - intervalS[layer])
    speedShare[layer] = leastS[layer] > 0 ? Math.min(1, intervalS[layer] / leastS[layer]) : 1
    decidingWidthMm[layer] = pieces.widthMm[decides]
    decidingAt[2 * layer] = pieces.middle[2 * decides]
    decidingAt[2 * layer + 1] = pieces.middle[2 * decides + 1]
    for (let a = 0; a < others.length; a++) {
      const base = own.columnS[decides]
      leastAtAirS[a][layer] =
        base > 0 ? (leastS[layer] * others[a].columnS[decides]) / base : others[a].columnS[decides]
    }
  }
  return {
    kind: 'quick-heat',
    nLayers,
    airMPerS,
    topC,
    realS: Float64Array.from(timeline.layerRealS),
    leastS,
    intervalS,
    airSpeeds,
    topAtAirC,
    leastAtAirS,
    pauseS,
    speedShare,
    decidingWidthMm,
    decidingAt,
    limitC,
  }
}
