// The verb "record": outcomes into the record of trials, corrections and withdrawals, and the person's own numbers out of it.

import { existsSync } from 'node:fs'
import { nodePool } from '../pool/node.ts'
import {
  LADDERS,
  levelWords,
  type OwnNumbers,
  outcomesOf,
  ownNumbersSentence,
  type Reading,
  standing,
  type Trial,
  type TrialEntry,
  type TrialOutcome,
  type TrialsRecord,
  type Withdrawal,
  withOwnNumbers,
} from '../trials/index.ts'
import type { NumbersRequest } from './coupon-work.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import type { CardOptions } from './settings-from-options.ts'
import { tame } from './terminal.ts'
import { ladderFrom, readingFrom } from './trial-words.ts'
import { attachmentOf, trialCards, withId } from './trials-file.ts'
import { extendRecord, hasPlace, readRecord, type TrialsPlace, whenFrom } from './trials-place.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface RecordVerbOptions extends CardOptions, TrialsPlace {
  readonly figure?: string
  readonly photo?: string
  readonly note?: string
  readonly replaces?: string
  readonly date?: string
  readonly printerOut?: string
  readonly filamentOut?: string
  readonly json?: boolean
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
}

const wrongUse = (): CommandTrouble =>
  new CommandTrouble(
    'record takes: list; TRIAL READING...; figure SETTING READING...; withdraw ID; or numbers. TRIAL may be "last"',
  )

const idWithin = (record: TrialsRecord, word: string): string => {
  const found = record.entries.filter(({ id }) => id === word || id.startsWith(word))
  if (found.length === 1 || found.some(({ id }) => id === word))
    return found.find(({ id }) => id === word)?.id ?? found[0].id
  throw new CommandTrouble(
    found.length === 0
      ? `there is no entry ${word} in the record; "fettle record list" shows them`
      : `${word} is the beginning of ${found.length} ids; write more of it`,
  )
}

const trialFrom = (record: TrialsRecord, word: string): Trial => {
  const trials = standing(record).filter((entry): entry is Trial => entry.kind === 'trial')
  if (word === 'last') {
    const last = trials.at(-1)
    if (last) return last
    throw new CommandTrouble(
      'there is no trial in the record yet; "fettle coupon ..." with --trials or --notebook puts one in',
    )
  }
  const id = idWithin(record, word)
  const found = trials.find((trial) => trial.id === id)
  if (found) return found
  throw new CommandTrouble(`${id} is no trial that still holds`)
}

const outcomeFor = (
  trial: Trial,
  readings: readonly Reading[],
  options: RecordVerbOptions,
  replaces: string | null,
): TrialOutcome =>
  withId<TrialOutcome>('outcome', {
    kind: 'outcome',
    at: whenFrom(options.date, options),
    trial: trial.id,
    replaces,
    readings: [...readings],
    attachments: options.photo === undefined ? [] : options.photo.split(',').map(attachmentOf),
    note: options.note ?? '',
  })

/** A print of the figure itself, made with another program: its trial is made from what was seen. */
const figureTrial = (word: string | undefined, readings: readonly Reading[], options: RecordVerbOptions): Trial => {
  if (options.figure === undefined) throw new CommandTrouble('name the figure that was printed: --figure NAME')
  const { recipe, printer, filament } = trialCards(options)
  const { setting } = ladderFrom(word, 'figure')
  return withId<Trial>('trial', {
    kind: 'trial',
    at: whenFrom(options.date, options),
    piece: 'figure',
    setting,
    levels: [...new Set(readings.map(({ level }) => level))],
    run: 1,
    recipeValue: recipe[setting],
    recipe: { name: recipe.name, sha256: null },
    printer: printer.name,
    filament: filament.name,
    figure: { name: options.figure, sha256: null },
    codeSha256: null,
    note: '',
  })
}

const readingWords = ({ level, measure, value, of }: Reading, { setting }: Trial): string =>
  `${levelWords(LADDERS[setting], level)}: ${measure} ${value}${of === null ? '' : ` of ${of}`}`

const entryLines = (record: TrialsRecord): string[] => {
  const held = new Set(standing(record).map(({ id }) => id))
  const trials = new Map(record.entries.flatMap((one) => (one.kind === 'trial' ? [[one.id, one] as const] : [])))
  return record.entries.map((entry) => {
    const gone = entry.kind === 'withdrawal' || held.has(entry.id) ? '' : ' (no longer holds)'
    return `${entry.id}  ${entry.at}  ${wordsOf(entry, trials)}${gone}`
  })
}
const wordsOf = (entry: TrialEntry, trials: ReadonlyMap<string, Trial>): string => {
  switch (entry.kind) {
    case 'trial': {
      const ladder = LADDERS[entry.setting]
      const levels = entry.levels.map((level) => levelWords(ladder, level)).join(', ')
      const order = entry.run === 2 ? ', order reversed' : ''
      return `trial: ${entry.figure?.name ?? entry.piece} along ${ladder.label}: ${levels}${order}`
    }
    case 'outcome': {
      const trial = trials.get(entry.trial)
      const told = trial ? entry.readings.map((reading) => readingWords(reading, trial)).join('; ') : ''
      return `outcome of ${entry.trial}: ${told}${entry.attachments.length > 0 ? `; ${entry.attachments.length} attached` : ''}`
    }
    case 'withdrawal':
      return `withdraws ${entry.of}${entry.note ? `: ${entry.note}` : ''}`
    case 'diagnosis':
      return `diagnosis of ${entry.symptoms.join(', ')}: ${entry.causes[0]?.cause ?? 'nothing likely'}`
  }
}

