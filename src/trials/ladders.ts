// The ladders: along which settings a trial may walk, in which steps, and how far at once.
//
// Steps and ranges are common practice, no source; the ends come from the cards where they say so.

import { MOST_NOZZLE_STEP_C } from '../engine/findings/index.ts'
import { type FilamentCard, type PrinterCard, RECIPE_FIELDS, type Recipe } from '../recipe/index.ts'
import { LADDER_SETTINGS, type LadderSetting } from './types.ts'

/** The cards and the recipe that a trial belongs to. */
export interface TrialCards {
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
}

export interface Ladder {
  readonly setting: LadderSetting
  /** Short word for commands. */
  readonly word: string
  readonly label: string
  readonly unit: string
  /** Distance of neighbouring levels, and the most that two trials in a row may differ. */
  readonly step: number
  readonly mostStep: number
  readonly decimals: number
  /** Ends of the ladder for these cards, and why there. */
  readonly ends: (cards: TrialCards) => { readonly from: number; readonly to: number; readonly why: string }
}

const fixed =
  (from: number, to: number, why: string) =>
  (_: TrialCards): { from: number; to: number; why: string } => ({ from, to, why })

const row = (
  setting: LadderSetting,
  word: string,
  unit: string,
  [step, mostStep, decimals]: readonly [number, number, number],
  ends: Ladder['ends'],
): Ladder => ({ setting, word, label: RECIPE_FIELDS[setting].label, unit, step, mostStep, decimals, ends })

export const LADDERS: Readonly<Record<LadderSetting, Ladder>> = {
  nozzleC: row('nozzleC', 'nozzle', 'deg C', [MOST_NOZZLE_STEP_C, MOST_NOZZLE_STEP_C, 0], ({ filament }) => ({
    from: filament.nozzleFromC,
    to: filament.nozzleToC,
    why: 'the spool is printed within this range',
  })),
  flowShare: row('flowShare', 'flow', '', [0.025, 0.05, 3], fixed(0.85, 1.1, 'beyond it the fault lies elsewhere')),
  fanShare: row('fanShare', 'fan', '', [0.25, 0.5, 2], fixed(0, 1, 'off to full')),
  outerShellSpeedMmPerS: row('outerShellSpeedMmPerS', 'outer-speed', 'mm/s', [5, 10, 1], ({ recipe }) => ({
    from: 12.5,
    to: Math.max(12.5, Math.floor(recipe.speedMmPerS / 5) * 5 - 2.5),
    why: 'slower than 12 the nozzle lingers; the base speed is the most',
  })),
  retractionMm: row('retractionMm', 'retraction', 'mm', [0.5, 1, 2], ({ printer }) =>
    printer.feedType === 'bowden'
      ? { from: 2, to: 7, why: 'longer ones chew the filament' }
      : { from: 0, to: 3, why: 'a short way from gear to nozzle needs no more' },
  ),
  leastLayerTimeS: row(
    'leastLayerTimeS',
    'layer-time',
    's',
    [3, 6, 0],
    fixed(3, 30, 'beyond it a print takes all day'),
  ),
}

/** The ladder whose word or key this is. */
export const ladderNamed = (word: string): Ladder | undefined =>
  LADDER_SETTINGS.map((setting) => LADDERS[setting]).find((ladder) => ladder.word === word || ladder.setting === word)

const round = (value: number, decimals: number): number => Number(value.toFixed(decimals))

/** All levels of a ladder: whole steps from the recipe's own value, so that the recipe stands on a rung, within the ends. */
export const levelsOf = (ladder: Ladder, cards: TrialCards): readonly number[] => {
  const { from, to } = ladder.ends(cards)
  const own = Math.min(to, Math.max(from, cards.recipe[ladder.setting]))
  const levels: number[] = []
  for (let k = Math.ceil((from - own) / ladder.step - 1e-9); own + k * ladder.step <= to + 1e-9; k++)
    levels.push(round(own + k * ladder.step, ladder.decimals))
  return levels
}

/** A level with its unit, as people read it. */
export const levelWords = (ladder: Ladder, level: number): string => {
  const isShare = ladder.setting === 'flowShare' || ladder.setting === 'fanShare'
  if (isShare) return `${round(100 * level, 1)} %`
  return `${round(level, ladder.decimals)} ${ladder.unit}`
}

/**
 * Levels that may be tried next: within the most step of one that is known, tried before or in the recipe.
 * @param known levels that have been printed; the recipe's own value counts as known
 */
export const reachable = (ladder: Ladder, cards: TrialCards, known: readonly number[]): readonly number[] => {
  const stands = [...known, cards.recipe[ladder.setting]]
  const levels = levelsOf(ladder, cards)
  const near = levels.filter((level) => stands.some((other) => Math.abs(other - level) <= ladder.mostStep + 1e-9))
  // A recipe off the ladder: its nearest rung is where to begin.
  if (near.length > 0) return near
  const own = cards.recipe[ladder.setting]
  return levels
    .slice()
    .sort((a, b) => Math.abs(a - own) - Math.abs(b - own))
    .slice(0, 1)
}

/** What is wrong with a row of levels laid one after the other, or null: a step too long, or a level off the ends. */
export const ladderFault = (ladder: Ladder, cards: TrialCards, levels: readonly number[]): string | null => {
  const { from, to, why } = ladder.ends(cards)
  const off = levels.find((level) => level < from - 1e-9 || level > to + 1e-9)
  if (off !== undefined)
    return `${ladder.label} ${levelWords(ladder, off)} lies outside ${levelWords(ladder, from)} to ${levelWords(ladder, to)}: ${why}`
  for (let i = 1; i < levels.length; i++)
    if (Math.abs(levels[i] - levels[i - 1]) > ladder.mostStep + 1e-9)
      return `from ${levelWords(ladder, levels[i - 1])} to ${levelWords(ladder, levels[i])} is more than ${levelWords(ladder, ladder.mostStep)} at once`
  return null
}
