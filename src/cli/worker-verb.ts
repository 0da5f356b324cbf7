// What verbs share that ask the worker one question: settings of a file, the worker, the result on standard output or in a file, trouble as data or words.

import { existsSync } from 'node:fs'
import type { ExamineSettings } from '../engine/examine/index.ts'
import type { Issue, Outcome } from '../engine/kernel/index.ts'
import { nodePool } from '../pool/node.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import { crewFigures, type Input, readInput } from './read-input.ts'
import { type SettingOptions, settingsForCrew, settingsFrom } from './settings-from-options.ts'
import { tame } from './terminal.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

/** Options that all of these verbs know. */
export interface WorkerVerbOptions {
  readonly json?: boolean
  readonly out?: string
  readonly svg?: string
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
  readonly color?: 'auto' | 'always' | 'never'
}

/** Settings of one word; a built-in figure brings its own size. */
export const settingsOfWord = (
  word: string,
  options: SettingOptions,
  { crewFolder }: Surroundings,
): ExamineSettings => {
  const settings = settingsFrom(options)
  const known = crewFigures(crewFolder).find((figure) => figure.word === word)
  return known ? settingsForCrew(settings, options, known.soleToEyeMm) : settings
}

/** Reads a file; the trouble names it. */
export const inputOf = (word: string, { crewFolder }: Surroundings): Promise<Input> =>
  readInput(word, crewFolder).catch((error) => {
    throw error instanceof CommandTrouble ? new CommandTrouble(`${word}: ${error.message}`, error.code) : error
  })

/** Refuses what would overwrite, before any work. */
export const checkTargets = (paths: readonly (string | undefined)[], force: boolean): void => {
  const there = force ? undefined : paths.find((path) => path !== undefined && existsSync(path))
  if (there !== undefined) throw overwriteTrouble(there)
}

/** Runs a method of the worker on a request. */
export const runInWorker = async <T>(
  method: string,
  request: unknown,
  name: string,
  options: WorkerVerbOptions,
  around: Surroundings,
): Promise<Outcome<T>> => {
  const progress = progressFor(tame(name), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  const pool = nodePool(around.workerPath)
  try {
    return await pool.run<Outcome<T>>(method, request, { signal: around.signal, onProgress: progress.tell })
  } finally {
    progress.end()
    await pool.close(true)
  }
}

/** Tells why nothing came of it. */
export const refuse = (name: string, issues: readonly Issue[], { json }: WorkerVerbOptions): ExitCode => {
  if (json) process.stdout.write(`${JSON.stringify({ form: 'fettle-trouble', version: 1, fileName: name, issues })}\n`)
  for (const issue of issues) process.stderr.write(`fettle: ${tame(`${name}: ${issue.message}${placeOf(issue)}`)}\n`)
  return EXIT.unreadable
}

/** Writes the result. */
export const hand = async (text: string, { out, force }: WorkerVerbOptions): Promise<void> => {
  if (out === undefined) process.stdout.write(text)
  else await writeWhole(out, text, force ?? false)
}
