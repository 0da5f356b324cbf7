// A notebook in memory for tests, and small entries to put into one.

import sqlite from 'node-sqlite3-wasm'
import { prepare, type SqlStore, sha256 } from '../../src/notebook/index.ts'
import { STARTING_RECIPE } from '../../src/recipe/index.ts'

/** An empty database in memory, or an existing file. */
export const bareStore = (path = ':memory:'): SqlStore => {
  const db = new sqlite.Database(path)
  return {
    all: (sql, values = []) => db.all(sql, [...values]) as ReturnType<SqlStore['all']>,
    run: (sql, values = []) => {
      db.run(sql, [...values])
    },
    exec: (sql) => db.exec(sql),
    close: () => db.close(),
  }
}

export const memoryNotebook = (): SqlStore => {
  const store = bareStore()
  const ready = prepare(store)
  if (!ready.ok) throw new Error(ready.issues[0].message)
  return store
}

/** A moment, counted in seconds from a fixed evening. */
export const momentAt = (second: number): string =>
  new Date(Date.parse('2026-11-25T18:00:00.000Z') + 1000 * second).toISOString()

export const noteDraft = (text: string, of: string | null = null) => ({ kind: 'note', payload: { of, text } }) as const

export const recipeDraft = (name: string) => ({ kind: 'recipe', payload: { ...STARTING_RECIPE, name } }) as const

export const figureDraft = (name: string, bytes: Uint8Array) =>
  ({ kind: 'figure', payload: { name, sha256: sha256(bytes), bytes: bytes.length }, bytes }) as const
