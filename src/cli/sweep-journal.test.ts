import { expect, test } from 'vitest'
import { readJournal } from './sweep-journal.ts'

const line = (key: string): string =>
  JSON.stringify({
    form: 'fettle-sweep-line',
    version: 1,
    key,
    toolVersion: '0',
    fileName: 'a',
    fileSha256: '',
    recipeName: 'ü',
    recipeSha256: '',
    report: null,
    issues: [],
  })
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text)

test('whole lines are read, whatever byte the file breaks off at', () => {
  const text = `${line('1')}\n${line('2')}\n`
  const all = bytes(text)
  const first = bytes(`${line('1')}\n`).length
  for (let n = 0; n <= all.length; n++) {
    const { lines, wholeBytes } = readJournal(all.subarray(0, n), 'x')
    const expected = n === all.length ? 2 : n >= first ? 1 : 0
    expect([n, lines.length]).toEqual([n, expected])
    expect(wholeBytes).toBe(expected === 2 ? all.length : expected === 1 ? first : 0)
  }
})

test('a last line of zeros is cut off; a broken line in the middle is named', () => {
  expect(readJournal(bytes(`${line('1')}\n\u0000\u0000\u0000\n`), 'x').lines).toHaveLength(1)
  expect(() => readJournal(bytes(`${line('1')}\nhalf\n${line('2')}\n`), 'x')).toThrow(/x: line 2 was not written/)
})

test('other files and newer versions are refused', () => {
  expect(() => readJournal(bytes('a diary'), 'x')).toThrow(/not written by a sweep/)
  expect(() => readJournal(bytes('{"form":"fettle-sheet"}\n'), 'x')).toThrow(/line 1/)
  expect(() => readJournal(bytes(`${line('1').replace('"version":1', '"version":2')}\n`), 'x')).toThrow(/version 2/)
  expect(readJournal(bytes(''), 'x')).toEqual({ lines: [], wholeBytes: 0 })
})
