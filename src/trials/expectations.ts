// What card and practice lead one to expect before the first print: where success turns, and how far that may be off.
//
// Common practice, no source, unless a card says it. Deviations are wide on purpose: two or three prints outweigh them.

import { STRING_DEFAULTS } from '../engine/melt/index.ts'
import { LADDERS, levelsOf, type TrialCards } from './ladders.ts'
import { type SuccessModel, type SuccessShape, successPrior } from './success-model.ts'
import type { LadderSetting, Trial } from './types.ts'

/** An opinion about a threshold, in the unit of the setting. */
export interface Opinion {
  readonly at: number
  readonly deviation: number
  readonly why: string
}

/** The opinion about the lower (or only) and the upper threshold. */
export interface Opinions {
  readonly low: Opinion | null
  readonly high: Opinion | null
}

const NONE: Opinions = { low: null, high: null }

/** What to expect of a piece and a setting. @param engine the engine's own forecast, which goes before practice */
export const opinionsOf = (
  piece: Trial['piece'],
  setting: LadderSetting,
  { recipe, printer, filament }: TrialCards,
  engine: Opinion | null = null,
): Opinions => {
  switch (setting) {
    case 'nozzleC': {
      const cold = { at: filament.nozzleFromC - 2.5, deviation: 7, why: 'coolest nozzle on the filament card' }
      const hot = { at: filament.nozzleToC + 2.5, deviation: 7, why: 'hottest nozzle on the filament card' }
      if (piece === 'rods') return { low: engine ?? cold, high: null }
      return piece === 'figure' ? { low: cold, high: engine ?? hot } : { low: engine ?? hot, high: null }
    }
    case 'flowShare': {
      const full = { at: 1.03, deviation: 0.05, why: '95 % helps against strings; more leaves a surplus' }
      const lean = { at: 0.91, deviation: 0.04, why: 'gaps show when flow is too low' }
      return piece === 'pins' ? { low: engine ?? full, high: null } : { low: lean, high: full }
    }
    case 'fanShare':
      if (piece === 'figure')
        return { low: { at: 0.5, deviation: 0.35, why: 'fan full from the second layer' }, high: null }
      return { low: engine ?? { at: 0.5, deviation: 0.35, why: 'fan full from the second layer' }, high: null }
    case 'outerShellSpeedMmPerS':
      return {
        low: { at: 13, deviation: 3, why: 'at 10 to 12 mm/s the nozzle lingers' },
        high: engine ?? { at: 0.8 * recipe.speedMmPerS, deviation: 10, why: 'half of the base speed is safe' },
      }
    case 'retractionMm': {
      const play = printer.feedType === 'bowden' ? STRING_DEFAULTS.playMm : 0.6
      return {
        low: engine ?? { at: play, deviation: 1.2, why: 'the give of the filament between gear and nozzle' },
        high: null,
      }
    }
    case 'leastLayerTimeS':
      return {
        low: engine ?? { at: recipe.leastLayerTimeS, deviation: 6, why: 'least layer time of the recipe' },
        high: null,
      }
    default:
      return NONE
  }
}

/** Spreads held possible, as a multiple of the ladder's step: from a sharp edge to a slow one. */
const SPREADS = [0.35, 0.8, 1.8, 4]

/** The model before the first print of this piece along this setting. */
export const priorFor = (
  setting: LadderSetting,
  shape: SuccessShape,
  cards: TrialCards,
  { low, high }: Opinions,
): SuccessModel => {
  const ladder = LADDERS[setting]
  const levels = levelsOf(ladder, cards)
  const least = levels[0]
  const most = levels[levels.length - 1]
  // Beyond both ends, so that "all good" and "none good" have room.
  const beyond = Math.max(3 * ladder.step, 0.35 * (most - least))
  const gridStep = shape === 'window' ? ladder.step / 2 : ladder.step / 5
  const cells = Math.ceil((most - least + 2 * beyond) / gridStep)
  return successPrior({
    shape,
    from: least - beyond,
    to: least - beyond + cells * gridStep,
    gridStep,
    spreads: SPREADS.map((share) => share * ladder.step),
    expected: low,
    expectedUpper: high,
  })
}
