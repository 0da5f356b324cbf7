// What recipe, cards and examination say for and against causes, as factors on their odds, each with its reason.
//
// The engine knows surplus outside the nozzle from pressure inside it; what it cannot see (damp, a wrong feed, wear) is left to questions.
// Factors are from memory, rough: 2 to 4 for what was found, a third to a half for what was looked for and not found.

import type { PrintResults } from '../../engine/findings/index.ts'
import type { QuickHeat } from '../../engine/heat/index.ts'
import { STRING_CAUSES, STRING_DEFAULTS } from '../../engine/melt/index.ts'
import type { TrialCards } from '../ladders.ts'
import type { Cause } from './causes.ts'

/** One reason. */
export interface Evidence {
  readonly cause: Cause
  /** Factor on the odds of the cause. */
  readonly factor: number
  readonly because: string
}

const STRONG = 4
const FAIR = 2.5
const AGAINST = 0.4

/** What the recipe says by itself, held against the cards. */
export const evidenceOfRecipe = ({ recipe, printer, filament }: TrialCards): readonly Evidence[] => {
  const found: Evidence[] = []
  const say = (cause: Cause, factor: number, because: string): void => {
    found.push({ cause, factor, because })
  }
  if (recipe.nozzleC >= filament.nozzleToC)
    say('hot', FAIR, `nozzle ${recipe.nozzleC} deg C is the hottest of the spool`)
  else if (recipe.nozzleC < (filament.nozzleFromC + filament.nozzleToC) / 2)
    say('hot', AGAINST, `nozzle ${recipe.nozzleC} deg C is on the cool side`)
  if (recipe.nozzleC <= filament.nozzleFromC)
    say('cold', FAIR, `nozzle ${recipe.nozzleC} deg C is the coolest of the spool`)
  if (recipe.flowShare <= 0.92) say('lean', STRONG, `flow is ${Math.round(100 * recipe.flowShare)} %`)
  else if (recipe.flowShare >= 1) say('lean', AGAINST, `flow is ${Math.round(100 * recipe.flowShare)} %`)
  if (recipe.fanShare < 0.6) say('air', FAIR, `the fan is set to ${Math.round(100 * recipe.fanShare)} %`)
  if (recipe.outerShellSpeedMmPerS < 13) say('linger', STRONG, `outer shell at ${recipe.outerShellSpeedMmPerS} mm/s`)
  else say('linger', AGAINST, `outer shell at ${recipe.outerShellSpeedMmPerS} mm/s`)
  if (recipe.outerShellSpeedMmPerS > 35 || recipe.accelerationMmPerS2 > 800)
    say(
      'fast',
      FAIR,
      `outer shell at ${recipe.outerShellSpeedMmPerS} mm/s, acceleration ${recipe.accelerationMmPerS2} mm/s2`,
    )
  const play = printer.feedType === 'bowden' ? STRING_DEFAULTS.playMm : 0.5
  if (recipe.retractionMm < play)
    say('pressure', FAIR, `retraction ${recipe.retractionMm} mm does not take up the give of the feed`)
  if (recipe.infillShare > 0.95) say('surplus', FAIR, 'infill leaves a surplus no room')
  return found
}

/** What the figure's examination says. */
export const evidenceOfPrint = (print: PrintResults): readonly Evidence[] => {
  const found: Evidence[] = []
  const say = (cause: Cause, factor: number, because: string): void => {
    found.push({ cause, factor, because })
  }
  const threads = (name: (typeof STRING_CAUSES)[number]): number =>
    print.strings.cause.reduce((n, cause) => n + (STRING_CAUSES[cause] === name ? 1 : 0), 0)
  const outside = threads('surplus outside the nozzle')
  const inside = threads('pressure inside the nozzle')
  const all = outside + inside
  const share = (n: number): string => `${n} of ${print.strings.nCrossings} travels over air`
  if (inside > all / 2)
    say('pressure', STRONG, `the engine finds threads from pressure inside the nozzle at ${share(inside)}`)
  else say('pressure', AGAINST, `the engine finds threads from pressure inside the nozzle at ${share(inside)} only`)
  const { overflowShare, gapShare } = print.balance.totals
  if (outside > all / 2 && outside > 0)
    say('surplus', FAIR, `the engine finds threads from surplus outside the nozzle at ${share(outside)}`)
  if (overflowShare > 0.01) say('surplus', FAIR, `${(100 * overflowShare).toFixed(1)} % of the plastic has no room`)
  else if (outside <= all / 2)
    say('surplus', AGAINST, `only ${(100 * overflowShare).toFixed(1)} % of the plastic has no room`)
  if (gapShare > 0.03) say('lean', FAIR, `${(100 * gapShare).toFixed(1)} % of the solid room stays empty`)
  if (print.gear.most > print.gear.mostAllowed)
    say(
      'chewed',
      STRONG,
      `one piece of filament passes the gear ${print.gear.most} times, ${print.gear.mostAllowed} are allowed`,
    )
  else say('chewed', AGAINST, `no filament passes the gear more than ${print.gear.most} times`)
  if (print.limit.nBeadsOver > 0) say('melt', STRONG, `${print.limit.nBeadsOver} beads ask for more than can be melted`)
  else say('melt', AGAINST, 'no bead asks for more than can be melted')
  return found
}

/** Share of the layers whose hottest piece is laid on plastic above the softening temperature; 0 where nothing is known. */
export const softLayerShare = ({ topC, limitC }: Pick<QuickHeat, 'topC' | 'limitC'>): number => {
  let soft = 0
  let all = 0
  for (const celsius of topC) {
    if (Number.isNaN(celsius)) continue
    all++
    if (celsius > limitC) soft++
  }
  return all > 0 ? soft / all : 0
}

/** What heat says: share of the layers that are laid on plastic above its softening temperature. */
export const evidenceOfHeat = (layersOnSoftShare: number): readonly Evidence[] => {
  const percent = Math.round(100 * layersOnSoftShare)
  if (layersOnSoftShare > 0.1)
    return [
      { cause: 'soft', factor: STRONG, because: `${percent} % of the layers are laid on plastic that is still soft` },
    ]
  return [
    {
      cause: 'soft',
      factor: AGAINST,
      because: `only ${percent} % of the layers are laid on plastic that is still soft`,
    },
  ]
}
