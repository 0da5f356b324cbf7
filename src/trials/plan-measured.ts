// The plan where a number is measured instead of good and bad: grams to snap against the setting.

import { type Ladder, levelsOf, levelWords, type TrialCards } from './ladders.ts'
import type { StopReason } from './plan-words.ts'
import { fitResponse, mostPromising, responseAt } from './response-model.ts'
import type { Reading } from './types.ts'

/** Stop when the next print is expected to gain less than this share. */
const LEAST_GAIN = 0.02

/** Answer at a level: middle and the range that holds it nine times of ten. */
export interface MeasuredLevel {
  readonly level: number
  readonly value: number
  readonly low: number
  readonly high: number
}

export interface MeasuredPlan {
  readonly next: { readonly levels: readonly number[]; readonly nats: number } | null
  readonly stop: StopReason | null
  readonly words: readonly string[]
  readonly response: readonly MeasuredLevel[]
}

/** Plan from grams; null when none have been measured. */
export const planMeasured = (
  rows: readonly { readonly reading: Reading }[],
  ladder: Ladder,
  cards: TrialCards,
  open: readonly number[],
): MeasuredPlan | null => {
  const measured = rows
    .filter(({ reading }) => reading.measure === 'snap' && reading.value > 0)
    .map(({ reading }) => ({ at: [reading.level], value: reading.value }))
  if (measured.length === 0) return null
  const levels = levelsOf(ladder, cards)
  const model = fitResponse(measured, { ranges: [[levels[0], levels[levels.length - 1]]] })
  const response = levels.map((level) => ({ level, ...responseAt(model, [level]) }))
  const best = response.reduce((a, b) => (b.value > a.value ? b : a))
  const found = mostPromising(
    model,
    open.map((level) => [level]),
  )
  const isEnough = found.gain < LEAST_GAIN
  const next = open[found.place]
  return {
    next: isEnough ? null : { levels: [next], nats: found.gain },
    stop: isEnough ? 'nothing to learn' : null,
    response,
    words: [
      `Strongest so far: ${levelWords(ladder, best.level)}, about ${Math.round(best.value)} g (90 %: ${Math.round(best.low)} to ${Math.round(best.high)}), from ${measured.length} ${measured.length === 1 ? 'rod' : 'rods'}.`,
      isEnough
        ? `Stop: another print would gain less than ${100 * LEAST_GAIN} %. Use ${levelWords(ladder, best.level)}.`
        : `Next: print the rods with ${ladder.label} ${levelWords(ladder, next)}, nothing else changed.`,
    ],
  }
}
