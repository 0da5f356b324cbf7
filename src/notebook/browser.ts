// The notebook in a browser: SQLite on the origin's private files, in a worker, held by one tab at a time.
//
// The pooled store is used: it needs no isolation headers. Its calls block, so it must run in a worker. Changes go to a log (WAL) as in
// Node, and one tab at a time holds the store by a lock of the browser, which lets go of it when the tab or its worker is killed.

import sqlite3InitModule, { type Database, type SAHPoolUtil, type Sqlite3Static } from '@sqlite.org/sqlite-wasm'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { type Merged, mergeInto } from './merge.ts'
import { prepare } from './prepare.ts'
import { attempt, type SqlStore } from './sql-store.ts'

/** Name of lock, store and folder in the browser. */
const NAME = 'fettle-notebook'
const FILE = '/notebook'
/** The handles of a killed worker come free a moment later. */
const TRIES = 20
const PAUSE_MS = 150
/** Longest wait for another tab, ms. */
const LOCK_WAIT_MS = 2000
/** An imported file is held in memory. */
const MOST_FILE_BYTES = 1_000_000_000

/** A notebook that this tab holds. */
export interface BrowserNotebook {
  readonly store: SqlStore
  /** Everything as the bytes of a notebook file. Codes as `mergeInto`. */
  readonly exportBytes: () => Outcome<Uint8Array<ArrayBuffer>>
  /** Takes a notebook file in. Codes as `mergeInto`. */
  readonly importBytes: (bytes: Uint8Array) => Outcome<Merged>
  /** Closes it and lets another tab have it. */
  readonly close: () => void
  /** Deletes everything for good, and closes. */
  readonly deleteAll: () => Promise<void>
}

const storeOf = (db: Database): SqlStore => ({
  all: (sql, values = []) =>
    db.exec({
      sql,
      ...(values.length > 0 ? { bind: [...values] } : {}),
      rowMode: 'object',
      returnValue: 'resultRows',
    }) as unknown as ReturnType<SqlStore['all']>,
  run: (sql, values = []) => {
    db.exec({ sql, ...(values.length > 0 ? { bind: [...values] } : {}) })
  },
  exec: (sql) => {
    db.exec(sql)
  },
  close: () => db.close(),
})

/** Takes the browser's lock; answers with how to let go of it, or null when another tab keeps it. */
const takeLock = (): Promise<(() => void) | null> =>
  new Promise((resolve) => {
    navigator.locks
      // A worker that was ended lets go a moment later.
      .request(
        NAME,
        { signal: AbortSignal.timeout(LOCK_WAIT_MS) },
        () => new Promise<void>((release) => resolve(release)),
      )
      .catch(() => resolve(null))
  })

const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms))

/** Without `preserveOnInitFailure` a start that fails, as while a killed worker's handles are still shut, deletes every file of the pool. */
const POOL = {
  name: NAME,
  directory: `/${NAME}`,
  initialCapacity: 6,
  preserveOnInitFailure: true,
  forceReinitIfPreviouslyFailed: true,
}

const openPool = async (sqlite3: Sqlite3Static): Promise<SAHPoolUtil> => {
  for (let tried = 1; ; tried++) {
    try {
      const pool = await sqlite3.installOpfsSAHPoolVfs(POOL)
      return pool.isPaused() ? await pool.unpauseVfs() : pool
    } catch (fault) {
      if (tried === TRIES) throw fault
      await pause(PAUSE_MS)
    }
  }
}

let module: Promise<Sqlite3Static> | undefined
/** The program is loaded once; a load that failed is tried again next time. */
const sqlite = (): Promise<Sqlite3Static> => {
  module ??= sqlite3InitModule().catch((fault: unknown) => {
    module = undefined
    throw fault
  })
  return module
}

const exportFrom = (sqlite3: Sqlite3Static, store: SqlStore): Outcome<Uint8Array<ArrayBuffer>> =>
  attempt('Exporting the notebook', () => {
    const db = new sqlite3.oo1.DB(':memory:')
    try {
      const made = storeOf(db)
      const ready = prepare(made)
      if (!ready.ok) return ready
      const merged = mergeInto(made, store)
      if (!merged.ok) return merged
      return good(new Uint8Array(sqlite3.capi.sqlite3_js_db_export(db)), merged.notes)
    } finally {
      store.exec('PRAGMA query_only = OFF')
      db.close()
    }
  })

const importInto = (sqlite3: Sqlite3Static, store: SqlStore, bytes: Uint8Array): Outcome<Merged> => {
  if (bytes.length > MOST_FILE_BYTES)
    return failed(
      'notebook/too-large',
      `The file has ${bytes.length} bytes; a browser takes up to ${MOST_FILE_BYTES}. Merge it with the command.`,
    )
  return attempt('Reading the other notebook', () => {
    const db = new sqlite3.oo1.DB(':memory:')
    try {
      const copy = bytes.slice()
      // Bytes 18 and 19 say that a log belongs to the file; what is handed in is the file alone.
      if (copy.length > 19 && copy[18] === 2) copy.fill(1, 18, 20)
      const { capi, wasm } = sqlite3
      const at = wasm.allocFromTypedArray(copy)
      const code = capi.sqlite3_deserialize(
        db.pointer!,
        'main',
        at,
        copy.length,
        copy.length,
        capi.SQLITE_DESERIALIZE_FREEONCLOSE | capi.SQLITE_DESERIALIZE_READONLY,
      )
      if (code !== 0) return failed('notebook/not-a-notebook', 'This is not a notebook; choose another file.')
      return mergeInto(store, storeOf(db))
    } finally {
      db.close()
    }
  })
}

/**
 * Opens this browser's notebook; runs in a worker only.
 * Codes "notebook/in-use" when another tab has it, "notebook/no-store" where the browser has no private files, and those of `prepare`.
 */
export const openBrowserNotebook = async (): Promise<Outcome<BrowserNotebook>> => {
  const noStore = (why: string) =>
    failed(
      'notebook/no-store',
      `This browser offers no place for a notebook (${why}); leave private browsing or use a newer browser. Files can be saved all the same.`,
    )
  if (!navigator.locks || !navigator.storage?.getDirectory) return noStore('no private files')
  const release = await takeLock()
  if (!release)
    return failed('notebook/in-use', 'The notebook is open in another tab; close it there, then open it here again.')
  try {
    const sqlite3 = await sqlite()
    const pool = await openPool(sqlite3)
    const db = new pool.OpfsSAHPoolDb(FILE)
    const store = storeOf(db)
    store.exec('PRAGMA locking_mode = EXCLUSIVE')
    store.exec('PRAGMA journal_mode = WAL')
    store.exec('PRAGMA synchronous = FULL')
    const ready = prepare(store)
    const close = (): void => {
      store.close()
      pool.pauseVfs()
      release()
    }
    if (!ready.ok) {
      close()
      return ready
    }
    return good(
      {
        store,
        exportBytes: () => exportFrom(sqlite3, store),
        importBytes: (bytes) => importInto(sqlite3, store, bytes),
        close,
        deleteAll: async () => {
          store.close()
          await pool.wipeFiles()
          pool.pauseVfs()
          release()
        },
      },
      ready.notes,
    )
  } catch (fault) {
    release()
    return noStore(fault instanceof Error ? fault.message : String(fault))
  }
}
