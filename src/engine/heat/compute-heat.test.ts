import { describe, expect, test } from 'vitest'
import { type BeadSketch, beadPlanOf, type LayerSketch, squarePath } from '../../../tests/bead-plans.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import type { BeadPlan } from '../beads/index.ts'
import { timeBeads } from '../timing/index.ts'
import { computeHeat } from './compute-heat.ts'
import type { HeatConditions, HeatOptions } from './conditions.ts'
import { findPieces } from './find-pieces.ts'
import { layCells } from './lay-cells.ts'
import { quickHeat } from './quick-heat.ts'

const cards = { printer: STARTING_PRINTER, filament: STARTING_FILAMENT, recipe: STARTING_RECIPE }

/** Square post of shells with a fill of lines, in layers of 0.1 mm. */
const post = (side: number, nLayers: number, x = 0, fanShare = 1, dwell = 0): BeadPlan =>
  beadPlanOf(Array.from({ length: nLayers }, (_, k) => layerOf(side, x, k === 0 ? 0 : fanShare, dwell)))
const layerOf = (side: number, x: number, fanShare: number, dwell: number): LayerSketch => {
  const beads: BeadSketch[] = []
  for (let inset = 0.2; inset < side / 2 - 0.05; inset += 0.38)
    beads.push({
      path: squarePath(x + inset, inset, side - 2 * inset),
      role: inset < 0.3 ? 'outer shell' : 'inner shell',
      speed: 20,
      dwell: beads.length === 0 ? dwell : 0,
    })
  return { height: 0.1, beads, fanShare, nozzleC: 195, bedC: 60 }
}
const heatOf = async (plan: BeadPlan, options: Partial<HeatOptions> = {}, conditions: HeatConditions = cards) =>
  computeHeat(plan, await timeBeads(plan, cards, { slowDown: false }), conditions, { afterS: 10, ...options })

