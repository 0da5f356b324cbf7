import { expect, test } from 'vitest'
import { figureDraft, memoryNotebook, momentAt, noteDraft, recipeDraft } from '../../tests/notebook/memory-store.ts'
import { addEntry, bytesOf, history, mergeInto, notebookHash, type SqlStore, sha256 } from './index.ts'

const BYTES = new Uint8Array(4000).fill(3)

/** A notebook whose guards are off, so that a test can spoil it. */
const spoiled = (spoil: (store: SqlStore) => void): SqlStore => {
  const store = memoryNotebook()
  addEntry(store, recipeDraft('evening'), momentAt(0))
  addEntry(store, figureDraft('keeper.stl', BYTES), momentAt(1))
  for (const table of ['entry', 'bytes']) store.exec(`DROP TRIGGER ${table}_stays; DROP TRIGGER ${table}_as_written`)
  spoil(store)
  return store
}

test.each([
  ['a payload changed afterwards', "UPDATE entry SET payload = replace(payload, 'evening', 'morning')"],
  ['a moment changed afterwards', "UPDATE entry SET at = '2020-01-01T00:00:00.000Z'"],
  ['an unknown kind', "UPDATE entry SET kind = 'spell'"],
  ['no JSON', "UPDATE entry SET payload = '{' WHERE kind = 'figure'"],
  ['bytes in place of text', "UPDATE entry SET payload = x'00ff' WHERE kind = 'figure'"],
  ['an endless payload', "UPDATE entry SET payload = '\"' || hex(zeroblob(300000)) || '\"' WHERE kind = 'figure'"],
])('%s: nothing is taken', (_, sql) => {
  const store = memoryNotebook()
  addEntry(store, noteDraft('mine'), momentAt(9))
  const before = notebookHash(store)
  const merged = mergeInto(
    store,
    spoiled((other) => other.exec(sql)),
  )
  expect(merged.ok).toBe(false)
  expect(notebookHash(store)).toBe(before)
})

test('an entry that speaks of one that is not there is refused', () => {
  const other = spoiled(() => undefined)
  const [{ id }] = history(other)
  addEntry(other, noteDraft('about it', id), momentAt(5))
  other.run('DELETE FROM entry WHERE id = ?', [id])
  expect(mergeInto(memoryNotebook(), other)).toMatchObject({ ok: false, issues: [{ code: 'notebook/row' }] })
})

test.each([
  ['other bytes under the hash', "UPDATE bytes SET how = 'plain', data = zeroblob(4000)"],
  ['bytes that unpack to more than they say', 'UPDATE bytes SET size = 10'],
  ['an unbelievable size', 'UPDATE bytes SET size = 9000000000000'],
  ['text in place of bytes', "UPDATE bytes SET data = 'abc'"],
])('%s are left out with a note, the entries are kept', (_, sql) => {
  const store = memoryNotebook()
  const merged = mergeInto(
    store,
    spoiled((other) => other.exec(sql)),
  )
  expect(merged).toMatchObject({ ok: true, value: { newEntries: 2, newFiles: 0 } })
  expect(merged.ok && merged.notes.length).toBe(1)
  expect(bytesOf(store, sha256(BYTES))).toMatchObject({ ok: false, issues: [{ code: 'notebook/no-bytes' }] })
})
