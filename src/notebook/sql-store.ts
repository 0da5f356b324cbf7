// The port to SQLite: the few calls the notebook needs, alike in a browser's worker and in Node.

import { failed, type Outcome } from '../engine/kernel/index.ts'

export type SqlValue = string | number | bigint | Uint8Array | null
export type SqlRow = Readonly<Record<string, SqlValue>>

/** An open database. Calls block until they are done; all of them throw what SQLite says. */
export interface SqlStore {
  readonly all: (sql: string, values?: readonly SqlValue[]) => readonly SqlRow[]
  readonly run: (sql: string, values?: readonly SqlValue[]) => void
  /** Several statements without values. */
  readonly exec: (sql: string) => void
  readonly close: () => void
}

/** Thrown inside a transaction to leave it with an outcome that is not good; nothing is kept. */
export class Unkept extends Error {
  readonly outcome: Outcome<never>
  constructor(outcome: Outcome<never>) {
    super('nothing is kept')
    this.outcome = outcome
  }
}

/** Runs a step in one transaction: kept when it returns, undone when it throws. */
export const inTransaction = <T>(store: SqlStore, step: () => T): T => {
  store.exec('BEGIN IMMEDIATE')
  try {
    const result = step()
    store.exec('COMMIT')
    return result
  } catch (fault) {
    try {
      store.exec('ROLLBACK')
    } catch {
      // SQLite has already undone it, as it does when the disk is full.
    }
    throw fault
  }
}

const words = (fault: unknown): string =>
  (fault instanceof Error ? fault.message : String(fault)).replace(/\s+/g, ' ').slice(0, 200)

/** Runs a step; trouble of SQLite or of the disk becomes a value. Code "notebook/store". */
export const attempt = <T>(doing: string, step: () => Outcome<T>): Outcome<T> => {
  try {
    return step()
  } catch (fault) {
    if (fault instanceof Unkept) return fault.outcome
    return failed(
      'notebook/store',
      `${doing} failed (${words(fault)}); nothing was changed. Is the disk full, or the file damaged?`,
    )
  }
}