describe('a thin post', () => {
  test('energy is kept, and every part has its sign', async () => {
    const { energy } = await heatOf(post(2, 40))
    expect(Math.abs(energy.imbalanceShare)).toBeLessThan(1e-4)
    for (const part of [
      'laidJ',
      'nozzleContactJ',
      'nozzleGapJ',
      'nozzleRadiationJ',
      'convectedJ',
      'radiatedJ',
      'storedJ',
    ] as const)
      expect(energy[part], part).toBeGreaterThan(0)
    // 2 x 2 x 4 mm of beads at 195 over 25 deg C.
    expect(energy.laidJ).toBeGreaterThan(0.8 * 16 * 1.24e-3 * 1480 * 0.17)
    expect(energy.laidJ).toBeLessThan(1.1 * 16 * 1.24e-3 * 1480 * 0.17)
  })

  test('more air leaves less soft; a wait before each layer too', async () => {
    const still = await heatOf(post(2, 40, 0, 0))
    const calm = await heatOf(post(2, 40), { airMPerS: 1 })
    const windy = await heatOf(post(2, 40), { airMPerS: 5 })
    const waiting = await heatOf(post(2, 40, 0, 1, 8))
    const at = (h: typeof still): number => h.layers.belowC[30]
    expect(at(still)).toBeGreaterThan(at(calm))
    expect(at(calm)).toBeGreaterThan(at(windy))
    expect(at(waiting)).toBeLessThan(at(calm))
    expect(waiting.layers.softDepthMm[30]).toBeLessThan(still.layers.softDepthMm[30])
    expect(waiting.layers.healing[30]).toBeLessThan(still.layers.healing[30])
    expect(still.layers.onSoftShare[30]).toBe(1)
    expect(waiting.layers.onSoftShare[30]).toBeLessThan(0.2)
  })

  test('values of layers are those of their beads', async () => {
    const plan = post(2, 20)
    const { beads, layers } = await heatOf(plan)
    for (const k of [1, 8, 19]) {
      const own = Array.from({ length: plan.layerStart[k + 1] - plan.layerStart[k] }, (_, i) => plan.layerStart[k] + i)
      expect(Math.max(...own.map((b) => beads.softDepthMm[b]))).toBeCloseTo(layers.softDepthMostMm[k], 5)
      expect(Math.max(...own.map((b) => beads.belowMostC[b]))).toBeCloseTo(layers.belowMostC[k], 4)
      expect(Math.min(...own.map((b) => beads.belowC[b]))).toBeLessThanOrEqual(layers.belowC[k])
      expect(Math.max(...own.map((b) => beads.belowC[b]))).toBeGreaterThanOrEqual(layers.belowC[k])
    }
    expect(layers.belowC[0]).toBeNaN()
    expect(layers.healing.every((h) => Number.isNaN(h) || (h > 0 && h <= 1))).toBe(true)
  })

  test('no band of steps changes the answer much: all in short steps comes out alike', async () => {
    const plan = post(2, 60)
    const quick = await heatOf(plan)
    const fine = await heatOf(plan, { stepsPerLayer: 160, longestStepS: 0.05 })
    for (const k of [20, 40, 55]) {
      expect(Math.abs(quick.layers.belowC[k] - fine.layers.belowC[k])).toBeLessThan(3)
      expect(Math.abs(quick.layers.softDepthMm[k] - fine.layers.softDepthMm[k])).toBeLessThan(0.08)
    }
  })

  test('plastic in a column is warmed again about once for each pass near it', async () => {
    // Passes 25 s apart: cold in between, so every pass whose heat reaches down is one peak.
    const { layers } = await heatOf(post(2, 30, 0, 1, 25))
    const layersSoftened = layers.softDepthLayers[20]
    expect(layersSoftened).toBeGreaterThan(0.5)
    expect(layers.resoftenedTimes[20]).toBeGreaterThan(0.5)
    expect(layers.resoftenedTimes[20]).toBeLessThan(layersSoftened + 2)
  })

  test('the first layers stay as warm as a bed above the softening temperature keeps them', async () => {
    const hot = await heatOf(post(4, 4, 0, 0), {}, { ...cards, recipe: { nozzleC: 195, bedC: 60 } })
    expect(hot.layers.onSoftShare[1]).toBe(1)
  })

  test('can be stopped', async () => {
    const plan = post(2, 20)
    const stop = new AbortController()
    const run = computeHeat(
      plan,
      await timeBeads(plan, cards),
      cards,
      {},
      {
        signal: stop.signal,
        onProgress: (share) => {
          if (share > 0.3) stop.abort()
        },
      },
    )
    await expect(run).rejects.toThrow('stopped')
  })
})

describe('cells and pieces', () => {
  test('all plastic arrives, in order of time', async () => {
    const plan = post(3, 6)
    const laid = await layCells(plan, await timeBeads(plan, cards), 0.4)
    const sum = (v: ArrayLike<number>): number => Array.from(v).reduce((a, b) => a + b, 0)
    expect(sum(laid.volume)).toBeCloseTo(sum(plan.volume), 4)
    expect(sum(laid.fill) * 0.4 * 0.4 * 0.1).toBeCloseTo(sum(plan.volume), 4)
    for (let e = 1; e < laid.nLandings; e++) expect(laid.timeS[e]).toBeGreaterThanOrEqual(laid.timeS[e - 1] - 1e-9)
  })
  test('perimeter, width, area and footing of two posts side by side', async () => {
    const a = post(3, 3)
    const both = beadPlanOf(
      Array.from({ length: 3 }, () => ({
        ...layerOf(3, 0, 1, 0),
        beads: [...layerOf(3, 0, 1, 0).beads, ...layerOf(1.2, 8, 1, 0).beads],
      })),
    )
    const pieces = findPieces(both, await layCells(both, await timeBeads(both, cards), 0.2))
    expect(pieces.n).toBe(6)
    const wide = pieces.widthMm[2] > pieces.widthMm[3] ? 2 : 3
    const thin = 5 - wide
    expect(pieces.perimeterMm[wide]).toBeGreaterThan(11)
    expect(pieces.perimeterMm[wide]).toBeLessThan(12.3)
    expect(pieces.widthMm[wide]).toBeGreaterThan(2.6)
    expect(pieces.widthMm[wide]).toBeLessThan(3.2)
    expect(pieces.widthMm[thin]).toBeGreaterThan(0.9)
    expect(pieces.widthMm[thin]).toBeLessThan(1.4)
    expect(pieces.middle[2 * thin]).toBeCloseTo(8.6, 1)
    expect(pieces.belowStart[wide + 1] - pieces.belowStart[wide]).toBe(1)
    // Cells filled to more than their room share no more than their floor.
    const footing = pieces.sharedMm2[pieces.belowStart[wide]] / pieces.plasticMm2[wide]
    expect(footing).toBeGreaterThan(0.85)
    expect(footing).toBeLessThanOrEqual(1)
    expect(a.nLayers).toBe(3)
  })
})

