// The verb "sweep": pairs over workers, one line each, going on after a stop.

import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { STARTING_RECIPE } from '../../src/recipe/index.ts'
import { boxesStl, fettle, scratchFolder, startFettle, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'stub.stl', boxesStl([[-3, -3, 0, 3, 3, 4]]))
writeBytes(folder, 'wide.stl', boxesStl([[-4, -3, 0, 4, 3, 4]]))
const recipe = (name: string, changes: object): void => {
  writeBytes(folder, `${name}.json`, JSON.stringify({ ...STARTING_RECIPE, name, ...changes }))
}
recipe('three', {})
recipe('two', { nShells: 2 })
const words = ['sweep', 'stub.stl', 'wide.stl', '--recipes', 'three.json,two.json', '--scale-height', '4']
const linesOf = (name: string) =>
  readFileSync(join(folder, name), 'utf8')
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line))

test('four pairs over two workers: table, lines, and known pairs are not examined again', async () => {
  const { code, out, err } = await fettle([...words, '-o', 'all.jsonl', '-j', '2'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
  const table = out.split('\n').filter((line) => / g$/.test(line))
  expect(table.map((line) => line.trim().split(/\s+/)[0])).toEqual(['three', 'two', 'three', 'two'])
  const lines = linesOf('all.jsonl')
  expect(new Set(lines.map(({ key }) => key)).size).toBe(4)
  for (const line of lines) {
    expect([line.form, line.version]).toEqual(['fettle-sweep-line', 1])
    expect(line.report.numbers.massG).toBeGreaterThan(0.05)
  }
  const again = await fettle([...words, '-o', 'all.jsonl'], inFolder)
  expect(again.err).toBe('4 of 4 pairs were known from all.jsonl\n')
  expect(again.out).toBe(out)
  expect(linesOf('all.jsonl')).toHaveLength(4)

  // One more recipe: only its own pairs are new.
  recipe('full', { infillShare: 0.7 })
  const more = await fettle(
    [
      'sweep',
      'stub.stl',
      'wide.stl',
      '--recipes',
      'full.json,three.json,two.json',
      '--scale-height',
      '4',
      '-o',
      'all.jsonl',
    ],
    inFolder,
  )
  expect(more.err).toBe('4 of 6 pairs were known from all.jsonl\n')
  expect(linesOf('all.jsonl')).toHaveLength(6)
})

test('a half-written last line is cut off and its pair examined again; the result is the same', async () => {
  const whole = readFileSync(join(folder, 'all.jsonl'), 'utf8')
  const lines = whole.split('\n').filter(Boolean)
  writeFileSync(join(folder, 'cut.jsonl'), `${lines.slice(0, 3).join('\n')}\n${lines[3].slice(0, 300)}`)
  const { code, err } = await fettle([...words, '-o', 'cut.jsonl', '-j', '1'], inFolder)
  expect(code).toBe(0)
  expect(err).toBe('3 of 4 pairs were known from cut.jsonl\n')
  const byKey = (a: { key: string }, b: { key: string }) => (a.key < b.key ? -1 : 1)
  expect(linesOf('cut.jsonl').sort(byKey)).toEqual(
    lines
      .slice(0, 4)
      .map((line) => JSON.parse(line))
      .sort(byKey),
  )
})

test('a file that no sweep wrote is left alone, unless --force is given', async () => {
  writeBytes(folder, 'diary.txt', 'dear diary\nit rained\n')
  const refused = await fettle([...words, '-o', 'diary.txt'], inFolder)
  expect(refused.code).toBe(2)
  expect(refused.err).toContain('diary.txt: line 1 was not written by a sweep')
  expect(readFileSync(join(folder, 'diary.txt'), 'utf8')).toBe('dear diary\nit rained\n')
  writeBytes(folder, 'short.txt', 'note')
  expect((await fettle([...words, '-o', 'short.txt'], inFolder)).code).toBe(2)
  expect(readFileSync(join(folder, 'short.txt'), 'utf8')).toBe('note')
})

test('a bad figure does not stop the others; it is tried again the next time', async () => {
  writeBytes(folder, 'broken.stl', 'solid nothing\nendsolid')
  const { code, out, err } = await fettle(
    [
      'sweep',
      'broken.stl',
      'gone.stl',
      'stub.stl',
      '--recipes',
      'three.json',
      '--scale-height',
      '4',
      '-o',
      'bad.jsonl',
      '--json',
    ],
    inFolder,
  )
  expect(code).toBe(3)
  expect(err).toContain('broken.stl')
  expect(err).toContain('gone.stl: there is no such file')
  const told = out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
  expect(told.map(({ report }) => report !== null)).toEqual([false, false, true])
  const again = await fettle(
    [
      'sweep',
      'broken.stl',
      'stub.stl',
      '--recipes',
      'three.json',
      '--scale-height',
      '4',
      '-o',
      'bad.jsonl',
      '-q',
      '--json',
    ],
    inFolder,
  )
  expect(again.code).toBe(3)
})

test('Ctrl-C leaves whole lines and an exit code of 130; the next run goes on', async () => {
  const names = Array.from({ length: 6 }, (_, i) => {
    recipe(`r${i}`, { speedMmPerS: 40 + i })
    return `r${i}.json`
  }).join(',')
  const long = [
    'sweep',
    'stub.stl',
    'wide.stl',
    '--recipes',
    names,
    '--scale-height',
    '4',
    '-o',
    'stopped.jsonl',
    '-j',
    '1',
  ]
  const child = startFettle(long, folder)
  const lineCount = (): number => {
    try {
      return readFileSync(join(folder, 'stopped.jsonl'), 'utf8').split('\n').length - 1
    } catch {
      return 0
    }
  }
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve))
  let err = ''
  child.stderr.on('data', (text) => {
    err += text
  })
  while (lineCount() < 2) await new Promise((resolve) => setTimeout(resolve, 20))
  child.kill('SIGINT')
  expect(await ended).toBe(130)
  expect(err).toMatch(/of 12 pairs are done and kept in stopped.jsonl; run the same command to go on/)
  const kept = linesOf('stopped.jsonl').length
  expect(kept).toBeGreaterThanOrEqual(2)
  expect(kept).toBeLessThan(12)
  const next = await fettle(long, inFolder)
  expect(next.code).toBe(0)
  expect(next.err).toBe(`${kept} of 12 pairs were known from stopped.jsonl\n`)
  expect(linesOf('stopped.jsonl')).toHaveLength(12)
})

test('wrong use is told before any work', async () => {
  expect((await fettle(['sweep', '-'], inFolder)).code).toBe(2)
  expect((await fettle([...words, '-j', '0'], inFolder)).err).toContain('--jobs takes a whole number')
  expect((await fettle(['sweep', 'stub.stl', '--recipes', 'gone.json'], inFolder)).code).toBe(3)
  const twice = await fettle(['sweep', 'stub.stl', '--recipes', 'three.json,three.json'], inFolder)
  expect(twice.err).toContain('asks for the same as an earlier one')
  const grave = await fettle([...words, '--recipes', 'three.json', '--fail-on', 'note', '-q'], inFolder)
  expect(grave.code).toBe(1)
})
