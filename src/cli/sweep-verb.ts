// The verb "sweep": one examination per pair of figure and recipe over worker threads; goes on after a stop.

import { existsSync, readdirSync, statSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { type ExamineSettings, withRecipe } from '../engine/examine/index.ts'
import { SEVERITIES, type Severity } from '../engine/findings/index.ts'
import { Cancelled, type Issue, type Outcome } from '../engine/kernel/index.ts'
import { nodePool } from '../pool/node.ts'
import { type Recipe, STARTING_RECIPE } from '../recipe/index.ts'
import { CommandTrouble, EXIT, type ExitCode, graver } from './exit-codes.ts'
import { placeOf } from './issue-words.ts'
import type { Surroundings } from './places.ts'
import { progressFor } from './progress.ts'
import { readForm } from './read-form.ts'
import { type Input, readInput } from './read-input.ts'
import type { SettingOptions } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { openJournal, type SweepLine } from './sweep-journal.ts'
import { sweepTable } from './sweep-table.ts'
import { tame } from './terminal.ts'
import type { TrialReport, TrialRequest } from './trial-work.ts'
import { settingsOfWord } from './worker-verb.ts'

export interface SweepOptions extends Pick<SettingOptions, 'printer' | 'filament' | 'scaleHeight'> {
  readonly recipes?: string
  readonly jobs?: string
  readonly out?: string
  readonly json?: boolean
  readonly force?: boolean
  readonly failOn?: Severity
  readonly quiet?: boolean
  readonly verbose?: boolean
}

/** Most pairs of one sweep. */
const MOST_PAIRS = 100_000

/** The recipes to sweep: files, and every .json of a folder, in the order given and by name. */
const recipesFrom = (text: string | undefined): readonly Recipe[] => {
  if (text === undefined) return [STARTING_RECIPE]
  const paths = text.split(',').flatMap((path) => {
    const isFolder = existsSync(path) && statSync(path).isDirectory()
    if (!isFolder) return [path]
    const files = readdirSync(path)
      .filter((name) => name.endsWith('.json'))
      .sort()
    if (files.length === 0) throw new CommandTrouble(`--recipes: there is no .json file in ${path}`)
    return files.map((name) => join(path, name))
  })
  if (paths.some((path) => path.trim() === ''))
    throw new CommandTrouble(`--recipes takes files and folders separated by commas, not "${text}"`)
  const recipes = paths.map((path) => readForm('recipe', path))
  const twice = recipes.findIndex((recipe, i) =>
    recipes.some((other, j) => j < i && JSON.stringify(other) === JSON.stringify(recipe)),
  )
  if (twice >= 0) throw new CommandTrouble(`--recipes: ${paths[twice]} asks for the same as an earlier one`)
  return recipes
}

const jobsFrom = (text: string | undefined): number => {
  if (text === undefined) return availableParallelism()
  const jobs = text.trim() === '' ? Number.NaN : Number(text)
  if (!(Number.isInteger(jobs) && jobs >= 1 && jobs <= 256))
    throw new CommandTrouble(`--jobs takes a whole number from 1 to 256, not "${text}"`)
  return jobs
}

interface Pair {
  readonly word: string
  readonly settings: ExamineSettings
  readonly recipe: Recipe
}

/** A figure's file, read once for the pairs that stand one behind the other. */
const readerOf = (crewFolder: string) => {
  const kept = new Map<string, Promise<Input & { readonly sha: string }>>()
  return (word: string): Promise<Input & { readonly sha: string }> => {
    let input = kept.get(word)
    if (!input) {
      input = readInput(word, crewFolder).then((read) => ({ ...read, sha: sha256(read.bytes) }))
      kept.set(word, input)
      // As many as may be at work at a time; the oldest goes.
      if (kept.size > 8) kept.delete(kept.keys().next().value as string)
    }
    return input
  }
}

const issueWords = (line: SweepLine): string =>
  line.issues.map((issue) => tame(`${line.fileName}: ${issue.message}${placeOf(issue)}`)).join('\n')

/** Runs the verb. */
export const sweepVerb = async (
  words: readonly string[],
  options: SweepOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  const recipes = recipesFrom(options.recipes)
  const jobs = jobsFrom(options.jobs)
  if (words.includes('-')) throw new CommandTrouble('a sweep reads files: standard input cannot be read again')
  const figures = [...new Set(words)]
  if (figures.length * recipes.length > MOST_PAIRS)
    throw new CommandTrouble(
      `${figures.length} figures and ${recipes.length} recipes are more than ${MOST_PAIRS} pairs`,
    )
  const { printer, filament, scaleHeight } = options
  const pairs: Pair[] = figures.flatMap((word) => {
    const settings = settingsOfWord(word, { printer, filament, scaleHeight }, around)
    return recipes.map((recipe) => ({ word, recipe, settings: withRecipe(settings, recipe) }))
  })
  const journal = await openJournal(options.out, options.force ?? false)
  const known = new Map(journal.known.filter(({ report }) => report !== null).map((line) => [line.key, line]))
  const read = readerOf(around.crewFolder)
  const lines = new Array<SweepLine | undefined>(pairs.length)
  const nWorkers = Math.min(jobs, pairs.length)
  const pool = nodePool(around.workerPath, nWorkers)
  const progress = progressFor('sweep', { quiet: options.quiet ?? false, verbose: options.verbose ?? false })
  let code: ExitCode = EXIT.fine
  let nDone = 0
  let nKnown = 0
  let next = 0

  const one = async ({ word, settings, recipe }: Pair): Promise<SweepLine> => {
    const about = { form: 'fettle-sweep-line', version: 1, toolVersion: around.version } as const
    const recipeSha256 = sha256(JSON.stringify(recipe))
    const named = { recipeName: recipe.name, recipeSha256 }
    const bad = (
      fileName: string,
      fileSha256: string,
      key: string,
      issues: readonly Issue[],
      as: ExitCode,
    ): SweepLine => {
      code = graver(code, as)
      return { ...about, key, fileName, fileSha256, ...named, report: null, issues }
    }
    let input: Input & { readonly sha: string }
    try {
      input = await read(word)
    } catch (error) {
      if (!(error instanceof CommandTrouble)) throw error
      return bad(word, '', '', [{ code: 'command/unreadable', message: error.message }], error.code)
    }
    const key = sha256(JSON.stringify([around.version, input.sha, settings]))
    const found = known.get(key)
    if (found) {
      nKnown++
      return found
    }
    const request: TrialRequest = { bytes: input.bytes, name: input.name, settings }
    let line: SweepLine
    try {
      const outcome = await pool.run<Outcome<TrialReport>>('trial', request, { signal: around.signal })
      line = outcome.ok
        ? { ...about, key, fileName: input.name, fileSha256: input.sha, ...named, report: outcome.value, issues: [] }
        : bad(input.name, input.sha, key, outcome.issues, EXIT.unreadable)
    } catch (error) {
      if (error instanceof Cancelled || around.signal.aborted) throw new Cancelled()
      const message =
        error instanceof Error ? error.message : String((error as { message?: unknown })?.message ?? error)
      line = bad(
        input.name,
        input.sha,
        key,
        [{ code: 'command/fault', message: `a fault in fettle: ${message}` }],
        EXIT.internal,
      )
    }
    journal.add(line)
    return line
  }

  const work = async (): Promise<void> => {
    while (next < pairs.length) {
      const i = next++
      if (around.signal.aborted) throw new Cancelled()
      lines[i] = await one(pairs[i])
      nDone++
      const line = lines[i]
      progress.tell(
        nDone / pairs.length,
        `${nDone} of ${pairs.length}: ${tame(`${line.fileName}, ${line.recipeName}`)}`,
      )
      if (line.report === null && !options.quiet) process.stderr.write(`fettle: ${issueWords(line)}\n`)
    }
  }
  try {
    await Promise.all(Array.from({ length: nWorkers }, work))
  } catch (error) {
    if (error instanceof Cancelled && options.out !== undefined && !options.quiet)
      process.stderr.write(
        `${nDone} of ${pairs.length} pairs are done and kept in ${options.out}; run the same command to go on\n`,
      )
    // Others still at work must not outlive the pool, nor write behind the closed file.
    next = pairs.length
    throw error
  } finally {
    progress.end()
    await pool.close(true)
    journal.close()
  }
  const done = lines.filter((line) => line !== undefined)
  process.stdout.write(options.json ? done.map((line) => `${JSON.stringify(line)}\n`).join('') : sweepTable(done))
  if (!options.quiet && nKnown > 0)
    process.stderr.write(`${nKnown} of ${pairs.length} pairs were known from ${options.out}\n`)
  const { failOn } = options
  const isGrave = (line: SweepLine): boolean =>
    failOn !== undefined &&
    (line.report?.findings.some(({ severity }) => SEVERITIES.indexOf(severity) <= SEVERITIES.indexOf(failOn)) ?? false)
  return done.some(isGrave) ? graver(code, EXIT.found) : code
}
