// The verb "notebook": keeps, lists, shows, withdraws, exports, imports and merges.

import { randomBytes } from 'node:crypto'
import { existsSync } from 'node:fs'
import { mkdtemp, rename, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Issue, Outcome } from '../engine/kernel/index.ts'
import {
  addEntries,
  addTrials,
  bytesOf,
  bytesOfEntry,
  type Entry,
  entryWords,
  history,
  type Json,
  type Merged,
  momentOf,
  type SqlStore,
  standing,
  trialsIn,
  withdraw,
  withdrawnIds,
} from '../notebook/index.ts'
import { exportFile, mergeFile, openNotebook } from '../notebook/node.ts'
import type { TrialsRecord } from '../trials/index.ts'
import { CommandTrouble, EXIT, type ExitCode } from './exit-codes.ts'
import { kindFrom, type Things, thingsIn } from './notebook-things.ts'
import type { Surroundings } from './places.ts'
import { readInput } from './read-input.ts'
import { tame } from './terminal.ts'
import { overwriteTrouble, writeWhole } from './write-file.ts'

export interface NotebookOptions {
  readonly name?: string
  readonly note?: string
  readonly of?: string
  readonly kind?: string
  readonly at?: string
  readonly json?: boolean
  readonly out?: string
  readonly force?: boolean
  readonly quiet?: boolean
}

export const NOTEBOOK_WORDS = [
  'add',
  'list',
  'history',
  'show',
  'trials',
  'withdraw',
  'export',
  'import',
  'merge',
] as const

const trouble = (issues: readonly Issue[]): CommandTrouble =>
  new CommandTrouble(issues.map(({ message }) => tame(message)).join('\n'), EXIT.unreadable)

const well = <T>(outcome: Outcome<T>, quiet = false): T => {
  if (!outcome.ok) throw trouble(outcome.issues)
  if (!quiet) for (const { message } of outcome.notes) process.stderr.write(`${tame(message)}\n`)
  return outcome.value
}

const momentFrom = (given: string | undefined): string => {
  if (given === undefined) return new Date().toISOString()
  const moment = momentOf(given)
  if (moment === null) throw new CommandTrouble(`--at: "${given}" is no moment; write 2026-11-25T18:04:00Z`)
  return moment
}

/** The entry whose id begins with a word. */
const entryFrom = (store: SqlStore, word: string): Entry => {
  const found = /^[0-9a-f]{4,64}$/.test(word) ? history(store).filter(({ id }) => id.startsWith(word)) : []
  if (found.length === 1) return found[0]
  throw new CommandTrouble(
    found.length === 0
      ? `there is no entry ${word}; write at least four digits of an id that "fettle notebook history" shows`
      : `${word} is the beginning of ${found.length} ids; write more of it`,
  )
}

/** A table for people, or one object for machines. */
const listText = (store: SqlStore, entries: readonly Entry[], json: boolean): string => {
  const gone = withdrawnIds(store)
  if (json)
    return JSON.stringify({
      form: 'fettle-notebook-list',
      version: 1,
      entries: entries.map((entry) => ({ ...entry, withdrawn: gone.has(entry.id) })),
    })
  if (entries.length === 0) return 'nothing is kept yet'
  const kindWidth = Math.max(...entries.map(({ kind }) => kind.length))
  return entries
    .map((entry) =>
      [
        entry.id.slice(0, 10),
        entry.at.slice(0, 16).replace('T', ' '),
        entry.kind.padEnd(kindWidth),
        `${gone.has(entry.id) ? '(withdrawn) ' : ''}${entryWords(entry)}`.slice(0, 100),
      ].join('  '),
    )
    .join('\n')
}

const mergedText = (merged: Merged, json: boolean): string =>
  json
    ? JSON.stringify({ form: 'fettle-notebook-merge', version: 1, ...merged })
    : `${merged.newEntries} entries and ${merged.newFiles} files taken in; ${merged.knownEntries} and ${merged.knownFiles} were known`

