// The worker's entry: one examiner, so that a changed setting recomputes only what depends on it, and every kind of work of the table.

import wasmUrl from 'manifold-3d/manifold.wasm?url'
import { createExaminer } from '../engine/examine/index.ts'
import { loadPolygonKit } from '../pool/polygon-kit-browser.ts'
import { startWasm } from '../pool/start-wasm.ts'
import { serveMethods, type WorkerMethod } from '../pool/worker-side.ts'
import type { BenchWork, FileInput } from './work/work-place.ts'
import { WORK } from './work/work-table.ts'

const ready = loadPolygonKit(wasmUrl).then((kit) => ({ kit, examiner: createExaminer(kit, startWasm) }))

/** Bytes of the last few files, so that the examiner sees the same array again and reads no file twice. */
const files = new Map<string, Uint8Array>()
const MOST_FILES = 3

const bytesOf = ({ key, bytes }: FileInput): Uint8Array => {
  const known = files.get(key)
  if (known) return known
  files.set(key, bytes)
  if (files.size > MOST_FILES) files.delete(files.keys().next().value as string)
  return bytes
}

const methodOf =
  (load: () => Promise<{ readonly default: unknown }>): WorkerMethod =>
  async (input, task, sendPartial) => {
    const [{ default: work }, { kit, examiner }] = await Promise.all([load(), ready])
    return (work as BenchWork<never, unknown>)(input, { kit, examiner, bytesOf, task, sendPartial })
  }

serveMethods(Object.fromEntries(Object.entries(WORK).map(([name, load]) => [name, methodOf(load)])))
