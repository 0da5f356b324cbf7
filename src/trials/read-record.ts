// Reads and extends the record of trials: every fault is named with its entry and key, entries are only ever added.

import * as v from 'valibot'
import { failed, good, type Issue, type Outcome } from '../engine/kernel/index.ts'
import { entrySchema, RECORD_LIMITS, type TrialEntry, type TrialOutcome, type TrialsRecord } from './types.ts'

const MOST_CHARACTERS = 50_000_000
const MOST_ISSUES = 50

/** Checks one entry from outside: a file, a form on screen, a row of a store. Code "trials/entry". */
export const checkEntry = (value: unknown, called = 'entry'): Outcome<TrialEntry> => {
  const read = v.safeParse(entrySchema, value)
  if (read.success) return good(read.output)
  return {
    ok: false,
    issues: read.issues.slice(0, MOST_ISSUES).map((issue) => {
      const key = v.getDotPath(issue) ?? ''
      const expected =
        issue.type === 'check' || issue.type === 'regex' ? issue.message : (issue.expected ?? issue.message)
      return {
        code: 'trials/entry',
        message: `${called}${key ? `, ${key}` : ''}: ${issue.received.slice(0, 60)} stands where ${expected} belongs.`,
        place: { key },
      }
    }),
  }
}

/** What an entry points at. */
const pointsAt = (entry: TrialEntry): readonly string[] =>
  entry.kind === 'outcome'
    ? [entry.trial, ...(entry.replaces ? [entry.replaces] : [])]
    : entry.kind === 'withdrawal'
      ? [entry.of]
      : []

/** What is wrong with an entry beside those that came before it, or null. */
const misfit = (entry: TrialEntry, before: ReadonlyMap<string, TrialEntry>): string | null => {
  if (before.has(entry.id)) return `the id ${entry.id} stands twice`
  const missing = pointsAt(entry).find((id) => !before.has(id))
  if (missing) return `it speaks of ${missing}, and no earlier entry has that id`
  if (entry.kind !== 'outcome') return null
  const trial = before.get(entry.trial)
  if (trial?.kind !== 'trial') return `${entry.trial} is no trial`
  const other = entry.replaces ? before.get(entry.replaces) : undefined
  if (other && (other.kind !== 'outcome' || other.trial !== entry.trial))
    return `it replaces ${other.id}, which is no outcome of the same trial`
  const stray = entry.readings.find(({ level }) => !trial.levels.some((other) => Math.abs(other - level) < 1e-9))
  return stray ? `it has a reading at ${stray.level}; the trial had ${trial.levels.join(', ')}` : null
}

/** Reads the record from JSON text. Codes "trials/...". */
export const readTrials = (text: string): Outcome<TrialsRecord> => {
  if (text.length > MOST_CHARACTERS)
    return failed(
      'trials/too-long',
      `This text has ${text.length} characters; a record has at most ${MOST_CHARACTERS}.`,
    )
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch {
    return failed('trials/no-json', 'This is not a record of trials: the JSON breaks off; choose another file.')
  }
  const { form, version, entries } = (value ?? {}) as Record<string, unknown>
  if (form !== 'fettle-trials')
    return failed('trials/wrong-form', 'This is not a record of trials; one says "form": "fettle-trials".', {
      key: 'form',
    })
  if (typeof version === 'number' && version > 1)
    return failed('trials/newer-version', `version is ${version}; this program reads version 1. Use a newer Fettle.`, {
      key: 'version',
    })
  if (version !== 1) return failed('trials/wrong-version', 'version must be 1.', { key: 'version' })
  if (!Array.isArray(entries) || entries.length > RECORD_LIMITS.entries)
    return failed('trials/entries', `entries must be a list of at most ${RECORD_LIMITS.entries}.`, { key: 'entries' })
  const issues: Issue[] = []
  const read = new Map<string, TrialEntry>()
  for (const [i, one] of entries.entries()) {
    const called = `entry ${i + 1}`
    const checked = checkEntry(one, called)
    if (!checked.ok) issues.push(...checked.issues)
    else {
      const wrong = misfit(checked.value, read)
      if (wrong) issues.push({ code: 'trials/misfit', message: `${called}: ${wrong}.`, place: { key: `entries.${i}` } })
      else read.set(checked.value.id, checked.value)
    }
    if (issues.length >= MOST_ISSUES) break
  }
  return issues.length > 0
    ? { ok: false, issues }
    : good({ form: 'fettle-trials', version: 1, entries: [...read.values()] })
}

/** The record with one more entry, checked against those before it. The same entry again changes nothing. */
export const addEntry = (record: TrialsRecord, entry: TrialEntry): Outcome<TrialsRecord> => {
  const checked = checkEntry(entry)
  if (!checked.ok) return checked
  const before = new Map(record.entries.map((one) => [one.id, one]))
  const twin = before.get(entry.id)
  if (twin && JSON.stringify(twin) === JSON.stringify(checked.value)) return good(record)
  const wrong = misfit(checked.value, before)
  if (wrong) return failed('trials/misfit', `The entry does not fit: ${wrong}.`, { key: 'id' })
  return good({ ...record, entries: [...record.entries, checked.value] })
}

/** What still holds: entries not withdrawn and outcomes not replaced, oldest first. */
export const standing = (record: TrialsRecord): readonly TrialEntry[] => {
  // Read backwards: a withdrawal that was itself withdrawn, or an outcome that was, has no effect.
  const gone = new Set<string>()
  for (let i = record.entries.length - 1; i >= 0; i--) {
    const entry = record.entries[i]
    if (gone.has(entry.id)) continue
    if (entry.kind === 'withdrawal') gone.add(entry.of)
    else if (entry.kind === 'outcome' && entry.replaces) gone.add(entry.replaces)
  }
  return record.entries.filter(
    (entry) =>
      entry.kind !== 'withdrawal' && !gone.has(entry.id) && !(entry.kind === 'outcome' && gone.has(entry.trial)),
  )
}

/** Outcomes that still hold, each with its trial. */
export const outcomesOf = (
  record: TrialsRecord,
): { readonly trial: TrialEntry & { kind: 'trial' }; readonly outcome: TrialOutcome }[] => {
  const entries = standing(record)
  const trials = new Map(entries.flatMap((one) => (one.kind === 'trial' ? [[one.id, one] as const] : [])))
  return entries.flatMap((outcome) => {
    const trial = outcome.kind === 'outcome' ? trials.get(outcome.trial) : undefined
    return trial && outcome.kind === 'outcome' ? [{ trial, outcome }] : []
  })
}
