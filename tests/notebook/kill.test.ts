// A notebook file survives processes that are killed at any moment, and is never written by two at once.

import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { build } from 'vite'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { canonicalJson, entryId } from '../../src/notebook/canonical.ts'
import { history, notebookHash, prepare, sha256 } from '../../src/notebook/index.ts'
import { openNotebook } from '../../src/notebook/node.ts'
import { makeTables } from '../../src/notebook/schema.ts'
import { scratchFolder } from '../command/run-fettle.ts'
import { bareStore, memoryNotebook, momentAt } from './memory-store.ts'

const folder = scratchFolder()
// In the project, so that packages are found from there.
const built = join(process.cwd(), '.cache', `notebook-child-${process.pid}`)

beforeAll(async () => {
  await build({
    configFile: false,
    logLevel: 'error',
    build: {
      ssr: true,
      outDir: built,
      emptyOutDir: true,
      target: 'node20',
      minify: false,
      rollupOptions: {
        input: { child: join(process.cwd(), 'tests/notebook/child.ts') },
        output: { format: 'es', entryFileNames: '[name].mjs' },
      },
    },
  })
})

afterAll(() => rmSync(built, { recursive: true, force: true }))

const start = (doing: string, path: string): ChildProcess =>
  spawn(process.execPath, [join(built, 'child.mjs'), doing, path], { stdio: ['ignore', 'pipe', 'inherit'] })

/** Lines of a child until one is found that ends the wait, or the child has ended. */
const linesUntil = (child: ChildProcess, isEnough: (lines: readonly string[]) => boolean): Promise<string[]> =>
  new Promise((resolve) => {
    let text = ''
    const whole = () => text.split('\n').slice(0, -1)
    child.stdout!.setEncoding('utf8').on('data', (more) => {
      text += more
      if (isEnough(whole())) resolve(whole())
    })
    child.on('close', () => resolve(whole()))
  })

const killed = (child: ChildProcess): Promise<void> =>
  new Promise((resolve) => {
    child.on('close', () => resolve())
    child.kill('SIGKILL')
  })

const openWell = async (path: string) => {
  const opened = await openNotebook(path)
  if (!opened.ok) throw new Error(opened.issues[0].message)
  return opened.value
}

const beside = (path: string): string[] =>
  readdirSync(folder).filter((file) => join(folder, file).startsWith(`${path}`))

test('killed while it writes entry after entry, at many moments: every confirmed entry is there, none twice, nothing to put in order by hand', async () => {
  const path = join(folder, 'writing.notebook')
  const confirmed = new Set<string>()
  for (let round = 0; round < 6; round++) {
    const child = start('write', path)
    let enough = false
    const lines = linesUntil(child, (sofar) => {
      // Another number of entries each time, so that the kill falls at another place.
      enough = sofar.length > 3 + 5 * round
      return enough
    })
    await lines
    // Lines that came between are confirmed too.
    let late = ''
    child.stdout!.on('data', (more) => {
      late += more
    })
    await killed(child)
    for (const id of [...(await lines), ...late.split('\n')]) if (/^[0-9a-f]{64}$/.test(id)) confirmed.add(id)
    const { store, close } = await openWell(path)
    const ids = history(store).map(({ id }) => id)
    close()
    expect(enough).toBe(true)
    expect([...confirmed].filter((id) => !ids.includes(id))).toEqual([])
    expect(new Set(ids).size).toBe(ids.length)
  }
  expect(beside(path)).toEqual(['writing.notebook'])
})

test.each([
  ['in the middle', /^600 true$/],
  ['just before it is confirmed', /^all but confirmed$/],
])('killed %s of a large transaction: no half entry is visible', async (_, when) => {
  const path = join(folder, `large-${when.source.length}.notebook`)
  const first = await openWell(path)
  const before = notebookHash(first.store)
  first.close()
  const child = start('large', path)
  await linesUntil(child, (lines) => lines.some((line) => when.test(line)))
  await killed(child)
  // The test is only worth something when pages of it were on the disk.
  expect(statSync(`${path}-wal`).size).toBeGreaterThan(500_000)
  expect(existsSync(`${path}.lock`)).toBe(true)
  const { store, close } = await openWell(path)
  expect(notebookHash(store)).toBe(before)
  expect(store.all('PRAGMA integrity_check')[0]).toEqual({ integrity_check: 'ok' })
  close()
  expect(beside(path)).toEqual([path.slice(folder.length + 1)])
})

test('while another process holds it: a clear sentence, and once that is killed it opens', async () => {
  const path = join(folder, 'held.notebook')
  const holder = start('hold', path)
  await linesUntil(holder, (lines) => lines.includes('open'))
  const tried = await openNotebook(path, { waitMs: 100 })
  expect(tried).toMatchObject({ ok: false, issues: [{ code: 'notebook/in-use' }] })
  expect(!tried.ok && tried.issues[0].message).toMatch(
    new RegExp(`held\\.notebook is in use by process ${holder.pid} on this machine since 20..-..-..T..:..; try again`),
  )
  // A third process that is killed while it waits must not leave anything behind either.
  const waiting = start('write', path)
  await killed(waiting)
  await killed(holder)
  const { store, close } = await openWell(path)
  expect(prepare(store).ok).toBe(true)
  close()
  expect(beside(path)).toEqual(['held.notebook'])
})

