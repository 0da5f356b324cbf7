// Where the record of trials stands: a plain JSON file, or a notebook that keeps it; read from either, and extended in it.

import { existsSync } from 'node:fs'
import { canonicalJson } from '../notebook/index.ts'
import { EMPTY_RECORD, type TrialEntry, type TrialsRecord } from '../trials/index.ts'
import { CommandTrouble } from './exit-codes.ts'
import { dayFrom, extended, extendTrialsFile, readTrialsFile } from './trials-file.ts'

/** The two options that name a record; at most one of them is given. */
export interface TrialsPlace {
  readonly trials?: string
  readonly notebook?: string
}

/** Path and kind of the record's place; null where none is named. Throws CommandTrouble where both are. */
const placeOf = ({ trials, notebook }: TrialsPlace): { readonly path: string; readonly isNotebook: boolean } | null => {
  if (trials !== undefined && notebook !== undefined)
    throw new CommandTrouble('take --trials FILE or --notebook FILE, not both: a record stands in one place')
  if (notebook !== undefined) return { path: notebook, isNotebook: true }
  return trials === undefined ? null : { path: trials, isNotebook: false }
}

/** Whether a record is named. Throws CommandTrouble where two are. */
export const hasPlace = (options: TrialsPlace): boolean => placeOf(options) !== null

/** The option as it is typed again in the next command, with a space before it; empty where no record is named. */
export const placeWords = (options: TrialsPlace): string => {
  const place = placeOf(options)
  return place ? ` --${place.isNotebook ? 'notebook' : 'trials'} ${place.path}` : ''
}

/** A step on a notebook, which is loaded only here; what goes wrong is told with the notebook's name. */
const inNotebook = async <T>(
  path: string,
  step: (verb: typeof import('./notebook-verb.ts')) => Promise<T>,
): Promise<T> => {
  try {
    return await step(await import('./notebook-verb.ts'))
  } catch (error) {
    if (!(error instanceof CommandTrouble) || error.message.includes(path)) throw error
    throw new CommandTrouble(`${path}: ${error.message}`, error.code)
  }
}

/** Reads the record; one that is not there yet, or is not named, is empty. Throws CommandTrouble that names every fault. */
export const readRecord = async (options: TrialsPlace, mayBeNew = true): Promise<TrialsRecord> => {
  const place = placeOf(options)
  if (!place?.isNotebook) return readTrialsFile(place?.path, mayBeNew)
  if (mayBeNew && !existsSync(place.path)) return EMPTY_RECORD
  return inNotebook(place.path, ({ trialsOfNotebook }) => trialsOfNotebook(place.path))
}

/** Adds entries to the record in its place, which is made when it is not there; what stands in it stays. All go in, or none. */
export const extendRecord = async (options: TrialsPlace, entries: readonly TrialEntry[]): Promise<TrialsRecord> => {
  const place = placeOf(options)
  if (!place) throw new CommandTrouble('say which record: --trials FILE or --notebook FILE')
  const { path, isNotebook } = place
  if (!isNotebook) return extendTrialsFile(path, entries)
  return inNotebook(path, ({ extendNotebookTrials }) =>
    extendNotebookTrials(path, (record) => {
      // What comes out of a notebook has its keys in another order than what was typed.
      const known = new Set(record.entries.map(canonicalJson))
      return extended(
        path,
        record,
        entries.filter((entry) => !known.has(canonicalJson(entry))),
      )
    }),
  )
}

/**
 * Day of an entry, or its moment: a notebook tells its entries in order of time, so that two of one day need the hour to stand as they came.
 * @param given the day or moment that was asked for
 */
export const whenFrom = (given: string | undefined, { notebook }: TrialsPlace): string =>
  given === undefined && notebook !== undefined ? new Date().toISOString() : dayFrom(given)
