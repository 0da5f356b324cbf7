// The verb "recipe": forms to start from, checks, comparison; recipe and cards in the examination; the table of settings in docs.

import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import {
  FILAMENT_FIELDS,
  fieldsMarkdown,
  PRINTER_FIELDS,
  RECIPE_FIELDS,
  STARTING_FILAMENT,
  STARTING_PRINTER,
  STARTING_RECIPE,
} from '../../src/recipe/index.ts'
import { fettle, POST, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }
writeBytes(folder, 'post.stl', POST)

test('starting forms come out as JSON that is accepted again', async () => {
  for (const [word, start] of [
    ['starting', STARTING_RECIPE],
    ['printer', STARTING_PRINTER],
    ['filament', STARTING_FILAMENT],
  ] as const) {
    const { code, out, err } = await fettle(['recipe', word], inFolder)
    expect([code, err]).toEqual([0, ''])
    expect(JSON.parse(out)).toEqual(start)
    expect((await fettle(['recipe', word, '-o', `${word}.json`], inFolder)).out).toBe('')
    expect(readFileSync(join(folder, `${word}.json`), 'utf8')).toBe(out)
    const checked = await fettle(['recipe', 'check', `${word}.json`], inFolder)
    expect(checked.code).toBe(0)
    expect(checked.out).toMatch(/every value within its range/)
  }
  expect((await fettle(['recipe'], inFolder)).out).toBe((await fettle(['recipe', 'starting'], inFolder)).out)
  const again = await fettle(['recipe', '-o', 'starting.json'], inFolder)
  expect(again.code).toBe(2)
  expect(again.err).toContain('starting.json is there already')
})

test('check names key, value and range of every fault; exit code 3', async () => {
  writeBytes(folder, 'wrong.json', JSON.stringify({ ...STARTING_RECIPE, layerHeightMm: 100, infillShare: 50 }))
  const { code, out, err } = await fettle(['recipe', 'check', 'wrong.json'], inFolder)
  expect([code, out]).toEqual([3, ''])
  expect(err).toContain('wrong.json: layerHeightMm is 100; it must be 0.03 to 0.4 mm')
  expect(err).toContain('infillShare is 50; it must be 0 to 1')
  writeBytes(folder, 'broken.json', '{\n  "form": "fettle-recipe",\n  oops\n}')
  expect((await fettle(['recipe', 'check', 'broken.json'], inFolder)).err).toContain('(line 3, column 3)')
  expect((await fettle(['recipe', 'check', 'post.stl'], inFolder)).err).toContain('it names no form')
  expect((await fettle(['recipe', 'check', 'gone.json'], inFolder)).err).toContain('gone.json: there is no such file')
})

test('compare tells what the second recipe changes', async () => {
  writeBytes(folder, 'coarse.json', JSON.stringify({ ...STARTING_RECIPE, layerHeightMm: 0.2, nShells: 2 }))
  writeBytes(folder, 'start.json', JSON.stringify(STARTING_RECIPE))
  const { code, out } = await fettle(['recipe', 'compare', 'start.json', 'coarse.json'], inFolder)
  expect(code).toBe(0)
  expect(out).toContain('layer height: 0.2 mm instead of 0.1 mm (100 % more)')
  expect(out.split('\n\n')[0].split('\n')).toHaveLength(3)
  expect(out).toContain('2 settings change at once')
  const data = JSON.parse((await fettle(['recipe', 'compare', 'start.json', 'coarse.json', '--json'], inFolder)).out)
  expect([data.form, data.version]).toEqual(['fettle-recipe-comparison', 1])
  expect(data.differences.map(({ key }: { key: string }) => key)).toEqual(['layerHeightMm', 'nShells'])
  expect((await fettle(['recipe', 'compare', 'start.json', 'start.json'], inFolder)).out).toContain('the same')
})

test.each([[['check']], [['compare', 'start.json']], [['dance']], [['printer', 'x']]])(
  'recipe %j is wrong use',
  async (words) => {
    const { code, err } = await fettle(['recipe', ...words], inFolder)
    expect(code).toBe(2)
    expect(err).toContain('recipe takes: starting, printer, filament, check FILE, or compare A B')
  },
)