test('a ticket of a process number that is now another process is not believed; one of another machine is', async () => {
  const path = join(folder, 'tickets.notebook')
  const holder = start('hold', path)
  await linesUntil(holder, (lines) => lines.includes('open'))
  const name = readdirSync(folder).find((file) => file.startsWith('tickets.notebook.held-'))!
  await killed(holder)
  const [, machine, boot] = /held-(\w+)-(\w+)-/.exec(name)!
  // Our own number with another start, and our number before the machine was started anew.
  writeFileSync(join(folder, `tickets.notebook.held-${machine}-${boot}-${process.pid}-1-${'0'.repeat(12)}`), '')
  writeFileSync(
    join(folder, `tickets.notebook.held-${machine}-${'0'.repeat(10)}-${process.pid}-1-${'1'.repeat(12)}`),
    '',
  )
  ;(await openWell(path)).close()
  expect(beside(path)).toEqual(['tickets.notebook'])
  const foreign = `tickets.notebook.held-${'a'.repeat(10)}-${boot}-1-1-${'2'.repeat(12)}`
  writeFileSync(join(folder, foreign), '')
  const tried = await openNotebook(path, { waitMs: 50 })
  expect(!tried.ok && tried.issues[0].message).toMatch(/another machine.*take away tickets\.notebook\.held-a/)
  expect(beside(path)).toEqual(['tickets.notebook', foreign].sort())
})

test('two processes that start together never hold it at once', async () => {
  const path = join(folder, 'together.notebook')
  for (let round = 0; round < 3; round++) {
    const both = [start('hold', path), start('hold', path)]
    const told = await Promise.all(both.map((child) => linesUntil(child, (lines) => lines.length > 0)))
    const firsts = told.map(([line]) => (line ?? '').split(' ').slice(0, 2).join(' '))
    expect(firsts.filter((line) => line === 'open').length).toBeLessThanOrEqual(1)
    expect(firsts.every((line) => line === 'open' || line === 'refused notebook/in-use')).toBe(true)
    await Promise.all(both.map((child) => (child.exitCode === null ? killed(child) : undefined)))
  }
  ;(await openWell(path)).close()
})

/** A notebook file of version 1 with so much in it that bringing it up to date takes a while. */
const olderFile = (path: string): string => {
  const old = bareStore(path)
  makeTables(old, 1)
  old.exec('BEGIN')
  for (let i = 0; i < 400; i++) {
    const payload = { of: null, text: `older note ${i}` }
    old.run('INSERT INTO entry (id, kind, at, payload) VALUES (?, ?, ?, ?)', [
      entryId('note', momentAt(i), payload),
      'note',
      momentAt(i),
      canonicalJson(payload),
    ])
  }
  for (let i = 0; i < 40; i++) {
    const bytes = Uint8Array.from({ length: 60_000 }, (_, k) => (k * (i + 3)) % 251)
    old.run('INSERT INTO bytes (sha256, data) VALUES (?, ?)', [sha256(bytes), bytes])
  }
  old.exec('COMMIT')
  const present = memoryNotebook()
  present.exec('DROP TRIGGER entry_stays')
  for (const row of old.all('SELECT id, kind, at, payload FROM entry'))
    present.run("INSERT INTO entry VALUES (?, ?, ?, '', ?)", [row.id, row.kind, row.at, row.payload])
  for (const row of old.all('SELECT sha256, data FROM bytes'))
    present.run("INSERT INTO bytes VALUES (?, 'plain', 0, ?)", [row.sha256, row.data])
  const hash = notebookHash(present)
  old.close()
  return hash
}

test('killed while it is brought up to date, at many moments: nothing lost, and the next open finishes it', async () => {
  const inner = join(folder, 'older')
  mkdirSync(inner)
  const isMigrating = () => readdirSync(inner).some((file) => file.includes('.migrating-'))
  let caught = 0
  for (let round = 0; round < 5; round++) {
    const path = join(inner, `round-${round}.notebook`)
    const hash = olderFile(path)
    const child = start('open', path)
    const ended = linesUntil(child, () => false)
    while (child.exitCode === null && !isMigrating()) await new Promise((resolve) => setTimeout(resolve, 1))
    await new Promise((resolve) => setTimeout(resolve, 12 * round))
    if (child.exitCode === null) {
      await killed(child)
      if (isMigrating()) caught++
    }
    await ended
    const opened = await openNotebook(path)
    if (!opened.ok) throw new Error(opened.issues[0].message)
    expect(notebookHash(opened.value.store)).toBe(hash)
    opened.value.close()
    // The older file is kept under a name that says so.
    expect(readdirSync(inner).filter((file) => file.startsWith(`round-${round}`))).toEqual([
      `round-${round}.notebook`,
      `round-${round}.notebook.version-1`,
    ])
  }
  expect(caught).toBeGreaterThan(0)
})
