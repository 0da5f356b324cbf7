// Notebook and guide against standards and other programs: hash, packing, a file read by another build of SQLite, contrast of the inks.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { inflateRawSync } from 'node:zlib'
import sqlite3InitModule from '@sqlite.org/sqlite-wasm'
import { expect, test } from 'vitest'
import { publishHtml } from '../../src/guide/index.ts'
import { addEntry, sha256 } from '../../src/notebook/index.ts'
import { exportFile, openNotebook } from '../../src/notebook/node.ts'
import { pack } from '../../src/notebook/pack.ts'
import { scratchFolder } from '../command/run-fettle.ts'
import { sampleContent } from '../guide-sample.ts'
import { figureDraft, momentAt, noteDraft, recipeDraft } from '../notebook/memory-store.ts'
import { checkOutside } from '../validation.ts'

const room = 'notebook'
const folder = scratchFolder()

test('the hash that names entries and files', () => {
  const source = 'FIPS 180-4; example values published with it by NIST'
  for (const [words, text, first] of [
    ['one block', 'abc', 0xba7816bf],
    ['two blocks', 'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq', 0x248d6a61],
    ['a million times a', 'a'.repeat(1_000_000), 0xcdc76e5c],
  ] as const)
    checkOutside({
      room,
      model: 'SHA-256, first 32 bits',
      case: words,
      source,
      expected: first,
      got: Number.parseInt(sha256(new TextEncoder().encode(text)).slice(0, 8), 16),
      allowed: 0,
    })
})

test('packed bytes are a deflate stream like any other', () => {
  const bytes = Uint8Array.from({ length: 100_000 }, (_, i) => (i * i) % 97)
  const { how, data } = pack(bytes)
  expect(how).toBe('deflate')
  const back = inflateRawSync(data)
  checkOutside({
    room,
    model: 'packing of files',
    case: '100 kB of a pattern, unpacked by zlib; bytes that differ',
    source: `RFC 1951; zlib ${process.versions.zlib} in Node ${process.versions.node.split('.')[0]}`,
    expected: 0,
    got: Math.abs(back.length - bytes.length) + bytes.filter((byte, i) => back[i] !== byte).length,
    allowed: 0,
    unit: 'bytes',
  })
})

test('an exported file is sound for another build of SQLite', async () => {
  const opened = await openNotebook(join(folder, 'kept.notebook'))
  if (!opened.ok) throw new Error(opened.issues[0].message)
  const { store, close } = opened.value
  for (let i = 0; i < 200; i++) addEntry(store, noteDraft(`note ${i}`), momentAt(i))
  addEntry(store, recipeDraft('evening'), momentAt(0))
  addEntry(store, figureDraft('keeper.stl', new Uint8Array(80_000).fill(5)), momentAt(1))
  expect(exportFile(store, join(folder, 'carried.notebook'))).toMatchObject({ ok: true })
  close()
  const sqlite3 = await sqlite3InitModule()
  const bytes = new Uint8Array(readFileSync(join(folder, 'carried.notebook')))
  const db = new sqlite3.oo1.DB(':memory:')
  const { capi, wasm } = sqlite3
  capi.sqlite3_deserialize(
    db.pointer!,
    'main',
    wasm.allocFromTypedArray(bytes),
    bytes.length,
    bytes.length,
    capi.SQLITE_DESERIALIZE_FREEONCLOSE,
  )
  const of = {
    room,
    model: 'the notebook as a file',
    source: `SQLite ${capi.sqlite3_libversion()}, the project's own build`,
    allowed: 0,
  }
  checkOutside({
    ...of,
    case: 'entries that it counts, of 202 written',
    expected: 202,
    got: Number(db.selectValue('SELECT count(*) FROM entry')),
  })
  checkOutside({
    ...of,
    case: 'faults that its integrity check finds',
    expected: 0,
    got: db.selectValue('PRAGMA integrity_check') === 'ok' ? 0 : 1,
  })
  db.close()
})

/** Relative luminance of a colour written #rrggbb. */
const luminance = (colour: string): number => {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(colour.slice(at, at + 2), 16) / 255
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

test('contrast of the inks of a guide', () => {
  const html = publishHtml(sampleContent())
  const ink = (name: string) => new RegExp(`--${name}:(#[0-9a-f]{6})`).exec(html)?.[1] ?? ''
  for (const name of ['ink', 'muted', 'accent'])
    checkOutside({
      room,
      model: 'a guide on its paper',
      case: `contrast of the ${name} words`,
      source: 'WCAG 2.2, success criterion 1.4.3, with its formula of relative luminance',
      expected: 4.5,
      got: (luminance(ink('paper')) + 0.05) / (luminance(ink(name)) + 0.05),
      allowed: 0,
      relation: 'at least',
    })
})