test('recipe and cards reach beads, times and limits; an option wins over the recipe', async () => {
  writeBytes(folder, 'thin.json', JSON.stringify({ ...STARTING_RECIPE, infillShare: 0.2, leastLayerTimeS: 30 }))
  writeBytes(folder, 'low.json', JSON.stringify({ ...STARTING_PRINTER, tallestMm: 30, gantryHeightMm: 20 }))
  writeBytes(folder, 'light.json', JSON.stringify({ ...STARTING_FILAMENT, densityGPerCm3: 1 }))
  const drawn = ['examine', 'post.stl', '--json', '--total-height', '30', '--layer-height', '0.3']
  const words = [...drawn, '--recipe', 'thin.json', '--printer', 'low.json', '--filament', 'light.json']
  const given = JSON.parse((await fettle(words, inFolder)).out)
  const plain = JSON.parse((await fettle(drawn, inFolder)).out)
  expect(given.settings.recipe.infillShare).toBe(0.2)
  expect([given.settings.printer.tallestMm, given.settings.filament.densityGPerCm3]).toEqual([30, 1])
  expect(given.settings.layerHeightMm).toBe(0.3)
  expect(given.summary.massG / plain.summary.massG).toBeLessThan(0.75)
  expect(given.summary.printS).toBeGreaterThan(plain.summary.printS + 100)
  const bad = await fettle(['examine', 'post.stl', '--printer', 'thin.json'], inFolder)
  expect(bad.code).toBe(3)
  expect(bad.err).toContain('printer card thin.json: ')
})

test('docs/settings.md holds the tables of fields as they are', async () => {
  const parts = [
    ['Recipe', 'What is asked of the machine: `fettle recipe`, form `fettle-recipe`.', RECIPE_FIELDS],
    ['Printer card', 'Facts about one machine: `fettle recipe printer`, form `fettle-printer-card`.', PRINTER_FIELDS],
    ['Filament card', 'Facts about one spool: `fettle recipe filament`, form `fettle-filament-card`.', FILAMENT_FIELDS],
  ] as const
  const text = `# Settings

Written by the tests from the tables of fields. Files are JSON with \`form\` and \`version\`; every key ends with its unit, and every
key must be there: nothing is filled in. \`fettle recipe check FILE\` names what is wrong.

${parts.map(([title, about, fields]) => `## ${title}\n\n${about}\n\n${fieldsMarkdown(fields)}\n`).join('\n')}`
  await expect(text).toMatchFileSnapshot(join(process.cwd(), 'docs', 'settings.md'))
})

test('check holds a recipe against itself, its cards and practice, with reasons; --strict makes it count', async () => {
  const wrong = { ...STARTING_RECIPE, infillShare: 1, cornerSpeedMmPerS: 50, retractionMm: 9, nShells: 2 }
  writeBytes(folder, 'odd.json', JSON.stringify(wrong))
  const { code, out } = await fettle(['recipe', 'check', 'odd.json'], inFolder)
  expect(code).toBe(0)
  expect(out).toContain('Contradictions:')
  expect(out).toContain('The corner speed of 50 mm/s is not below the print speed')
  expect(out).toContain('Proposed: corner speed 5 instead of 50.')
  expect(out).toContain('Departures from common practice:')
  expect(out).toContain('The number of shells is 2')
  expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
  const strict = await fettle(['recipe', 'check', 'odd.json', '--strict', '--json'], inFolder)
  expect(strict.code).toBe(1)
  const data = JSON.parse(strict.out)
  expect(data.fine).toBe(false)
  expect(data.remarks.map(({ id }: { id: string }) => id).slice(0, 3)).toEqual([
    'corner-speed',
    'infill-full',
    'retraction-grinds',
  ])
})

test('compare says whether the second recipe may be the next trial', async () => {
  writeBytes(folder, 'hot.json', JSON.stringify({ ...STARTING_RECIPE, nozzleC: 205, firstLayerNozzleC: 215 }))
  writeBytes(folder, 'plain.json', JSON.stringify(STARTING_RECIPE))
  const { code, out } = await fettle(['recipe', 'compare', 'plain.json', 'hot.json', '--strict'], inFolder)
  expect(code).toBe(1)
  expect(out).toContain('The nozzle changes by 10 °C')
})