describe('the quick answer', () => {
  test('agrees with the detailed one', async () => {
    for (const [side, dwell] of [
      [1.2, 0],
      [2, 0],
      [3, 4],
    ]) {
      const plan = post(side, 60, 0, 1, dwell)
      const timeline = await timeBeads(plan, cards, { slowDown: false })
      const detailed = await computeHeat(plan, timeline, cards, { afterS: 5 })
      const quick = await quickHeat(plan, timeline, cards)
      for (const k of [30, 50])
        expect(
          Math.abs(quick.topC[k] - detailed.layers.belowC[k]),
          `${side} mm, ${dwell} s, layer ${k}: ${quick.topC[k]} against ${detailed.layers.belowC[k]}`,
        ).toBeLessThan(0.2 * (detailed.layers.belowC[k] - 25) + 2)
    }
  })
  test('keeping the least layer time brings the top to the limit', async () => {
    const plan = post(2, 80)
    const quick = await quickHeat(plan, await timeBeads(plan, cards, { slowDown: false }), cards)
    const least = quick.leastS[70]
    expect(least).toBeGreaterThan(quick.intervalS[70])
    expect(quick.pauseS[70]).toBeCloseTo(least - quick.intervalS[70], 9)
    const slow = post(2, 80, 0, 1, quick.pauseS[70])
    const then = await quickHeat(slow, await timeBeads(slow, cards, { slowDown: false }), cards)
    expect(Math.abs(then.topC[70] - quick.limitC)).toBeLessThan(6)
  })
  test('more air never needs more time', async () => {
    const plan = post(2, 50)
    const { leastAtAirS, topAtAirC } = await quickHeat(plan, await timeBeads(plan, cards), cards)
    for (let a = 1; a < leastAtAirS.length; a++) {
      expect(topAtAirC[a][40]).toBeLessThanOrEqual(topAtAirC[a - 1][40])
      expect(leastAtAirS[a][40]).toBeLessThanOrEqual(leastAtAirS[a - 1][40])
    }
  })
  test('a piece laid twice running has its own interval', async () => {
    // A shaft beside a block that is given time: laid last in one layer and first in the next.
    const plan = beadPlanOf(
      Array.from({ length: 40 }, (_, k) => {
        const shaft = layerOf(0.9, 8, 1, 0).beads
        const block = layerOf(4, 0, 1, 20).beads
        return { ...layerOf(1, 0, 1, 0), beads: k % 2 === 0 ? [...block, ...shaft] : [...shaft, ...block] }
      }),
    )
    const quick = await quickHeat(plan, await timeBeads(plan, cards, { slowDown: false }), cards)
    expect(quick.intervalS[31]).toBeLessThan(0.3 * quick.realS[31])
    expect(quick.decidingAt[62]).toBeCloseTo(8.45, 0)
    expect(quick.topC[31]).toBeGreaterThan(quick.topC[30])
  })
})
