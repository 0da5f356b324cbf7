// The record of trials, into the notebook and out of it. Inside, an entry points at others by their hashes, so that two notebooks in
// which different trials have the same name can be merged without mixing them up.

import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { EMPTY_RECORD, type TrialEntry, type TrialsRecord } from '../trials/index.ts'
import { entryId } from './canonical.ts'
import { addEntries, history, withdrawnIds } from './entries.ts'
import type { SqlStore } from './sql-store.ts'
import type { Entry, Json } from './types.ts'

interface TrialPayload {
  readonly entry: TrialEntry
  readonly refs: readonly string[]
}

/** Names that an entry of the record points at, in a fixed order. */
const namesIn = (entry: TrialEntry): readonly string[] =>
  entry.kind === 'outcome'
    ? [entry.trial, ...(entry.replaces ? [entry.replaces] : [])]
    : entry.kind === 'withdrawal'
      ? [entry.of]
      : []

/** The same entry with other names for itself and what it points at. */
const renamed = (entry: TrialEntry, id: string, names: readonly string[]): TrialEntry => {
  if (entry.kind === 'outcome') return { ...entry, id, trial: names[0], replaces: entry.replaces ? names[1] : null }
  return entry.kind === 'withdrawal' ? { ...entry, id, of: names[0] } : { ...entry, id }
}

/** The day or moment of the record as a moment of the notebook; null when there is no such day. */
export const momentOf = (when: string): string | null => {
  const whole = when.includes('T') ? (/(Z|[+-]\d\d:\d\d)$/.test(when) ? when : `${when}Z`) : `${when}T00:00:00Z`
  const ms = Date.parse(whole)
  return Number.isNaN(ms) ? null : new Date(ms).toISOString()
}

/** The ending given to a name that stands for two different entries after a merge. */
const ENDING = /^(.+)-n([0-9a-f]{10})$/

/** A name as it was first given, when its ending proves that it was lengthened here. */
const firstName = (entry: TrialEntry, at: string, refs: readonly string[], names: readonly string[]): TrialEntry => {
  const match = ENDING.exec(entry.id)
  if (!match) return renamed(entry, entry.id, names)
  const first = renamed(entry, match[1], names)
  return entryId('trial', at, { entry: first, refs } as unknown as Json).startsWith(match[2])
    ? first
    : renamed(entry, entry.id, names)
}

/** Adds what is new in a record. Entries that the notebook has are not written twice. Codes "notebook/...". */
export const addTrials = (store: SqlStore, record: TrialsRecord): Outcome<{ readonly newEntries: number }> => {
  const drafts: { draft: { kind: 'trial'; payload: Json }; at: string }[] = []
  /** Name in the record: name in the notebook, hash. */
  const known = new Map<string, { readonly name: string; readonly id: string }>()
  for (const entry of record.entries) {
    const at = momentOf(entry.at)
    if (at === null)
      return failed('notebook/moment', `The entry ${entry.id} is of "${entry.at}", and there is no such day.`)
    const pointed = namesIn(entry).map((name) => known.get(name))
    if (pointed.some((one) => one === undefined))
      return failed('notebook/no-entry', `The entry ${entry.id} speaks of one that does not stand before it.`)
    const refs = pointed.map((one) => one!.id)
    const names = pointed.map((one) => one!.name)
    const kept = firstName(entry, at, refs, names)
    const payload = { entry: kept, refs } as unknown as Json
    known.set(entry.id, { name: kept.id, id: entryId('trial', at, payload) })
    drafts.push({ draft: { kind: 'trial', payload }, at })
  }
  const added = addEntries(store, drafts)
  return added.ok ? good({ newEntries: added.value.filter(({ isNew }) => isNew).length }) : added
}

/** The record of trials that holds in this notebook, oldest first, every name standing once. */
export const trialsIn = (store: SqlStore): TrialsRecord => {
  const gone = withdrawnIds(store)
  const entries = history(store, 'trial').filter(({ id }) => !gone.has(id))
  const byId = new Map<string, Entry>(entries.map((entry) => [entry.id, entry]))
  const names = new Map<string, string>()
  const taken = new Set<string>()
  const told: TrialEntry[] = []
  const payloadOf = (entry: Entry) => entry.payload as unknown as TrialPayload
  /** True once the entry and all it points at are told. */
  const tell = (entry: Entry): boolean => {
    if (names.has(entry.id)) return true
    const { entry: inner, refs } = payloadOf(entry)
    // Entries of one moment may stand before what they point at; what was withdrawn takes along what points at it.
    if (!refs.every((id) => byId.has(id) && tell(byId.get(id)!))) return false
    const name = taken.has(inner.id) ? `${inner.id.slice(0, 50)}-n${entry.id.slice(0, 10)}` : inner.id
    taken.add(name)
    names.set(entry.id, name)
    told.push(
      renamed(
        inner,
        name,
        refs.map((id) => names.get(id)!),
      ),
    )
    return true
  }
  for (const entry of entries) tell(entry)
  return { ...EMPTY_RECORD, entries: told }
}
