// The notebook in Node: a file, with the WebAssembly build of SQLite, held by one process at a time.
//
// The build keeps a folder FILE.lock while it has the file open, and one left by a killed process refuses every later open. It also takes
// its own lock for that of another process when it looks whether an unfinished change must be taken back, and so shows half of it (seen:
// an update that was never confirmed, 20 rows of 20). Therefore changes go to a log beside the file (journal_mode WAL), which is read
// up to the last confirmed one whatever happened, and the folder is removed by whoever holds the file by a ticket of our own.

import { randomBytes } from 'node:crypto'
import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  linkSync,
  mkdirSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
} from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import sqlite from 'node-sqlite3-wasm'
import { failed, good, type Issue, type Outcome } from '../engine/kernel/index.ts'
import { type Merged, mergeInto } from './merge.ts'
import { takeTicket } from './owner-ticket.ts'
import { beCareful, lookAt, migrate, prepare } from './prepare.ts'
import { NOTEBOOK_VERSION } from './schema.ts'
import { attempt, type SqlStore } from './sql-store.ts'
import { NOTEBOOK_LIMITS } from './types.ts'

const storeOf = (path: string): SqlStore => {
  const db = new sqlite.Database(path)
  let isOpen = true
  return {
    all: (sql, values = []) => db.all(sql, [...values]) as ReturnType<SqlStore['all']>,
    run: (sql, values = []) => {
      db.run(sql, [...values])
    },
    exec: (sql) => db.exec(sql),
    close: () => {
      if (isOpen) db.close()
      isOpen = false
    },
  }
}

/** Opens a file that nobody else holds, and lets every confirmed change reach the disk before it is called confirmed. */
const openLogged = (path: string): SqlStore => {
  rmSync(`${path}.lock`, { recursive: true, force: true })
  const store = storeOf(path)
  try {
    store.exec('PRAGMA locking_mode = EXCLUSIVE')
    store.all('PRAGMA journal_mode = WAL')
    store.exec('PRAGMA synchronous = FULL')
    return store
  } catch (fault) {
    store.close()
    throw fault
  }
}

const syncFolder = (folder: string): void => {
  try {
    const handle = openSync(folder, 'r')
    fsyncSync(handle)
    closeSync(handle)
  } catch {
    // Some systems do not let a folder be opened; there is nothing to write down then.
  }
}

/** Copies of a migration that was killed; whoever holds the notebook may take them away. */
const dropLeftovers = (path: string): void => {
  for (const file of readdirSync(dirname(path)))
    if (file.startsWith(`${basename(path)}.migrating-`))
      rmSync(join(dirname(path), file), { recursive: true, force: true })
}

/** Brings an older file up to date on a copy, then gives the copy its name. The older file stays beside it. */
const migrateFile = (path: string, version: number): Issue => {
  const copy = `${path}.migrating-${randomBytes(4).toString('hex')}`
  copyFileSync(path, copy)
  const store = openLogged(copy)
  try {
    migrate(store, version)
    store.all('PRAGMA journal_mode = DELETE')
  } finally {
    store.close()
  }
  const handle = openSync(copy, 'r+')
  fsyncSync(handle)
  closeSync(handle)
  const older = `${path}.version-${version}`
  if (!existsSync(older)) {
    try {
      linkSync(path, older)
    } catch {
      copyFileSync(path, older)
    }
  }
  renameSync(copy, path)
  syncFolder(dirname(path))
  return {
    code: 'notebook/older-version',
    message: `The notebook was of version ${version}; it is now of version ${NOTEBOOK_VERSION}, and the older file is kept as ${basename(older)}.`,
  }
}

/** A notebook file that this process holds. */
export interface OpenNotebook {
  readonly store: SqlStore
  readonly close: () => void
}

const sizeFault = (path: string): Outcome<never> | null => {
  if (!existsSync(path)) return null
  const stats = statSync(path)
  if (!stats.isFile()) return failed('notebook/not-a-file', `${path} is no file; name the notebook file itself.`)
  return stats.size > NOTEBOOK_LIMITS.fileBytes
    ? failed('notebook/too-large', `${path} has ${stats.size} bytes; ${NOTEBOOK_LIMITS.fileBytes} are the most.`)
    : null
}

const openHeld = (path: string): Outcome<SqlStore> => {
  const tooLarge = sizeFault(path)
  if (tooLarge) return tooLarge
  return attempt(`Opening ${path}`, () => {
    dropLeftovers(path)
    const notes: Issue[] = []
    // A file that is not a notebook must not be touched, so it is looked at before anything may write to it.
    if (existsSync(path) && statSync(path).size > 0) {
      rmSync(`${path}.lock`, { recursive: true, force: true })
      const first = storeOf(path)
      try {
        first.exec('PRAGMA locking_mode = EXCLUSIVE')
        beCareful(first)
        const found = lookAt(first)
        if (!found.ok) return found
        const { version, strangers } = found.value
        first.close()
        if (version > 0 && version < NOTEBOOK_VERSION && strangers.length === 0) notes.push(migrateFile(path, version))
      } finally {
        first.close()
      }
    }
    const store = openLogged(path)
    const ready = prepare(store)
    if (ready.ok) return good(store, notes)
    store.close()
    return ready
  })
}

