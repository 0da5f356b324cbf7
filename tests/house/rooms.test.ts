// The rules of the house: order of the rooms, doors, lengths, head comments, names.

import { expect, test } from 'vitest'
import { ABOVE_KERNEL_ONLY, DOORS, ENGINE_PACKAGES, MOST_LINES, RANKS } from './ranks.ts'
import { filesIn, type Import, importsOf, isTest, read, roomOf } from './sources.ts'

const sources = filesIn('src').filter((file) => /\.tsx?$/.test(file))
const rankOf = (room: string): number => RANKS.findIndex((line) => line.includes(room))

/** What is wrong with one import of a file of a room, or null. */
const faultOf = (file: string, room: string, { specifier, path }: Import): string | null => {
  if (path === null) {
    if (!room.startsWith('engine/')) return null
    const known = ENGINE_PACKAGES.some((name) => specifier === name || specifier.startsWith(`${name}/`))
    return known ? null : `${file} imports ${specifier}; the engine takes ${ENGINE_PACKAGES.join(', ')} only`
  }
  if (path.startsWith('demo/')) return rankOf(room) === RANKS.length - 1 ? null : `${file} imports the demo`
  if (path === 'package.json') return rankOf(room) === RANKS.length - 1 ? null : `${file} imports ${path}`
  const other = roomOf(path)
  if (other === room) return null
  if (other === null) return `${file} imports ${path}, which is in no room`
  if (rankOf(other) >= rankOf(room)) return `${file} imports ${other}, which does not stand below ${room}`
  if (ABOVE_KERNEL_ONLY.includes(room) && other !== 'engine/kernel')
    return `${file} imports ${other}; only kernel is allowed`
  const inside = path.slice(`src/${other}/`.length)
  const doors = ['index.ts', ...(DOORS[other] ?? [])]
  return doors.includes(inside) ? null : `${file} goes into ${other} by ${inside}; the door is index.ts`
}

test('every source file stands in a room that has a rank', () => {
  expect(sources.length).toBeGreaterThan(20)
  expect(sources.filter((file) => roomOf(file) === null)).toEqual([])
})

test('rooms import lower rooms only, by their doors', () => {
  const faults = sources
    .filter((file) => !isTest(file))
    .flatMap((file) => importsOf(file, read(file)).map((one) => faultOf(file, roomOf(file) ?? '', one)))
    .filter((fault) => fault !== null)
  expect(faults).toEqual([])
})

test('the import rule finds planted faults', () => {
  const planted = (file: string, text: string) =>
    importsOf(file, text).map((one) => faultOf(file, roomOf(file) ?? '', one))
  expect(planted('src/engine/mesh/read.ts', "import { a } from '../figure/index.ts'")[0]).toMatch(
    /does not stand below/,
  )
  expect(planted('src/engine/figure/x.ts', "import type { a } from '../mesh/types.ts'")[0]).toMatch(/the door/)
  expect(planted('src/engine/figure/x.ts', "import {\n  a,\n  b,\n} from '../mesh/index.ts'")).toEqual([null])
  expect(planted('src/engine/mesh/x.ts', "import { readFileSync } from 'node:fs'")[0]).toMatch(/the engine takes/)
  expect(planted('src/picture/x.ts', "export * from '../engine/mesh/index.ts'")[0]).toMatch(
    /not stand below|only kernel/,
  )
  expect(planted('src/bench/x.ts', "const w = new URL('../cli/worker.ts', import.meta.url)")[0]).toMatch(
    /not stand below/,
  )
  expect(planted('src/guide/x.ts', "import { crew } from '../../demo/index.ts'")[0]).toMatch(/the demo/)
})

const own = [
  ...sources,
  ...['tests', 'demo', 'benchmarks', 'scripts', 'config']
    .flatMap(filesIn)
    .filter((file) => /\.(ts|tsx|mjs)$/.test(file)),
]

test(`no file is longer than ${MOST_LINES} lines`, () => {
  const long = own.filter((file) => !/generated|table/.test(file) && read(file).split('\n').length > MOST_LINES)
  expect(long).toEqual([])
})

test('every file starts with a comment that says what it holds', () => {
  // A door of one line still waits for its room; unit tests stand beside the file they belong to.
  const bare = own.filter((file) => !/^(#!.*\n)?(\/\/ \S|\/\*\*?\s)/.test(read(file)))
  const due = bare.filter((file) => !(file.startsWith('src/') && isTest(file)) && read(file).trim().includes('\n'))
  expect(due).toEqual([])
})

test('no file hides behind a name that says nothing', () => {
  expect(own.filter((file) => /(^|[/-])(utils?|helpers?|managers?|misc|common)(?=[./-])/.test(file))).toEqual([])
})

test('file names are in kebab-case', () => {
  expect(
    own.map((file) => file.split('/').at(-1)!).filter((name) => !/^[a-z0-9]+([.-][a-z0-9]+)*$/.test(name)),
  ).toEqual([])
})
