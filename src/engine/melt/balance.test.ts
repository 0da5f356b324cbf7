import { beforeAll, describe, expect, test } from 'vitest'
import { beadPlanOf } from '../../../tests/bead-plans.ts'
import { boxLoop, circleLoop, type Loop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { BEAD_WISHES_DEFAULTS, planBeads, roundingMm } from '../beads/index.ts'
import type { PolygonKit } from '../kernel/index.ts'
import {
  balanceOf,
  type Feed,
  flowErrorOf,
  laidField,
  N_CAUSES,
  SURPLUS_CAUSES,
  steadyFlow,
  surplusOfLayer,
} from './index.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const right: Feed = { flowShare: 1, filamentMm: 1.75, diameterErrorMm: 0 }
const full = {
  ...BEAD_WISHES_DEFAULTS,
  flowShare: 1,
  infillShare: 1,
  infillReachShare: 0,
  nPrimingLoops: 0,
  leftoverPoints: 'deposit' as const,
}
const planned = async (layers: Loop[][][], wishes = full) => {
  const stack = stackByHand(layers, 0.1)
  const { plan } = await planBeads(stack, wishes, kit)
  return { stack, plan, field: await laidField(plan, stack, wishes.flowShare, wishes.infillShare) }
}
const tower = (loop: Loop, n: number): Loop[][][] => Array.from({ length: n }, () => [[loop]])
const sum = (values: ArrayLike<number>) => Array.from(values).reduce((a, b) => a + b, 0)

describe('what is weighed', () => {
  test('room is area times height less the flank, volume is the plan`s own', async () => {
    const { plan, field } = await planned(tower(boxLoop(1, 2, 8, 6), 3))
    for (let i = 0; i < 3; i++) {
      expect(field.layers[i].roomMm3).toBeCloseTo((48 - (28 * roundingMm(0.1)) / 2) * 0.1, 4)
      const laid = sum(plan.volume.slice(plan.layerStart[i], plan.layerStart[i + 1]))
      expect(field.layers[i].nominalMm3).toBeCloseTo(laid, 4)
    }
  })

  test('flow share of the plan is taken out of the nominal volume', async () => {
    const one = await planned(tower(circleLoop(0, 0, 3, 60), 2))
    const less = await planned(tower(circleLoop(0, 0, 3, 60), 2), { ...full, flowShare: 0.9 })
    expect(sum(less.plan.volume)).toBeCloseTo(0.9 * sum(one.plan.volume), 6)
    expect(less.field.layers[1].nominalMm3).toBeCloseTo(one.field.layers[1].nominalMm3, 4)
  })
})

describe('one layer', () => {
  test('a full box just fits; a flow that is fed more or less shows in every place by as much', async () => {
    const { stack, plan } = await planned(tower(boxLoop(0, 0, 8, 8), 2))
    // The volumes carry the flow that they are fed with.
    const middle = (flowShare: number): number => {
      const volumes = { ...plan, volume: plan.volume.map((v) => v * flowShare) }
      const { share, nx, ny } = surplusOfLayer(volumes, stack, 1, flowShare, 1)
      return share[Math.floor(ny / 2) * nx + Math.floor(nx / 2)]
    }
    expect(middle(1)).toBeCloseTo(0, 2)
    expect(middle(1.1)).toBeCloseTo(0.1, 2)
    expect(middle(0.9)).toBeCloseTo(-0.1, 2)
  })
})

describe('balance', () => {
  test('a plan without overlap at true feed leaves next to no surplus and no gap', async () => {
    const { stack, plan, field } = await planned(tower(boxLoop(0, 0, 8, 8), 10))
    const { totals } = balanceOf(field, plan, stack, right)
    expect(totals.overflowShare).toBeLessThan(0.006)
    expect(totals.gapShare).toBeLessThan(0.01)
  })

  test('5 % more flow into a full box overflows by nearly that, named as flow; a thick filament likewise, named as diameter', async () => {
    const { stack, plan, field } = await planned(tower(boxLoop(0, 0, 8, 8), 10))
    const flow = balanceOf(field, plan, stack, { ...right, flowShare: 1.05 })
    expect(flow.totals.overflowShare).toBeGreaterThan(0.035)
    expect(flow.totals.overflowShare).toBeLessThan(0.053)
    const byFlow = flow.totals.causesMm3[SURPLUS_CAUSES.indexOf('flow share')]
    expect(byFlow / flow.totals.overflowMm3).toBeGreaterThan(0.85)
    const thick = balanceOf(field, plan, stack, { ...right, diameterErrorMm: 0.05 })
    const byDiameter = thick.totals.causesMm3[SURPLUS_CAUSES.indexOf('filament diameter')]
    expect(byDiameter / thick.totals.overflowMm3).toBeGreaterThan(0.85)
    expect(thick.totals.laidMm3).toBeCloseTo(flow.totals.laidMm3 * ((1 + flowErrorOf(0.05, 1.75)) / 1.05), 6)
  })

  test('causes add up to the overflow, layer by layer', async () => {
    const { stack, plan, field } = await planned(tower(circleLoop(0, 0, 3, 80), 8), { ...full, infillReachShare: 0.3 })
    const result = balanceOf(field, plan, stack, { flowShare: 1.02, filamentMm: 1.75, diameterErrorMm: 0.02 })
    for (let i = 0; i < 8; i++) {
      const parts = sum(result.causesMm3.slice(i * N_CAUSES, (i + 1) * N_CAUSES))
      expect(parts).toBeCloseTo(result.overflowMm3[i], 6)
    }
    expect(result.totals.causesMm3[SURPLUS_CAUSES.indexOf('overlap of infill and shell')]).toBeGreaterThan(0)
  })

  test('surplus only grows, gaps only fall with the flow share', async () => {
    const { stack, plan, field } = await planned(tower(circleLoop(0, 0, 2.2, 80), 6))
    let before = balanceOf(field, plan, stack, { ...right, flowShare: 0.85 }).totals
    for (const flowShare of [0.9, 0.95, 1, 1.05, 1.1]) {
      const { totals } = balanceOf(field, plan, stack, { ...right, flowShare })
      expect(totals.overflowMm3).toBeGreaterThanOrEqual(before.overflowMm3)
      expect(totals.gapMm3).toBeLessThanOrEqual(before.gapMm3)
      before = totals
    }
  })

  test('surplus shut in grows over the layers and leaves at walls and on top, never more than was made', async () => {
    const { stack, plan, field } = await planned(tower(boxLoop(0, 0, 10, 10), 30))
    const result = balanceOf(field, plan, stack, { ...right, flowShare: 1.08 })
    expect(result.shutInMm3[20]).toBeGreaterThan(result.shutInMm3[4])
    expect(result.heightMm[20]).toBeGreaterThan(result.heightMm[4])
    expect(result.shutInMm3[29]).toBe(0)
    const left = sum(result.outAtWallMm3) + sum(result.outOnTopMm3)
    expect(left).toBeGreaterThan(0.7 * result.totals.overflowMm3)
    expect(left).toBeLessThanOrEqual(1.001 * result.totals.overflowMm3)
    expect(result.outAtWallMm3[10]).toBeGreaterThan(0)
  })

  test('a bead laid twice in one place is a surplus there, and comes out at the nearest surface', async () => {
    const layers = tower(boxLoop(0, 0, 8, 8), 3)
    const stack = stackByHand(layers, 0.2)
    const row = (y: number) => ({
      path: [
        [0.2, y],
        [7.8, y],
      ] as [number, number][],
      width: 0.4 + roundingMm(0.2),
    })
    const rows = Array.from({ length: 20 }, (_, i) => row(0.2 + 0.4 * i))
    const plan = beadPlanOf([
      { height: 0.2, beads: rows },
      {
        height: 0.2,
        beads: [
          ...rows,
          {
            path: [
              [3, 7.4],
              [5, 7.4],
            ],
            width: 0.44,
          },
        ],
      },
      { height: 0.2, beads: rows },
    ])
    const result = balanceOf(await laidField(plan, stack, 1, 1), plan, stack, right)
    expect(result.overflowMm3[1]).toBeGreaterThan(0.1)
    expect(result.overflowMm3[1]).toBeLessThan(0.19)
    const [x, y] = result.heightAt.slice(2, 4)
    expect(x).toBeGreaterThan(2.8)
    expect(x).toBeLessThan(5.2)
    expect(Math.abs(y - 7.4)).toBeLessThan(0.45)
    // The top is 0.2 mm above the next layer; the wall 0.6 away.
    expect(result.outAt[5]).toBeCloseTo(0.6, 9)
    expect(result.endSurplusMm[plan.layerStart[2] - 1]).toBeGreaterThan(0.05)
  })

  test('a wall with a void down its middle shows the gap', async () => {
    const { stack, plan, field } = await planned(tower(boxLoop(0, 0, 12, 1), 4), { ...full, gapBeads: false })
    const { totals } = balanceOf(field, plan, stack, right)
    const free = (12 - (26 * roundingMm(0.1)) / 2) * 0.1 * 4
    expect(totals.gapMm3).toBeGreaterThan(0.6 * (free - totals.laidMm3))
    expect(totals.overflowMm3).toBeLessThan(0.01)
  })
})

test('the steady flow share keeps both limits, and moves against the filament`s error', async () => {
  const { stack, plan, field } = await planned(tower(boxLoop(0, 0, 8, 8), 8))
  const even = steadyFlow(field, plan, stack, { filamentMm: 1.75, diameterErrorMm: 0 })
  expect(even.exists).toBe(true)
  expect(even.overflowShareThere).toBeLessThanOrEqual(0.01)
  expect(even.gapShareThere).toBeLessThanOrEqual(0.02)
  const thick = steadyFlow(field, plan, stack, { filamentMm: 1.75, diameterErrorMm: 0.05 })
  expect(thick.bestShare * (1 + flowErrorOf(0.05, 1.75))).toBeCloseTo(even.bestShare, 2)
  const strict = steadyFlow(
    field,
    plan,
    stack,
    { filamentMm: 1.75, diameterErrorMm: 0 },
    { mostGapShare: 1e-5, mostOverflowShare: 1e-5 },
  )
  expect(strict.exists).toBe(false)
  expect(strict.bestShare).toBeGreaterThan(0.8)
})
