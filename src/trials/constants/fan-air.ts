// Air speed at the part from posts that leaned or stood: the engine's own forecast of the least layer time, for a range of air speeds.
//
// Model: a post comes out good with the probit of the logarithm of its real layer time over the least one at that air; the error of the
// forecast is the curve's width. Limit: leaning has other causes too; ask for them first.

import { quickHeat } from '../../engine/heat/index.ts'
import type { PolygonKit, Task } from '../../engine/kernel/index.ts'
import { normalShare } from '../../engine/strength/index.ts'
import { pieceFor } from '../coupon/pieces.ts'
import { planRow } from '../coupon/plan-row.ts'
import type { TrialCards } from '../ladders.ts'
import { ALIKE, LAPSE } from '../success-model.ts'
import type { LadderSetting } from '../types.ts'
import { type Estimate, estimateOnGrid, logGrid } from './estimate.ts'

/** What the engine says of a row of posts at one level. */
export interface PostForecast {
  readonly level: number
  /** Real time of a layer, s, middle of the upper half of the posts. */
  readonly layerS: number
  /** Least layer time for each air speed with the fan full, s. */
  readonly airMPerS: readonly number[]
  readonly leastS: readonly number[]
}

/** Error of the forecast, one deviation of the logarithm; rough, no source. */
const FORECAST_ERROR = 0.3
/** The card's air speed may be off by this, one deviation of the logarithm. */
const CARD_DEVIATION = 0.6
const AIR_GRID = logGrid(0.2, 8, 75)

const middleOf = (values: readonly number[]): number => {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort((a, b) => a - b)
  return sorted.length > 0 ? sorted[sorted.length >> 1] : Number.NaN
}

/** Forecast for the posts at one level. */
export const forecastPosts = async (
  setting: LadderSetting,
  level: number,
  cards: TrialCards,
  kit: PolygonKit,
  task?: Task,
): Promise<PostForecast> => {
  const { plan, timeline, recipe } = await planRow(pieceFor('posts', cards), setting, level, cards, kit, task)
  const heat = await quickHeat(plan, timeline, { ...cards, recipe }, {}, task)
  const from = plan.nLayers >> 1
  const upper = (values: Float64Array): number => middleOf([...values.subarray(from)])
  return {
    level,
    layerS: upper(timeline.layerRealS),
    airMPerS: heat.airSpeeds,
    leastS: heat.leastAtAirS.map(upper),
  }
}

/** Least layer time at any air speed: straight between the forecasts in logarithms, and on beyond them. */
export const leastAt = ({ airMPerS, leastS }: PostForecast, air: number): number => {
  let i = 1
  while (i < airMPerS.length - 1 && airMPerS[i] < air) i++
  const share = Math.log(air / airMPerS[i - 1]) / Math.log(airMPerS[i] / airMPerS[i - 1])
  return leastS[i - 1] * (leastS[i] / leastS[i - 1]) ** share
}

/** Chance that a post stands at an air speed. */
export const postStands = (forecast: PostForecast, air: number): number =>
  LAPSE + (1 - 2 * LAPSE) * normalShare(Math.log(forecast.layerS / leastAt(forecast, air)) / FORECAST_ERROR)

/** So many posts of so many stood, with the forecast of their row. */
export interface PostRow {
  readonly forecast: PostForecast
  readonly good: number
  readonly tried: number
}

/** Air speed with the fan full; null without any row. */
export const estimateFanAir = (rows: readonly PostRow[], cardMPerS: number, alike = ALIKE): Estimate | null => {
  if (rows.length === 0) return null
  const logLikelihood = Float64Array.from(AIR_GRID, (air) =>
    rows.reduce((sum, { forecast, good, tried }) => {
      const p = postStands(forecast, air)
      const worth = 1 / (1 + (tried - 1) * alike)
      return sum + worth * (good * Math.log(p) + (tried - good) * Math.log(1 - p))
    }, 0),
  )
  return estimateOnGrid(AIR_GRID, cardMPerS, CARD_DEVIATION, logLikelihood, rows.length)
}
