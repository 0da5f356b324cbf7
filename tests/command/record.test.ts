// The verb "record": outcomes, corrections, withdrawals, prints of a figure, own numbers.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readPrinterCard } from '../../src/recipe/index.ts'
import { readTrials } from '../../src/trials/index.ts'
import { fettle, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
const day = ['--date', '2026-11-25']
const TRIALS = ['--trials', 'trials.json', ...day]
const entries = () => {
  const read = readTrials(readFileSync(join(folder, 'trials.json'), 'utf8'))
  if (!read.ok) throw new Error(read.issues[0].message)
  return read.value.entries
}
const run = async (...words: string[]): Promise<string> => {
  const { code, out, err } = await fettle(['record', ...words], inFolder)
  expect([code, err]).toEqual([0, ''])
  return out
}

test('three outcomes of one coupon, one corrected, one withdrawn; nothing is lost', async () => {
  await fettle(['coupon', 'pins', 'retraction', '--levels', '4,5', '-o', 'pins.gcode', ...TRIALS], inFolder)
  writeBytes(folder, 'pins.jpg', new Uint8Array([1, 2, 3]))
  await run('last', '4:strings=3/4', '5:strings=0/4', ...TRIALS, '--photo', 'pins.jpg', '--note', 'grey spool')
  await run('last', '4:strings=4/4', ...TRIALS)
  const made = await run('last', '5:good=yes', ...TRIALS, '--json')
  expect(entries().map(({ kind }) => kind)).toEqual(['trial', 'outcome', 'outcome', 'outcome'])
  expect(entries()[1]).toMatchObject({
    note: 'grey spool',
    attachments: [
      { name: 'pins.jpg', bytes: 3, sha256: '039058c6f2c0cb492c533b0a4d14ef77cc0f78abccced5287d84a1a2011cfb81' },
    ],
  })
  const id = JSON.parse(made).entries[0].id
  await run('last', '5:good=0', '--replaces', id, ...TRIALS)
  await run('withdraw', entries()[2].id, '--note', 'wrong row', ...TRIALS)
  expect(entries()).toHaveLength(6)
  const listed = await run('list', ...TRIALS)
  expect(listed.match(/no longer holds/g)).toHaveLength(2)
  expect(listed).toContain('2 outcomes hold')
})

test('own numbers from the record, and a card that says so', async () => {
  const out = await run('numbers', ...TRIALS, '--printer-out', 'mine.json')
  expect(out).toMatch(/Runs on your own numbers: ooze time constant [\d.]+ s \(90 %:/)
  const card = readPrinterCard(readFileSync(join(folder, 'mine.json'), 'utf8'))
  expect(card.ok && card.value.name).toBe('bowden machine, 0.4 mm nozzle, own numbers')
  const again = await fettle(['record', 'numbers', ...TRIALS, '--printer-out', 'mine.json'], inFolder)
  expect([again.code, again.err.includes('mine.json is there already')]).toEqual([2, true])
})

test('a print of the figure itself', async () => {
  await run('figure', 'nozzle', '195:good=1', '--figure', 'ferry keeper', ...TRIALS)
  expect(entries().at(-2)).toMatchObject({ piece: 'figure', figure: { name: 'ferry keeper' }, levels: [195] })
})

test('what is wrong is told, and the record stays as it was', async () => {
  const before = readFileSync(join(folder, 'trials.json'), 'utf8')
  const told = async (...words: string[]): Promise<string> => {
    const { code, err } = await fettle(['record', ...words], inFolder)
    expect(code).not.toBe(0)
    return err
  }
  expect(await told('last', '195:strings', ...TRIALS)).toContain('is no reading; write LEVEL:MEASURE=VALUE')
  expect(await told('last', '195:spoons=1', ...TRIALS)).toContain('"spoons" is no measure')
  expect(await told('last', '195:strings=3', ...TRIALS)).toContain('say how many were looked at')
  expect(await told('last', '195:strings=5/4', ...TRIALS)).toContain('how many were looked at')
  expect(await told('last', '300:good=1', ...TRIALS)).toContain('the trial had 195')
  expect(await told('trial-nowhere', '195:good=1', ...TRIALS)).toContain('there is no entry trial-nowhere')
  expect(await told('last', '195:good=1', ...TRIALS, '--photo', 'gone.jpg')).toContain(
    'gone.jpg: there is no such file',
  )
  expect(await told('last', '195:good=1')).toContain('say which record: --trials FILE')
  expect(await told('figure', 'nozzle', '195:good=1', ...TRIALS)).toContain('--figure NAME')
  expect(readFileSync(join(folder, 'trials.json'), 'utf8')).toBe(before)
})
