// No finding without numbers: every kind that a sheet can show carries values, and opens to a formula and a source.

import { expect, test } from 'vitest'
import { DEPARTURE_WORKINGS, WORKINGS, workingOf } from '../../src/bench/findings/working-table.ts'
import { checkRecipe, RULES } from '../../src/engine/findings/index.ts'
import {
  STARTING_FILAMENT as filament,
  STARTING_PRINTER as printer,
  type Recipe,
  STARTING_RECIPE,
} from '../../src/recipe/index.ts'
import { filesIn, isTest, read } from './sources.ts'

/** Where findings are written. */
const WRITERS = [...filesIn('src/engine/findings/rules'), 'src/bench/code/code-sheet.ts'].filter(
  (file) => !isTest(file),
)

/** Changes of the starting recipe that provoke, between them, every check. */
const WRONG: readonly Partial<Recipe>[] = [
  { cornerSpeedMmPerS: 22.5 },
  { firstLayerHeightMm: 0.4 },
  { layerHeightMm: 0.4 },
  { beadWidthMm: 0.15, leastBeadWidthMm: 0.1 },
  { mostBeadWidthMm: 1.2 },
  { leastBeadWidthMm: 0.15 },
  { flowShare: 1.05 },
  { infillShare: 1 },
  { nShells: 0, infillShare: 0 },
  { outerShellSpeedMmPerS: 11 },
  { leastSpeedMmPerS: 25 },
  { retractionMm: 9 },
  { speedMmPerS: 180, outerShellSpeedMmPerS: 90 },
  { nozzleC: 220 },
  { accelerationMmPerS2: 5000 },
  { layerHeightMm: 0.2, nShells: 2, capThicknessMm: 0.4, infillShare: 0.1, flowShare: 1.02, speedMmPerS: 80 },
  { liftMm: 0.4, retractionMm: 1, retractionSpeedMmPerS: 55, accelerationMmPerS2: 900 },
  { firstLayerHeightMm: 0.15, beadWidthMm: 0.55, cornerSpeedMmPerS: 14, bedC: 80, nozzleC: 195 },
  { cornerSpeedMmPerS: 12 },
  { outerShellSpeedMmPerS: 38 },
  { firstLayerNozzleC: 195 },
  { fanShare: 0.5 },
  { fanFromLayer: 5 },
  { gapBeads: false },
  { flowShare: 1.005 },
  { speedMmPerS: 28 },
  { nozzleC: 212 },
]

/** A spool true to its diameter that bears much heat: with it an unusual flow and a hot nozzle depart from practice and contradict nothing. */
const FORGIVING = { ...filament, nozzleToC: 230, diameterToleranceMm: 0.01 }

/** Names of the checks of a file, read from where they are written. */
const checksOf = (file: string, form: RegExp): string[] => [...read(file).matchAll(form)].map(([, id]) => id)

const CONTRADICTIONS = [
  ...checksOf('src/engine/findings/rules/recipe-contradictions.ts', /^ +id: '([a-z-]+)',$/gm),
  'layer-over-bore',
  'first-layer-over-bore',
]
const DEPARTURES = [
  ...checksOf('src/engine/findings/rules/recipe-departures.ts', /^ {4}id: '([a-z-]+)',$/gm),
  ...checksOf('src/engine/findings/rules/recipe-departures.ts', /departure\(\s+'([a-z-]+)',/g),
]

const provoked = WRONG.flatMap((changes) => {
  const recipe: Recipe = { ...STARTING_RECIPE, ...changes }
  return [filament, FORGIVING].flatMap((spool) => checkRecipe(recipe, printer, spool))
}).filter(({ kind }) => kind !== 'note')

test('every check of a recipe can be provoked, shows its values, and opens to a working', () => {
  expect(DEPARTURES.length).toBeGreaterThan(15)
  const seen = new Set(provoked.map(({ kind, id }) => `${kind}:${id}`))
  const known = [
    ...CONTRADICTIONS.map((id) => `contradiction:${id}`),
    ...DEPARTURES.map((id) => `departure:${id}`),
  ].sort()
  expect([...seen].sort()).toEqual(known)
  for (const { id, kind, evidence, title } of provoked) {
    expect(evidence.length, title).toBeGreaterThan(0)
    for (const { label, value, limit } of evidence) {
      expect(label.length, title).toBeGreaterThan(2)
      expect(Number.isFinite(value) && (limit === undefined || Number.isFinite(limit)), title).toBe(true)
    }
    expect(workingOf({ id: `recipe-${kind}:${id}`, rule: `recipe-${kind}` }), id).not.toBeNull()
  }
})

test('a departure stands beyond the limit that it shows', () => {
  for (const { evidence, title } of provoked.filter(({ kind }) => kind === 'departure')) {
    const [{ value, limit }] = evidence
    expect(limit, title).toBeDefined()
    expect(value, title).not.toBe(limit)
  }
})

test('no finding that a sheet shows is written without values; the one remark without stands on no sheet', () => {
  const without = WRITERS.flatMap((file) => [...read(file).matchAll(/evidence: \[\]/g)].map(() => file))
  expect(without).toEqual(['src/engine/findings/rules/recipe-checks.ts'])
  const [note] = checkRecipe({ ...STARTING_RECIPE, filament: 'another' }, printer, filament).filter(
    ({ evidence }) => evidence.length === 0,
  )
  expect([note.id, note.kind]).toEqual(['other-cards', 'note'])
})

test('every rule of the table and every finding of a print file has a working; none stands there for nothing', () => {
  const written = new Set(WRITERS.flatMap((file) => [...read(file).matchAll(/\brule: '([^']+)'/g)].map(([, id]) => id)))
  const kinds = new Set([...RULES.map(({ id }) => id).filter((id) => !id.startsWith('recipe-')), ...written])
  for (const id of kinds) expect(workingOf({ id, rule: id }), id).not.toBeNull()
  for (const id of Object.keys(WORKINGS)) expect(kinds.has(id), id).toBe(true)
  for (const id of Object.keys(DEPARTURE_WORKINGS)) expect(DEPARTURES, id).toContain(id)
})
