import { beforeAll, describe, expect, test } from 'vitest'
import { boxLoop, circleLoop, type Loop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { PrinterCard, Recipe } from '../../recipe/index.ts'
import type { PolygonKit } from '../kernel/index.ts'
import {
  BEAD_ROLES,
  BEAD_WISHES_DEFAULTS,
  type BeadPlan,
  type BeadWishes,
  pitchOf,
  planBeads,
  roleIndex,
} from './index.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const wishes = {
  ...BEAD_WISHES_DEFAULTS,
  beadWidthMm: 0.45,
  leastBeadWidthMm: 0.225,
  mostBeadWidthMm: 0.81,
  flowShare: 1,
  infillReachShare: 0,
  nPrimingLoops: 0,
}
const counts = (plan: BeadPlan, layer: number): Record<string, number> => {
  const found: Record<string, number> = {}
  for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
    const role = BEAD_ROLES[plan.role[b]]
    found[role] = (found[role] ?? 0) + 1
  }
  return found
}
const beadsOf = (plan: BeadPlan, role: (typeof BEAD_ROLES)[number]): number[] =>
  Array.from({ length: plan.nBeads }, (_, b) => b).filter((b) => plan.role[b] === roleIndex(role))
const xy = (plan: BeadPlan, b: number): [number, number][] => {
  const points: [number, number][] = []
  for (let i = plan.beadStart[b]; i < plan.beadStart[b + 1]; i++)
    points.push([plan.points[3 * i], plan.points[3 * i + 1]])
  return points
}

describe('shells', () => {
  test('a box has its shells at half a width, then one pitch apart', async () => {
    const { plan } = await planBeads(stackByHand([[[boxLoop(0, 0, 8, 8)]]], 0.2), wishes, kit)
    const pitch = pitchOf(0.45, 0.2)
    const shells = [...beadsOf(plan, 'outer shell'), ...beadsOf(plan, 'inner shell')]
    const insets = shells.map((b) => Math.min(...xy(plan, b).map(([x]) => x))).sort()
    expect(insets.length).toBe(3)
    insets.forEach((inset, k) => {
      expect(inset).toBeCloseTo(0.225 + k * pitch, 6)
    })
    for (const b of shells) {
      expect(plan.closed[b]).toBe(1)
      const path = xy(plan, b)
      expect(path[0]).toEqual(path[path.length - 1])
    }
  })

  test('inner shells are laid before the outer one, caps and infill after; or the other way when wished', async () => {
    const stack = stackByHand([[[boxLoop(0, 0, 8, 8)]]], 0.2)
    const order = async (outerShellFirst: boolean) => {
      const { plan } = await planBeads(stack, { ...wishes, outerShellFirst }, kit)
      return [...plan.role].map((r) => BEAD_ROLES[r])
    }
    const usual = await order(false)
    expect(usual.slice(0, 3)).toEqual(['inner shell', 'inner shell', 'outer shell'])
    expect(new Set(usual.slice(3))).toEqual(new Set(['cap']))
    expect((await order(true)).slice(0, 3)).toEqual(['outer shell', 'inner shell', 'inner shell'])
  })

  test('an outer shell starts in the concave corner', async () => {
    const notched: Loop = [
      [0, 0],
      [8, 0],
      [8, 8],
      [4, 6],
      [0, 8],
    ]
    const { plan } = await planBeads(stackByHand([[[notched]]], 0.2), wishes, kit)
    const [outer] = beadsOf(plan, 'outer shell')
    const [x, y] = xy(plan, outer)[0]
    expect(Math.hypot(x - 4, y - 6)).toBeLessThan(0.35)
  })
})

