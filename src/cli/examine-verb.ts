// The verb "examine": reads, examines in a worker, writes report, data and sheet; carries on after a bad file.

import { existsSync, statSync } from 'node:fs'
import { basename, extname, join } from 'node:path'
import type { CodeReport, Examination, ExamineSettings, HeatDetail } from '../engine/examine/index.ts'
import { SEVERITIES, type Severity } from '../engine/findings/index.ts'
import { Cancelled, type Issue, type Outcome } from '../engine/kernel/index.ts'
import { type SheetSource, sheetHtml, sheetLine } from '../guide/index.ts'
import type { WorkPool } from '../pool/index.ts'
import { nodePool } from '../pool/node.ts'
import { comparisonText } from './code-text.ts'
import { CommandTrouble, EXIT, type ExitCode, graver } from './exit-codes.ts'
import { type FieldFile, type FieldOptions, fieldLines, fieldOrder } from './field-file.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { type PredictedOptions, predictedForm } from './predicted-file.ts'
import { type Progress, progressFor } from './progress.ts'
import { buffersOf, type CodeInput, readCodeFile } from './read-code-file.ts'
import { crewFigures, type Input, readInput } from './read-input.ts'
import { reportText } from './report-text.ts'
import { type SettingOptions, settingsForCrew, settingsFrom } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { inkOfResult, tame } from './terminal.ts'
import type { COLOURS } from './verb-row.ts'
import type { ExamineAnswer, ExamineRequest } from './worker.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface ExamineOptions extends SettingOptions, FieldOptions, PredictedOptions {
  /** Print file to hold against the plan. */
  readonly code?: string
  readonly dwellUnit?: 's' | 'ms'
  readonly heat?: HeatDetail
  readonly json?: boolean
  readonly all?: boolean
  readonly out?: string
  readonly sheet?: string
  readonly force?: boolean
  readonly failOn?: Severity
  readonly quiet?: boolean
  readonly verbose?: boolean
  readonly color?: (typeof COLOURS)[number]
}

/** How one file went. */
interface Result {
  readonly code: ExitCode
  /** For standard output or --out. */
  readonly text: string
  /** For the summary, when it went wrong. */
  readonly trouble: string | null
}

const isFolder = (path: string): boolean => /[\\/]$/.test(path) || (existsSync(path) && statSync(path).isDirectory())

/** Where the sheet of one file goes; null when none is wanted. */
const sheetPath = (word: string, { sheet }: ExamineOptions): string | null => {
  if (sheet === undefined) return null
  if (!isFolder(sheet)) return sheet
  const name = word === '-' ? 'standard-input' : basename(word.replace(/^crew:/, ''))
  return join(sheet, `${name.slice(0, name.length - extname(name).length)}.html`)
}

/** Refuses what can be refused before any work is done. */
const checkTargets = (words: readonly string[], options: ExamineOptions): void => {
  if (words.length > 1 && options.sheet !== undefined && !isFolder(options.sheet))
    throw new CommandTrouble(
      `--sheet: several files need a folder, written with a / at its end, not "${options.sheet}"`,
    )
  if (words.length > 1 && options.code !== undefined)
    throw new CommandTrouble('--code holds one print file against one figure: give a single FILE')
  if ([...words, options.code].filter((word) => word === '-').length > 1)
    throw new CommandTrouble('standard input can be read only once: give - only once')
  if (words.length > 1 && options.fields !== undefined)
    throw new CommandTrouble('--fields writes the field of one figure: give a single FILE')
  fieldOrder(options)
  predictedForm(options, words.length)
  const targets = [
    ...words.map((word) => sheetPath(word, options)),
    options.out ?? null,
    options.fields ?? null,
    options.predicted ?? null,
  ].filter((path) => path !== null)
  const twice = targets.find((path, i) => targets.indexOf(path) !== i)
  if (twice !== undefined) throw new CommandTrouble(`two results would be written to ${twice}`)
  const there = options.force ? undefined : targets.find((path) => existsSync(path))
  if (there !== undefined) throw overwriteTrouble(there)
}

const troubleLine = (file: string, messages: readonly Pick<Issue, 'message' | 'code' | 'place'>[]): string =>
  JSON.stringify({ form: 'fettle-trouble', version: 1, fileName: file, issues: messages })

/** True when there is a finding as grave as asked for, or graver. */
const isGrave = ({ findings }: Examination, failOn: Severity | undefined): boolean =>
  failOn !== undefined && findings.some(({ severity }) => SEVERITIES.indexOf(severity) <= SEVERITIES.indexOf(failOn))

const badResult = (name: string, issues: readonly Issue[], options: ExamineOptions): Result => ({
  code: EXIT.unreadable,
  text: options.json ? `${troubleLine(name, issues)}\n` : '',
  trouble: issues.map((issue) => tame(`${name}: ${issue.message}${placeOf(issue)}`)).join('\n'),
})

/** The print file to hold against the plan, read before the figure is examined; throws CommandTrouble. */
const codeInput = async (
  { code, dwellUnit }: ExamineOptions,
  signal: AbortSignal,
  progress: Progress,
): Promise<CodeInput | null> => {
  if (code === undefined) return null
  try {
    return await readCodeFile(code, dwellUnit ?? null, signal, progress)
  } catch (error) {
    throw error instanceof CommandTrouble ? new CommandTrouble(`${code}: ${error.message}`, error.code) : error
  }
}