/**
 * Opens a notebook file, or makes one. Waits a little for another process that holds it; what a killed process left behind is put in
 * order by itself. Close it when done.
 * Codes "notebook/in-use", "notebook/not-a-notebook", "notebook/newer-version", "notebook/strangers", "notebook/no-file" ...
 * @param how.mustExist refuse where there is no such file
 * @param how.waitMs longest wait for another process
 */
export const openNotebook = async (
  path: string,
  how: { readonly mustExist?: boolean; readonly waitMs?: number } = {},
): Promise<Outcome<OpenNotebook>> => {
  const whole = resolve(path)
  if (how.mustExist && !existsSync(whole)) return failed('notebook/no-file', `${path}: there is no such notebook.`)
  try {
    mkdirSync(dirname(whole), { recursive: true })
  } catch (fault) {
    return failed('notebook/folder', `${path}: its folder cannot be made (${(fault as Error).message}).`)
  }
  const ticket = await takeTicket(whole, how.waitMs)
  if (!ticket.ok) return ticket
  const opened = openHeld(whole)
  if (!opened.ok) {
    ticket.value.release()
    return opened
  }
  const store = opened.value
  let isOpen = true
  return good(
    {
      store,
      close: () => {
        if (!isOpen) return
        isOpen = false
        try {
          store.close()
        } finally {
          ticket.value.release()
        }
      },
    },
    opened.notes,
  )
}

/** A copy of a notebook file with its log, in a folder of its own, so that the file itself is never written to. */
const copyOf = async (path: string, folder: string): Promise<Outcome<string>> => {
  if (!existsSync(path)) return failed('notebook/no-file', `${path}: there is no such file.`)
  const fault = sizeFault(path)
  if (fault) return fault
  if (existsSync(`${path}-journal`) && statSync(`${path}-journal`).size > 0)
    return failed(
      'notebook/unfinished',
      `${path} was left in the middle of a change by another program; open and close it there first.`,
    )
  const copy = join(folder, 'other')
  const take = () => {
    copyFileSync(path, copy)
    if (existsSync(`${path}-wal`)) copyFileSync(`${path}-wal`, `${copy}-wal`)
  }
  // Copied while nobody writes; where no ticket can be written, nobody can write either.
  const ticket = await takeTicket(path)
  if (!ticket.ok && ticket.issues[0].code === 'notebook/in-use') return ticket
  try {
    take()
    return good(copy)
  } finally {
    if (ticket.ok) ticket.value.release()
  }
}

/**
 * Takes another notebook file into an open one. The other is copied and only the copy is opened, so it stays as it is.
 * Codes as `mergeInto` and `openNotebook`.
 */
export const mergeFile = async (store: SqlStore, path: string, scratchFolder: string): Promise<Outcome<Merged>> => {
  const folder = join(scratchFolder, `fettle-merge-${randomBytes(6).toString('hex')}`)
  mkdirSync(folder, { recursive: true })
  try {
    const copy = await copyOf(resolve(path), folder)
    if (!copy.ok) return copy
    return attempt(`Reading ${path}`, () => {
      const other = storeOf(copy.value)
      try {
        other.exec('PRAGMA locking_mode = EXCLUSIVE')
        return mergeInto(store, other)
      } finally {
        other.close()
      }
    })
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/**
 * Writes everything a notebook holds into a new file that is whole by itself, without a log beside it.
 * @param path must not exist yet; written under another name first
 */
export const exportFile = (store: SqlStore, path: string): Outcome<Merged> => {
  const whole = resolve(path)
  const half = `${whole}.${randomBytes(6).toString('hex')}.part`
  try {
    return attempt(`Writing ${path}`, () => {
      if (existsSync(whole)) return failed('notebook/exists', `${path} is there already; choose another name.`)
      const made = storeOf(half)
      try {
        const ready = prepare(made)
        if (!ready.ok) return ready
        const merged = mergeFrom(made, store)
        if (!merged.ok) return merged
        made.close()
        linkSync(half, whole)
        return merged
      } finally {
        made.close()
      }
    })
  } finally {
    for (const end of ['', '.lock', '-journal']) rmSync(`${half}${end}`, { recursive: true, force: true })
  }
}

/** The store is our own, so reading it goes back to writing afterwards. */
const mergeFrom = (into: SqlStore, own: SqlStore): Outcome<Merged> => {
  try {
    return mergeInto(into, own)
  } finally {
    own.exec('PRAGMA query_only = OFF')
  }
}
