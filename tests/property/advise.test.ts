// Unbeaten rows against the slow exact path; spread choices; carrying a recipe there and back.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import { carryOver, seededNumbers, unbeatenRows, withNozzle } from '../../src/advise/index.ts'
import {
  compareRecipes,
  STARTING_FILAMENT as filament,
  STARTING_PRINTER as printer,
  type Recipe,
  STARTING_RECIPE,
} from '../../src/recipe/index.ts'

/** Every pair is looked at: a row stays when no other is as small everywhere and smaller somewhere. */
const slowly = (rows: readonly (readonly number[])[]): number[] =>
  rows
    .map((_, i) => i)
    .filter(
      (i) => !rows.some((other) => other.every((v, c) => v <= rows[i][c]) && other.some((v, c) => v < rows[i][c])),
    )

const tables = fc
  .integer({ min: 1, max: 5 })
  .chain((k) =>
    fc.array(fc.array(fc.integer({ min: 0, max: 6 }), { minLength: k, maxLength: k }), { minLength: 1, maxLength: 60 }),
  )

test('unbeaten rows are those that every pair leaves standing, ties included', () => {
  fc.assert(
    fc.property(tables, (rows) => {
      expect(unbeatenRows(new Float64Array(rows.flat()), rows[0].length)).toEqual(slowly(rows))
    }),
    { numRuns: 400 },
  )
})

test('order and scale of columns do not matter', () => {
  fc.assert(
    fc.property(tables, fc.double({ min: 0.001, max: 1000, noNaN: true }), (rows, by) => {
      const k = rows[0].length
      const turned = rows.map((row) => [...row].reverse().map((v) => v * by))
      expect(unbeatenRows(new Float64Array(turned.flat()), k)).toEqual(unbeatenRows(new Float64Array(rows.flat()), k))
    }),
  )
})

test('seeded numbers lie within 0 and 1 and repeat', () => {
  fc.assert(
    fc.property(fc.integer(), (seed) => {
      const a = seededNumbers(seed)
      const b = seededNumbers(seed)
      for (let i = 0; i < 20; i++) {
        const x = a()
        expect(x).toBe(b())
        expect(x >= 0 && x < 1).toBe(true)
      }
    }),
  )
})

const bores = fc.constantFrom(0.25, 0.3, 0.4, 0.5, 0.6, 0.8)
const recipes = fc
  .record({
    layerHeightMm: fc.constantFrom(0.08, 0.1, 0.12),
    nShells: fc.integer({ min: 1, max: 6 }),
    infillShare: fc.constantFrom(0.2, 0.5, 0.8),
    speedMmPerS: fc.integer({ min: 20, max: 80 }),
    retractionMm: fc.constantFrom(0, 3, 5),
    leastLayerTimeS: fc.integer({ min: 0, max: 30 }),
    nozzleC: fc.integer({ min: 185, max: 205 }),
  })
  .map((changes): Recipe => ({ ...STARTING_RECIPE, ...changes, outerShellSpeedMmPerS: changes.speedMmPerS / 2 }))

const cards = { printer, filament }

test('cards that stay the same change nothing', () => {
  fc.assert(
    fc.property(recipes, (recipe) => {
      const { recipe: carried, lines } = carryOver(recipe, cards, cards)
      expect(lines).toEqual([])
      expect(compareRecipes(recipe, { ...carried, printer: recipe.printer, filament: recipe.filament })).toEqual([])
    }),
  )
})

test('another nozzle: no new contradiction, walls kept within half a bead, melt rate kept unless a line says why', () => {
  fc.assert(
    fc.property(recipes, bores, (recipe, bore) => {
      const to = { printer: withNozzle(printer, bore), filament }
      const { recipe: carried, kept, lines, remarks } = carryOver(recipe, cards, to)
      const before = carryOver(recipe, cards, cards).remarks.filter(({ kind }) => kind === 'contradiction')
      const known = before.map(({ id }) => id)
      expect(remarks.filter(({ kind, id }) => kind === 'contradiction' && !known.includes(id))).toEqual([])
      const wall = kept.find(({ id }) => id === 'wall')!
      expect(Math.abs(wall.after - wall.before)).toBeLessThanOrEqual(Math.max(carried.beadWidthMm / 2, 0.02) + 1e-9)
      const rate = kept.find(({ id }) => id === 'melt-rate')!
      const speed = lines.find(({ key }) => key === 'speedMmPerS')
      if (!rate.isKept) expect(speed?.why ?? '').not.toMatch(/^keeps/)
      for (const { why, words } of lines) expect(`${words}: ${why}`).toMatch(/: .{10,}/)
    }),
    { numRuns: 200 },
  )
})

test('a finer nozzle and back again ends near where it began', () => {
  fc.assert(
    fc.property(fc.constantFrom(0.3, 0.5, 0.6), (bore) => {
      const other = { printer: withNozzle(printer, bore), filament }
      const there = carryOver(STARTING_RECIPE, cards, other).recipe
      const { recipe: back } = carryOver(there, other, cards)
      expect(back.beadWidthMm).toBeCloseTo(0.4, 2)
      expect(back.nShells).toBe(3)
      expect(Math.abs(back.speedMmPerS / 45 - 1)).toBeLessThan(0.06)
      expect(back.retractionMm).toBe(5)
      expect(back.nozzleC).toBe(195)
    }),
  )
})
