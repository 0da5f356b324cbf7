// The pool with real worker threads: results, progress, partial results, faults, and a stop that keeps or ends the worker.

import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from 'vite'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { Cancelled } from '../engine/kernel/index.ts'
import type { WorkPool } from './index.ts'
import { nodePool } from './node.ts'

const folder = mkdtempSync(join(tmpdir(), 'fettle-pool-'))
let pool: WorkPool

beforeAll(async () => {
  await build({
    configFile: false,
    logLevel: 'error',
    build: {
      ssr: join(process.cwd(), 'tests/pool-worker.ts'),
      outDir: folder,
      rollupOptions: { output: { format: 'es', entryFileNames: 'worker.mjs' } },
    },
    // The folder has no packages beside it, so the library goes into the file.
    ssr: { noExternal: true },
  })
  pool = nodePool(join(folder, 'worker.mjs'))
})
afterAll(async () => {
  await pool.close(true)
  rmSync(folder, { recursive: true, force: true })
})

test('a method answers, with progress and partial results on the way', async () => {
  const shares: number[] = []
  const parts: unknown[] = []
  const values = new Float64Array([1, 2, 3])
  const sum = await pool.run<number>('sum', values, {
    onProgress: (share) => shares.push(share),
    onPartial: (part) => parts.push(part),
    transfer: [values.buffer],
  })
  expect(sum).toBe(6)
  expect(shares.at(-1)).toBe(1)
  expect(parts).toEqual([1, 3, 6])
  expect(values.length).toBe(0)
})

test('a fault in the worker arrives with its message', async () => {
  await expect(pool.run('fault', 'the rope broke')).rejects.toMatchObject({ message: 'the rope broke' })
})

test('a stop is heard, and work that breathes keeps its worker', async () => {
  const before = await pool.run<number>('count', null)
  const stop = new AbortController()
  const work = pool.run('breatheForever', null, { signal: stop.signal, onProgress: () => stop.abort() })
  await expect(work).rejects.toBeInstanceOf(Cancelled)
  // The same worker still counts: what it has stored was kept.
  expect(await pool.run<number>('count', null)).toBe(before + 1)
})

test('work that does not breathe is ended from outside, and the next work finds a new worker', async () => {
  await pool.run<number>('count', null)
  const stop = new AbortController()
  const work = pool.run('holdForever', null, { signal: stop.signal, onProgress: () => stop.abort() })
  await expect(work).rejects.toBeInstanceOf(Cancelled)
  expect(await pool.run<number>('count', null)).toBe(1)
})

test('a signal that was aborted before starts nothing', async () => {
  await expect(pool.run('count', null, { signal: AbortSignal.abort() })).rejects.toBeInstanceOf(Cancelled)
})
