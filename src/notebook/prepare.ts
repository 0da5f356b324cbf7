// Looks at an open database before anything else is done: is it a notebook, of which version, and does it hold nothing but one?

import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { APPLICATION_ID, makeTables, NOTEBOOK_VERSION, SCHEMAS, STEPS } from './schema.ts'
import { attempt, inTransaction, type SqlStore } from './sql-store.ts'

const numberIn = (store: SqlStore, pragma: string): number => Number(Object.values(store.all(`PRAGMA ${pragma}`)[0])[0])

/** Settings under which a file from anywhere is opened: nothing that its schema says may call out. */
export const beCareful = (store: SqlStore): void => {
  store.exec('PRAGMA trusted_schema = OFF')
  store.exec('PRAGMA cell_size_check = ON')
}

export interface FoundNotebook {
  /** 0 for an empty database. */
  readonly version: number
  /** Names of triggers, views and tables that no notebook has; they are never run. */
  readonly strangers: readonly string[]
}

/** What a column list must hold, by version. Columns that are worked out on reading have no place in it. */
const COLUMNS: Readonly<Record<string, readonly (readonly string[])[]>> = {
  entry: [
    ['id', 'kind', 'at', 'payload'],
    ['id', 'kind', 'at', 'content', 'payload'],
  ],
  bytes: [
    ['sha256', 'data'],
    ['sha256', 'how', 'size', 'data'],
  ],
}

const notOne = (why: string): Outcome<never> =>
  failed('notebook/not-a-notebook', `This is not a notebook: ${why}; choose another file.`)

/** Tells what a database is. Codes "notebook/not-a-notebook", "notebook/newer-version". */
export const lookAt = (store: SqlStore): Outcome<FoundNotebook> => {
  let version: number
  let objects: { type: string; name: string; sql: string }[]
  try {
    version = numberIn(store, 'user_version')
    objects = store
      .all('SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL LIMIT 1000')
      .map(({ type, name, sql }) => ({ type: String(type), name: String(name), sql: String(sql) }))
    if (objects.length === 0 && version === 0) return good({ version: 0, strangers: [] })
    if (numberIn(store, 'application_id') !== APPLICATION_ID) return notOne('it is a database of something else')
  } catch {
    return notOne('it is no SQLite database, or it is damaged')
  }
  if (version > NOTEBOOK_VERSION)
    return failed(
      'notebook/newer-version',
      `This notebook is of version ${version}; this program reads up to ${NOTEBOOK_VERSION}. Use a newer Fettle for it.`,
    )
  if (version < 1) return notOne('it states no version')
  for (const [table, versions] of Object.entries(COLUMNS)) {
    const found = objects.find(({ name }) => name === table)
    if (found?.type !== 'table' || !/^CREATE TABLE /i.test(found.sql)) return notOne(`it has no table "${table}"`)
    const columns = store.all(`PRAGMA table_xinfo(${table})`)
    if (columns.map(({ name }) => name).join() !== versions[version - 1].join())
      return notOne(`its table "${table}" has other columns`)
    if (columns.some(({ hidden }) => Number(hidden) !== 0)) return notOne(`its table "${table}" works columns out`)
  }
  const known = new Set(SCHEMAS[version - 1])
  return good({ version, strangers: objects.filter(({ sql }) => !known.has(sql)).map(({ name }) => name) })
}

/** Brings a notebook to the present version, in one transaction: all of it or nothing. */
export const migrate = (store: SqlStore, from: number): void =>
  inTransaction(store, () => {
    for (let version = from; version < NOTEBOOK_VERSION; version++) {
      STEPS[version - 1](store)
      store.exec(`PRAGMA user_version = ${version + 1}`)
    }
  })

/**
 * Makes a database ready for use as a notebook: makes the tables in an empty one, brings an older one up to date.
 * Codes as `lookAt`, and "notebook/strangers" for one with triggers or views of its own.
 */
export const prepare = (store: SqlStore): Outcome<FoundNotebook> =>
  attempt('Opening the notebook', () => {
    beCareful(store)
    const found = lookAt(store)
    if (!found.ok) return found
    const { version, strangers } = found.value
    if (strangers.length > 0)
      return failed(
        'notebook/strangers',
        `This notebook holds what none has ("${strangers[0].slice(0, 60)}"), which would run on writing; import it into a new notebook, which takes plain entries only.`,
      )
    if (version === 0) inTransaction(store, () => makeTables(store))
    else if (version < NOTEBOOK_VERSION) migrate(store, version)
    return good(found.value)
  })
