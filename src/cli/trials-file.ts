// The record of trials as a plain JSON file: read, extended by whole entries, written as a whole under a new name first.

import { existsSync, readFileSync } from 'node:fs'
import { basename } from 'node:path'
import type { FilamentCard, PrinterCard, Recipe } from '../recipe/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../recipe/index.ts'
import {
  type Attachment,
  addEntry,
  EMPTY_RECORD,
  readTrials,
  type TrialCards,
  type TrialEntry,
  type TrialsRecord,
} from '../trials/index.ts'
import { CommandTrouble, EXIT } from './exit-codes.ts'
import { formTrouble, readForm, textOfFile } from './read-form.ts'
import type { CardOptions } from './settings-from-options.ts'
import { sha256 } from './sha256.ts'
import { writeWhole } from './write-file.ts'

/** Reads a record; one that is not there yet is empty. Throws CommandTrouble that names every fault. */
export const readTrialsFile = (path: string | undefined, mayBeNew = true): TrialsRecord => {
  if (path === undefined) return EMPTY_RECORD
  if (mayBeNew && !existsSync(path)) return EMPTY_RECORD
  const read = readTrials(textOfFile('record of trials', path))
  if (!read.ok) throw formTrouble('record of trials', path, read.issues)
  return read.value
}

/** The record with entries added; itself when it has them all. Throws CommandTrouble that names every fault. */
export const extended = (path: string, before: TrialsRecord, entries: readonly TrialEntry[]): TrialsRecord => {
  let record = before
  for (const entry of entries) {
    const added = addEntry(record, entry)
    if (!added.ok) throw formTrouble('record of trials', path, added.issues)
    record = added.value
  }
  return record
}

/** Adds entries to the record in a file, which is made when it is not there; what stands in it stays. */
export const extendTrialsFile = async (path: string, entries: readonly TrialEntry[]): Promise<TrialsRecord> => {
  // Read again just before writing: another command may have added something meanwhile.
  const before = readTrialsFile(path)
  const record = extended(path, before, entries)
  if (record === before) return record
  await writeWhole(path, `${JSON.stringify(record, null, 1)}\n`, existsSync(path))
  return record
}

/** The entry with an id made from its content: the same entry made twice is one. */
export const withId = <T extends TrialEntry>(prefix: string, entry: Omit<T, 'id'>): T => {
  const hash = sha256(JSON.stringify(entry))
  return { ...entry, id: `${prefix}-${hash.slice(0, 16)}` } as T
}

/** Today as the machine tells it, or the day that was given. */
export const dayFrom = (given: string | undefined): string => given ?? new Date().toISOString().slice(0, 10)

/** A file as an attachment: its hash, name and size; the bytes stay where they are. */
export const attachmentOf = (path: string): Attachment => {
  try {
    const bytes = readFileSync(path)
    return { sha256: sha256(bytes), name: basename(path).slice(0, 200), bytes: bytes.length }
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException
    throw new CommandTrouble(`${path}: ${code === 'ENOENT' ? 'there is no such file' : message}`, EXIT.unreadable)
  }
}

/** Recipe and cards from files, else the starting ones. */
export const trialCards = ({ recipe, printer, filament }: CardOptions): TrialCards => ({
  recipe: (recipe === undefined ? STARTING_RECIPE : readForm('recipe', recipe)) as Recipe,
  printer: (printer === undefined ? STARTING_PRINTER : readForm('printer', printer)) as PrinterCard,
  filament: (filament === undefined ? STARTING_FILAMENT : readForm('filament', filament)) as FilamentCard,
})
