// The notebook in a real browser: rows stay over a reload, a worker or tab that is killed loses nothing confirmed and leaves nothing half,
// one tab at a time, and the same file goes to the command and back.

import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { build } from 'vite'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import { addEntry, history, notebookHash, sha256 } from '../../src/notebook/index.ts'
import { exportFile, mergeFile, openNotebook } from '../../src/notebook/node.ts'
import { scratchFolder } from '../command/run-fettle.ts'
import { figureDraft, momentAt, recipeDraft } from '../notebook/memory-store.ts'
import { findBrowser } from './find-browser.ts'
import { type Served, serveFolder } from './serve-folder.ts'

const folder = scratchFolder()
const built = join(process.cwd(), '.cache', `notebook-page-${process.pid}`)
let browser: Browser
let served: Served
let context: BrowserContext

beforeAll(async () => {
  await build({
    configFile: false,
    logLevel: 'error',
    base: './',
    worker: { format: 'es' },
    build: {
      outDir: built,
      emptyOutDir: true,
      target: 'es2022',
      assetsInlineLimit: 0,
      rollupOptions: {
        input: { worker: join(process.cwd(), 'tests/notebook/browser-worker.ts') },
        output: { format: 'es', entryFileNames: '[name].js' },
      },
    },
  })
  mkdirSync(built, { recursive: true })
  writeFileSync(join(built, 'index.html'), '<!doctype html><title>notebook</title>')
  served = await serveFolder(built)
  browser = await chromium.launch(await findBrowser())
})
afterAll(async () => {
  await browser.close()
  await served.close()
  rmSync(built, { recursive: true, force: true })
})
beforeEach(async () => {
  context = await browser.newContext()
  return () => context.close()
})

interface Held {
  worker: Worker
  messages: { answer?: unknown; fault?: string; pages?: number }[]
  hear: () => void
}
type WithHeld = typeof globalThis & { held: Held }

/** A tab with a worker of its own. */
const openTab = async (): Promise<Page> => {
  const page = await context.newPage()
  await page.goto(served.address)
  await newWorker(page)
  return page
}

const newWorker = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const held: Held = {
      worker: new Worker('worker.js', { type: 'module' }),
      messages: [],
      hear: () => undefined,
    }
    held.worker.onmessage = ({ data }) => {
      held.messages.push(data)
      held.hear()
    }
    ;(globalThis as WithHeld).held = held
  })

/** Gives an order and waits for its answer. */
const order = <T>(page: Page, what: object): Promise<T> =>
  page.evaluate(async (message) => {
    const { held } = globalThis as WithHeld
    const before = held.messages.length
    held.worker.postMessage(message)
    const found = () => held.messages.slice(before).find((one) => 'answer' in one || 'fault' in one)
    while (!found())
      await new Promise<void>((resolve) => {
        held.hear = resolve
      })
    const { answer, fault } = found()!
    if (fault) throw new Error(fault)
    // Bytes do not pass from a page as they are.
    return answer instanceof Uint8Array ? Array.from(answer) : answer
  }, what) as Promise<T>

interface Looked {
  readonly ids: readonly string[]
  readonly hash: string
  readonly whole: { readonly integrity_check: string }
}

test('entries stay over a reload', async () => {
  const page = await openTab()
  expect(await order(page, { do: 'open' })).toEqual({ open: true })
  const ids = await order<string[]>(page, { do: 'add', texts: ['one', 'two'] })
  await page.reload()
  await newWorker(page)
  expect(await order(page, { do: 'open' })).toEqual({ open: true })
  expect((await order<Looked>(page, { do: 'look' })).ids).toEqual(ids)
})

