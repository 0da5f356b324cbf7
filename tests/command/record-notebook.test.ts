// Trials in a notebook: coupon, record, plan and diagnose read them there and write them back.

import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { TrialsRecord } from '../../src/trials/index.ts'
import { fettle, scratchFolder } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
const IN = ['--notebook', 'ferry.notebook']
const run = async (...words: string[]): Promise<string> => {
  const { code, out, err } = await fettle(words, inFolder)
  expect([code, err]).toEqual([0, ''])
  return out
}
const record = async (): Promise<TrialsRecord> => JSON.parse(await run('record', 'list', '--json', ...IN))
const kinds = async (): Promise<string[]> => (await record()).entries.map(({ kind }) => kind)

test('a coupon, what it showed, and the next plan, all in one notebook', async () => {
  const made = await fettle(['coupon', 'pins', 'retraction', '--levels', '4,5', '-o', 'pins.gcode', ...IN], inFolder)
  expect(made.code).toBe(0)
  expect(made.out + made.err).toContain('--notebook ferry.notebook')
  await run('record', 'last', '4:strings=3/4', '5:strings=0/4', '--note', 'grey spool', ...IN)
  await run('record', 'last', '4:good=0', ...IN)
  await run('record', 'figure', 'nozzle', '195:good=1', '--figure', 'ferry keeper', ...IN)
  expect(await kinds()).toEqual(['trial', 'outcome', 'outcome', 'trial', 'outcome'])
  // "last" is the one entered last, though all are of one day.
  await run('record', 'last', '195:good=0', ...IN)
  const { entries } = await record()
  expect(entries.at(-1)).toMatchObject({ kind: 'outcome', trial: entries[3].id })
  await run('record', 'withdraw', entries[2].id, '--note', 'wrong row', ...IN)
  const listed = await run('record', 'list', ...IN)
  expect(listed.match(/no longer holds/g)).toHaveLength(1)

  const plan = JSON.parse(await run('plan', 'pins', 'retraction', '--quick', '--json', ...IN))
  const tried = plan.levels.filter((level: { tried: number }) => level.tried > 0)
  expect(tried.map(({ level, good }: { level: number; good: number }) => [level, good])).toEqual([
    [4, 1],
    [5, 4],
  ])
  // The same record as a plain file gives the same plan, and the notebook's own verb shows the same trials.
  writeFileSync(join(folder, 'trials.json'), JSON.stringify(await record()))
  expect(JSON.parse(await run('plan', 'pins', 'retraction', '--quick', '--json', '--trials', 'trials.json'))).toEqual(
    plan,
  )
  expect(JSON.parse(await run('notebook', 'trials', 'ferry.notebook'))).toEqual(await record())
  expect(await run('record', 'numbers', ...IN)).toMatch(/own numbers|The record says nothing/)
})

test('a diagnosis goes in, and what the notebook held stays', async () => {
  const before = (await record()).entries
  await run('diagnose', 'strings', ...IN)
  const { entries } = await record()
  expect(entries.slice(0, -1)).toEqual(before)
  expect(entries.at(-1)).toMatchObject({ kind: 'diagnosis', symptoms: ['strings'] })
})

test('an entry of one day made twice is one', async () => {
  const day = ['--date', '2026-11-25']
  await run('diagnose', 'blobs', ...IN, ...day)
  const once = (await record()).entries.length
  await run('diagnose', 'blobs', ...IN, ...day)
  expect((await record()).entries).toHaveLength(once)
})

test('what is wrong is told, and the notebook stays as it was', async () => {
  const before = await record()
  const told = async (...words: string[]): Promise<string> => {
    const { code, err } = await fettle(words, inFolder)
    expect(code).not.toBe(0)
    return err
  }
  for (const verb of [
    ['record', 'last', '195:good=1'],
    ['plan', 'pins', 'retraction', '--quick'],
    ['diagnose', 'strings'],
    ['coupon', 'pins', 'retraction', '--levels', '4', '-o', 'both.gcode'],
  ])
    expect(await told(...verb, ...IN, '--trials', 'trials.json')).toContain('a record stands in one place')
  expect(existsSync(join(folder, 'both.gcode'))).toBe(false)
  expect(await told('record', 'last', '300:good=1', ...IN)).toContain('the trial had 195')
  expect(await told('record', 'last', '195:good=1', ...IN, '--date', 'some day')).toMatch(/at|day/)
  expect(await told('record', 'list', '--notebook', 'gone.notebook')).toContain('there is no such notebook')
  expect(await record()).toEqual(before)

  writeFileSync(join(folder, 'letter.txt'), 'dear keeper')
  expect(await told('plan', 'pins', 'retraction', '--quick', '--notebook', 'letter.txt')).toContain('letter.txt')
  expect(readFileSync(join(folder, 'letter.txt'), 'utf8')).toBe('dear keeper')
})
