// What to print next: from the record, the cards and the engine's forecast to the levels of the next coupon, how sure it is, and when to stop.

import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { type Opinion, opinionsOf, priorFor } from './expectations.ts'
import { LADDERS, type Ladder, levelsOf, levelWords, reachable, type TrialCards } from './ladders.ts'
import { informationOfRows, mostTellingRun, workGroups } from './next-level.ts'
import { type MeasuredLevel, planMeasured } from './plan-measured.ts'
import { percentWords, type StopReason } from './plan-words.ts'
import { QUESTIONS, successOf } from './questions.ts'
import { outcomesOf } from './read-record.ts'
import { judgeInTurn, SEQUENTIAL_DEFAULTS, wilsonInterval } from './share-interval.ts'
import {
  type Believed,
  chanceAt,
  type LevelCount,
  learn,
  type SuccessModel,
  type SuccessShape,
  sureOf,
  thresholdOf,
  upperOf,
} from './success-model.ts'
import type { LadderSetting, Reading, Trial, TrialsRecord } from './types.ts'
import { estimateUpAndDown, nextUpAndDown, type UpAndDownEstimate } from './up-and-down.ts'

export interface PlanOptions {
  /** Rows of the next coupon; 1 for a figure. */
  readonly rows: number
  /** A level works when prints there come out good at least so often, 0-1. */
  readonly wanted: number
  /** How sure one wants to be of that, 0-1. */
  readonly sure: number
  /** Prints teach too little from here on, nats. */
  readonly leastNats: number
  /** The engine's forecast of the threshold, where it has one. */
  readonly engine: Opinion | null
}
export const PLAN_DEFAULTS: PlanOptions = Object.freeze({
  rows: 3,
  wanted: 0.85,
  sure: 0.9,
  leastNats: 0.03,
  engine: null,
})

/** What is believed of one level. */
interface LevelBelief {
  readonly level: number
  /** Chance of a good print, with the range that holds it nine times of ten. */
  readonly chance: Believed
  /** Chance that it works as often as wanted. */
  readonly sure: number
  /** Nats one print there would teach about which levels work. */
  readonly nats: number
  readonly good: number
  readonly tried: number
}

export interface TrialPlan {
  readonly kind: 'trial-plan'
  readonly piece: Trial['piece']
  readonly setting: LadderSetting
  readonly shape: SuccessShape
  readonly nOutcomes: number
  readonly levels: readonly LevelBelief[]
  readonly threshold: Believed
  readonly upper: Believed | null
  /** The level to use as things stand. */
  readonly best: LevelBelief
  /** The next coupon; null when the stop rule says enough. */
  readonly next: { readonly levels: readonly number[]; readonly nats: number } | null
  readonly stop: StopReason | null
  /** Measured answer by level, where grams were measured. */
  readonly response: readonly MeasuredLevel[] | null
  /** The same by up and down: next level and, once both outcomes were seen, Dixon and Mood's estimate. Null for a window. */
  readonly simple: { readonly next: number; readonly estimate: UpAndDownEstimate | null } | null
  /** Prints of the best level in a row, good ones, that would prove it (sequential test), less those seen. */
  readonly proof: { readonly verdict: 'take' | 'drop' | 'go on'; readonly goodInARow: number }
  /** What is said about all this, in sentences. */
  readonly words: readonly string[]
  /** Opinions the model began with. */
  readonly expected: readonly string[]
}

/** A reading with the trial and the outcome it stands in. */
interface ReadingRow {
  readonly trial: Trial
  readonly outcome: string
  readonly reading: Reading
}

/** Readings that belong to this piece, setting, printer and filament, oldest first. */
export const readingsFor = (
  record: TrialsRecord,
  piece: Trial['piece'],
  setting: LadderSetting,
  { printer, filament }: TrialCards,
): ReadingRow[] =>
  outcomesOf(record)
    .filter(
      ({ trial }) =>
        trial.piece === piece &&
        trial.setting === setting &&
        trial.printer === printer.name &&
        trial.filament === filament.name,
    )
    .flatMap(({ trial, outcome }) => outcome.readings.map((reading) => ({ trial, outcome: outcome.id, reading })))