/** Runs the verb. */
export const recordVerb = async (
  words: readonly string[],
  options: RecordVerbOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  const [what, ...rest] = words
  if (what === undefined) throw wrongUse()
  if (!hasPlace(options))
    throw new CommandTrouble('say which record: --trials FILE or --notebook FILE (it is made when it is not there)')
  if (what === 'numbers') return numbersVerb(await readRecord(options, false), options, around)
  if (what === 'list') return listVerb(await readRecord(options, false), options)
  const entries = entriesFrom(what, rest, await readRecord(options), options)
  const record = await extendRecord(options, entries)
  const text = options.json
    ? JSON.stringify({ form: 'fettle-recorded', version: 1, entries, nEntries: record.entries.length })
    : entries.map(({ id, kind }) => `${kind} recorded as ${id}`).join('\n')
  process.stdout.write(`${tame(text)}\n`)
  return EXIT.fine
}

const entriesFrom = (
  what: string,
  rest: readonly string[],
  record: TrialsRecord,
  options: RecordVerbOptions,
): readonly TrialEntry[] => {
  if (what === 'withdraw') {
    if (rest.length !== 1) throw wrongUse()
    const of = idWithin(record, rest[0])
    return [
      withId<Withdrawal>('back', {
        kind: 'withdrawal',
        at: whenFrom(options.date, options),
        of,
        note: options.note ?? '',
      }),
    ]
  }
  if (what === 'figure') {
    const readings = rest.slice(1).map(readingFrom)
    if (readings.length === 0) throw wrongUse()
    const trial = figureTrial(rest[0], readings, options)
    return [trial, outcomeFor(trial, readings, options, null)]
  }
  const trial = trialFrom(record, what)
  if (rest.length === 0) throw wrongUse()
  const replaces = options.replaces === undefined ? null : idWithin(record, options.replaces)
  return [outcomeFor(trial, rest.map(readingFrom), options, replaces)]
}

const listVerb = (record: TrialsRecord, { json }: RecordVerbOptions): ExitCode => {
  const text = json
    ? JSON.stringify(record)
    : record.entries.length === 0
      ? 'The record is empty.'
      : [...entryLines(record), '', `${outcomesOf(record).length} outcomes hold.`].join('\n')
  process.stdout.write(`${tame(text)}\n`)
  return EXIT.fine
}

const numbersVerb = async (
  record: TrialsRecord,
  options: RecordVerbOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  for (const out of [options.printerOut, options.filamentOut])
    if (out !== undefined && !options.force && existsSync(out)) throw overwriteTrouble(out)
  const cards = trialCards(options)
  const request: NumbersRequest = { record, cards }
  const progress = progressFor('own numbers', { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  const pool = nodePool(around.workerPath)
  let numbers: OwnNumbers
  try {
    numbers = await pool.run<OwnNumbers>('numbers', request, { signal: around.signal, onProgress: progress.tell })
  } finally {
    progress.end()
    await pool.close(true)
  }
  const own = withOwnNumbers(cards, numbers)
  const force = options.force ?? false
  if (options.printerOut !== undefined)
    await writeWhole(options.printerOut, `${JSON.stringify(own.printer, null, 2)}\n`, force)
  if (options.filamentOut !== undefined)
    await writeWhole(options.filamentOut, `${JSON.stringify(own.filament, null, 2)}\n`, force)
  const sentence = ownNumbersSentence(numbers)
  const { feedShare } = numbers
  const feed = feedShare
    ? [
        `As much plastic comes out as was asked for times ${feedShare.value.toFixed(3)} (90 %: ${feedShare.low.toFixed(3)} to ${feedShare.high.toFixed(3)}), from ${feedShare.nReadings} ${feedShare.nReadings === 1 ? 'wall' : 'walls'}.`,
      ]
    : []
  const text = options.json
    ? JSON.stringify({ form: 'fettle-own-numbers', version: 1, ...numbers, sentence })
    : [
        ...wrap(
          sentence ?? 'The record says nothing about air, ooze or strength yet: print the posts, the pins or the rods.',
        ),
        ...feed.flatMap((line) => wrap(line)),
      ].join('\n')
  process.stdout.write(`${tame(text)}\n`)
  return EXIT.fine
}
