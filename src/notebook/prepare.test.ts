import { expect, test } from 'vitest'
import { bareStore, figureDraft, memoryNotebook, momentAt, recipeDraft } from '../../tests/notebook/memory-store.ts'
import { STARTING_RECIPE } from '../recipe/index.ts'
import { canonicalJson, entryId } from './canonical.ts'
import { addEntry, bytesOf, mergeInto, notebookHash, prepare } from './index.ts'
import { makeTables } from './schema.ts'
import { sha256 } from './sha256.ts'
import type { SqlStore } from './sql-store.ts'
import type { Json } from './types.ts'

/** A notebook of version 1 with a recipe and a figure. */
const olderNotebook = (): SqlStore => {
  const store = bareStore()
  makeTables(store, 1)
  const put = (kind: string, payload: Json) =>
    store.run('INSERT INTO entry (id, kind, at, payload) VALUES (?, ?, ?, ?)', [
      entryId(kind, momentAt(0), payload),
      kind,
      momentAt(0),
      canonicalJson(payload),
    ])
  const bytes = new Uint8Array(5000).fill(7)
  put('recipe', { ...STARTING_RECIPE, name: 'evening' } as unknown as Json)
  put('figure', { name: 'keeper.stl', sha256: sha256(bytes), bytes: 5000 })
  store.run('INSERT INTO bytes (sha256, data) VALUES (?, ?)', [sha256(bytes), bytes])
  return store
}

/** The same entries written by the present version. */
const presentNotebook = (): SqlStore => {
  const store = memoryNotebook()
  addEntry(store, recipeDraft('evening'), momentAt(0))
  addEntry(store, figureDraft('keeper.stl', new Uint8Array(5000).fill(7)), momentAt(0))
  return store
}

test('a notebook of version 1 is brought up to date without losing anything', () => {
  const store = olderNotebook()
  expect(prepare(store)).toMatchObject({ ok: true, value: { version: 1 } })
  expect(notebookHash(store)).toBe(notebookHash(presentNotebook()))
  expect(bytesOf(store, sha256(new Uint8Array(5000).fill(7)))).toMatchObject({ ok: true })
  expect(() => store.exec('DELETE FROM bytes')).toThrow(/never taken away/)
  // And it now is what a new one is.
  expect(prepare(store)).toMatchObject({ ok: true, value: { version: 2, strangers: [] } })
})

test('a notebook of version 1 is taken in as it is', () => {
  const store = memoryNotebook()
  expect(mergeInto(store, olderNotebook())).toMatchObject({ ok: true, value: { newEntries: 2, newFiles: 1 } })
  expect(notebookHash(store)).toBe(notebookHash(presentNotebook()))
})

test('a newer notebook is refused with a sentence', () => {
  const store = memoryNotebook()
  store.exec('PRAGMA user_version = 7')
  for (const tried of [prepare(store), mergeInto(memoryNotebook(), store)])
    expect(tried).toMatchObject({
      ok: false,
      issues: [{ code: 'notebook/newer-version', message: expect.stringMatching(/version 7.*newer Fettle/) }],
    })
})

test('another database is refused and left alone', () => {
  const store = bareStore()
  store.exec('CREATE TABLE entry (id TEXT, kind TEXT, at TEXT, payload TEXT)')
  const before = store.all('SELECT sql FROM sqlite_schema')
  expect(prepare(store)).toMatchObject({ ok: false, issues: [{ code: 'notebook/not-a-notebook' }] })
  expect(store.all('SELECT sql FROM sqlite_schema')).toEqual(before)
})

test('triggers of a strange notebook are not run: it is not opened, and only its rows are taken', () => {
  const strange = presentNotebook()
  strange.exec("CREATE TRIGGER more AFTER INSERT ON entry BEGIN SELECT RAISE(ABORT, 'ran'); END")
  strange.exec('CREATE VIEW everything AS SELECT randomblob(1000000000)')
  expect(prepare(strange)).toMatchObject({ ok: false, issues: [{ code: 'notebook/strangers' }] })
  const store = memoryNotebook()
  const merged = mergeInto(store, strange)
  expect(merged).toMatchObject({ ok: true, value: { newEntries: 2 } })
  expect(merged.ok && merged.notes.map(({ message }) => message).join()).toMatch(/"more".*"everything"/)
  expect(store.all("SELECT name FROM sqlite_schema WHERE name IN ('more', 'everything')")).toEqual([])
  expect(notebookHash(store)).toBe(notebookHash(presentNotebook()))
})

test.each([
  [
    'a view in place of the entries',
    "CREATE VIEW entry AS SELECT '' AS id, '' AS kind, '' AS at, '' AS content, '' AS payload",
  ],
  [
    'a column that is worked out',
    'CREATE TABLE entry (id TEXT, kind TEXT, at TEXT, content TEXT, payload TEXT GENERATED ALWAYS AS (hex(zeroblob(1000000))) VIRTUAL)',
  ],
  ['other columns', 'CREATE TABLE entry (id TEXT)'],
])('%s is refused', (_, sql) => {
  const store = memoryNotebook()
  store.exec('DROP TABLE entry')
  store.exec(sql)
  expect(mergeInto(memoryNotebook(), store)).toMatchObject({ ok: false, issues: [{ code: 'notebook/not-a-notebook' }] })
})
