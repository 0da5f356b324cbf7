// The verb "diagnose": causes, the best question, the one change; a figure's examination counts; cautions are always there.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { STARTING_RECIPE } from '../../src/recipe/index.ts'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }

test('without words: symptoms and questions', async () => {
  const { code, out } = await fettle(['diagnose'], inFolder)
  expect(code).toBe(0)
  for (const word of ['strings', 'thin layers', 'crackle=yes|no', 'feed mark=under|right|over'])
    expect(out).toContain(word)
})

test('strings: causes, a question, a change, cautions', async () => {
  const { code, out, err } = await fettle(['diagnose', 'strings'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out).toContain('Likely causes')
  expect(out).toContain('The one change to make')
  expect(out).toContain('answer with --answers')
  expect(out).toContain('burn at a touch')
  const damp = await fettle(['diagnose', 'strings', '--answers', 'crackle=yes', '--json'], inFolder)
  const found = JSON.parse(damp.out)
  expect(found).toMatchObject({ form: 'fettle-diagnosis', version: 1 })
  expect(found.causes[0].cause).toBe('damp')
  expect(found.change.words).toMatch(/^Dry the spool/)
  expect(found.cautions.length).toBeGreaterThan(3)
})

test('recipe and figure count; the diagnosis can be recorded', async () => {
  writeBytes(folder, 'post.stl', POST)
  writeBytes(folder, 'thin.json', JSON.stringify({ ...STARTING_RECIPE, flowShare: 0.88 }))
  const { code, out } = await fettle(
    ['diagnose', 'gaps', '--recipe', 'thin.json', '--figure', 'post.stl', '--trials', 't.json', '--date', '2026-11-25'],
    inFolder,
  )
  expect(code).toBe(0)
  expect(out).toMatch(/%\s+flow share too low\n/)
  expect(out).toContain('for flow share too low: flow is 88 %')
  expect(out).toMatch(/no bead asks for more than\s+can be melted/)
  const { entries } = JSON.parse(readFileSync(join(folder, 't.json'), 'utf8'))
  expect(entries).toHaveLength(1)
  expect(entries[0]).toMatchObject({ kind: 'diagnosis', symptoms: ['gaps'] })
  expect(entries[0].causes[0].cause).toBe('lean')
})

test('words that are not known are named with those that are', async () => {
  const told = async (...words: string[]): Promise<string> => {
    const { code, err } = await fettle(['diagnose', ...words], inFolder)
    expect(code).toBe(2)
    return err
  }
  expect(await told('ghosts')).toContain('"ghosts" is no symptom known here; there are strings, blobs')
  expect(await told('strings', '--answers', 'crackle=perhaps')).toContain('there are yes, no')
  expect(await told('strings', '--answers', 'crackle')).toContain('--answers takes NAME=ANSWER')
  expect(await told('strings', '--not', 'strings')).toContain('seen and not seen')
})
