import { expect, test } from 'vitest'
import { figureDraft, memoryNotebook, momentAt, noteDraft, recipeDraft } from '../../tests/notebook/memory-store.ts'
import { addEntries, addEntry, bytesOf, history, standing, withdraw } from './index.ts'

const wellOf = <T>(outcome: { ok: true; value: T } | { ok: false; issues: readonly { message: string }[] }): T => {
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}

test('an entry is kept once however often it is added, and its bytes come back', () => {
  const store = memoryNotebook()
  const bytes = new TextEncoder().encode('solid keeper\n'.repeat(200))
  const first = wellOf(addEntry(store, figureDraft('keeper.stl', bytes), momentAt(0)))
  const again = wellOf(addEntry(store, figureDraft('keeper.stl', bytes), momentAt(60)))
  expect(again).toEqual({ entry: first.entry, isNew: false })
  expect(history(store)).toHaveLength(1)
  const { sha256 } = first.entry.payload as { sha256: string }
  expect(wellOf(bytesOf(store, sha256))).toEqual(bytes)
  const [{ size, length }] = store.all('SELECT size, length(data) AS length FROM bytes')
  expect(size).toBe(bytes.length)
  expect(Number(length)).toBeLessThan(bytes.length / 10)
})

test('undo is a new entry, and undoing that brings the first one back', () => {
  const store = memoryNotebook()
  const { entry } = wellOf(addEntry(store, recipeDraft('evening'), momentAt(0)))
  const gone = wellOf(withdraw(store, entry.id, momentAt(1), 'typed the wrong height'))
  expect(standing(store)).toEqual([])
  expect(history(store).map(({ kind }) => kind)).toEqual(['recipe', 'withdrawal'])
  wellOf(withdraw(store, gone.entry.id, momentAt(2)))
  expect(standing(store).map(({ id }) => id)).toEqual([entry.id])
  const third = wellOf(withdraw(store, entry.id, momentAt(3)))
  expect(third.isNew).toBe(true)
  expect(standing(store)).toEqual([])
  // The same recipe written anew is a new entry, as the old one no longer holds.
  expect(wellOf(addEntry(store, recipeDraft('evening'), momentAt(4))).isNew).toBe(true)
  expect(standing(store)).toHaveLength(1)
})

test('the file itself refuses to change or lose an entry', () => {
  const store = memoryNotebook()
  wellOf(addEntry(store, recipeDraft('evening'), momentAt(0)))
  expect(() => store.exec('DELETE FROM entry')).toThrow(/never taken away/)
  expect(() => store.exec("UPDATE entry SET at = ''")).toThrow(/never changed/)
  expect(history(store)).toHaveLength(1)
})

test('of entries added together all are kept or none', () => {
  const store = memoryNotebook()
  const added = addEntries(store, [
    { draft: noteDraft('kept?'), at: momentAt(0) },
    { draft: noteDraft('of nothing', 'ab'.repeat(32)), at: momentAt(1) },
  ])
  expect(added).toMatchObject({ ok: false, issues: [{ code: 'notebook/no-entry' }] })
  expect(history(store)).toEqual([])
})

test.each([
  ['a moment that is none', { kind: 'note', payload: { of: null, text: 'x' } }, '2026-13-01T00:00:00.000Z', 'moment'],
  ['a recipe out of range', { kind: 'recipe', payload: { form: 'fettle-recipe', version: 1 } }, momentAt(0), 'payload'],
  ['a key too many', { kind: 'note', payload: { of: null, text: 'x', more: 1 } }, momentAt(0), 'payload'],
  [
    'bytes of another hash',
    { ...figureDraft('a.stl', new Uint8Array(3)), bytes: new Uint8Array(4) },
    momentAt(0),
    'hash',
  ],
])('%s is refused', (_, draft, at, code) => {
  const store = memoryNotebook()
  expect(addEntry(store, draft as never, at)).toMatchObject({ ok: false, issues: [{ code: `notebook/${code}` }] })
  expect(history(store)).toEqual([])
})
