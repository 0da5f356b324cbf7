// Takes the entries and bytes of another notebook into this one: by plain selects, each checked, none twice.
// Ids are hashes of what they name, so the result is the union: in any order, any number of times.

import { failed, good, type Issue, type Outcome } from '../engine/kernel/index.ts'
import { canonicalJson, entryId, hashOfValue } from './canonical.ts'
import { entryOf, insertEntry, keepBytes } from './entries.ts'
import { unpack } from './pack.ts'
import { beCareful, lookAt } from './prepare.ts'
import { sha256 } from './sha256.ts'
import { attempt, inTransaction, type SqlRow, type SqlStore, Unkept } from './sql-store.ts'
import { checkPayload, type Entry, type Json, NOTEBOOK_LIMITS, refsOf } from './types.ts'

/** What a merge brought. */
export interface Merged {
  readonly newEntries: number
  readonly knownEntries: number
  readonly newFiles: number
  readonly knownFiles: number
}

const text = (value: unknown, most: number): string | null =>
  typeof value === 'string' && value.length <= most ? value : null

/** One row of another notebook as an entry. Nothing of it is believed. */
const entryFromRow = (row: SqlRow): Outcome<Entry> => {
  const id = text(row.id, 64)
  const kind = text(row.kind, 40)
  const at = text(row.at, 40)
  const written = text(row.payload, NOTEBOOK_LIMITS.payloadCharacters)
  const called = `Entry ${id ?? '?'}`.slice(0, 18)
  if (id === null || kind === null || at === null || written === null)
    return failed('notebook/row', `${called} has a field that is no text or too long; the notebook is damaged.`)
  let payload: Json
  try {
    payload = JSON.parse(written) as Json
  } catch {
    return failed('notebook/row', `${called} holds no JSON; the notebook is damaged.`)
  }
  const checked = checkPayload(kind, at, payload)
  if (!checked.ok) return failed(checked.issues[0].code, `${called}: ${checked.issues[0].message}`)
  if (entryId(kind, at, payload) !== id)
    return failed('notebook/row', `${called} is not what its id stands for; somebody changed it, so nothing was taken.`)
  return good({ id, kind: checked.value, at, content: hashOfValue(payload), payload })
}

const takeEntries = (store: SqlStore, other: SqlStore): { added: number; known: number } => {
  const [{ n }] = other.all('SELECT count(*) AS n FROM entry')
  if (Number(n) > NOTEBOOK_LIMITS.entries)
    throw new Unkept(failed('notebook/too-large', `It has ${n} entries; ${NOTEBOOK_LIMITS.entries} are the most.`))
  const refs = new Set<string>()
  let [added, known, last] = [0, 0, '']
  for (;;) {
    const rows = other.all(
      'SELECT id, kind, at, substr(payload, 1, ?) AS payload FROM entry WHERE id > ? ORDER BY id LIMIT 500',
      [NOTEBOOK_LIMITS.payloadCharacters + 1, last],
    )
    if (rows.length === 0) break
    for (const row of rows) {
      const read = entryFromRow(row)
      if (!read.ok) throw new Unkept(read)
      // Where an index is damaged the same rows could come for ever.
      if (read.value.id <= last)
        throw new Unkept(failed('notebook/row', 'Its entries do not come in order; the notebook is damaged.'))
      for (const ref of refsOf(read.value)) refs.add(ref)
      if (insertEntry(store, read.value)) added++
      else known++
      last = read.value.id
    }
  }
  for (const id of refs)
    if (!entryOf(store, id))
      throw new Unkept(
        failed(
          'notebook/row',
          `An entry speaks of ${id.slice(0, 12)}, which is in neither notebook; it is damaged, so nothing was taken.`,
        ),
      )
  return { added, known }
}

const takeBytes = (store: SqlStore, other: SqlStore, version: number, notes: Issue[]) => {
  let [added, known] = [0, 0]
  const hashes = other.all('SELECT sha256 FROM bytes ORDER BY sha256 LIMIT ?', [NOTEBOOK_LIMITS.entries])
  for (const { sha256: stated } of hashes) {
    const hash = text(stated, 64)
    if (hash === null || !/^[0-9a-f]{64}$/.test(hash)) continue
    if (store.all('SELECT 1 FROM bytes WHERE sha256 = ?', [hash]).length > 0) {
      known++
      continue
    }
    const [{ length }] = other.all('SELECT length(data) AS length FROM bytes WHERE sha256 = ?', [hash])
    if (Number(length) > NOTEBOOK_LIMITS.bytesOfOne) {
      notes.push({ code: 'notebook/too-large', message: `A file of ${length} bytes was left out; it is too large.` })
      continue
    }
    const [row] =
      version === 1
        ? other.all('SELECT data FROM bytes WHERE sha256 = ?', [hash])
        : other.all('SELECT how, size, data FROM bytes WHERE sha256 = ?', [hash])
    const bytes =
      row.data instanceof Uint8Array
        ? version === 1
          ? unpack(hash, 'plain', row.data.length, row.data)
          : unpack(hash, String(row.how), Number(row.size), row.data)
        : failed('notebook/damaged-bytes', `The bytes ${hash.slice(0, 12)} are no bytes; they were left out.`)
    if (!bytes.ok) {
      notes.push(...bytes.issues)
      continue
    }
    keepBytes(store, hash, bytes.value)
    added++
  }
  return { added, known }
}

/**
 * Takes another notebook's entries and files into a prepared one, all or nothing. The other is only read, by plain selects; its
 * triggers and views are never run. Notes name files that were left out because they are damaged.
 * Codes "notebook/row", "notebook/newer-version", "notebook/not-a-notebook", "notebook/store" ...
 */
export const mergeInto = (store: SqlStore, other: SqlStore): Outcome<Merged> =>
  attempt('Taking in the other notebook', () => {
    beCareful(other)
    other.exec('PRAGMA query_only = ON')
    const found = lookAt(other)
    if (!found.ok) return found
    const { version, strangers } = found.value
    const notes: Issue[] = strangers.map((name) => ({
      code: 'notebook/strangers',
      message: `It holds "${name.slice(0, 60)}", which no notebook has; that was not run and not taken.`,
    }))
    if (version === 0)
      return failed('notebook/not-a-notebook', 'This is not a notebook: it is empty; choose another file.')
    return inTransaction(store, () => {
      const entries = takeEntries(store, other)
      const files = takeBytes(store, other, version, notes)
      return good(
        {
          newEntries: entries.added,
          knownEntries: entries.known,
          newFiles: files.added,
          knownFiles: files.known,
        },
        notes.slice(0, 50),
      )
    })
  })

/** Everything two notebooks must agree on to be the same, as one hash: entries and hashes of files in order. */
export const notebookHash = (store: SqlStore): string => {
  const entries = store.all('SELECT id, payload FROM entry ORDER BY id')
  const files = store.all('SELECT sha256 FROM bytes ORDER BY sha256')
  const parts = [
    ...entries.map(({ id, payload }) => `${id} ${canonicalJson(JSON.parse(String(payload)))}`),
    ...files.map((row) => String(row.sha256)),
  ]
  return sha256(new TextEncoder().encode(parts.join('\n')))
}