/** How success goes with a setting on a piece; null when the piece cannot judge it. */
const shapeOf = (piece: Trial['piece'], setting: LadderSetting): SuccessShape | null => {
  if (piece !== 'figure') return QUESTIONS[piece].settings[setting] ?? null
  return setting === 'nozzleC' || setting === 'flowShare' || setting === 'outerShellSpeedMmPerS' ? 'window' : 'rising'
}

/** One measure of a piece decides: a row told twice in one outcome (leaning and good) counts once. Each outcome is a print of its own. */
const countsOf = (rows: readonly ReadingRow[], piece: Trial['piece'], beadWidthMm: number): LevelCount[] => {
  const measures = piece === 'figure' ? null : QUESTIONS[piece].measures
  const told = new Map<string, { rank: number; count: LevelCount }>()
  for (const [i, { outcome, reading }] of rows.entries()) {
    const success = successOf(reading, beadWidthMm)
    if (!success) continue
    const rank = measures ? measures.indexOf(reading.measure) : 0
    if (rank < 0) continue
    const key = measures ? `${outcome} ${reading.level}` : `${i}`
    const other = told.get(key)
    if (!other || rank < other.rank) told.set(key, { rank, count: { level: reading.level, ...success } })
  }
  return [...told.values()].map(({ count }) => count)
}

const simpleOf = (
  counts: readonly LevelCount[],
  shape: SuccessShape,
  ladder: Ladder,
  cards: TrialCards,
): TrialPlan['simple'] => {
  if (shape === 'window') return null
  const levels = levelsOf(ladder, cards)
  const side = shape === 'falling' ? 1 : -1
  const steps = counts.map(({ level, good, tried }) => ({ level: side * level, good: 2 * good > tried }))
  if (steps.length === 0) return { next: cards.recipe[ladder.setting], estimate: null }
  const ends = [side * levels[0], side * levels[levels.length - 1]].sort((a, b) => a - b)
  const estimate = estimateUpAndDown(steps, ladder.step)
  const value = estimate.ok ? { ...estimate.value, threshold: side * estimate.value.threshold } : null
  const next = side * nextUpAndDown(steps[steps.length - 1], ladder.step, ends[0], ends[1])
  return { next: Number(next.toFixed(ladder.decimals)) + 0, estimate: value }
}

const stopOf = (
  levels: readonly LevelBelief[],
  model: SuccessModel,
  ladder: Ladder,
  options: PlanOptions,
  nats: number,
): StopReason | null => {
  const printed = levels.some(({ tried }) => tried > 0)
  if (!printed) return null
  // A level proves itself by prints of its own, not by its neighbours' alone.
  if (levels.some(({ sure, good, tried }) => tried > 0 && good > 0 && sure >= options.sure)) return 'works'
  if (levels.every(({ sure }) => sure < 0.05)) return 'nothing works'
  if (nats < options.leastNats) return 'nothing to learn'
  const { low, high } = thresholdOf(model)
  if (model.shape !== 'window' && high - low < ladder.step) return 'known'
  return null
}

const stopWords = (stop: StopReason, best: LevelBelief, ladder: Ladder): string => {
  switch (stop) {
    case 'works':
      return `Stop: ${levelWords(ladder, best.level)} works, ${percentWords(best.sure)} sure. Put it into the recipe.`
    case 'known':
      return `Stop: where it turns is known to within one step. Use ${levelWords(ladder, best.level)}.`
    case 'nothing works':
      return `Stop: no level of this ladder will do. The fault lies elsewhere; ask "fettle diagnose" and change another setting.`
    case 'nothing to learn':
      return `Stop: more prints along this ladder would teach next to nothing. Use ${levelWords(ladder, best.level)}.`
  }
}

/**
 * Plans the next trial of one piece along one setting.
 * Fails (code "trials/no-such-ladder") when the piece cannot judge the setting.
 */
