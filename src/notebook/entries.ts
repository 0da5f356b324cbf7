// Writing and reading entries. Nothing is changed or taken away: an entry that no longer holds is withdrawn by a new one.

import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { canonicalJson, entryId, hashOfValue } from './canonical.ts'
import { pack, unpack } from './pack.ts'
import { sha256 } from './sha256.ts'
import { attempt, inTransaction, type SqlRow, type SqlStore, Unkept } from './sql-store.ts'
import { checkPayload, type Entry, type EntryKind, type Json, NOTEBOOK_LIMITS, refsOf } from './types.ts'

/** What is to be written: a kind, its payload, and the bytes that belong to it. */
export interface Draft {
  readonly kind: EntryKind
  readonly payload: Json
  readonly bytes?: Uint8Array
}

/** An entry as it is now, and whether it was added or was there already. */
export interface Added {
  readonly entry: Entry
  readonly isNew: boolean
}

const entryFrom = ({ id, kind, at, content, payload }: SqlRow): Entry => ({
  id: String(id),
  kind: String(kind) as EntryKind,
  at: String(at),
  content: String(content),
  payload: JSON.parse(String(payload)) as Json,
})

/** The whole history in order of time; entries of one moment in order of their ids. */
export const history = (store: SqlStore, kind?: EntryKind): readonly Entry[] =>
  store
    .all(
      `SELECT id, kind, at, content, payload FROM entry ${kind ? 'WHERE kind = ?' : ''} ORDER BY at, id`,
      kind ? [kind] : [],
    )
    .map(entryFrom)

/** The entry of an id, or null. */
export const entryOf = (store: SqlStore, id: string): Entry | null => {
  const [row] = store.all('SELECT id, kind, at, content, payload FROM entry WHERE id = ?', [id])
  return row ? entryFrom(row) : null
}

/** Ids of entries that are withdrawn. A withdrawal that was itself withdrawn has no effect. */
export const withdrawnIds = (store: SqlStore): ReadonlySet<string> => {
  const by = new Map<string, string[]>()
  for (const { id, payload } of history(store, 'withdrawal')) {
    const { of } = payload as { of: string }
    by.set(of, [...(by.get(of) ?? []), id])
  }
  // Ids are hashes of what they point at, so there is no ring to run round in.
  const gone = new Map<string, boolean>()
  const isGone = (id: string): boolean => {
    const known = gone.get(id)
    if (known !== undefined) return known
    const answer = (by.get(id) ?? []).some((other) => !isGone(other))
    gone.set(id, answer)
    return answer
  }
  for (const id of by.keys()) isGone(id)
  return new Set([...gone].filter(([, isIt]) => isIt).map(([id]) => id))
}

