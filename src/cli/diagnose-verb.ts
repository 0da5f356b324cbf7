// The verb "diagnose": from symptoms to causes, the question that separates them best, the one change to make.

import { nodePool } from '../pool/node.ts'
import {
  ASK_IDS,
  answerWords,
  CAUSES,
  type Caution,
  type ChangeToMake,
  cautionsFor,
  changeFor,
  type Diagnosis,
  type DiagnosisEntry,
  diagnose,
  type Evidence,
  evidenceOfHeat,
  evidenceOfPrint,
  evidenceOfRecipe,
  QUESTIONS_TO_ASK,
  SYMPTOM_IDS,
  SYMPTOMS,
  softLayerShare,
} from '../trials/index.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { wrap } from './help.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import { readInput } from './read-input.ts'
import { type CardOptions, settingsOfCards } from './settings-from-options.ts'
import { inkFor, tame } from './terminal.ts'
import { trialCards, withId } from './trials-file.ts'
import { extendRecord, hasPlace, type TrialsPlace, whenFrom } from './trials-place.ts'
import type { COLOURS } from './verb-row.ts'
import type { ExamineAnswer, ExamineRequest } from './worker.ts'

export interface DiagnoseVerbOptions extends CardOptions, TrialsPlace {
  readonly not?: string
  readonly answers?: string
  readonly figure?: string
  readonly date?: string
  readonly json?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
  readonly color?: (typeof COLOURS)[number]
}

/** "thin-layers" and "thin layers" are the same. */
const plain = (word: string): string => word.trim().toLowerCase().replaceAll('-', ' ')

const listed = (): string =>
  [
    'Symptoms',
    ...SYMPTOM_IDS.map((id) => `  ${id.padEnd(12)} ${SYMPTOMS[id].label}`),
    '',
    'Questions, answered by --answers "NAME=ANSWER,..."',
    ...ASK_IDS.flatMap((id) => [`  ${answerWords(id)}`, ...wrap(QUESTIONS_TO_ASK[id].ask, 6)]),
  ].join('\n')

const answersFrom = (text: string | undefined): Record<string, string> =>
  Object.fromEntries(
    (text ?? '')
      .split(',')
      .filter((part) => part.trim() !== '')
      .map((part) => {
        const match = /^([^=]+)=([^=]+)$/.exec(part)
        if (!match) throw new CommandTrouble(`--answers takes NAME=ANSWER, separated by commas, not "${part}"`)
        return [plain(match[1]), plain(match[2])]
      }),
  )

/** Examines the figure and takes out what counts for causes. */
const examined = async (
  word: string,
  options: DiagnoseVerbOptions,
  around: Surroundings,
): Promise<readonly Evidence[]> => {
  const { name, bytes } = await readInput(word, around.crewFolder)
  const progress = progressFor(tame(name), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  const pool = nodePool(around.workerPath)
  const request: ExamineRequest = { bytes, name, settings: settingsOfCards(options) }
  try {
    const { examination } = await pool.run<ExamineAnswer>('examine', request, {
      signal: around.signal,
      onProgress: progress.tell,
    })
    if (!examination.ok) throw new CommandTrouble(`${word}: ${examination.issues[0].message}`, EXIT.unreadable)
    const { print, heat } = examination.value
    return [...(print ? evidenceOfPrint(print) : []), ...(heat ? evidenceOfHeat(softLayerShare(heat.quick)) : [])]
  } finally {
    progress.end()
    await pool.close(true)
  }
}

const percent = (share: number): string => `${share < 0.01 ? '<1' : Math.round(100 * share)} %`.padStart(5)

const textOf = (
  { causes, question, evidence }: Diagnosis,
  change: ChangeToMake | null,
  cautions: readonly Caution[],
  strong: (text: string) => string,
): string =>
  [
    strong('Likely causes'),
    ...causes.slice(0, 6).map(({ label, chance }) => `  ${percent(chance)}  ${label}`),
    ...(evidence.length > 0 ? ['', strong('What counted')] : []),
    ...evidence.flatMap(({ because, factor, cause }) =>
      wrap(`${factor > 1 ? 'for' : 'against'} ${CAUSES[cause].label}: ${because}`, 2),
    ),
    '',
    strong('The one change to make'),
    ...(change
      ? wrap(`${change.words} It helps with a chance of ${Math.round(100 * change.helps)} %.`, 2)
      : ['  None is known for this; ask somebody who can see the print.']),
    ...(question
      ? [
          '',
          strong('Better first: the question that separates them best'),
          ...wrap(question.ask, 2),
          `  answer with --answers ${answerWords(question.id)}`,
        ]
      : []),
    '',
    'Cautions',
    ...cautions.flatMap(({ text }) => wrap(text, 2)),
  ].join('\n')

/** Runs the verb; the words are symptoms, or none for the list of symptoms and questions. */
export const diagnoseVerb = async (
  words: readonly string[],
  options: DiagnoseVerbOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  if (words.length === 0) {
    process.stdout.write(`${listed()}\n`)
    return EXIT.fine
  }
  const isKept = hasPlace(options)
  const cards = trialCards(options)
  const seen = words.map(plain)
  const notSeen = (options.not ?? '').split(',').map(plain).filter(Boolean)
  const answers = answersFrom(options.answers)
  const early = diagnose({ seen, notSeen, answers, evidence: [] })
  if (!early.ok) throw new CommandTrouble(early.issues.map(({ message }) => message).join('\n'))
  const evidence = [
    ...evidenceOfRecipe(cards),
    ...(options.figure === undefined ? [] : await examined(options.figure, options, around)),
  ]
  const found = diagnose({ seen, notSeen, answers, evidence })
  if (!found.ok) throw new CommandTrouble(found.issues.map(({ message }) => message).join('\n'))
  const change = changeFor(found.value.causes, cards)
  const cautions = cautionsFor('diagnose')
  if (isKept) {
    const entry = withId<DiagnosisEntry>('diagnosis', {
      kind: 'diagnosis',
      at: whenFrom(options.date, options),
      symptoms: seen,
      answers: Object.entries(answers).map(([question, answer]) => ({ question, answer })),
      causes: found.value.causes.map(({ cause, chance }) => ({ cause, chance })),
      change: change?.words ?? '',
    })
    await extendRecord(options, [entry])
  }
  const ink = inkFor(options.color ?? 'auto', process.stdout.isTTY ?? false, process.env)
  const text = options.json
    ? JSON.stringify({
        form: 'fettle-diagnosis',
        version: 1,
        ...found.value,
        change,
        cautions: cautions.map(({ text: words }) => words),
      })
    : textOf(found.value, change, cautions, ink.strong)
  process.stdout.write(`${text}\n`)
  return EXIT.fine
}
