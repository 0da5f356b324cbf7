import { expect, test } from 'vitest'
import type { FieldTable } from './field.ts'
import { UNIT_ENDINGS } from './field.ts'
import {
  compareRecipes,
  FILAMENT_FIELDS,
  fieldRows,
  fieldsMarkdown,
  PRINTER_FIELDS,
  RECIPE_FIELDS,
  readFilamentCard,
  readPrinterCard,
  readRecipe,
  STARTING_FILAMENT,
  STARTING_PRINTER,
  STARTING_RECIPE,
} from './index.ts'
import { editsBetween } from './near-key.ts'
import { readForm } from './read-form.ts'

const issuesOf = (values: object): { code: string; message: string; key?: string }[] => {
  const outcome = readRecipe(JSON.stringify(values))
  if (outcome.ok) throw new Error('was accepted')
  return outcome.issues.map((issue) => ({ code: issue.code, message: issue.message, key: issue.place?.key }))
}
const changed = (change: Record<string, unknown>): object => ({ ...STARTING_RECIPE, ...change })

test('the starting values are accepted and come back unchanged', () => {
  for (const [read, value] of [
    [readRecipe, STARTING_RECIPE],
    [readPrinterCard, STARTING_PRINTER],
    [readFilamentCard, STARTING_FILAMENT],
  ] as const) {
    const outcome = read(JSON.stringify(value))
    expect(outcome).toEqual({ ok: true, value, notes: [] })
  }
})

test('every key ends with its unit, every field has a sentence, a source and a start within its range', () => {
  for (const table of [RECIPE_FIELDS, PRINTER_FIELDS, FILAMENT_FIELDS] as readonly FieldTable[])
    for (const [key, field] of Object.entries(table)) {
      expect(field.meaning, key).toMatch(/^[A-Z].*\.$/)
      expect(field.source.length, key).toBeGreaterThan(3)
      if (field.kind === 'number' || field.kind === 'series') {
        expect(key.endsWith(UNIT_ENDINGS[field.unit]), `${key} in ${field.unit}`).toBe(true)
        expect(field.least, key).toBeLessThan(field.most)
      }
      if (field.kind === 'number') {
        expect(field.start, key).toBeGreaterThanOrEqual(field.least)
        expect(field.start, key).toBeLessThanOrEqual(field.most)
      }
    }
})

test('an unknown key is named, and the one that was meant is suggested but not used', () => {
  const [issue] = issuesOf(changed({ layerHieghtMm: 0.1 }))
  expect(issue.code).toBe('recipe/unknown-key')
  expect(issue.message).toBe(
    'layerHieghtMm is not a setting of a recipe; did you mean layerHeightMm (layer height, 0.03 to 0.4 mm)?',
  )
  expect(issuesOf(changed({ zzz: 1 }))[0].message).toBe('zzz is not a setting of a recipe; take it out.')
})

test('a wrong unit in the key is recognised', () => {
  const { layerHeightMm: _, ...rest } = STARTING_RECIPE
  const issues = issuesOf({ ...rest, layerHeightUm: 100 })
  expect(issues.map((issue) => issue.code)).toEqual(['recipe/unknown-key', 'recipe/missing-key'])
  expect(issues[0].message).toBe(
    'layerHeightUm is not a setting of a recipe; this one is written layerHeightMm, 0.03 to 0.4 mm. Convert the value yourself.',
  )
})

test.each([
  ['layerHeightMm', '0.1mm', 'layerHeightMm is the text "0.1mm"; write a plain number in mm, 0.03 to 0.4 mm.'],
  ['layerHeightMm', 100, 'layerHeightMm is 100; it must be 0.03 to 0.4 mm. Is this in micrometres? Write 0.1.'],
  ['layerHeightMm', 0, 'layerHeightMm is 0; it must be 0.03 to 0.4 mm.'],
  ['infillShare', 50, 'infillShare is 50; it must be 0 to 1. A share is written 0 to 1: 50 % is 0.5.'],
  ['speedMmPerS', 2700, 'speedMmPerS is 2700; it must be 5 to 300 mm/s. Is this in mm a minute? Write 45.'],
  ['nShells', 2.5, 'nShells is 2.5; it must be a whole number, 0 to 20.'],
  ['gapBeads', 'yes', 'gapBeads is the text "yes"; it must be true or false.'],
  ['bedC', null, 'bedC is null; it must be 0 to 140 deg C.'],
])('%s = %s is refused with key, value and range', (key, value, message) => {
  expect(issuesOf(changed({ [key]: value }))).toEqual([{ code: expect.any(String), message, key }])
})

test('all faults are reported at once', () => {
  expect(issuesOf(changed({ layerHeightMm: 9, nShells: -1, fanShare: 'full' })).length).toBe(3)
})

test('the widths must not fall from least to most', () => {
  expect(issuesOf(changed({ leastBeadWidthMm: 0.5 }))[0]).toMatchObject({
    code: 'recipe/out-of-order',
    key: 'beadWidthMm',
  })
})

