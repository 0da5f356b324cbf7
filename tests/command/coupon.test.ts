// The verb "coupon": motion code that reads back as planned, to a file or to standard output; the trial goes into the record.

import { createHash } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readCode } from '../../src/engine/motioncode/index.ts'
import { fettle, scratchFolder } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
const textOf = (name: string): string => readFileSync(join(folder, name), 'utf8')
const BOX = ['coupon', 'box', 'flow', '--levels', '95%,97.5%,1', '--date', '2026-11-25']

test('writes code, solid and record; says what to look at, and the cautions', async () => {
  const { code, out, err } = await fettle(
    [...BOX, '-o', 'box.gcode', '--solid', 'box.stl', '--trials', 'trials.json'],
    inFolder,
  )
  expect([code, err]).toEqual([0, ''])
  expect(out).toContain('row 2: flow share 97.5 %')
  expect(out).toMatch(/Read back by our own reader: (\d+) of \1 checks agree/)
  expect(out).toContain('Nozzle (about 200 deg C) and bed (60 deg C) burn')
  expect(out).toContain('Not for children under three')
  const read = readCode(new TextEncoder().encode(textOf('box.gcode')))
  expect(read.ok && [read.value.nMalformed, read.value.unknown, read.value.notFollowed]).toEqual([0, [], []])
  const { entries } = JSON.parse(textOf('trials.json'))
  expect(entries).toHaveLength(1)
  expect(entries[0]).toMatchObject({
    kind: 'trial',
    at: '2026-11-25',
    piece: 'box',
    setting: 'flowShare',
    levels: [0.95, 0.975, 1],
    run: 1,
    codeSha256: createHash('sha256').update(textOf('box.gcode')).digest('hex'),
  })
  const solid = await fettle(['examine', 'box.stl', '--unit', 'mm', '--scale-height', '5', '--json'], inFolder)
  expect(JSON.parse(solid.out).form).toBe('fettle-sheet')
})

test('the same words give the same code, on standard output too; reversed lays the rows the other way', async () => {
  const { code, out, err } = await fettle([...BOX, '--quiet'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out).toBe(textOf('box.gcode'))
  const back = await fettle([...BOX, '--reversed', '-o', 'back.gcode', '--trials', 'trials.json', '--json'], inFolder)
  const told = JSON.parse(back.out)
  expect(told).toMatchObject({ form: 'fettle-coupon', version: 1, trial: { run: 2, levels: [1, 0.975, 0.95] } })
  expect(told.dryRun.checks.every(({ fine }: { fine: boolean }) => fine)).toBe(true)
  expect(JSON.parse(textOf('trials.json')).entries).toHaveLength(2)
  // The same trial again is no second entry.
  await fettle([...BOX, '-o', 'box.gcode', '--force', '--trials', 'trials.json'], inFolder)
  expect(JSON.parse(textOf('trials.json')).entries).toHaveLength(2)
})

test('refuses figures, wild ladders, wrong words, and files that are there', async () => {
  const told = async (...words: string[]): Promise<string> => {
    const { code, err, out } = await fettle(['coupon', ...words], inFolder)
    expect([code, out]).toEqual([2, ''])
    return err
  }
  expect(await told('figure', 'nozzle')).toContain('never writes the print file of a figure')
  expect(await told('pins', 'nozzle', '--levels', '185,205')).toContain('more than 5 deg C at once')
  expect(await told('pins', 'nozzle', '--levels', '205,210')).toContain('outside 185 deg C to 205 deg C')
  expect(await told('box', 'nozzle')).toContain('box cannot judge "nozzle"')
  expect(await told('box', 'flow', '--levels', 'much')).toContain('"much" is no number')
  expect(await told('box', 'flow', '--solid', 'box.txt')).toContain('end the name in .stl or .ply')
  expect(await told('box', 'flow', '-o', 'box.gcode')).toContain('box.gcode is there already')
  expect(await told('box', 'flow', '--json')).toContain('give -o FILE')
  expect(existsSync(join(folder, 'box.txt'))).toBe(false)
})