/** Entries that hold, oldest first; of several with the same content the oldest. */
export const standing = (store: SqlStore, kind?: EntryKind): readonly Entry[] => {
  const gone = withdrawnIds(store)
  const seen = new Set<string>()
  return history(store, kind).filter((entry) => {
    if (entry.kind === 'withdrawal' || gone.has(entry.id)) return false
    const key = `${entry.kind} ${entry.content}`
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}

/** Writes bytes unless they are there. Must run inside a transaction. */
export const keepBytes = (store: SqlStore, hash: string, bytes: Uint8Array): void => {
  if (store.all('SELECT 1 FROM bytes WHERE sha256 = ?', [hash]).length > 0) return
  const { how, size, data } = pack(bytes)
  store.run('INSERT INTO bytes (sha256, how, size, data) VALUES (?, ?, ?, ?)', [hash, how, size, data])
}

/** Writes an entry unless it is there. Must run inside a transaction. */
export const insertEntry = (store: SqlStore, { id, kind, at, content, payload }: Entry): boolean => {
  if (store.all('SELECT 1 FROM entry WHERE id = ?', [id]).length > 0) return false
  store.run('INSERT INTO entry (id, kind, at, content, payload) VALUES (?, ?, ?, ?, ?)', [
    id,
    kind,
    at,
    content,
    canonicalJson(payload),
  ])
  return true
}

const addOne = (store: SqlStore, { kind, payload, bytes }: Draft, at: string): Outcome<Added> => {
  const checked = checkPayload(kind, at, payload)
  if (!checked.ok) return checked
  if (JSON.stringify(payload).length > NOTEBOOK_LIMITS.payloadCharacters)
    return failed('notebook/too-large', `The ${kind} is longer than ${NOTEBOOK_LIMITS.payloadCharacters} characters.`)
  if (bytes && bytes.length > NOTEBOOK_LIMITS.bytesOfOne)
    return failed(
      'notebook/too-large',
      `The file has ${bytes.length} bytes; a notebook keeps files of up to ${NOTEBOOK_LIMITS.bytesOfOne}.`,
    )
  if (bytes && sha256(bytes) !== (payload as { sha256?: Json }).sha256)
    return failed('notebook/hash', `The ${kind} names another hash than its bytes have.`)
  const entry: Entry = { id: entryId(kind, at, payload), kind, at, content: hashOfValue(payload), payload }
  const missing = refsOf(entry).find((id) => entryOf(store, id) === null)
  if (missing)
    return failed(
      'notebook/no-entry',
      `The ${kind} speaks of the entry ${missing.slice(0, 12)}, which is not in this notebook.`,
    )
  const twins = store
    .all('SELECT id, kind, at, content, payload FROM entry WHERE content = ? AND kind = ?', [entry.content, kind])
    .map(entryFrom)
  const gone = twins.length > 0 ? withdrawnIds(store) : new Set<string>()
  const twin = twins.find(({ id }) => !gone.has(id))
  if (bytes) keepBytes(store, (payload as { sha256: string }).sha256, bytes)
  // Two withdrawals of one entry are two: the first may have been withdrawn itself. Everything else is kept once.
  if (twin && kind !== 'withdrawal' && kind !== 'note') return good({ entry: twin, isNew: false })
  if (gone.has(entry.id))
    return failed(
      'notebook/withdrawn',
      `The same ${kind} of the same moment was withdrawn; take the withdrawal back instead.`,
    )
  return good({ entry, isNew: insertEntry(store, entry) })
}

/**
 * Adds entries together: all are kept, or none. What is there already, and holds, is not written twice.
 * @param at the moment, UTC, as told by the caller's clock
 */
export const addEntries = (
  store: SqlStore,
  drafts: readonly { readonly draft: Draft; readonly at: string }[],
): Outcome<readonly Added[]> =>
  attempt('Writing', () =>
    inTransaction(store, () => {
      const added: Added[] = []
      for (const { draft, at } of drafts) {
        const one = addOne(store, draft, at)
        if (!one.ok) throw new Unkept(one)
        added.push(one.value)
      }
      return good(added)
    }),
  )

/** Adds one entry; when this returns well it is on the disk. */
export const addEntry = (store: SqlStore, draft: Draft, at: string): Outcome<Added> => {
  const added = addEntries(store, [{ draft, at }])
  return added.ok ? good(added.value[0]) : added
}

/** Withdraws an entry, by a new one. Withdrawing the withdrawal brings it back. */
export const withdraw = (store: SqlStore, id: string, at: string, note = ''): Outcome<Added> =>
  addEntry(store, { kind: 'withdrawal', payload: { of: id, note } }, at)

/** The bytes of a hash. Codes "notebook/no-bytes", "notebook/damaged-bytes". */
export const bytesOf = (store: SqlStore, hash: string): Outcome<Uint8Array> => {
  const [row] = store.all('SELECT how, size, data FROM bytes WHERE sha256 = ?', [hash])
  if (!row) return failed('notebook/no-bytes', `The bytes ${hash.slice(0, 12)} are not in this notebook.`)
  return unpack(hash, String(row.how), Number(row.size), row.data as Uint8Array)
}
