// Ooze time constant from pairs of pins with and without a thread: the engine's own string model, for a range of time constants.
//
// Model: a gap shows a thread with the probit of the logarithm of what is dragged across over what the thinnest seen thread needs; gaps of
// a row are told apart by their length, so a count of threads is a sum of unlike chances (exact by adding gap by gap).

import type { PolygonKit, Task } from '../../engine/kernel/index.ts'
import { findStrings, STRING_DEFAULTS } from '../../engine/melt/index.ts'
import { normalShare } from '../../engine/strength/index.ts'
import { pieceFor } from '../coupon/pieces.ts'
import { planRow } from '../coupon/plan-row.ts'
import type { TrialCards } from '../ladders.ts'
import { ALIKE, LAPSE } from '../success-model.ts'
import type { LadderSetting } from '../types.ts'
import { type Estimate, estimateOnGrid, logGrid } from './estimate.ts'

/** Error of the string model, one deviation of the logarithm; rough, no source: thread volumes differ by a factor. */
const FORECAST_ERROR = 0.7
const CARD_DEVIATION = 0.8
export const OOZE_GRID = logGrid(0.02, 10, 64)

/** What the engine says of a row of pins at one level. */
export interface PinForecast {
  readonly level: number
  /** Chance of a thread for every gap (rows) and every time constant of the grid (columns). */
  readonly chances: readonly Float64Array[]
}

/** Gaps that differ by less are one, mm. */
const SAME_GAP_MM = 1

/** Forecast for the pins at one level. */
export const forecastPins = async (
  setting: LadderSetting,
  level: number,
  cards: TrialCards,
  kit: PolygonKit,
  task?: Task,
): Promise<PinForecast> => {
  const piece = pieceFor('pins', cards)
  const { plan, stack, timeline } = await planRow(piece, setting, level, cards, kit, task)
  const noSurplus = { endSurplusMm: new Float32Array(plan.nBeads) }
  const { stickingShare, threadMm } = STRING_DEFAULTS
  const gaps = new Map<number, Float64Array[]>()
  for (const [t, oozeTimeConstantS] of OOZE_GRID.entries()) {
    const strings = findStrings(plan, stack, noSurplus, timeline, {
      filamentMm: cards.filament.diameterMm,
      oozeTimeConstantS,
    })
    for (let i = 0; i < strings.nCrossings; i++) {
      const air = strings.airMm[i]
      // The foot and the priming loops lie in the lower layers.
      if (strings.layer[i] < plan.nLayers / 2) continue
      // Longer ways go over several gaps; they are drawn in each of them, but seen as one.
      if (air > (piece.facts.longestGapMm ?? 0) + SAME_GAP_MM) continue
      const needs = (Math.PI / 4) * threadMm * threadMm * air
      const ratio = (strings.leftBehindMm3[i] * stickingShare + strings.oozeMm3[i]) / needs
      const gap = [...gaps.keys()].find((other) => Math.abs(other - air) < SAME_GAP_MM) ?? air
      const columns = gaps.get(gap) ?? Array.from(OOZE_GRID, () => new Float64Array(0))
      columns[t] = Float64Array.of(...columns[t], ratio)
      gaps.set(gap, columns)
    }
  }
  const chances = [...gaps.values()].map((columns) =>
    Float64Array.from(columns, (ratios) => {
      const sorted = ratios.slice().sort()
      const ratio = sorted.length > 0 ? sorted[sorted.length >> 1] : 0
      const share = ratio > 0 ? normalShare(Math.log(ratio) / FORECAST_ERROR) : 0
      return LAPSE + (1 - 2 * LAPSE) * share
    }),
  )
  return { level, chances }
}

/** Chance of just so many threads at one time constant; more pairs than gaps known share the mean chance. */
export const threadCountChance = (
  chances: readonly Float64Array[],
  column: number,
  strings: number,
  pairs: number,
): number => {
  const mean = chances.reduce((sum, one) => sum + one[column], 0) / Math.max(1, chances.length)
  let counts = [1]
  for (let pair = 0; pair < pairs; pair++) {
    const p = pair < chances.length ? chances[pair][column] : mean
    const next = new Array<number>(counts.length + 1).fill(0)
    for (let k = 0; k < counts.length; k++) {
      next[k] += counts[k] * (1 - p)
      next[k + 1] += counts[k] * p
    }
    counts = next
  }
  return counts[strings] ?? 0
}

/** So many pairs of so many showed a thread, with the forecast of their row. */
export interface PinRow {
  readonly forecast: PinForecast
  readonly strings: number
  readonly pairs: number
}

/** Ooze time constant; null without any row. */
export const estimateOozeTime = (rows: readonly PinRow[], cardS: number, alike = ALIKE): Estimate | null => {
  const known = rows.filter(({ forecast }) => forecast.chances.length > 0)
  if (known.length === 0) return null
  const logLikelihood = Float64Array.from(OOZE_GRID, (_, t) =>
    known.reduce((sum, { forecast, strings, pairs }) => {
      const worth = 1 / (1 + (pairs - 1) * alike)
      return sum + worth * Math.log(Math.max(1e-12, threadCountChance(forecast.chances, t, strings, pairs)))
    }, 0),
  )
  return estimateOnGrid(OOZE_GRID, cardS, CARD_DEVIATION, logLikelihood, known.length)
}