test.each(['worker', 'tab'] as const)(
  'a %s that is killed between pages of a large transaction: what was confirmed is there, nothing half is',
  async (what) => {
    let page = await openTab()
    await order(page, { do: 'open' })
    await order(page, { do: 'add', texts: ['confirmed'] })
    const before = await order<Looked>(page, { do: 'look' })
    for (let round = 0; round < 2; round++) {
      await page.evaluate(
        async ([most, kills]) => {
          const { held } = globalThis as WithHeld
          held.worker.postMessage({ do: 'large' })
          while (!held.messages.some(({ pages }) => pages !== undefined && pages >= Number(most)))
            await new Promise<void>((resolve) => {
              held.hear = resolve
            })
          if (kills === 'worker') held.worker.terminate()
        },
        [400 + 300 * round, what],
      )
      if (what === 'tab') {
        const session = await context.newCDPSession(page)
        const crashed = new Promise<void>((resolve) => page.on('crash', () => resolve()))
        void session.send('Page.crash').catch(() => undefined)
        await crashed
        page = await openTab()
      } else await newWorker(page)
      expect(await order(page, { do: 'open' })).toEqual({ open: true })
      const after = await order<Looked>(page, { do: 'look' })
      expect(after).toEqual(before)
      expect(after.whole).toEqual({ integrity_check: 'ok' })
    }
  },
)

test('one tab at a time: the second is told so, and gets it when the first closes it or is closed', async () => {
  const first = await openTab()
  await order(first, { do: 'open' })
  await order(first, { do: 'add', texts: ['from the first'] })
  const second = await openTab()
  expect(await order(second, { do: 'open' })).toMatchObject({
    refused: 'notebook/in-use',
    message: expect.stringContaining('open in another tab'),
  })
  await order(first, { do: 'close' })
  expect(await order(second, { do: 'open' })).toEqual({ open: true })
  expect(await order(first, { do: 'open' })).toMatchObject({ refused: 'notebook/in-use' })
  await second.close()
  await expect.poll(() => order(first, { do: 'open' })).toEqual({ open: true })
  expect((await order<Looked>(first, { do: 'look' })).ids).toHaveLength(1)
})

test('one file goes from the command to the browser and back, nothing lost and nothing twice', async () => {
  const opened = await openNotebook(join(folder, 'mine.notebook'))
  if (!opened.ok) throw new Error(opened.issues[0].message)
  const { store, close } = opened.value
  addEntry(store, recipeDraft('evening'), momentAt(0))
  const bytes = new Uint8Array(50_000).fill(9)
  addEntry(store, figureDraft('keeper.stl', bytes), momentAt(1))
  expect(exportFile(store, join(folder, 'out.notebook'))).toMatchObject({ ok: true })

  const page = await openTab()
  await order(page, { do: 'open' })
  await order(page, { do: 'add', texts: ['written on the bench'] })
  const importing = { do: 'import', bytes: new Uint8Array(readFileSync(join(folder, 'out.notebook'))) }
  expect(await order(page, importing)).toMatchObject({ ok: true, value: { newEntries: 2, newFiles: 1 } })
  expect(await order(page, importing)).toMatchObject({ ok: true, value: { newEntries: 0, knownEntries: 2 } })
  expect(await order(page, { do: 'bytes', hash: sha256(bytes) })).toMatchObject({ ok: true })

  const exported = await order<number[]>(page, { do: 'export' })
  writeFileSync(join(folder, 'back.notebook'), Uint8Array.from(exported))
  expect(await mergeFile(store, join(folder, 'back.notebook'), folder)).toMatchObject({
    ok: true,
    value: { newEntries: 1, knownEntries: 2, newFiles: 0 },
  })
  expect(notebookHash(store)).toBe((await order<Looked>(page, { do: 'look' })).hash)
  expect(history(store)).toHaveLength(3)
  close()
  // And the command opens the browser's file as it is.
  const direct = await openNotebook(join(folder, 'back.notebook'))
  expect(direct).toMatchObject({ ok: true })
  if (direct.ok) direct.value.close()
})

test('a file that is no notebook is refused, and everything can be deleted', async () => {
  const page = await openTab()
  await order(page, { do: 'open' })
  await order(page, { do: 'add', texts: ['one'] })
  for (const bytes of [new Uint8Array(0), new Uint8Array(5000).fill(65), new TextEncoder().encode('SQLite format 3\0')])
    expect(await order(page, { do: 'import', bytes })).toMatchObject({ ok: false })
  expect((await order<Looked>(page, { do: 'look' })).ids).toHaveLength(1)
  await order(page, { do: 'delete all' })
  await order(page, { do: 'open' })
  expect((await order<Looked>(page, { do: 'look' })).ids).toEqual([])
})
