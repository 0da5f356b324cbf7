// The verb "code": reads a print file piece by piece and tells what it lays down.

import { existsSync } from 'node:fs'
import type { CodeReport } from '../engine/examine/index.ts'
import type { Outcome } from '../engine/kernel/index.ts'
import { codeLine } from '../guide/index.ts'
import { nodePool } from '../pool/node.ts'
import { codeText } from './code-text.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import { buffersOf, readCodeFile } from './read-code-file.ts'
import { type CardOptions, settingsOfCards } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { inkOfResult, tame } from './terminal.ts'
import type { COLOURS } from './verb-row.ts'
import type { CodeRequest } from './worker.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface CodeVerbOptions extends CardOptions {
  readonly dwellUnit?: 's' | 'ms'
  readonly strict?: boolean
  readonly all?: boolean
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
  readonly quiet?: boolean
  readonly verbose?: boolean
  readonly color?: (typeof COLOURS)[number]
}

/** True when something in the file was malformed or not known. */
export const isStrange = ({ nMalformed, unknown }: CodeReport): boolean => nMalformed > 0 || unknown.length > 0

const refused = (name: string, outcome: Outcome<unknown>, { json }: CodeVerbOptions): ExitCode => {
  const issues = outcome.ok ? [] : outcome.issues
  if (json) process.stdout.write(`${JSON.stringify({ form: 'fettle-trouble', version: 1, fileName: name, issues })}\n`)
  for (const issue of issues) {
    const told = /^Line \d+, column/.test(issue.message) ? '' : placeOf(issue)
    process.stderr.write(`fettle: ${tame(`${name}: ${issue.message}${told}`)}\n`)
  }
  return EXIT.unreadable
}

/** Runs the verb on one file. */
export const codeVerb = async (word: string, options: CodeVerbOptions, around: Surroundings): Promise<ExitCode> => {
  const settings = settingsOfCards(options)
  if (options.out !== undefined && !options.force && existsSync(options.out)) throw overwriteTrouble(options.out)
  const shown = word === '-' ? 'standard input' : word
  const progress = progressFor(tame(shown), { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  const pool = nodePool(around.workerPath)
  try {
    const input = await readCodeFile(word, options.dwellUnit ?? null, around.signal, progress).catch((error) => {
      throw error instanceof CommandTrouble ? new CommandTrouble(`${shown}: ${error.message}`, error.code) : error
    })
    const { name, outcome: read } = input
    if (!read.ok) return refused(name, read, options)
    const request: CodeRequest = { reading: read.value, name, settings }
    const outcome = await pool.run<Outcome<CodeReport>>('code', request, {
      signal: around.signal,
      onProgress: progress.tell,
      transfer: buffersOf(read.value),
    })
    if (!outcome.ok) return refused(name, outcome, options)
    progress.end()
    const report = outcome.value
    const notes = [...read.notes, ...outcome.notes]
    const ink = inkOfResult(options)
    const source = {
      toolVersion: around.version,
      fileName: name,
      fileSha256: input.sha256,
      settingsSha256: sha256(JSON.stringify(settings)),
    }
    const text = options.json
      ? `${codeLine(report, settings, source)}\n`
      : codeText(report, notes, ink, options.all ?? false)
    if (options.out === undefined) process.stdout.write(text)
    else await writeWhole(options.out, text, options.force ?? false)
    return options.strict && isStrange(report) ? EXIT.found : EXIT.fine
  } finally {
    progress.end()
    await pool.close(true)
  }
}
