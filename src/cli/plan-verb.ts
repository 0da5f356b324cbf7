// The verb "plan": what to print next along one setting, how sure that is, when to stop.

import { nodePool } from '../pool/node.ts'
import {
  COUPON_QUESTIONS,
  LADDER_SETTINGS,
  LADDERS,
  levelWords,
  type Opinion,
  planTrial,
  QUESTIONS,
  type TrialCards,
  type TrialPlan,
} from '../trials/index.ts'
import type { ForecastRequest } from './coupon-work.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import type { CardOptions } from './settings-from-options.ts'
import { inkFor, PLAIN_INK, tame } from './terminal.ts'
import { ladderFrom, pieceFrom } from './trial-words.ts'
import { trialCards } from './trials-file.ts'
import { placeWords, readRecord, type TrialsPlace } from './trials-place.ts'
import type { COLOURS } from './verb-row.ts'
import { writeWhole } from './write-file.ts'

export interface PlanVerbOptions extends CardOptions, TrialsPlace {
  readonly rows?: string
  readonly wanted?: string
  readonly quick?: boolean
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
  readonly color?: (typeof COLOURS)[number]
}

const percent = (share: number): string => `${Math.round(100 * share)} %`

const listed = (): string =>
  [
    ...COUPON_QUESTIONS.flatMap((question) => {
      const { title, asks, settings } = QUESTIONS[question]
      const words = LADDER_SETTINGS.filter((setting) => settings[setting]).map((setting) => LADDERS[setting].word)
      return [`${question}  ${title}: ${words.join(', ')}`, ...wrap(asks, 2)]
    }),
    'figure  the figure itself, printed with your own program: every setting',
  ].join('\n')

const tableOf = (plan: TrialPlan): string[] => {
  const ladder = LADDERS[plan.setting]
  if (plan.response) {
    const rows = plan.response.map(({ level, value, low, high }) =>
      [levelWords(ladder, level), `${Math.round(value)} g`, `${Math.round(low)} to ${Math.round(high)} g`].map(String),
    )
    return columns([['level', 'middle', '90 %'], ...rows])
  }
  const rows = plan.levels.map(({ level, chance, sure, good, tried }) => [
    `${levelWords(ladder, level)}${level === plan.best.level ? ' *' : ''}`,
    percent(chance.mean),
    `${percent(chance.low)} to ${percent(chance.high)}`,
    percent(sure),
    tried > 0 ? `${good} of ${tried}` : '-',
  ])
  return columns([['level', 'comes out good', '90 %', 'sure', 'seen good'], ...rows])
}

const columns = (rows: readonly (readonly string[])[]): string[] => {
  const widths = rows[0].map((_, k) => Math.max(...rows.map((row) => row[k].length)))
  return rows.map((row) => `  ${row.map((cell, k) => cell.padEnd(widths[k])).join('  ')}`.trimEnd())
}

const textOf = (plan: TrialPlan, cards: TrialCards, place: string, strong: (text: string) => string): string => {
  const ladder = LADDERS[plan.setting]
  const { from, to, why } = ladder.ends(cards)
  const levels = plan.next?.levels.map((level) => Number(level.toFixed(ladder.decimals))).join(',')
  return [
    strong(`${plan.piece} along ${ladder.label}`),
    ...wrap(
      `Rungs from ${levelWords(ladder, from)} to ${levelWords(ladder, to)} (${why}), at most ${levelWords(ladder, ladder.mostStep)} at once.`,
    ),
    '',
    ...tableOf(plan),
    '',
    ...plan.words.flatMap((sentence) => wrap(sentence)),
    ...(plan.expected.length > 0 ? wrap(`Expected beforehand: ${plan.expected.join('; ')}.`) : []),
    ...(plan.simple
      ? wrap(
          `By plain up and down: next ${levelWords(ladder, plan.simple.next)}${
            plan.simple.estimate
              ? `; it turns at ${levelWords(ladder, plan.simple.estimate.threshold)} (Dixon and Mood, ${plan.simple.estimate.n} counted)`
              : ''
          }.`,
        )
      : []),
    ...(plan.stop === 'works' && plan.proof.verdict === 'go on' && !plan.response
      ? wrap(`To prove it by itself, ${plan.proof.goodInARow} more good prints in a row; a bad one soon drops it.`)
      : []),
    ...(plan.next && plan.piece !== 'figure'
      ? ['', `  fettle coupon ${plan.piece} ${ladder.word} --levels ${levels} -o ${plan.piece}.gcode${place}`]
      : []),
  ].join('\n')
}

const shareFrom = (flag: string, text: string | undefined, otherwise: number): number => {
  if (text === undefined) return otherwise
  const value = Number(text.replace(/%$/, ''))
  if (value >= 50 && value <= 97) return value / 100
  throw new CommandTrouble(`${flag} takes a percentage from 50 to 97, not "${text}"`)
}
const rowsFrom = (text: string | undefined): number => {
  if (text === undefined) return 3
  const value = Number(text)
  if (Number.isInteger(value) && value >= 1 && value <= 6) return value
  throw new CommandTrouble(`--rows takes a whole number from 1 to 6, not "${text}"`)
}

/** Runs the verb; the words are PIECE and SETTING, or none for the list of both. */
export const planVerb = async (
  words: readonly string[],
  options: PlanVerbOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  if (words.length > 2) throw new CommandTrouble('plan takes a piece and a setting')
  if (words.length === 0) {
    process.stdout.write(`${listed()}\n`)
    return EXIT.fine
  }
  const piece = pieceFrom(words[0])
  const ladder = ladderFrom(words[1], piece)
  const wanted = shareFrom('--wanted', options.wanted, 0.85)
  const rows = rowsFrom(options.rows)
  const cards = trialCards(options)
  const record = await readRecord(options)
  const engine = options.quick ? null : await forecast({ piece, setting: ladder.setting, cards }, options, around)
  const plan = planTrial(record, piece, ladder.setting, cards, { rows, wanted, engine })
  if (!plan.ok) throw new CommandTrouble(plan.issues[0].message)
  const toFile = options.out !== undefined
  const ink = toFile ? PLAIN_INK : inkFor(options.color ?? 'auto', process.stdout.isTTY ?? false, process.env)
  const text = options.json
    ? JSON.stringify({ form: 'fettle-trial-plan', version: 1, ...plan.value })
    : textOf(plan.value, cards, placeWords(options), ink.strong)
  if (options.out === undefined) process.stdout.write(`${tameLines(text, ink === PLAIN_INK)}\n`)
  else await writeWhole(options.out, `${tame(text)}\n`, options.force ?? false)
  return EXIT.fine
}

/** Names from files are made harmless; our own marks stay. */
const tameLines = (text: string, isPlain: boolean): string => (isPlain ? tame(text) : text)

const forecast = async (
  request: ForecastRequest,
  { quiet, verbose }: PlanVerbOptions,
  around: Surroundings,
): Promise<Opinion | null> => {
  const progress = progressFor('forecast', { quiet: quiet ?? false, verbose: verbose ?? false })
  const pool = nodePool(around.workerPath)
  try {
    return await pool.run<Opinion | null>('forecast', request, { signal: around.signal, onProgress: progress.tell })
  } finally {
    progress.end()
    await pool.close(true)
  }
}