describe('gap beads', () => {
  test('a fin gets one bead whose width follows the fin, smoothly', async () => {
    const fin: Loop = [
      [0, 0],
      [20, 0.15],
      [20, 0.45],
      [0, 0.6],
    ]
    const { plan } = await planBeads(stackByHand([[[fin]]], 0.2), wishes, kit)
    expect(counts(plan, 0)).toEqual({ 'gap bead': 1 })
    const widths = [...plan.pointWidth.slice(plan.beadStart[0], plan.beadStart[1])]
    const points = xy(plan, 0)
    points.forEach(([x, y], i) => {
      if (x < 0.5 || x > 19.5) return
      expect(y).toBeCloseTo(0.3, 2)
      expect(widths[i]).toBeCloseTo(0.6 - (0.3 * x) / 20, 1)
    })
    expect(Math.max(...widths)).toBeLessThanOrEqual(0.81)
    expect(Math.min(...widths)).toBeGreaterThanOrEqual(0.225 - 1e-6)
  })

  test('a round shaft of 1.2 mm: one shell, and its middle is a deposit or left empty, both shown', async () => {
    const stack = stackByHand([[[circleLoop(3, 4, 0.6, 60)]]], 0.2)
    const laid = await planBeads(stack, { ...wishes, leftoverPoints: 'deposit' }, kit)
    expect(counts(laid.plan, 0)).toEqual({ 'outer shell': 1, 'point deposit': 1 })
    const [point] = beadsOf(laid.plan, 'point deposit')
    expect(laid.plan.beadStart[point + 1] - laid.plan.beadStart[point]).toBe(1)
    const [[x, y]] = xy(laid.plan, point)
    expect(Math.hypot(x - 3, y - 4)).toBeLessThan(1e-3)
    const left = 0.6 - 0.45 / 2 - pitchOf(0.45, 0.2) / 2
    expect(laid.plan.volume[point]).toBeCloseTo(Math.PI * left * left * 0.2, 3)
    expect(laid.plan.dwell[point]).toBeGreaterThan(0)
    const empty = await planBeads(stack, { ...wishes, leftoverPoints: 'empty' }, kit)
    expect(counts(empty.plan, 0)).toEqual({ 'outer shell': 1 })
    expect(empty.report.emptyPoints[0]).toBe(0)
    expect(empty.report.emptyPoints[3]).toBeCloseTo(Math.PI * left * left, 2)
  })

  test('without gap beads the room stays empty and is counted', async () => {
    const stack = stackByHand([[[boxLoop(0, 0, 10, 0.6)]]], 0.2)
    const { plan, report } = await planBeads(stack, { ...wishes, gapBeads: false }, kit)
    expect(plan.nBeads).toBe(0)
    expect(report.emptyArea[0]).toBeCloseTo(6, 1)
  })
})

