import { describe, expect, test } from 'vitest'
import { beadPlanOf, squarePath } from '../../../tests/bead-plans.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import { sharedTimeline, timeBeads } from '../timing/index.ts'
import { cellsThatFit } from './cells-that-fit.ts'
import { computeHeat } from './compute-heat.ts'
import { enthalpyTable } from './plastic.ts'
import { startStepKernels } from './step-kernels.ts'

const cards = { printer: STARTING_PRINTER, filament: STARTING_FILAMENT, recipe: STARTING_RECIPE }

/** A foot with a post on it: rows of many lengths, a bed, steps long and short. */
const plan = beadPlanOf(
  Array.from({ length: 50 }, (_, k) => ({
    height: 0.1,
    fanShare: k === 0 ? 0 : 1,
    nozzleC: 195,
    bedC: 60,
    beads: (k < 8 ? [0.2, 0.6, 1, 1.4, 1.8, 2.2, 2.6] : [2.2, 2.6]).map((inset) => ({
      path: squarePath(inset, inset, 6 - 2 * inset),
      role: 'inner shell' as const,
      speed: 20,
    })),
  })),
)
const timeline = await timeBeads(plan, cards)

describe('loops in WebAssembly', () => {
  test('give what the plain loops give, and keep energy', async () => {
    const plain = await computeHeat(plan, timeline, cards, { afterS: 20 })
    const fast = await computeHeat(plan, timeline, cards, { afterS: 20, startWasm })
    expect(Math.abs(fast.energy.imbalanceShare)).toBeLessThan(1e-5)
    expect(fast.nUpdates).toBe(plain.nUpdates)
    for (const part of ['convectedJ', 'radiatedJ', 'bedJ', 'storedJ'] as const)
      expect(Math.abs(fast.energy[part] - plain.energy[part])).toBeLessThan(1e-5 * plain.energy.laidJ)
    for (const quantity of ['belowC', 'softDepthMm', 'softS', 'endC', 'healing'] as const)
      for (let k = 1; k < plan.nLayers; k++)
        expect(fast.layers[quantity][k], `${quantity} ${k}`).toBeCloseTo(plain.layers[quantity][k], 2)
  })
  test('agree where rows differ in length, have gaps and are not four by four', async () => {
    // Posts apart from each other on a ragged foot; cells so fine that every band is swept sideways.
    const ragged = beadPlanOf(
      Array.from({ length: 16 }, (_, k) => ({
        height: 0.1,
        fanShare: k === 0 ? 0 : 1,
        nozzleC: 195,
        bedC: 60,
        beads: (k < 4 ? [0, 1, 2, 3, 4, 5, 6] : [0, 3, 6]).map((i) => ({
          path: squarePath(0.6 * i, 0.37 * i * (i % 3), 0.5 + 0.31 * (i % 4)),
          role: 'inner shell' as const,
          speed: 15,
        })),
      })),
    )
    const times = await timeBeads(ragged, cards)
    const plain = await computeHeat(ragged, times, cards, { afterS: 20, cellMm: 0.15 })
    const fast = await computeHeat(ragged, times, cards, { afterS: 20, cellMm: 0.15, startWasm })
    expect((plain.grid.nY + 2) % 4).not.toBe(0)
    expect(fast.nUpdates).toBe(plain.nUpdates)
    expect(Math.abs(fast.energy.imbalanceShare)).toBeLessThan(1e-5)
    for (const quantity of ['belowC', 'softS', 'resoftenedTimes', 'endC', 'healing'] as const)
      for (let b = 0; b < ragged.nLayers; b++)
        if (!Number.isNaN(plain.layers[quantity][b]))
          expect(fast.layers[quantity][b], `${quantity} ${b}`).toBeCloseTo(plain.layers[quantity][b], 2)
    for (let b = 0; b < ragged.nBeads; b++)
      if (!Number.isNaN(plain.beads.belowC[b])) expect(fast.beads.belowC[b]).toBeCloseTo(plain.beads.belowC[b], 1)
  })
  test('rows that are not whole vectors, and a start that fails, leave the plain loops', async () => {
    const table = enthalpyTable(STARTING_FILAMENT.heatCapacityJPerKgK)
    const reach = { first: new Int32Array(10), last: new Int32Array(10).fill(5) }
    expect(await startStepKernels(startWasm, reach, 7, 10, table)).toBeNull()
    expect(await startStepKernels(async () => null, reach, 8, 10, table)).toBeNull()
  })
})