test('a missing key is not filled in', () => {
  const { nozzleC: _, ...rest } = STARTING_RECIPE
  expect(issuesOf(rest)).toEqual([
    {
      code: 'recipe/missing-key',
      key: 'nozzleC',
      message: 'nozzleC (nozzle) is missing; give it: 150 to 320 deg C. Nothing is filled in for you.',
    },
  ])
})

test('forms and versions: another form and a newer version are refused', () => {
  expect(issuesOf({ ...STARTING_RECIPE, form: 'fettle-printer-card' })[0].code).toBe('recipe/wrong-form')
  expect(issuesOf({ ...STARTING_RECIPE, version: 2 })[0]).toMatchObject({
    code: 'recipe/newer-version',
    message: 'version is 2; this program reads a recipe up to version 1. Use a newer Fettle for this file.',
  })
  expect(issuesOf({ ...STARTING_RECIPE, version: '1' })[0].code).toBe('recipe/wrong-version')
})

test('an older version is brought up step by step, with a note', () => {
  const definition = {
    form: 'fettle-recipe',
    version: 3,
    called: 'recipe',
    fields: { bedC: RECIPE_FIELDS.bedC, nShells: RECIPE_FIELDS.nShells },
    older: [
      ({ bed, ...rest }: Record<string, unknown>) => ({ ...rest, bedC: bed }),
      (values: Record<string, unknown>) => ({ ...values, nShells: 3 }),
    ],
    rising: [],
  } as const
  const outcome = readForm('{"form":"fettle-recipe","version":1,"bed":55}', definition)
  expect(outcome).toMatchObject({ ok: true, value: { version: 3, bedC: 55, nShells: 3 } })
  expect(outcome.ok && outcome.notes[0].code).toBe('recipe/older-version')
})

test('broken text: place of the fault, lists, doubled keys, size', () => {
  const broken = readRecipe('{\n  "form": "fettle-recipe",\n  oops\n}')
  expect(broken.ok === false && broken.issues[0].place).toEqual({ line: 3, column: 3 })
  for (const text of ['[]', '3', 'null', '"x"']) {
    const outcome = readRecipe(text)
    expect(outcome.ok === false && outcome.issues[0].code).toBe('recipe/no-object')
  }
  const doubled = readRecipe(JSON.stringify(STARTING_RECIPE).replace('"nShells":3', '"nShells":3,"nShells":4'))
  expect(doubled.ok === false && doubled.issues[0]).toMatchObject({
    code: 'recipe/doubled-key',
    place: { key: 'nShells' },
  })
  const long = readRecipe(' '.repeat(1_000_001))
  expect(long.ok === false && long.issues[0].code).toBe('recipe/too-long')
  const own = readRecipe(JSON.stringify(STARTING_RECIPE).replace('{', '{"__proto__":1,"constructor":2,'))
  expect(own.ok === false && own.issues.map((issue) => issue.code)).toEqual([
    'recipe/unknown-key',
    'recipe/unknown-key',
  ])
})

test('a heat capacity table must rise in temperature', () => {
  const card = (heatCapacityJPerKgK: unknown) =>
    readFilamentCard(JSON.stringify({ ...STARTING_FILAMENT, heatCapacityJPerKgK }))
  expect(
    card([
      [20, 1000],
      [200, 2000],
    ]).ok,
  ).toBe(true)
  expect(
    card([
      [200, 1000],
      [20, 2000],
    ]).ok,
  ).toBe(false)
  expect(card([]).ok).toBe(false)
  expect(card(1800).ok).toBe(false)
})

test('two recipes are compared in words', () => {
  const other = { ...STARTING_RECIPE, layerHeightMm: 0.15, flowShare: 1, nozzleC: 200, liftMm: 0.2, gapBeads: false }
  expect(compareRecipes(STARTING_RECIPE, other).map((d) => d.words)).toEqual([
    'layer height: 0.15 mm instead of 0.1 mm (50 % more)',
    'gap beads: off instead of on',
    'flow share: 100 % instead of 95 % (5.26 % more)',
    'lift on travel: 0.2 mm instead of 0 mm',
    'nozzle: 200 deg C instead of 195 deg C',
  ])
  expect(compareRecipes(STARTING_RECIPE, STARTING_RECIPE)).toEqual([])
})

test('the table can be written as a document', () => {
  expect(fieldRows(RECIPE_FIELDS).length).toBe(Object.keys(RECIPE_FIELDS).length)
  expect(fieldsMarkdown(RECIPE_FIELDS).split('\n')[5]).toContain('`layerHeightMm` | 0.1 mm | 0.03 to 0.4 mm |')
  expect(fieldsMarkdown(FILAMENT_FIELDS)).toContain('1101 J/(kg K) at 25 deg C')
})

test('edits between words', () => {
  expect(editsBetween('kitten', 'sitting')).toBe(3)
  expect(editsBetween('', 'abc')).toBe(3)
})
