import { expect, test } from 'vitest'
import { beadPlanOf, squarePath } from '../../../tests/bead-plans.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import { timeBeads } from '../timing/index.ts'
import { cellWords, checkCells } from './check-cells.ts'
import { computeHeat } from './compute-heat.ts'

const cards = { printer: STARTING_PRINTER, filament: STARTING_FILAMENT, recipe: STARTING_RECIPE }

/** A post of 2.4 mm that thins to 1.6 mm in its upper half. */
const plan = beadPlanOf(
  Array.from({ length: 80 }, (_, k) => ({
    height: 0.1,
    fanShare: k === 0 ? 0 : 1,
    nozzleC: 195,
    bedC: 60,
    beads: (k < 40 ? [0.2, 0.6, 1] : [0.6, 1]).map((inset) => ({
      path: squarePath(inset, inset, 2.4 - 2 * inset),
      speed: 20,
    })),
  })),
)
const timeline = await timeBeads(plan, cards)
const options = { afterS: 1, startWasm }
const at = async (cellMm: number) => {
  const whole = await computeHeat(plan, timeline, cards, { ...options, cellMm })
  const check = await checkCells(plan, timeline, cards, { ...options, cellMm }, whole)
  if (!check) throw new Error('no layer on another')
  return { whole, check }
}

/** Median of what two runs differ by within the heights of a check, K. */
const apart = (a: Float64Array, b: Float64Array, { fromMm, toMm }: { fromMm: number; toMm: number }): number => {
  const all = Array.from(plan.layerTopZ, (top, k) => (top > fromMm && top <= toMm ? Math.abs(a[k] - b[k]) : Number.NaN))
    .filter((by) => !Number.isNaN(by))
    .sort((p, q) => p - q)
  return all[all.length >> 1]
}

test('cells of twice the side tell the order of the error', async () => {
  const fine = await at(0.2)
  const middle = await at(0.4)
  expect(fine.check.cellMm).toBe(0.4)
  expect(fine.check.toMm - fine.check.fromMm).toBeCloseTo(1, 9)
  // A window differs from its own whole run by less than a kelvin.
  const whole = apart(middle.whole.layers.belowC, fine.whole.layers.belowC, fine.check)
  expect(Math.abs(fine.check.belowK - whole)).toBeLessThan(1)
  // What is left to cells so fine that finer ones no longer matter is less than twice what is told.
  const finest = await computeHeat(plan, timeline, cards, { ...options, cellMm: 0.1 })
  for (const { whole, check } of [fine, middle]) {
    const left = apart(whole.layers.belowC, finest.layers.belowC, check)
    expect(left).toBeGreaterThan(0)
    expect(left).toBeLessThan(2 * check.belowK)
  }
  expect(cellWords(fine.check)).toMatch(
    /^Cells of 0\.4 mm change what layers land on by \d+\.\d K .* 0\.2 mm are wrong/,
  )
})

test('a figure of one layer has nothing to compare', async () => {
  const flat = beadPlanOf([{ height: 0.2, beads: [{ path: squarePath(0, 0, 4), speed: 20 }] }])
  const times = await timeBeads(flat, cards)
  const whole = await computeHeat(flat, times, cards, options)
  expect(await checkCells(flat, times, cards, options, whole)).toBeNull()
})