test('cells of half the side keep energy too, with the nozzle reaching over the rows at the rim', async () => {
  const { energy } = await computeHeat(plan, timeline, cards, { afterS: 5, cellMm: 0.2, startWasm })
  expect(energy.nozzleGapJ).toBeGreaterThan(0)
  expect(Math.abs(energy.imbalanceShare)).toBeLessThan(1e-4)
})

describe('a window of height', () => {
  test('started from what a whole run has kept it gives that run again', async () => {
    const whole = await computeHeat(plan, timeline, cards, { afterS: 1 })
    expect(whole.states.states.length).toBeGreaterThan(1)
    const window = { fromMm: 4.6, toMm: 5, states: whole.states }
    const part = await computeHeat(plan, timeline, cards, {}, undefined, window)
    expect(part.followed[0]).toBeGreaterThan(10)
    for (let k = 46; k < 50; k++) {
      expect(Math.abs(part.layers.belowC[k] - whole.layers.belowC[k])).toBeLessThan(0.5)
      expect(Math.abs(part.layers.softDepthMm[k] - whole.layers.softDepthMm[k])).toBeLessThan(0.02)
    }
    expect(part.layers.belowC[5]).toBeNaN()
  })
  test('a changed recipe in a window differs from its own whole run by less than a kelvin', async () => {
    const whole = await computeHeat(plan, timeline, cards, { afterS: 1 })
    const slow = { ...cards, recipe: { ...STARTING_RECIPE, leastLayerTimeS: 20, waitForLayerTime: true } }
    const slowly = await timeBeads(plan, slow)
    const window = { fromMm: 4, toMm: 5, states: whole.states }
    const part = await computeHeat(plan, slowly, slow, {}, undefined, window)
    const again = await computeHeat(plan, slowly, slow, { afterS: 1 })
    for (let k = 42; k < 50; k++) expect(Math.abs(part.layers.belowC[k] - again.layers.belowC[k])).toBeLessThan(1)
    expect(again.layers.belowC[45]).toBeLessThan(whole.layers.belowC[45] - 3)
  })
})

describe('figures side by side', () => {
  test('the others are a pause in each layer, and cool it', async () => {
    const two = sharedTimeline(plan, timeline, 2)
    expect(two.layerS[50]).toBeCloseTo(2 * timeline.layerS[50], 9)
    for (let b = 0; b < plan.nBeads; b++)
      expect(two.endS[b] - two.startS[b]).toBeCloseTo(timeline.endS[b] - timeline.startS[b], 9)
    const one = await computeHeat(plan, timeline, cards, { afterS: 1 })
    const both = await computeHeat(plan, two, cards, { afterS: 1 })
    expect(both.layers.belowC[40]).toBeLessThan(one.layers.belowC[40])
  })
})

test('cells are as fine as the time allows', () => {
  expect(cellsThatFit(plan, timeline)).toBe(0.4)
  const many = beadPlanOf(
    Array.from({ length: 40 }, () => ({
      height: 0.1,
      beads: Array.from({ length: 60 }, (_, i) => ({ path: squarePath(i, i, 130 - 2 * i), speed: 20 })),
    })),
  )
  const hours = { ...timeline, layerS: Float64Array.from({ length: 41 }, (_, k) => 900 * k) }
  expect(cellsThatFit(many, hours)).toBeGreaterThan(0.4)
})
