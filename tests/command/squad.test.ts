// The verbs "stances" and "tray" as child processes: words within 80 columns, data, pictures, wrong use, exit codes.

import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', POST)
writeBytes(folder, 'bad.stl', new Uint8Array([1, 2, 3]))
const SIZE = ['--total-height', '20']

test('stances: the given one first, others after it, pictures, the same numbers as data', async () => {
  const { code, out, err } = await fettle(
    ['stances', 'post.stl', ...SIZE, '--directions', '200', '--most', '1', '--svg', 'stances.svg'],
    inFolder,
  )
  expect([code, err]).toEqual([0, ''])
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  expect(out).toMatch(/^Stances of post\n\n1\. standing as given {2}--stance 0,0,0\n/)
  expect(out).toContain('Cut and glue')
  expect(readFileSync(join(folder, 'stances.svg'), 'utf8')).toMatch(/^<svg[^>]*role="img"/)
  const data = await fettle(['stances', 'post.stl', ...SIZE, '--directions', '200', '--most', '1', '--json'], inFolder)
  const { form, version, report } = JSON.parse(data.out)
  expect([form, version]).toEqual(['fettle-stances', 1])
  expect(report.looks[0].attitude).toBe('standing as given')
  expect(report.search.nStances).toBeGreaterThan(400)
  expect(out).toContain(`${report.looks[0].minutes.toFixed(0)} min`)
})

test('tray: places, order, cost, class; a picture for the plate', async () => {
  const words = ['tray', 'post.stl', '--copies', '3', '--spool', 'grey', '--left', 'grey=1']
  const { code, out, err } = await fettle([...words, '--class', '6,2,2,45', '--svg', 'tray.svg'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out.split('\n').filter((line) => line.length > 80)).toEqual([])
  expect(out).toContain('Plate 1: 3 post  (grey;')
  expect(out).toContain('The class')
  const picture = readFileSync(join(folder, 'tray.svg'), 'utf8')
  expect(picture).toMatch(/aria-label="Plate 1 in plan: 3 pieces on a bed of 220 x 220 mm/)
  // The same picture is not overwritten by accident.
  const again = await fettle([...words, '--quick', '--svg', 'tray.svg'], inFolder)
  expect([again.code, again.out]).toEqual([2, ''])
  const data = await fettle([...words, '--quick', '--json'], inFolder)
  const { form, report } = JSON.parse(data.out)
  expect(form).toBe('fettle-tray')
  expect(report.plates[0].plate.places).toHaveLength(3)
  expect(report.spools[0].leftG).toBeCloseTo(1 - report.spools[0].massG, 4)
  expect(report.cool).toEqual([])
})

test('wrong use is told before any work, a bad file with its own code', async () => {
  for (const [words, sentence] of [
    [['tray', 'post.stl', 'post.stl', '--copies', '1,2,3'], '--copies takes one value or 2'],
    [['tray', 'post.stl', '--left', 'grey'], '--left takes NAME=GRAMS'],
    [['tray', 'post.stl', '--gap', '0'], '--gap takes a number from 0.5 to 100 mm'],
    [['tray', 'post.stl', '--class', '30,3'], '--class takes pupils,machines,lessons,minutes'],
    [['stances', 'post.stl', '--most', '9'], '--most takes a whole number from 0 to 8'],
  ] as const) {
    const { code, err } = await fettle(words, inFolder)
    expect(code).toBe(2)
    expect(err).toContain(sentence)
  }
  const bad = await fettle(['tray', 'bad.stl', '--json'], inFolder)
  expect(bad.code).toBe(3)
  expect(JSON.parse(bad.out).form).toBe('fettle-trouble')
  expect((await fettle(['stances', 'missing.stl'], inFolder)).code).toBe(3)
  expect(existsSync(join(folder, 'tray-2.svg'))).toBe(false)
})