/** A report in letters or as data. */
const resultText = (
  examination: Examination,
  code: CodeReport | null,
  codeNotes: readonly Issue[],
  source: SheetSource,
  field: FieldFile | null,
  options: ExamineOptions,
): string => {
  if (options.json) return `${sheetLine(examination, source, code, field?.facts ?? null)}\n`
  const ink = inkOfResult(options)
  const isAll = options.all ?? false
  return reportText(examination, ink, isAll, [
    ...(code ? comparisonText(code, codeNotes, ink, isAll) : []),
    ...(field ? fieldLines(field, ink, isAll) : []),
  ])
}

const examineOne = async (
  word: string,
  settings: ExamineSettings,
  options: ExamineOptions,
  pool: WorkPool,
  { crewFolder, version, signal }: Surroundings,
): Promise<Result> => {
  let input: Input
  try {
    input = await readInput(word, crewFolder)
  } catch (error) {
    if (!(error instanceof CommandTrouble)) throw error
    return badResult(word, [{ code: 'command/unreadable', message: error.message }], options)
  }
  const source: SheetSource = {
    toolVersion: version,
    fileName: input.name,
    fileSha256: sha256(input.bytes),
    settingsSha256: sha256(JSON.stringify(settings)),
  }
  const progress = progressFor(tame(input.name), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  let answer: ExamineAnswer
  let read: CodeInput | null
  try {
    read = await codeInput(options, signal, progress)
    if (read && !read.outcome.ok) return badResult(read.name, read.outcome.issues, options)
    const code = read?.outcome.ok ? { reading: read.outcome.value, name: read.name } : null
    const field = fieldOrder(options)
    const predicted = predictedForm(options, 1)
    const request: ExamineRequest = {
      bytes: input.bytes,
      name: input.name,
      settings,
      heat: options.heat ?? 'quick',
      ...(code ? { code } : {}),
      ...(field ? { field } : {}),
      ...(predicted ? { predicted } : {}),
    }
    const transfer = [input.bytes.buffer, ...(code ? buffersOf(code.reading) : [])]
    answer = await pool.run<ExamineAnswer>('examine', request, { signal, onProgress: progress.tell, transfer })
  } finally {
    progress.end()
  }
  const outcome: Outcome<Examination> = answer.examination
  if (!outcome.ok) return badResult(input.name, outcome.issues, options)
  if (answer.code && !answer.code.ok) return badResult(read?.name ?? '', answer.code.issues, options)
  if (answer.field && !answer.field.ok) return badResult(input.name, answer.field.issues, options)
  const examination = outcome.value
  const field = answer.field?.ok ? answer.field.value : null
  const code = answer.code?.ok ? answer.code.value : null
  const codeNotes = [...(read?.outcome.ok ? read.outcome.notes : []), ...(answer.code?.ok ? answer.code.notes : [])]
  if (options.verbose)
    for (const note of outcome.notes)
      process.stderr.write(`${tame(`${input.name}: ${note.message}${placeOf(note)}`)}\n`)
  const path = sheetPath(word, options)
  if (field && options.fields !== undefined) await writeWhole(options.fields, field.bytes, options.force ?? false)
  if (answer.predicted && options.predicted !== undefined)
    await writeWhole(options.predicted, answer.predicted, options.force ?? false)
  if (path !== null) await writeWhole(path, sheetHtml(examination, source, code), options.force ?? false)
  return {
    code: isGrave(examination, options.failOn) ? EXIT.found : EXIT.fine,
    text: resultText(examination, code, codeNotes, source, field, options),
    trouble: null,
  }
}

/** A fault inside one examination must not take the others with it. */
const guarded = async (word: string, options: ExamineOptions, run: () => Promise<Result>): Promise<Result> => {
  try {
    return await run()
  } catch (error) {
    if (error instanceof Cancelled) throw error
    const message = error instanceof Error ? error.message : String((error as { message?: unknown })?.message ?? error)
    const code = error instanceof CommandTrouble ? error.code : EXIT.internal
    const said = code === EXIT.internal ? `a fault in fettle: ${message}` : message
    return { ...badResult(word, [{ code: 'command/fault', message: said }], options), code }
  }
}

const summary = (words: readonly string[], results: readonly Result[]): string => {
  const bad = results.filter(({ trouble }) => trouble !== null)
  const list = bad.map(({ trouble }) => `  ${trouble?.replaceAll('\n', '\n  ')}\n`).join('')
  return `${words.length - bad.length} of ${words.length} files examined${bad.length > 0 ? '; not these:\n' : '\n'}${list}`
}

/** Runs the verb. Answers with the exit code; throws CommandTrouble for wrong use and Cancelled when stopped. */
export const examineVerb = async (
  words: readonly string[],
  options: ExamineOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  const settings = settingsFrom(options)
  checkTargets(words, options)
  const crew = crewFigures(around.crewFolder)
  const pool = nodePool(around.workerPath)
  const results: Result[] = []
  let hasWritten = false
  try {
    for (const word of words) {
      const known = crew.find((figure) => figure.word === word)
      const own = known ? settingsForCrew(settings, options, known.soleToEyeMm) : settings
      const run = () => examineOne(word, own, options, pool, around)
      const result = await guarded(word, options, run)
      results.push(result)
      if (options.out === undefined) {
        if (hasWritten && result.text && !options.json) process.stdout.write(`${'─'.repeat(80)}\n\n`)
        process.stdout.write(result.text)
        hasWritten ||= result.text !== ''
      }
      // With several files the summary tells it again; at the time it helps to see which one it was.
      if (result.trouble !== null) process.stderr.write(`fettle: ${result.trouble}\n`)
    }
    if (options.out !== undefined)
      await writeWhole(options.out, results.map(({ text }) => text).join(''), options.force ?? false)
  } finally {
    await pool.close(true)
  }
  if (words.length > 1 && !options.quiet) process.stderr.write(summary(words, results))
  return results.reduce((worst, { code }) => graver(worst, code), EXIT.fine as ExitCode)
}