const addWords = async (
  store: SqlStore,
  words: readonly string[],
  options: NotebookOptions,
  crewFolder: string,
): Promise<string> => {
  if (words.length === 0) throw new CommandTrouble('notebook add takes NOTEBOOK and at least one FILE')
  if (words.length > 1 && options.name !== undefined)
    throw new CommandTrouble('--name is for one FILE; there are several')
  const at = momentFrom(options.at)
  const of = options.of === undefined ? null : entryFrom(store, options.of).id
  // All files are read before the first is kept.
  const read: Things[] = []
  for (const word of words) {
    const input = await readInput(word, crewFolder).catch((error: unknown) => {
      throw error instanceof CommandTrouble ? new CommandTrouble(`${word}: ${error.message}`, error.code) : error
    })
    read.push(thingsIn(input, { ...options, of }))
  }
  const added = well(
    addEntries(
      store,
      read.flatMap(({ drafts }) => drafts.map((draft) => ({ draft, at }))),
    ),
  )
  let newTrials = 0
  for (const { trials } of read) if (trials) newTrials += well(addTrials(store, trials)).newEntries
  const nNew = added.filter(({ isNew }) => isNew).length + newTrials
  if (options.json)
    return JSON.stringify({
      form: 'fettle-notebook-added',
      version: 1,
      newEntries: nNew,
      entries: added.map(({ entry, isNew }) => ({ id: entry.id, kind: entry.kind, isNew })),
    })
  const lines = added.map(
    ({ entry, isNew }) =>
      `${entry.id.slice(0, 10)}  ${entry.kind}  ${entryWords(entry)}${isNew ? '' : ' (known already)'}`,
  )
  if (read.some(({ trials }) => trials)) lines.push(`${newTrials} new entries of the record of trials`)
  return lines.join('\n')
}

/** What an entry holds: its payload as JSON, or its file. */
const shown = (store: SqlStore, entry: Entry, toFile: boolean): string | Uint8Array => {
  const hash = bytesOfEntry(entry)
  if (hash !== null && toFile) return well(bytesOf(store, hash))
  return `${JSON.stringify(entry.kind === 'trial' ? (entry.payload as { entry: Json }).entry : entry.payload, null, 2)}\n`
}

/** Runs a step with the notebook of a path open, and closes it whatever happens. */
const withNotebook = async <T>(
  path: string | undefined,
  mustExist: boolean,
  quiet: boolean,
  step: (store: SqlStore) => Promise<T> | T,
): Promise<T> => {
  if (path === undefined) throw new CommandTrouble(`name a notebook: fettle notebook ${NOTEBOOK_WORDS[1]} NOTEBOOK`)
  const { store, close } = well(await openNotebook(path, { mustExist }), quiet)
  try {
    return await step(store)
  } finally {
    close()
  }
}

