import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { box, cylinder, moved, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { RECIPE_FIELDS, type Recipe } from '../../recipe/index.ts'
import type { PolygonKit } from '../kernel/index.ts'
import { prepareMesh, writeStl } from '../mesh/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { createExaminer, keptForSearch } from './create-examiner.ts'
import { beadsKeyOf, FEED_KEYS, fedBeads } from './fed-plan.ts'
import { planBare, planOf } from './run-print.ts'
import { EXAMINE_DEFAULTS, withRecipe } from './settings.ts'
import type { Examination, ExamineSettings } from './types.ts'

let kit: PolygonKit
let file: Uint8Array
let layers: LayerStack
const { printer } = EXAMINE_DEFAULTS
const settings: ExamineSettings = {
  ...EXAMINE_DEFAULTS,
  scale: { by: 'unit', unit: 'mm' },
  layerHeightMm: 0.3,
  // Deposits wait while they are pushed out: they hang on flow and speed.
  printer: { ...printer, leftoverPoints: 'deposit' },
}

beforeAll(async () => {
  kit = await loadPolygonKit()
  const solid = together(
    cylinder(7, 1.5, 32),
    moved(cylinder(0.7, 8, 24), 4, 0, 1),
    moved(box(3.1, 4.3, 9), -3, -2, 1),
    moved(box(0.5, 0.5, 8), 1.5, 3, 1),
  )
  file = writeStl(prepareMesh(solid.positions, solid.triangles).mesh)
  const outcome = await createExaminer(kit).examine(file, 'posts.stl', settings, { quick: true })
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  layers = outcome.value.layers
})

/** Any value that a form takes, for one field. */
const anyOf = (key: keyof typeof RECIPE_FIELDS): fc.Arbitrary<unknown> => {
  const field = RECIPE_FIELDS[key]
  if (field.kind === 'flag') return fc.boolean()
  if (field.kind === 'number') return fc.double({ min: field.least, max: field.most, noNaN: true })
  return fc.string({ minLength: 1, maxLength: 20 })
}

const feeding: fc.Arbitrary<Partial<Recipe>> = fc.record(
  Object.fromEntries(FEED_KEYS.map((key) => [key, anyOf(key)])),
  { requiredKeys: [] },
) as fc.Arbitrary<Partial<Recipe>>

const fedAs = (change: Partial<Recipe>): ExamineSettings => ({ ...settings, recipe: { ...settings.recipe, ...change } })

describe('beads that are fed otherwise', () => {
  test('equal beads planned anew, to the digit', async () => {
    const bare = await planBare(layers, settings, kit)
    expect(bare.plan.dwell.some((s) => s > 0)).toBe(true)
    expect(bare.plan.retraction.some((mm) => mm > 0)).toBe(true)
    await fc.assert(
      fc.asyncProperty(feeding, async (change) => {
        const changed = fedAs(change)
        expect(beadsKeyOf(changed)).toBe(beadsKeyOf(settings))
        const { plan, report } = fedBeads(bare, changed)
        const anew = await planOf(layers, changed, kit)
        expect(plan).toEqual(anew.plan)
        expect(report).toEqual(anew.report)
      }),
      { numRuns: 25 },
    )
  })

  test('every other field has them planned anew', () => {
    const fed = new Set<string>(FEED_KEYS)
    const others = Object.keys(RECIPE_FIELDS).filter((key) => !fed.has(key)) as (keyof typeof RECIPE_FIELDS)[]
    expect(others.length).toBeGreaterThan(10)
    for (const key of others) {
      const own = settings.recipe[key]
      const other = typeof own === 'boolean' ? !own : Number(own) + 1
      const changed = withRecipe(settings, { ...settings.recipe, layerHeightMm: 0.3, [key]: other })
      // The widest bead is never below the nominal one.
      expect(beadsKeyOf(changed), key).not.toBe(
        beadsKeyOf(withRecipe(settings, { ...settings.recipe, layerHeightMm: 0.3 })),
      )
    }
  })
})

describe('one examiner for many recipes', () => {
  const answer = ({ print, heat, strength, findings, summary, tracks }: Examination) => ({
    plan: print?.plan,
    report: print?.report,
    timeline: print?.timeline,
    balance: print?.balance,
    thickFilament: print?.thickFilament,
    steady: print?.steady,
    strings: print?.strings,
    gear: print?.gear,
    limit: print?.limit,
    heat,
    strength,
    findings,
    summary,
    tracks,
  })

  const shaping = fc.record(
    { nShells: fc.integer({ min: 1, max: 4 }), infillShare: fc.constantFrom(0.2, 0.5, 1) },
    { requiredKeys: [] },
  )
  const changes = fc.array(fc.tuple(feeding, shaping), { minLength: 2, maxLength: 3 })

  test('tells of each what an examiner tells that has seen no other, however little it may keep', async () => {
    await fc.assert(
      fc.asyncProperty(changes, fc.constantFrom(1, 1e6, 1e9), async (recipes, mostBytes) => {
        const kept = createExaminer(kit, null, keptForSearch(mostBytes))
        for (const [feed, shape] of [...recipes, recipes[0]]) {
          const changed = withRecipe(settings, { ...settings.recipe, layerHeightMm: 0.3, ...feed, ...shape })
          const task = { withoutRemedies: true } as const
          const one = await kept.examine(file, 'posts.stl', changed, task)
          const other = await createExaminer(kit).examine(file, 'posts.stl', changed, task)
          if (!one.ok || !other.ok) throw new Error('expected two examinations')
          expect(answer(one.value)).toEqual(answer(other.value))
        }
      }),
      { numRuns: 3 },
    )
  })

  test('finds beads, strength and the best flow again where only feeding has changed', async () => {
    const { examine, kept } = createExaminer(kit, null, keptForSearch(1e9))
    const task = { withoutRemedies: true } as const
    await examine(file, 'posts.stl', settings, task)
    await examine(file, 'posts.stl', fedAs({ flowShare: 1, speedMmPerS: 60, nozzleC: 200 }), task)
    for (const room of ['beads', 'strength', 'steady']) expect(kept.misses.get(room), room).toBe(1)
    for (const room of ['print', 'heat']) expect(kept.misses.get(room), room).toBe(2)
    expect(kept.misses.get('balance')).toBe(4)
    await examine(file, 'posts.stl', fedAs({ accelerationMmPerS2: 500 }), task)
    expect(kept.misses.get('balance')).toBe(4)
    await examine(file, 'posts.stl', fedAs({ infillShare: 0.2 }), task)
    expect(kept.misses.get('beads')).toBe(2)
    expect(kept.misses.get('strength')).toBe(2)
  })
})
