// The verb "notebook": keep, list, show, withdraw, carry and merge; sentences for what goes wrong.

import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { publishHtml } from '../../src/guide/index.ts'
import { openNotebook } from '../../src/notebook/node.ts'
import { STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { SAMPLE_TRIALS, sampleContent, TINY_PNG } from '../guide-sample.ts'
import { bareStore } from '../notebook/memory-store.ts'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
const json = (name: string, value: unknown) => writeBytes(folder, name, JSON.stringify(value))
writeBytes(folder, 'post.stl', POST)
json('evening.json', { ...STARTING_RECIPE, name: 'evening' })
json('machine.json', STARTING_PRINTER)
json('trials.json', SAMPLE_TRIALS)
writeBytes(folder, 'guide.html', publishHtml(sampleContent()))
const tEXt = [0, 0, 0, 4, ...[...'tEXthome'].map((c) => c.charCodeAt(0)), 0, 0, 0, 0]
writeBytes(folder, 'photo.png', Uint8Array.of(...TINY_PNG.slice(0, 33), ...tEXt, ...TINY_PNG.slice(33)))

const run = async (...words: string[]) => {
  const ran = await fettle(['notebook', ...words], inFolder)
  if (ran.code !== 0) throw new Error(ran.err)
  return ran.out
}
interface Listed {
  readonly entries: readonly { id: string; kind: string; withdrawn: boolean; payload: Record<string, unknown> }[]
}
const list = async (notebook: string, what = 'list'): Promise<Listed> => JSON.parse(await run(what, notebook, '--json'))

test('files are kept by what they hold, once, and come out again', async () => {
  const files = ['post.stl', 'evening.json', 'machine.json', 'trials.json', 'guide.html', 'photo.png']
  const at = ['--at', '2026-11-25T18:04:00Z']
  await run('add', 'ferry.notebook', ...files, ...at)
  const kinds = (await list('ferry.notebook')).entries.map(({ kind }) => kind).sort()
  expect(kinds).toEqual(['attachment', 'figure', 'guide', 'printer', 'recipe', 'trial', 'trial'])
  // The recipe inside the guide is the evening one: kept once.
  expect(await run('add', 'ferry.notebook', ...files)).toMatch(/known already/)
  expect((await list('ferry.notebook', 'history')).entries).toHaveLength(kinds.length)

  const { entries } = await list('ferry.notebook')
  const idOf = (kind: string) => entries.find((entry) => entry.kind === kind)!.id.slice(0, 8)
  await run('show', 'ferry.notebook', idOf('figure'), '-o', 'back.stl')
  expect(new Uint8Array(readFileSync(join(folder, 'back.stl')))).toEqual(POST)
  await run('show', 'ferry.notebook', idOf('attachment'), '-o', 'back.png')
  expect(new Uint8Array(readFileSync(join(folder, 'back.png')))).toEqual(TINY_PNG)
  expect(JSON.parse(await run('show', 'ferry.notebook', idOf('printer')))).toEqual(STARTING_PRINTER)
  expect(JSON.parse(await run('trials', 'ferry.notebook'))).toEqual(SAMPLE_TRIALS)
  expect(await run('list', 'ferry.notebook', '--kind', 'recipe')).toMatch(/2026-11-25 18:04 {2}recipe {2}evening/)
})

test('a sheet becomes an examination with its recipe', async () => {
  await fettle(['examine', 'post.stl', '--scale-height', '28', '--json', '-o', 'sheet.json', '--quiet'], inFolder)
  await run('add', 'sheets.notebook', 'sheet.json')
  const { entries } = await list('sheets.notebook')
  expect(entries.map(({ kind }) => kind).sort()).toEqual(['examination', 'recipe'])
  expect(entries.find(({ kind }) => kind === 'examination')?.payload).toMatchObject({
    fileName: 'post.stl',
    soleToEyeMm: 28,
  })
})

test('withdrawn by a new entry, and brought back', async () => {
  await run('add', 'undo.notebook', 'evening.json')
  const [{ id }] = (await list('undo.notebook')).entries
  await run('withdraw', 'undo.notebook', id.slice(0, 6), '--note', 'wrong spool')
  expect((await list('undo.notebook')).entries).toEqual([])
  const all = (await list('undo.notebook', 'history')).entries
  expect(all.find((entry) => entry.id === id)?.withdrawn).toBe(true)
  expect(await run('history', 'undo.notebook')).toMatch(/\(withdrawn\) evening/)
  await run('withdraw', 'undo.notebook', all.find(({ kind }) => kind === 'withdrawal')!.id)
  expect((await list('undo.notebook')).entries.map((entry) => entry.id)).toEqual([id])
})

test('export, import and merge: nothing lost, nothing twice, nothing overwritten by accident', async () => {
  await run('add', 'a.notebook', 'post.stl', 'evening.json')
  await run('add', 'b.notebook', 'machine.json', 'trials.json')
  await run('export', 'a.notebook', '-o', 'a-carried.notebook')
  expect((await fettle(['notebook', 'export', 'a.notebook', '-o', 'a-carried.notebook'], inFolder)).code).toBe(2)
  await run('export', 'a.notebook', '-o', 'a-carried.notebook', '--force')
  expect(await run('import', 'b.notebook', 'a-carried.notebook')).toMatch(/^2 entries and 1 files taken in; 0 and 0/)
  expect(await run('import', 'b.notebook', 'a-carried.notebook')).toMatch(/^0 entries and 0 files taken in; 2 and 1/)
  await run('merge', 'a.notebook', 'b.notebook', '-o', 'both.notebook')
  expect((await list('both.notebook')).entries).toEqual((await list('b.notebook')).entries)
  const merged = JSON.parse(await run('merge', 'b.notebook', 'a.notebook', '-o', 'other.notebook', '--json'))
  expect(merged).toMatchObject({ form: 'fettle-notebook-merge', newEntries: 5, knownEntries: 2 })
})

test.each([
  [['list', 'none.notebook'], 3, /there is no such notebook/],
  [['list'], 2, /takes NOTEBOOK/],
  [['read', 'x'], 2, /notebook takes: add, list/],
  [['list', 'post.stl'], 3, /not a notebook: it is no SQLite database/],
  [['import', 'new.notebook', 'trials.json'], 3, /trials\.json: This is not a notebook/],
  [['add', 'new.notebook', 'missing.stl'], 3, /missing\.stl: there is no such file/],
  [['list', 'here.notebook', '--kind', 'spell'], 2, /there are figure, recipe/],
  [['show', 'here.notebook', 'abcdef'], 2, /there is no entry abcdef/],
  [['add', 'here.notebook', 'post.stl', '--at', 'today'], 2, /"today" is no moment/],
  [['export', 'here.notebook'], 2, /-o FILE/],
])('%s: exit code %i and a sentence', async (words, code, sentence) => {
  await fettle(['notebook', 'add', 'here.notebook', 'evening.json'], inFolder)
  const before = readFileSync(join(folder, 'post.stl'))
  const ran = await fettle(['notebook', ...words], inFolder)
  expect(ran.err).toMatch(sentence)
  expect([ran.code, ran.out]).toEqual([code, ''])
  expect(readFileSync(join(folder, 'post.stl'))).toEqual(before)
})

test('a newer notebook is refused, and a strange one is not opened but may be imported', async () => {
  await run('add', 'new-version.notebook', 'evening.json')
  await run('export', 'new-version.notebook', '-o', 'plain.notebook')
  const spoil = (path: string, sql: string) => {
    const store = bareStore(join(folder, path))
    store.exec(sql)
    store.close()
  }
  writeFileSync(join(folder, 'strange.notebook'), readFileSync(join(folder, 'plain.notebook')))
  spoil('plain.notebook', 'PRAGMA user_version = 9')
  expect((await fettle(['notebook', 'list', 'plain.notebook'], inFolder)).err).toMatch(/of version 9.*newer Fettle/)
  spoil('strange.notebook', "CREATE TRIGGER more AFTER INSERT ON entry BEGIN SELECT RAISE(ABORT, 'ran'); END")
  expect((await fettle(['notebook', 'list', 'strange.notebook'], inFolder)).err).toMatch(/"more".*import it into a new/)
  const imported = await fettle(['notebook', 'import', 'clean.notebook', 'strange.notebook'], inFolder)
  expect([imported.code, imported.err]).toEqual([0, expect.stringContaining('was not run and not taken')])
  expect((await list('clean.notebook')).entries).toHaveLength(1)
})

test('while another process holds it the command waits, then says who', async () => {
  await run('add', 'held.notebook', 'evening.json')
  const opened = await openNotebook(join(folder, 'held.notebook'))
  if (!opened.ok) throw new Error(opened.issues[0].message)
  const waiting = fettle(['notebook', 'list', 'held.notebook'], inFolder)
  const refused = await waiting
  expect([refused.code, refused.err]).toEqual([3, expect.stringContaining(`in use by process ${process.pid}`)])
  opened.value.close()
  expect(await run('list', 'held.notebook')).toContain('evening')
})
