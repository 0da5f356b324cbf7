// The record of trials on the bench: a signal, kept in this browser as it grows, opened and saved as a file.

import { signal } from '@preact/signals'
import { addEntry, EMPTY_RECORD, readTrials, type TrialEntry, type TrialsRecord } from '../../trials/index.ts'
import { saveFile } from '../save-file.ts'

const KEY = 'fettle trials 1'

const keptBefore = (): TrialsRecord => {
  try {
    const text = localStorage.getItem(KEY)
    const read = text ? readTrials(text) : null
    return read?.ok ? read.value : EMPTY_RECORD
  } catch {
    return EMPTY_RECORD
  }
}

/** All entries, oldest first. */
export const record = signal<TrialsRecord>(keptBefore())
/** What went wrong last; empty otherwise. */
export const recordTrouble = signal('')

const keep = (next: TrialsRecord): void => {
  record.value = next
  try {
    localStorage.setItem(KEY, JSON.stringify(next))
    recordTrouble.value = ''
  } catch {
    recordTrouble.value = 'This browser keeps nothing; save the record as a file before you close the tab.'
  }
}

const hex = (bytes: ArrayBuffer): string =>
  Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, '0')).join('')

/** SHA-256 of text or bytes, hex. */
export const sha256Hex = async (data: string | Uint8Array<ArrayBuffer>): Promise<string> =>
  hex(await crypto.subtle.digest('SHA-256', typeof data === 'string' ? new TextEncoder().encode(data) : data))

/** Today as the machine tells it. */
export const today = (): string => new Date().toISOString().slice(0, 10)

/** Adds an entry under an id made from its content; the same entry twice is one. Answers with the entry, or null with trouble told. */
export const enter = async <T extends TrialEntry>(prefix: string, entry: Omit<T, 'id'>): Promise<T | null> => {
  const made = { ...entry, id: `${prefix}-${(await sha256Hex(JSON.stringify(entry))).slice(0, 16)}` } as T
  const added = addEntry(record.value, made)
  if (!added.ok) {
    recordTrouble.value = added.issues[0].message
    return null
  }
  keep(added.value)
  return made
}

/** Takes the entries of another record in that are not here yet. Answers with a sentence. */
export const takeIn = (other: TrialsRecord): string => {
  let next = record.value
  let nNew = 0
  for (const entry of other.entries) {
    const added = addEntry(next, entry)
    if (!added.ok) {
      recordTrouble.value = added.issues[0].message
      continue
    }
    if (added.value !== next) nNew++
    next = added.value
  }
  keep(next)
  return nNew === 0 ? 'All of it was here already.' : `${nNew} new entries.`
}

/** Opens a record from a file. Answers with a sentence. */
export const openRecord = async (file: File): Promise<string> => {
  const read = readTrials(await file.text())
  if (read.ok) return takeIn(read.value)
  recordTrouble.value = `${file.name}: ${read.issues[0].message}`
  return recordTrouble.value
}

export const saveRecord = (): void =>
  saveFile('trials.json', `${JSON.stringify(record.value, null, 1)}\n`, 'application/json')

/** Forgets the record in this browser. */
export const forgetRecord = (): void => {
  try {
    localStorage.removeItem(KEY)
  } catch {
    // Nothing was kept.
  }
  record.value = EMPTY_RECORD
}
