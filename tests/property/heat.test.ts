// Properties of the heat room over random bodies, steps and plans.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import { addPlastic, cellAt, createField, storedJ } from '../../src/engine/heat/field.ts'
import { computeHeat, quickHeat } from '../../src/engine/heat/index.ts'
import { enthalpyAt, enthalpyTable, temperatureAt } from '../../src/engine/heat/plastic.ts'
import { stepField, sweepRoom } from '../../src/engine/heat/step-field.ts'
import { createZone, rowReach, setZone, wholeZone } from '../../src/engine/heat/zone.ts'
import { timeBeads } from '../../src/engine/timing/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { beadPlanOf, squarePath } from '../bead-plans.ts'

const series = fc
  .array(fc.tuple(fc.double({ min: 5, max: 60, noNaN: true }), fc.double({ min: 800, max: 3000, noNaN: true })), {
    minLength: 1,
    maxLength: 5,
  })
  .map((steps) => {
    let t = 0
    return steps.map(([dt, cp]): [number, number] => {
      t += dt
      return [t, cp]
    })
  })

test('temperature to enthalpy and back, for any rising table', () => {
  fc.assert(
    fc.property(series, fc.double({ min: -40, max: 400, noNaN: true }), (points, t) => {
      const table = enthalpyTable(points, 512)
      expect(temperatureAt(table, enthalpyAt(table, t))).toBeCloseTo(t, 6)
      expect(enthalpyAt(table, t + 1)).toBeGreaterThan(enthalpyAt(table, t))
    }),
    { numRuns: 40 },
  )
})

/** A random body: fills and temperatures by a seed. */
const bodyOf = (seed: number, points: [number, number][], airC: number) => {
  let s = seed
  const random = (): number => {
    s = (s * 1664525 + 1013904223) % 4294967296
    return s / 4294967296
  }
  const table = enthalpyTable(points, 512)
  const layerMm = [0.2, 0.1, 0.1, 0.05, 0.15, 0.1]
  const field = createField({
    nX: 5,
    nY: 4,
    cellMm: 0.4,
    layerMm,
    densityGPerCm3: 1.24,
    conductivityWPerMK: 0.13,
    table,
    airC,
  })
  let low = airC
  let high = airC
  for (let z = 0; z < 6; z++)
    for (let y = 0; y < 4; y++)
      for (let x = 0; x < 5; x++) {
        if (random() < 0.3) continue
        const t = 20 + 180 * random()
        low = Math.min(low, t)
        high = Math.max(high, t)
        addPlastic(field, cellAt(field, x, y, z), 0.16 * layerMm[z] * (0.3 + 0.8 * random()), enthalpyAt(table, t))
        field.loss[cellAt(field, x, y, z)] = 1e-5 * random()
      }
  return { field, low, high, reach: rowReach(field.fill, field.nX, field.nY, field.nZ) }
}
const steps = fc.double({ min: 0.01, max: 20, noNaN: true })
const seeds = fc.integer({ min: 1, max: 1e9 })

test('a step keeps energy, whatever its length and however cp changes', () => {
  fc.assert(
    fc.property(seeds, series, steps, (seed, points, dt) => {
      const { field, reach } = bodyOf(seed, points, 25)
      field.bedW = 1e-5
      field.bedC = 60
      const before = storedJ(field, 0)
      const zone = wholeZone(field, reach)
      for (let i = 0; i < 3; i++) stepField(field, zone, sweepRoom(), dt)
      const { convectedJ, radiatedJ, bedJ } = field.sums
      expect(Math.abs(storedJ(field, 0) - before - bedJ + convectedJ + radiatedJ)).toBeLessThan(2e-5 * before)
    }),
    { numRuns: 40 },
  )
})

test('with constant cp no cell becomes hotter than the hottest or colder than the coldest', () => {
  fc.assert(
    fc.property(seeds, steps, (seed, dt) => {
      const { field, low, high, reach } = bodyOf(seed, [[25, 1800]], 25)
      stepField(field, wholeZone(field, reach), sweepRoom(), dt)
      for (let i = 0; i < field.fill.length; i++) {
        if (field.fill[i] === 0) continue
        expect(field.celsius[i]).toBeGreaterThan(low - 1e-3)
        expect(field.celsius[i]).toBeLessThan(high + 1e-3)
      }
    }),
    { numRuns: 40 },
  )
})

test('two bands whose weights add up to one keep energy between them', () => {
  fc.assert(
    fc.property(
      seeds,
      fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 6, maxLength: 6 }),
      (seed, w) => {
        const { field, reach } = bodyOf(seed, [[25, 1800]], 25)
        field.loss.fill(0)
        const before = storedJ(field, 0)
        const one = createZone(field, reach)
        const two = createZone(field, reach)
        setZone(one, 0, 5, (z) => w[z])
        setZone(two, 0, 5, (z) => 1 - w[z])
        for (let z = 0; z < 5; z++) expect(one.face[z] + two.face[z]).toBeCloseTo(1, 9)
        for (let i = 0; i < 4; i++) stepField(field, one, sweepRoom(), 0.2)
        stepField(field, two, sweepRoom(), 0.8)
        expect(storedJ(field, 0) / before).toBeCloseTo(1, 5)
      },
    ),
    { numRuns: 30 },
  )
})

test('any small plan: energy within a thousandth, temperatures within nozzle and room, shares within 0 and 1', async () => {
  const cards = { printer: STARTING_PRINTER, filament: STARTING_FILAMENT, recipe: STARTING_RECIPE }
  await fc.assert(
    fc.asyncProperty(
      fc.array(
        fc.record({
          x: fc.double({ min: -3, max: 3, noNaN: true }),
          side: fc.double({ min: 0.5, max: 3, noNaN: true }),
          height: fc.constantFrom(0.05, 0.1, 0.2),
          speed: fc.double({ min: 5, max: 80, noNaN: true }),
          fanShare: fc.double({ min: 0, max: 1, noNaN: true }),
        }),
        { minLength: 1, maxLength: 6 },
      ),
      async (sketch) => {
        const plan = beadPlanOf(
          sketch.map(({ x, side, height, speed, fanShare }) => ({
            height,
            fanShare,
            beads: [
              { path: squarePath(x, 0, side), role: 'outer shell' as const, speed },
              {
                path: [
                  [x, side / 2],
                  [x + side, side / 2],
                ] as [number, number][],
                role: 'infill' as const,
                speed,
              },
            ],
          })),
        )
        const timeline = await timeBeads(plan, cards)
        const { energy, layers } = await computeHeat(plan, timeline, cards, { afterS: 3 })
        expect(Math.abs(energy.imbalanceShare)).toBeLessThan(1e-3)
        for (const t of layers.belowMostC) if (!Number.isNaN(t)) expect(t > 20 && t < 215).toBe(true)
        for (const of of [layers.healing, layers.onSoftShare])
          for (const v of of) if (!Number.isNaN(v)) expect(v >= 0 && v <= 1 + 1e-6).toBe(true)
        for (const d of layers.softDepthMostMm)
          if (!Number.isNaN(d)) expect(d >= 0 && d <= plan.layerTopZ.at(-1)! + 1e-6).toBe(true)
        const quick = await quickHeat(plan, timeline, cards)
        for (const t of quick.leastS) if (!Number.isNaN(t)) expect(t).toBeGreaterThanOrEqual(0)
      },
    ),
    { numRuns: 15 },
  )
})
