import { describe, expect, test } from 'vitest'
import {
  STARTING_FILAMENT as filament,
  STARTING_PRINTER as printer,
  type Recipe,
  STARTING_RECIPE,
} from '../../../recipe/index.ts'
import { softOverBedMm } from './recipe-bed.ts'
import { checkRecipe } from './recipe-checks.ts'
import { checkStep } from './recipe-step.ts'

const with_ = (changes: Partial<Recipe>): Recipe => ({ ...STARTING_RECIPE, ...changes })
const ids = (recipe: Recipe, kind?: string): string[] =>
  checkRecipe(recipe, printer, filament)
    .filter((remark) => kind === undefined || remark.kind === kind)
    .map(({ id }) => id)

test('the starting recipe contradicts nothing, departs from nothing, and has its notes', () => {
  expect(ids(STARTING_RECIPE, 'contradiction')).toEqual([])
  expect(ids(STARTING_RECIPE, 'departure')).toEqual([])
  expect(ids(STARTING_RECIPE, 'note')).toEqual(['bed-softens', 'slows-too-far'])
})

test.each<[string, Partial<Recipe>]>([
  ['corner-speed', { cornerSpeedMmPerS: 22.5 }],
  ['first-layer-over-bore', { firstLayerHeightMm: 0.4 }],
  ['layer-over-bore', { layerHeightMm: 0.4 }],
  ['bead-under-height', { beadWidthMm: 0.15, leastBeadWidthMm: 0.1 }],
  ['bead-over-land', { mostBeadWidthMm: 1.2 }],
  ['bead-under-card', { leastBeadWidthMm: 0.15 }],
  ['flow-times-tolerance', { flowShare: 1.05 }],
  ['flow-times-tolerance', { flowShare: 0.9 }],
  ['infill-full', { infillShare: 1 }],
  ['nothing-inside', { nShells: 0, infillShare: 0 }],
  ['outer-shell-too-slow', { outerShellSpeedMmPerS: 11 }],
  ['least-speed-over-speed', { leastSpeedMmPerS: 25 }],
  ['retraction-grinds', { retractionMm: 9 }],
  ['melt-limit', { speedMmPerS: 180, outerShellSpeedMmPerS: 90 }],
  ['nozzle-outside-card', { nozzleC: 220 }],
  ['nozzle-outside-card', { firstLayerNozzleC: 215 }],
  ['beyond-machine', { accelerationMmPerS2: 5000 }],
])('%s is seen in %j', (id, changes) => {
  expect(ids(with_(changes), 'contradiction')).toContain(id)
})

test('a proposed change settles its own contradiction', () => {
  const wrong: Partial<Recipe>[] = [
    { cornerSpeedMmPerS: 60 },
    { firstLayerHeightMm: 0.45 },
    { flowShare: 1.1 },
    { flowShare: 0.8 },
    { infillShare: 1 },
    { outerShellSpeedMmPerS: 10 },
    { retractionMm: 12 },
    { nozzleC: 150 },
    { leastSpeedMmPerS: 50 },
    { speedMmPerS: 170, outerShellSpeedMmPerS: 40 },
    { mostBeadWidthMm: 1.4 },
    { retractionSpeedMmPerS: 100 },
  ]
  for (const changes of wrong) {
    const recipe = with_(changes)
    for (const remark of checkRecipe(recipe, printer, filament).filter(({ kind }) => kind === 'contradiction')) {
      if (!remark.change) continue
      const mended = { ...recipe, [remark.change.what]: remark.change.to } as Recipe
      expect(ids(mended), `${remark.id} after ${JSON.stringify(remark.change)}`).not.toContain(remark.id)
    }
  }
})

test('no flow settles a filament whose diameter may be anything; that is said', () => {
  const loose = { ...filament, diameterToleranceMm: 0.15 }
  const remark = checkRecipe(STARTING_RECIPE, printer, loose).find(({ id }) => id === 'flow-times-tolerance')
  expect(remark?.change).toBeNull()
  expect(remark?.why).toContain('measure the filament')
})

test('every remark names its lines, a reason and its source', () => {
  const odd = with_({
    layerHeightMm: 0.2,
    nShells: 2,
    capThicknessMm: 0.4,
    infillShare: 0.1,
    flowShare: 1.02,
    speedMmPerS: 80,
    accelerationMmPerS2: 900,
    liftMm: 0.4,
    retractionMm: 1,
    retractionSpeedMmPerS: 55,
    fanShare: 0.5,
    gapBeads: false,
    firstLayerNozzleC: 195,
  })
  const remarks = checkRecipe(odd, printer, filament)
  expect(remarks.filter(({ kind }) => kind === 'departure').length).toBeGreaterThanOrEqual(12)
  for (const { keys, why, title, id } of remarks) {
    expect(keys.length, id).toBeGreaterThan(0)
    expect(why.length, id).toBeGreaterThan(30)
    expect(title, id).not.toMatch(/\.$|NaN|undefined/)
  }
})

test('a direct feed wants a short retraction, a finer nozzle more shells', () => {
  const direct = { ...printer, feedType: 'direct' as const, feedTubeMm: 40 }
  expect(checkRecipe(STARTING_RECIPE, direct, filament).map(({ id }) => id)).toContain('retraction')
  expect(checkRecipe(with_({ retractionMm: 1 }), direct, filament).map(({ id }) => id)).not.toContain('retraction')
  const fine = { ...printer, nozzleBoreMm: 0.25 }
  const narrow = { beadWidthMm: 0.25, leastBeadWidthMm: 0.2, mostBeadWidthMm: 0.45, firstLayerHeightMm: 0.15 }
  expect(checkRecipe(with_(narrow), fine, filament).map(({ id }) => id)).toContain('shells')
  expect(checkRecipe(with_({ ...narrow, nShells: 5 }), fine, filament).map(({ id }) => id)).not.toContain('shells')
})

describe('between two trials', () => {
  const step = (a: Partial<Recipe>, b: Partial<Recipe>) => checkStep(with_(a), with_(b)).map(({ id }) => id)
  test('5 deg C of the nozzle is a step, 10 is too much', () => {
    expect(step({}, { nozzleC: 200, firstLayerNozzleC: 210 })).toEqual([])
    expect(step({}, { nozzleC: 205, firstLayerNozzleC: 215 })).toEqual(['nozzle-step'])
    expect(step({}, { nozzleC: 189 })).toEqual(['nozzle-step'])
  })
  test('a hotter first layer is no step', () => {
    expect(step({ firstLayerNozzleC: 195 }, { firstLayerNozzleC: 205 })).toEqual([])
  })
  test('several changes at once are named', () => {
    const [note] = checkStep(STARTING_RECIPE, with_({ flowShare: 1, nShells: 4, name: 'other' }))
    expect(note.id).toBe('several-changes')
    expect(note.keys).toEqual(['nShells', 'flowShare'])
  })
})

test('the bed softens a wide base higher than a narrow one, and a cool bed none', () => {
  const height = (bedC: number, base: number) => softOverBedMm(with_({ bedC }), printer, filament, base)
  expect(height(52, 25)).toBe(0)
  expect(height(60, 25)).toBeGreaterThan(height(60, 5))
  expect(height(70, 25)).toBeGreaterThan(height(60, 25))
  // m2 = 4 h / (k D): the fin's own decay, with h taken back from the answer.
  expect(height(60, 25)).toBeGreaterThan(0.5)
  expect(height(60, 25)).toBeLessThan(3)
})