export const planTrial = (
  record: TrialsRecord,
  piece: Trial['piece'],
  setting: LadderSetting,
  cards: TrialCards,
  given: Partial<PlanOptions> = {},
): Outcome<TrialPlan> => {
  const options = { ...PLAN_DEFAULTS, ...given }
  const shape = shapeOf(piece, setting)
  const ladder = LADDERS[setting]
  if (!shape)
    return failed(
      'trials/no-such-ladder',
      `The ${piece} cannot judge ${ladder.label}; choose another piece or setting.`,
    )
  const rows = readingsFor(record, piece, setting, cards)
  const counts = countsOf(rows, piece, cards.recipe.beadWidthMm)
  const opinions = opinionsOf(piece, setting, cards, options.engine)
  const model = learn(priorFor(setting, shape, cards, opinions), counts)
  const all = levelsOf(ladder, cards)
  const about = workGroups(model, all, options.wanted)
  const levels = all.map((level): LevelBelief => {
    const here = counts.filter((count) => Math.abs(count.level - level) < 1e-9)
    return {
      level,
      chance: chanceAt(model, level),
      sure: sureOf(model, level, options.wanted),
      nats: informationOfRows(model, [level], about),
      good: here.reduce((sum, one) => sum + one.good, 0),
      tried: here.reduce((sum, one) => sum + one.tried, 0),
    }
  })
  const best = bestOf(levels, cards.recipe[setting])
  const open = reachable(
    ladder,
    cards,
    rows.map(({ reading }) => reading.level),
  )
  const run = mostTellingRun(model, open, piece === 'figure' ? 1 : options.rows, about)
  const stop = stopOf(levels, model, ladder, options, run.nats)
  const measured = piece === 'rods' ? planMeasured(rows, ladder, cards, open) : null
  const next = stop ? null : run
  const words = [
    ...(counts.length === 0 && !measured
      ? [
          `Nothing has been printed along this ladder yet; ${percentWords(best.chance.mean)} is what cards and practice say of ${levelWords(ladder, best.level)}.`,
        ]
      : []),
    ...(counts.length > 0
      ? [
          `As things stand ${levelWords(ladder, best.level)} comes out good ${percentWords(best.chance.mean)} of the time (90 %: ${percentWords(best.chance.low)} to ${percentWords(best.chance.high)}), from ${counts.length} ${counts.length === 1 ? 'row' : 'rows'}.`,
          ...countWords(best, ladder),
        ]
      : []),
    ...(stop ? [stopWords(stop, best, ladder)] : []),
    ...(next && !measured ? [nextWords(piece, next.levels, ladder)] : []),
  ]
  const proof = judgeInTurn(best.good, best.tried - best.good)
  const plan: TrialPlan = {
    kind: 'trial-plan',
    piece,
    setting,
    shape,
    nOutcomes: rows.length,
    levels,
    threshold: thresholdOf(model),
    upper: shape === 'window' ? upperOf(model) : null,
    best,
    next,
    stop,
    response: null,
    simple: simpleOf(counts, shape, ladder, cards),
    proof: {
      verdict: proof.verdict,
      goodInARow: Math.max(
        0,
        Math.ceil((proof.takeAt - proof.score) / Math.log(SEQUENTIAL_DEFAULTS.wanted / SEQUENTIAL_DEFAULTS.low) - 1e-9),
      ),
    },
    words,
    expected: [opinions.low, opinions.high].flatMap((one) =>
      one ? [`turns near ${levelWords(ladder, one.at)} (${one.why})`] : [],
    ),
  }
  return good(measured ? { ...plan, ...measured } : plan)
}

/** The surest level; of equals the one nearest to the recipe. */
const bestOf = (levels: readonly LevelBelief[], own: number): LevelBelief =>
  levels.reduce((best, one) => {
    const gain = one.sure - best.sure
    if (Math.abs(gain) > 0.01) return gain > 0 ? one : best
    return Math.abs(one.level - own) < Math.abs(best.level - own) ? one : best
  })

const countWords = ({ level, good, tried }: LevelBelief, ladder: Ladder): string[] => {
  if (tried === 0) return []
  const { low, high } = wilsonInterval(good, tried)
  return [
    `${good} of ${tried} pieces at ${levelWords(ladder, level)} were good; counted alone that is ${percentWords(low)} to ${percentWords(high)} (95 %).`,
  ]
}

const nextWords = (piece: Trial['piece'], levels: readonly number[], ladder: Ladder): string =>
  piece === 'figure'
    ? `Next: print the figure with ${ladder.label} ${levelWords(ladder, levels[0])}, nothing else changed.`
    : `Next: print the ${QUESTIONS[piece].title} with ${ladder.label} ${levels.map((level) => levelWords(ladder, level)).join(', ')}, one row each, nothing else changed.`
