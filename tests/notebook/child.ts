// What the tests run as a process of its own, so that it can be killed at any moment.
// Words: what to do, and the notebook file. Each line on standard output is a fact that has happened.

import { existsSync } from 'node:fs'
import { addEntry } from '../../src/notebook/index.ts'
import { openNotebook } from '../../src/notebook/node.ts'
import { momentAt, noteDraft } from './memory-store.ts'

const [doing, path] = process.argv.slice(2)
const tell = (line: string) => process.stdout.write(`${line}\n`)

const opened = await openNotebook(path, { waitMs: 200 })
if (!opened.ok) {
  tell(`refused ${opened.issues[0].code} ${opened.issues[0].message}`)
  process.exit(0)
}
const { store, close } = opened.value
tell('open')

if (doing === 'hold') setInterval(() => undefined, 1000)

// Entry after entry; what was told is confirmed.
if (doing === 'write')
  for (let i = 0; ; i++) {
    const added = addEntry(store, noteDraft(`entry ${process.pid} ${i}`), momentAt(i))
    if (!added.ok) throw new Error(added.issues[0].message)
    tell(added.value.entry.id)
  }

// One transaction of many pages that is never confirmed; the memory is too small to hold it, so it goes to the disk on the way.
if (doing === 'large') {
  store.exec('PRAGMA cache_size = 5')
  store.exec('BEGIN IMMEDIATE')
  for (let i = 0; i < 4000; i++) {
    store.run("INSERT INTO entry (id, kind, at, content, payload) VALUES (?, 'note', '', '', ?)", [
      `half ${i}`,
      'x'.repeat(3000),
    ])
    if (i % 200 === 0) tell(`${i} ${existsSync(`${path}-wal`)}`)
  }
  tell('all but confirmed')
  setInterval(() => undefined, 1000)
}

if (doing === 'open') close()