const withScratch = async <T>(step: (folder: string) => Promise<T>): Promise<T> => {
  const folder = await mkdtemp(join(tmpdir(), 'fettle-'))
  try {
    return await step(folder)
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

const takeIn = async (store: SqlStore, others: readonly string[], quiet: boolean): Promise<Merged> =>
  withScratch(async (folder) => {
    let sum: Merged = { newEntries: 0, knownEntries: 0, newFiles: 0, knownFiles: 0 }
    for (const other of others) {
      const merged = await mergeFile(store, other, folder)
      if (!merged.ok) throw new CommandTrouble(`${other}: ${tame(merged.issues[0].message)}`, EXIT.unreadable)
      if (!quiet) for (const { message } of merged.notes) process.stderr.write(`${other}: ${tame(message)}\n`)
      const { newEntries, knownEntries, newFiles, knownFiles } = merged.value
      sum = {
        newEntries: sum.newEntries + newEntries,
        knownEntries: sum.knownEntries + knownEntries,
        newFiles: sum.newFiles + newFiles,
        knownFiles: sum.knownFiles + knownFiles,
      }
    }
    return sum
  })

/** Writes a whole notebook file under a name that must be free, or is given up by --force. */
const exportTo = async (store: SqlStore, { out, force }: NotebookOptions): Promise<Merged> => {
  if (out === undefined) throw new CommandTrouble('say where to write it: -o FILE')
  if (existsSync(out) && !force) throw overwriteTrouble(out)
  if (!existsSync(out)) return well(exportFile(store, out))
  // What is there is replaced only by what is whole.
  const made = `${out}.${randomBytes(6).toString('hex')}.part`
  try {
    const merged = well(exportFile(store, made))
    await rename(made, out)
    return merged
  } finally {
    await rm(made, { force: true })
  }
}

const answer = async (
  what: string,
  words: readonly string[],
  options: NotebookOptions,
  around: Surroundings,
): Promise<string | Uint8Array> => {
  const [path, ...rest] = words
  const json = options.json ?? false
  const quiet = options.quiet ?? false
  const within = <T>(step: (store: SqlStore) => Promise<T> | T, mustExist = true) =>
    withNotebook(path, mustExist, quiet, step)
  const only = (n: number, takes: string): void => {
    if (words.length !== n) throw new CommandTrouble(`notebook ${what} takes ${takes}`)
  }
  switch (what) {
    case 'add':
      return within((store) => addWords(store, rest, options, around.crewFolder), false)
    case 'list':
    case 'history': {
      only(1, 'NOTEBOOK')
      const kind = options.kind === undefined ? undefined : kindFrom(options.kind)
      const entriesOf = what === 'list' ? standing : history
      return within((store) => listText(store, entriesOf(store, kind), json))
    }
    case 'show':
      only(2, 'NOTEBOOK and ID')
      return within((store) => shown(store, entryFrom(store, rest[0]), options.out !== undefined && !json))
    case 'trials':
      only(1, 'NOTEBOOK')
      return within((store) => JSON.stringify(trialsIn(store), null, 2))
    case 'withdraw':
      only(2, 'NOTEBOOK and ID')
      return within((store) => {
        const { id } = entryFrom(store, rest[0])
        const { entry } = well(withdraw(store, id, momentFrom(options.at), options.note ?? ''))
        return json
          ? JSON.stringify({ form: 'fettle-notebook-added', version: 1, newEntries: 1, entries: [entry] })
          : `${entry.id.slice(0, 10)}  withdrawal of ${id.slice(0, 10)}; withdraw it too to bring that back`
      })
    case 'import':
      if (rest.length === 0) throw new CommandTrouble('notebook import takes NOTEBOOK and at least one OTHER')
      return within(async (store) => mergedText(await takeIn(store, rest, quiet), json), false)
    case 'export':
      only(1, 'NOTEBOOK')
      return within(async (store) => mergedText(await exportTo(store, options), json))
    case 'merge': {
      if (words.length < 2) throw new CommandTrouble('notebook merge takes at least two notebooks, and -o FILE')
      return withScratch((folder) =>
        withNotebook(join(folder, 'merged'), false, quiet, async (store) => {
          const merged = await takeIn(store, words, quiet)
          await exportTo(store, options)
          return mergedText(merged, json)
        }),
      )
    }
    default:
      throw new CommandTrouble(`notebook takes: ${NOTEBOOK_WORDS.join(', ')}`)
  }
}

/** Where the answer itself is a file that -o names. */
const writesItself = (what: string): boolean => what === 'export' || what === 'merge'

/** Runs the verb; the words are those behind it. */
export const notebookVerb = async (
  [what = '', ...words]: readonly string[],
  options: NotebookOptions,
  around: Surroundings,
): Promise<ExitCode> => {
  const { out, force = false } = options
  if (out !== undefined && !force && existsSync(out)) throw overwriteTrouble(out)
  const made = await answer(what, words, options, around)
  const text = typeof made === 'string' ? tame(made).replace(/\n?$/, '\n') : made
  if (out !== undefined && !writesItself(what)) await writeWhole(out, text, force)
  else if (!(options.quiet && writesItself(what) && !options.json)) process.stdout.write(text)
  return EXIT.fine
}

/**
 * For other verbs: adds to the record of trials of a notebook, which is made when it is not there, and answers with the record after it.
 * The notebook is held from reading to writing, and all new entries go in as one change. Throws CommandTrouble.
 */
export const extendNotebookTrials = (
  path: string,
  extend: (record: TrialsRecord) => TrialsRecord,
): Promise<TrialsRecord> =>
  withNotebook(path, false, true, (store) => {
    well(addTrials(store, extend(trialsIn(store))))
    return trialsIn(store)
  })

/** For other verbs: the record of trials of a notebook. Throws CommandTrouble. */
export const trialsOfNotebook = (path: string): Promise<TrialsRecord> => withNotebook(path, true, true, trialsIn)
