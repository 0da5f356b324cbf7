// The tables of a notebook, one text a version. A file is a notebook only when it holds exactly these and nothing else.

import { canonicalJson, hashOfValue } from './canonical.ts'
import { pack } from './pack.ts'
import type { SqlStore } from './sql-store.ts'
import type { Json } from './types.ts'

/** Marks the file's head, so that other databases are told apart: "Fetl". */
export const APPLICATION_ID = 0x4665746c
export const NOTEBOOK_VERSION = 2

/** Nothing that was written is changed or taken away. */
const guards = (table: string): readonly string[] => [
  `CREATE TRIGGER ${table}_stays BEFORE DELETE ON ${table} BEGIN SELECT RAISE(ABORT, 'entries are never taken away'); END`,
  `CREATE TRIGGER ${table}_as_written BEFORE UPDATE ON ${table} BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END`,
]

/** Statements that make the tables of each version, index 0 for version 1. */
export const SCHEMAS: readonly (readonly string[])[] = [
  [
    'CREATE TABLE entry (id TEXT PRIMARY KEY NOT NULL, kind TEXT NOT NULL, at TEXT NOT NULL, payload TEXT NOT NULL)',
    'CREATE TABLE bytes (sha256 TEXT PRIMARY KEY NOT NULL, data BLOB NOT NULL)',
    ...guards('entry'),
    ...guards('bytes'),
  ],
  [
    'CREATE TABLE entry (id TEXT PRIMARY KEY NOT NULL, kind TEXT NOT NULL, at TEXT NOT NULL, content TEXT NOT NULL, payload TEXT NOT NULL)',
    'CREATE TABLE bytes (sha256 TEXT PRIMARY KEY NOT NULL, how TEXT NOT NULL, size INTEGER NOT NULL, data BLOB NOT NULL)',
    'CREATE INDEX entry_by_kind ON entry (kind, at, id)',
    'CREATE INDEX entry_by_content ON entry (content)',
    ...guards('entry'),
    ...guards('bytes'),
  ],
]

/** Makes the tables of a version in an empty database and marks it. */
export const makeTables = (store: SqlStore, version = NOTEBOOK_VERSION): void => {
  for (const statement of SCHEMAS[version - 1]) store.exec(statement)
  store.exec(`PRAGMA application_id = ${APPLICATION_ID}`)
  store.exec(`PRAGMA user_version = ${version}`)
}

/** Version 1 kept bytes unpacked and no hash of the payload alone. Moved row by row, so that memory stays small. */
const toVersion2 = (store: SqlStore): void => {
  for (const table of ['entry', 'bytes'])
    store.exec(
      `DROP TRIGGER ${table}_stays; DROP TRIGGER ${table}_as_written; ALTER TABLE ${table} RENAME TO old_${table}`,
    )
  for (const statement of SCHEMAS[1]) store.exec(statement)
  for (const { id } of store.all('SELECT id FROM old_entry ORDER BY rowid')) {
    const [row] = store.all('SELECT kind, at, payload FROM old_entry WHERE id = ?', [id])
    const payload = JSON.parse(String(row.payload)) as Json
    store.run('INSERT INTO entry (id, kind, at, content, payload) VALUES (?, ?, ?, ?, ?)', [
      id,
      row.kind,
      row.at,
      hashOfValue(payload),
      canonicalJson(payload),
    ])
  }
  for (const { sha256 } of store.all('SELECT sha256 FROM old_bytes ORDER BY rowid')) {
    const [row] = store.all('SELECT data FROM old_bytes WHERE sha256 = ?', [sha256])
    const { how, size, data } = pack(row.data as Uint8Array)
    store.run('INSERT INTO bytes (sha256, how, size, data) VALUES (?, ?, ?, ?)', [sha256, how, size, data])
  }
  store.exec('DROP TABLE old_entry; DROP TABLE old_bytes')
}

/** Entry i turns version i+1 into version i+2. */
export const STEPS: readonly ((store: SqlStore) => void)[] = [toVersion2]
