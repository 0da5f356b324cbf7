// What the engine expects of a coupon: the level at which its pieces come out good half of the time. The prior of a plan begins there.

import { breathe, type PolygonKit, type Task } from '../engine/kernel/index.ts'
import { forecastPosts, postStands } from './constants/fan-air.ts'
import { forecastPins, OOZE_GRID } from './constants/ooze-time.ts'
import type { Opinion } from './expectations.ts'
import { LADDERS, levelsOf, type TrialCards } from './ladders.ts'
import type { LadderSetting, Trial } from './types.ts'

/** The engine's word is taken within so many steps of the ladder, one deviation. */
const DEVIATION_STEPS = 2

/** Chances that differ by less over the whole ladder are no forecast. */
const LEAST_RESPONSE = 0.02

/** Chance of a good piece at a level by the engine; null for pieces it has no forecast for. */
const chanceFor = (
  piece: Trial['piece'],
  setting: LadderSetting,
  cards: TrialCards,
  kit: PolygonKit,
): ((level: number) => Promise<number>) | null => {
  if (piece === 'posts' && setting !== 'outerShellSpeedMmPerS')
    return async (level) => postStands(await forecastPosts(setting, level, cards, kit), cards.printer.fanAirMPerS)
  if (piece === 'pins')
    return async (level) => {
      const { chances } = await forecastPins(setting, level, cards, kit)
      const after = OOZE_GRID.findIndex((s) => s >= cards.printer.oozeTimeConstantS)
      const column = after < 0 ? OOZE_GRID.length - 1 : after
      return 1 - chances.reduce((sum, one) => sum + one[column], 0) / Math.max(1, chances.length)
    }
  return null
}

/**
 * Where the engine expects success to turn along a ladder: found by halving the rungs. Beyond the ladder's ends when it expects no turn.
 * Null for pieces and settings the engine has no forecast for.
 */
export const forecastTurn = async (
  piece: Trial['piece'],
  setting: LadderSetting,
  cards: TrialCards,
  kit: PolygonKit,
  task?: Task,
): Promise<Opinion | null> => {
  const chance = chanceFor(piece, setting, cards, kit)
  if (!chance) return null
  const ladder = LADDERS[setting]
  const levels = levelsOf(ladder, cards)
  const deviation = DEVIATION_STEPS * ladder.step
  const opinion = (at: number, why: string): Opinion => ({ at, deviation, why: `the engine's forecast: ${why}` })
  let low = 0
  let high = levels.length - 1
  let atLow = await chance(levels[low])
  let atHigh = await chance(levels[high])
  if (atLow > 0.5 === atHigh > 0.5) {
    // Where the setting hardly matters to the engine it has nothing to say.
    if (Math.abs(atHigh - atLow) < LEAST_RESPONSE) return null
    const allGood = atLow > 0.5
    const isRising = atHigh > atLow
    return opinion(
      allGood === isRising ? levels[0] - ladder.step : levels[levels.length - 1] + ladder.step,
      allGood ? 'every level comes out good' : 'no level comes out good',
    )
  }
  while (high - low > 1) {
    task?.onProgress?.(1 - (high - low) / levels.length, 'asking the engine')
    await breathe(task)
    const middle = (low + high) >> 1
    const here = await chance(levels[middle])
    if (here > 0.5 === atLow > 0.5) [low, atLow] = [middle, here]
    else [high, atHigh] = [middle, here]
  }
  const share = (0.5 - atLow) / (atHigh - atLow)
  return opinion(levels[low] + share * (levels[high] - levels[low]), 'half of the pieces good')
}
