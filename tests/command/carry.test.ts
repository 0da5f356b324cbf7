// The verb "carry", and starting forms for another nozzle.

import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readPrinterCard, readRecipe, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { boxesStl, fettle, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'mine.json', JSON.stringify(STARTING_RECIPE))
writeBytes(folder, 'stub.stl', boxesStl([[-3, -3, 0, 3, 3, 5]]))

test('a finer nozzle: each changed line with its reason, what is kept, recipe and card as files that are accepted', async () => {
  const { code, out, err } = await fettle(
    ['carry', 'mine.json', '--bore', '0.25', '-o', 'fine.json', '--card', 'fine-card.json'],
    inFolder,
  )
  expect([code, err]).toEqual([0, ''])
  expect(out).toContain('bead width: 0.25 mm instead of 0.4 mm (37.5 % less)')
  expect(out).toContain('keeps the melt rate of 1.62 mm3/s')
  expect(out).toMatch(/computed,\s+untried/)
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
  const recipe = readRecipe(readFileSync(join(folder, 'fine.json'), 'utf8'))
  const card = readPrinterCard(readFileSync(join(folder, 'fine-card.json'), 'utf8'))
  if (!recipe.ok || !card.ok) throw new Error('not accepted')
  expect(recipe.value.beadWidthMm).toBe(0.25)
  expect(recipe.value.printer).toBe(card.value.name)
  const checked = await fettle(['recipe', 'check', 'fine.json', '--printer', 'fine-card.json', '--strict'], inFolder)
  expect(checked.code).toBe(0)
  // Nothing is overwritten by accident, and nothing else is written then.
  const again = await fettle(
    ['carry', 'mine.json', '--bore', '0.3', '-o', 'new.json', '--card', 'fine-card.json'],
    inFolder,
  )
  expect(again.code).toBe(2)
  expect(existsSync(join(folder, 'new.json'))).toBe(false)
})

test('starting recipe and card for a 0.25 mm nozzle: computed, untried', async () => {
  const recipe = JSON.parse((await fettle(['recipe', 'starting', '--bore', '0.25'], inFolder)).out)
  expect(recipe.name).toContain('0.25 mm nozzle (computed, untried)')
  const card = JSON.parse((await fettle(['recipe', 'printer', '--bore', '0.25'], inFolder)).out)
  expect(card.nozzleBoreMm).toBe(0.25)
  expect(recipe.printer).toBe(card.name)
  expect((await fettle(['recipe', 'filament', '--bore', '0.25'], inFolder)).code).toBe(2)
  expect((await fettle(['recipe', '--bore', '7'], inFolder)).err).toContain('--bore takes a number from 0.1 to 1.2 mm')
})

test('both recipes are examined on a figure and held side by side', async () => {
  writeBytes(
    folder,
    'direct.json',
    JSON.stringify({ ...STARTING_PRINTER, name: 'direct machine', feedType: 'direct', feedTubeMm: 40 }),
  )
  const { code, out } = await fettle(
    ['carry', 'mine.json', '--to-printer', 'direct.json', '--figure', 'stub.stl', '--scale-height', '4', '--json'],
    inFolder,
  )
  expect(code).toBe(0)
  const data = JSON.parse(out)
  expect([data.form, data.version]).toEqual(['fettle-carried-over', 1])
  expect(data.lines.map(({ key }: { key: string }) => key)).toContain('retractionMm')
  expect(data.recipe.printer).toBe('direct machine')
  const { before, after } = data.examined
  expect(before.printS).toBeGreaterThan(10)
  expect(Math.abs(after.printS / before.printS - 1)).toBeLessThan(0.2)
  expect(after.massG).toBeCloseTo(before.massG, 3)
})

test('what is wrong is told', async () => {
  expect((await fettle(['carry', 'gone.json'], inFolder)).code).toBe(3)
  expect((await fettle(['carry', 'mine.json', '--figure', 'gone.stl'], inFolder)).err).toContain('gone.stl')
  expect((await fettle(['carry', 'mine.json'], inFolder)).out).toContain('No line has to change.')
})