describe('caps and infill', () => {
  const tower = (n: number) =>
    stackByHand(
      Array.from({ length: n }, () => [[boxLoop(0, 0, 8, 8)]]),
      0.2,
    )

  test('caps reach the wished thickness from both ends, in mm', async () => {
    const { plan } = await planBeads(tower(20), { ...wishes, capThicknessMm: 0.7 }, kit)
    // 0.7 mm of 0.2 mm layers: four layers at either end.
    for (let i = 0; i < 20; i++) {
      const found = counts(plan, i)
      expect(found.cap !== undefined, `layer ${i}`).toBe(i < 4 || i >= 16)
      expect(found.infill !== undefined).toBe(!(i < 4 || i >= 16))
    }
  })

  test('a ledge inside the figure is capped, the rest is not', async () => {
    const layers: Loop[][][] = Array.from({ length: 30 }, (_, i) => [[boxLoop(0, 0, i < 15 ? 12 : 6, 8)]])
    const { plan, report } = await planBeads(stackByHand(layers, 0.2), wishes, kit)
    const under = counts(plan, 14)
    expect(under.cap).toBeGreaterThan(0)
    expect(under.infill).toBeGreaterThan(0)
    expect(counts(plan, 8).cap).toBeUndefined()
    for (const b of beadsOf(plan, 'cap')) {
      if (b < plan.layerStart[14] || b >= plan.layerStart[15]) continue
      for (const [x] of xy(plan, b)) expect(x).toBeGreaterThan(5)
    }
    expect(report.capArea[14] + report.infillArea[14]).toBeCloseTo(report.capArea[8] + report.infillArea[8], 1)
  })

  test('infill lines alternate and hold their share of the inside', async () => {
    const { plan, report } = await planBeads(tower(30), { ...wishes, infillShare: 0.3 }, kit)
    for (const layer of [12, 13]) {
      let volume = 0
      for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
        if (plan.role[b] !== roleIndex('infill')) continue
        volume += plan.volume[b]
        const [[ax, ay], [bx, by]] = xy(plan, b)
        expect(Math.sign((bx - ax) * (by - ay))).toBe(layer % 2 === 0 ? 1 : -1)
      }
      expect(volume / (report.infillArea[layer] * 0.2)).toBeGreaterThan(0.27)
      expect(volume / (report.infillArea[layer] * 0.2)).toBeLessThan(0.33)
      expect(report.fullInfillAddsArea[layer]).toBeCloseTo(0.7 * report.infillArea[layer], 9)
      expect(report.fullInfillAddsG[layer]).toBeCloseTo((0.7 * report.infillArea[layer] * 0.2 * 1.24) / 1000, 9)
    }
  })

  test('a limb of 2 mm is shells only: no infill, and full infill adds nothing', async () => {
    const { report } = await planBeads(stackByHand([[[circleLoop(0, 0, 1, 60)]]], 0.1), wishes, kit)
    expect(report.infillArea[0]).toBe(0)
    expect(report.shellsOnlyShare[0]).toBe(1)
    expect(report.fullInfillAddsG[0]).toBe(0)
    expect(report.nLayersWithoutInfill).toBe(1)
  })
})

describe('travels', () => {
  test('travel between islands retracts, travel within one does not', async () => {
    const stack = stackByHand([[[boxLoop(0, 0, 8, 8)], [boxLoop(12, 0, 8, 8)]]], 0.2)
    const { plan } = await planBeads(stack, { ...wishes, liftMm: 0.3 }, kit)
    let before = -1
    for (let b = 0; b < plan.nBeads; b++) {
      if (b > 0) {
        expect(plan.retraction[b] > 0).toBe(plan.island[b] !== before)
        expect(plan.lift[b] > 0).toBe(plan.retraction[b] > 0)
      }
      before = plan.island[b]
    }
  })

  test('priming loops are laid first, outside the figure, outermost first', async () => {
    const { plan } = await planBeads(stackByHand([[[boxLoop(0, 0, 8, 8)]]], 0.2), { ...wishes, nPrimingLoops: 2 }, kit)
    expect([...plan.role.slice(0, 2)]).toEqual([roleIndex('priming loop'), roleIndex('priming loop')])
    expect(Math.min(...xy(plan, 0).map(([x]) => x))).toBeLessThan(Math.min(...xy(plan, 1).map(([x]) => x)))
    expect(Math.min(...xy(plan, 1).map(([x]) => x))).toBeCloseTo(-3.225, 2)
    expect(plan.island[0]).toBe(-1)
  })

  test('work can be stopped', async () => {
    const signal = { aborted: true } as AbortSignal
    const stack = stackByHand(
      Array.from({ length: 8 }, () => [[boxLoop(0, 0, 8, 8)]]),
      0.2,
    )
    await expect(planBeads(stack, wishes, kit, { signal })).rejects.toThrow('stopped')
  })
})

test('a recipe with a printer card`s word on leftovers is a set of wishes', () => {
  const wishesOf = (recipe: Recipe, card: PrinterCard): BeadWishes => ({
    ...recipe,
    leftoverPoints: card.leftoverPoints,
  })
  const wished = wishesOf({ nShells: 2 } as Recipe, { leftoverPoints: 'deposit' } as PrinterCard)
  expect([wished.nShells, wished.leftoverPoints]).toEqual([2, 'deposit'])
})
