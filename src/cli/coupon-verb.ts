// The verb "coupon": makes a coupon for a setting, runs it dry, writes its motion code, puts the trial into the record.

import { existsSync } from 'node:fs'
import type { Outcome } from '../engine/kernel/index.ts'
import { nodePool } from '../pool/node.ts'
import {
  type CouponQuestion,
  cautionsFor,
  LADDERS,
  type Ladder,
  planTrial,
  QUESTIONS,
  type Trial,
  type TrialCards,
} from '../trials/index.ts'
import type { CouponRequest, MadeCoupon } from './coupon-work.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import type { CardOptions } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { tame } from './terminal.ts'
import { couponFrom, ladderFrom, levelsFrom } from './trial-words.ts'
import { trialCards, withId } from './trials-file.ts'
import { extendRecord, hasPlace, placeWords, readRecord, type TrialsPlace, whenFrom } from './trials-place.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface CouponVerbOptions extends CardOptions, TrialsPlace {
  readonly levels?: string
  readonly reversed?: boolean
  readonly solid?: string
  readonly date?: string
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
}

const solidForm = (path: string | undefined): 'stl' | 'ply' | null => {
  if (path === undefined) return null
  const ending = /\.(stl|ply)$/i.exec(path)?.[1].toLowerCase()
  if (ending) return ending as 'stl' | 'ply'
  throw new CommandTrouble(`--solid ${path}: end the name in .stl or .ply`)
}

/** Levels that were asked for, or those the plan would try next. */
const levelsFor = async (
  question: CouponQuestion,
  ladder: Ladder,
  cards: TrialCards,
  options: CouponVerbOptions,
): Promise<number[]> => {
  if (options.levels !== undefined) return levelsFrom(options.levels)
  const plan = planTrial(await readRecord(options), question, ladder.setting, cards)
  if (!plan.ok) throw new CommandTrouble(plan.issues[0].message)
  if (!plan.value.next) throw new CommandTrouble(`${plan.value.words.at(-1)} Give --levels to print one all the same.`)
  return [...plan.value.next.levels]
}

const trialOf = (
  question: CouponQuestion,
  ladder: Ladder,
  levels: readonly number[],
  run: 1 | 2,
  cards: TrialCards,
  code: string,
  at: string,
): Trial =>
  withId<Trial>('trial', {
    kind: 'trial',
    at,
    piece: question,
    setting: ladder.setting,
    levels: [...levels],
    run,
    recipeValue: cards.recipe[ladder.setting],
    recipe: { name: cards.recipe.name, sha256: sha256(JSON.stringify(cards.recipe)) },
    printer: cards.printer.name,
    filament: cards.filament.name,
    figure: null,
    codeSha256: sha256(code),
    note: '',
  })

const talkOf = (question: CouponQuestion, made: MadeCoupon, trial: Trial, options: CouponVerbOptions): string => {
  const { measures, title } = QUESTIONS[question]
  const places = measures.includes('snap') ? (['coupon', 'snap'] as const) : (['coupon'] as const)
  const minutes = Math.ceil(made.printS / 60)
  const isKept = hasPlace(options)
  return [
    `${title}: ${made.massG.toFixed(2)} g, about ${minutes} min after heating, ${made.heightMm.toFixed(1)} mm tall`,
    ...made.rows.map((row) => `  ${row}`),
    `Read back by our own reader: ${made.dryRun.checks.length} of ${made.dryRun.checks.length} checks agree (volume, bounds, temperatures, times).`,
    ...(isKept ? [`Recorded as ${trial.id} in ${options.trials ?? options.notebook}.`] : []),
    '',
    'When it is cold',
    ...made.look.flatMap((line) => wrap(line, 2)),
    ...(isKept ? [`  fettle record ${trial.id} LEVEL:${measures[0]}=...${placeWords(options)}`] : []),
    ...wrap('Run it a second time with --reversed, so that the order of the rows is not mistaken for the setting.', 2),
    '',
    'Cautions',
    ...cautionsFor(...places).flatMap(({ text }) => wrap(text, 2)),
  ].join('\n')
}

/** Runs the verb; the words are the coupon and the setting. */
export const couponVerb = async (
  words: readonly string[],
  options: CouponVerbOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  if (words.length === 0 || words.length > 2)
    throw new CommandTrouble(`coupon takes a piece and a setting; "fettle plan" lists them`)
  const question = couponFrom(words[0])
  const ladder = ladderFrom(words[1], question)
  const solid = solidForm(options.solid)
  for (const path of [options.out, options.solid])
    if (path !== undefined && !options.force && existsSync(path)) throw overwriteTrouble(path)
  const isKept = hasPlace(options)
  if (options.json && options.out === undefined)
    throw new CommandTrouble('--json tells about the coupon; give -o FILE for the motion code itself')
  const cards = trialCards(options)
  const inOrder = await levelsFor(question, ladder, cards, options)
  const levels = options.reversed ? inOrder.slice().reverse() : inOrder
  const run = options.reversed ? 2 : 1
  const request: CouponRequest = { wish: { question, setting: ladder.setting, levels, run }, cards, solid }
  const outcome = await make(request, options, around)
  if (!outcome.ok) throw new CommandTrouble(outcome.issues.map(({ message }) => message).join('\n'))
  const made = outcome.value
  const trial = trialOf(question, ladder, levels, run, cards, made.code, whenFrom(options.date, options))
  if (options.out !== undefined) await writeWhole(options.out, made.code, options.force ?? false)
  if (options.solid !== undefined && made.solid) await writeWhole(options.solid, made.solid, options.force ?? false)
  if (isKept) await extendRecord(options, [trial])
  if (options.json) {
    const { code: _code, solid: _solid, ...told } = made
    const cautions = cautionsFor('coupon').map(({ text }) => text)
    process.stdout.write(`${JSON.stringify({ form: 'fettle-coupon', version: 1, trial, ...told, cautions })}\n`)
  } else {
    const talk = `${tame(talkOf(question, made, trial, options))}\n`
    // Without a file the code itself goes to standard output, and the talk beside it.
    if (options.out === undefined) process.stdout.write(made.code)
    if (options.out !== undefined) process.stdout.write(talk)
    else if (!options.quiet) process.stderr.write(talk)
  }
  return EXIT.fine
}

const make = async (
  request: CouponRequest,
  { quiet, verbose }: CouponVerbOptions,
  around: Surroundings,
): Promise<Outcome<MadeCoupon>> => {
  const progress = progressFor(LADDERS[request.wish.setting].label, {
    quiet: quiet ?? false,
    verbose: verbose ?? false,
  })
  const pool = nodePool(around.workerPath)
  try {
    return await pool.run<Outcome<MadeCoupon>>('coupon', request, {
      signal: around.signal,
      onProgress: progress.tell,
    })
  } finally {
    progress.end()
    await pool.close(true)
  }
}
