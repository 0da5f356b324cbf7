// The one change to make: the one that helps with the likeliest causes, in plain words; one step at a time.

import { LADDERS, levelsOf, levelWords, type TrialCards } from '../ladders.ts'
import type { LadderSetting } from '../types.ts'
import { type Cause, QUESTIONS_TO_ASK } from './causes.ts'
import type { CauseChance } from './diagnose.ts'

/** One change. `setting` and `to` when it is a line of the recipe, else a thing to do. */
export interface ChangeToMake {
  readonly words: string
  readonly setting: LadderSetting | null
  readonly from: number | null
  readonly to: number | null
  /** Chance that it helps, 0-1: chances of the causes it treats, as far as it treats them, taken as independent. */
  readonly helps: number
}

interface Treatment {
  readonly treats: Readonly<Partial<Record<Cause, number>>>
  /** Effort: 1 a line of the recipe, 2 a thing to do at the machine, 3 something to buy. */
  readonly effort: 1 | 2 | 3
  readonly make: (cards: TrialCards) => Omit<ChangeToMake, 'helps'> | null
}

/** One step along a ladder; null at its end. */
const step =
  (setting: LadderSetting, up: boolean): Treatment['make'] =>
  (cards) => {
    const ladder = LADDERS[setting]
    const own = cards.recipe[setting]
    const levels = levelsOf(ladder, cards)
    const to = up ? levels.find((level) => level > own + 1e-9) : levels.findLast((level) => level < own - 1e-9)
    if (to === undefined) return null
    return {
      words: `Set ${ladder.label} to ${levelWords(ladder, to)} (now ${levelWords(ladder, own)}), nothing else, and print again.`,
      setting,
      from: own,
      to,
    }
  }
const act =
  (words: string): Treatment['make'] =>
  () => ({ words, setting: null, from: null, to: null })

const TREATMENTS: readonly Treatment[] = [
  { treats: { hot: 0.85, pressure: 0.45, damp: 0.25, soft: 0.2, air: 0.15 }, effort: 1, make: step('nozzleC', false) },
  { treats: { cold: 0.85, melt: 0.35 }, effort: 1, make: step('nozzleC', true) },
  { treats: { surplus: 0.8, 'feeds more': 0.4, pressure: 0.2, worn: 0.2 }, effort: 1, make: step('flowShare', false) },
  { treats: { lean: 0.85, 'feeds less': 0.35, diameter: 0.2, blocked: 0.1 }, effort: 1, make: step('flowShare', true) },
  { treats: { pressure: 0.75 }, effort: 1, make: step('retractionMm', true) },
  { treats: { chewed: 0.7 }, effort: 1, make: step('retractionMm', false) },
  { treats: { soft: 0.85, air: 0.45, hot: 0.1 }, effort: 1, make: step('leastLayerTimeS', true) },
  { treats: { air: 0.6, soft: 0.3 }, effort: 1, make: step('fanShare', true) },
  { treats: { fast: 0.8, loose: 0.2, melt: 0.3 }, effort: 1, make: step('outerShellSpeedMmPerS', false) },
  { treats: { linger: 0.85 }, effort: 1, make: step('outerShellSpeedMmPerS', true) },
  {
    treats: { damp: 0.9 },
    effort: 2,
    make: act('Dry the spool in a drier made for it, as its maker says, and print again; nothing else changed.'),
  },
  {
    treats: { 'feeds more': 0.9, 'feeds less': 0.9 },
    effort: 2,
    make: act(
      "Set the feed right: mark 100 mm, measure what passes, and correct the machine's steps of the filament by the ratio; nothing else changed.",
    ),
  },
  {
    treats: { diameter: 0.8 },
    effort: 2,
    make: act(
      'Write the mean of ten measured diameters into the filament card; where they differ by more than 0.05 mm take another spool.',
    ),
  },
  {
    treats: { blocked: 0.8 },
    effort: 2,
    make: act(
      'Clear the nozzle: pull a piece of filament out of it while it cools, until it comes out clean; else fit a new nozzle.',
    ),
  },
  {
    treats: { worn: 0.9, blocked: 0.6 },
    effort: 3,
    make: act('Fit a new nozzle of the same bore, hot-tightened as the maker of the machine says.'),
  },
  {
    treats: { air: 0.75 },
    effort: 2,
    make: act('Switched off and cold: clean the part fan and its duct, and turn the duct towards the nozzle.'),
  },
  {
    treats: { loose: 0.85 },
    effort: 2,
    make: act('Switched off: tighten slack belts and take up the play of head and bed.'),
  },
  {
    treats: { hold: 0.8 },
    effort: 2,
    make: act('Wash the bed, set its height anew, and print again; nothing else changed.'),
  },
  {
    treats: { chewed: 0.6, blocked: 0.2 },
    effort: 2,
    make: act(
      'Brush the feed gear clean, cut off the bitten filament, set its pressure so that it leaves light marks.',
    ),
  },
]

/** Something to buy or take apart must promise this much more than a line of the recipe. */
const WORTH = [1, 0.9, 0.75]

/** The change that helps most for its effort; null when none of the likely causes has one. */
export const changeFor = (causes: readonly CauseChance[], cards: TrialCards): ChangeToMake | null => {
  let best: ChangeToMake | null = null
  let bestWorth = 0
  for (const { treats, effort, make } of TREATMENTS) {
    let fails = 1
    for (const { cause, chance } of causes) fails *= 1 - chance * (treats[cause] ?? 0)
    const helps = 1 - fails
    if (helps * WORTH[effort - 1] <= bestWorth) continue
    const change = make(cards)
    if (!change) continue
    best = { ...change, helps }
    bestWorth = helps * WORTH[effort - 1]
  }
  return best
}

/** The ways a question is answered, in words: "feed mark=under|right|over". */
export const answerWords = (id: keyof typeof QUESTIONS_TO_ASK): string =>
  `"${id}=${QUESTIONS_TO_ASK[id].answers.join('|')}"`
