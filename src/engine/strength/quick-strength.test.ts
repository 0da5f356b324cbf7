// The quick look on shafts whose answers are known.

import { beforeAll, describe, expect, test } from 'vitest'
import { revolved } from '../../../tests/solids.ts'
import { type Bodied, EVEN, onBase, PLAIN, rod, shaftOnBase } from '../../../tests/strength-bodies.ts'
import { quickStrength } from './quick-strength.ts'
import { N_RIM } from './types.ts'

const few = { nAttitudes: 16 }

describe('a shaft on a base', () => {
  let body: Bodied
  beforeAll(async () => {
    body = await shaftOnBase(1.5, 20)
  })
  const look = (options = {}, material = PLAIN) =>
    quickStrength(body.figure, body.stack, body.relations, material, { ...few, ...options })

  test('breaks at its foot, by bending, across the layers', async () => {
    const { weakPlaces, loads } = await look()
    const [place] = weakPlaces
    expect(place.heightMm).toBeLessThan(4)
    expect(place.thickMm).toBeCloseTo(1.5, 1)
    expect(place.load).toBe('push')
    expect(place.causes).toContain('across layers')
    expect(place.bucklesAtN).toBeGreaterThan(3)
    const Z = (Math.PI * 1.5 ** 3) / 32
    expect(place.forceN.value / ((22.8 * Z) / 20)).toBeGreaterThan(0.97)
    expect(place.forceN.value / ((22.8 * Z) / 20)).toBeLessThan(1.08)
    expect(new Set(loads.map((l) => l.kind))).toEqual(new Set(['push', 'pull', 'twist', 'pinch']))
    const pull = loads.find((l) => l.kind === 'pull')
    expect((pull?.breakForceN.value ?? 0) / (22.8 * Math.PI * 0.75 ** 2)).toBeCloseTo(1, 1)
    const twist = loads.find((l) => l.kind === 'twist')
    expect((twist?.breakForceN.value ?? 0) / (((22.8 * 25) / 26) * 2 * Z)).toBeCloseTo(1, 1)
  })

  test('layers laid along it, weak bonds, and a soft floor change what they should', async () => {
    const upright = await look()
    const along = await look({ layerNormal: [1, 0, 0] as const })
    expect(along.weakPlaces[0].forceN.value / upright.weakPlaces[0].forceN.value).toBeCloseTo(47.4 / 22.8, 1)
    const healing = new Float32Array(body.stack.nLayers).fill(0.5)
    const weak = await look({ healing })
    expect(weak.weakPlaces[0].forceN.value / upright.weakPlaces[0].forceN.value).toBeCloseTo(0.5, 1)
    expect(weak.weakPlaces[0].causes).toContain('weak bond')
    const soft = await look({ floor: 'soft' })
    expect(soft.drop.breakShare.value).toBeLessThan(upright.drop.breakShare.value)
    expect(soft.drop.halfBreakHeightM).toBeGreaterThan(upright.drop.halfBreakHeightM)
  })

  test('falls from higher break more; chances lie in their range', async () => {
    const low = (await look({ dropHeightM: 0.05 })).drop
    const high = (await look({ dropHeightM: 2 })).drop
    expect(low.breakShare.value).toBeLessThan(high.breakShare.value)
    expect(low.halfBreakHeightM / high.halfBreakHeightM).toBeGreaterThan(0.7)
    for (const { breakChance } of high.attitudes) {
      expect(breakChance.low).toBeLessThanOrEqual(breakChance.value)
      expect(breakChance.value).toBeLessThanOrEqual(breakChance.high)
    }
    expect(high.attitudes).toHaveLength(16)
  })

  test('per layer: most stress at the foot, least force there', async () => {
    const { layerStressPerN, layerBreakForceN } = await look()
    const at = (z: number) => body.stack.faceZ.findIndex((f) => f > z) - 1
    expect(layerStressPerN[at(4)]).toBeGreaterThan(layerStressPerN[at(15)])
    expect(layerBreakForceN[at(4)]).toBeLessThan(layerBreakForceN[at(15)])
    expect(layerStressPerN[at(1)]).toBeNaN()
    const lever = 23 - 10 - 0.2
    expect(layerStressPerN[at(10)] / (lever / ((Math.PI * 1.5 ** 3) / 32))).toBeCloseTo(1, 1)
  })

  test('on the bed: gives like a cantilever as it grows; prying takes a moment over the base', async () => {
    const { layerGiveMmPerN, bed } = await look()
    const at = (z: number) => body.stack.faceZ.findIndex((f) => f > z) - 1
    const second = (Math.PI * 1.5 ** 4) / 64
    for (const length of [8, 16]) {
      const give = length ** 3 / (3 * 2400 * second)
      expect(layerGiveMmPerN[at(3 + length)] / give).toBeGreaterThan(0.85)
      expect(layerGiveMmPerN[at(3 + length)] / give).toBeLessThan(1.15)
    }
    expect(bed.areaMm2).toBeCloseTo(Math.PI * 12.5 ** 2, -1)
    expect(bed.pryAtTopN.value / ((0.06 * Math.PI * 12.5 ** 3) / 4 / 23)).toBeCloseTo(1, 1)
    expect(bed.limbBreaksFirst).toBe(true)
  })

  test('remedies: a pin and a thicker shaft bear more', async () => {
    const { remedies } = await look()
    const own = remedies[0].remedies
    const pin = own.find((r) => r.id === 'pin')
    expect(pin?.amount).toBe(0.8)
    expect(pin?.forceAfterN).toBeGreaterThan(2 * (pin?.forceBeforeN ?? 0))
    const thicker = own.find((r) => r.id === 'thicker')
    expect((thicker?.forceAfterN ?? 0) / (thicker?.forceBeforeN ?? 1)).toBeCloseTo((1.7 / 1.5) ** 3, 1)
    expect(own.find((r) => r.id === 'stance')?.forceAfterN).toBeGreaterThan(1.2 * (pin?.forceBeforeN ?? 0))
  })
})

test.each([0.08, 0.12, 0.2, 0.28])(
  'the root keeps its section where layers of %f mm end beside the top of the base',
  async (layerMm) => {
    // pi d2 / 4 of the shaft; with the skin of the base's top taken for limb it would be that of the base.
    const body = await shaftOnBase(3, 20, layerMm)
    const { frame } = await quickStrength(body.figure, body.stack, body.relations, EVEN, few)
    const roots = [...frame.area].filter((_, i) => frame.held[i])
    expect(roots).toHaveLength(1)
    expect(Math.abs(roots[0] / ((Math.PI * 3 ** 2) / 4) - 1)).toBeLessThan(0.03)
  },
)

test('a ring of limbs: a shaft held at both ends breaks at more force and less travel', async () => {
  const free = await shaftOnBase(1.2, 20)
  const both = await onBase([
    rod([0, 0, 1], [0, 0, 23], 1.2),
    rod([6, 0, 1], [6, 0, 23], 4),
    rod([0, 0, 22], [6, 0, 22], 3),
  ])
  const one = await quickStrength(free.figure, free.stack, free.relations, EVEN, few)
  const two = await quickStrength(both.figure, both.stack, both.relations, EVEN, few)
  const shaft = two.frame.branches.findIndex((b) => !b.freeEnd && b.thinnestMm < 1.4 && b.stations.length > 10)
  expect(shaft).toBeGreaterThanOrEqual(0)
  const push = two.loads.find((l) => l.kind === 'push' && l.branch === shaft)
  expect(push?.breakForceN.value).toBeGreaterThan(4 * one.weakPlaces[0].forceN.value)
  expect(push?.breakTravelMm.value).toBeLessThan(0.5 * one.weakPlaces[0].travelMm.value)
})

test('a figure without a base is held at its thickest place', async () => {
  const { figure, stack, relations } = await onBase([rod([0, 0, 2], [0, 0, 20], 2), rod([0, 0, 12], [0, 0, 18], 8)])
  const q = await quickStrength({ ...figure, base: null }, stack, relations, EVEN, few)
  // Held in the block at 12 to 18: the shaft under it breaks when the base is pushed, and no held station lies on the base.
  expect(q.weakPlaces[0].thickMm).toBeLessThan(2.2)
  for (let i = 0; i < q.frame.nStations; i++) if (q.frame.held[i]) expect(q.frame.at[3 * i + 2]).toBeGreaterThan(11)
})

test('a hollow shaft has the section of a tube', async () => {
  const parts = 64
  const tube = revolved(
    [
      [2, 2.5],
      [3, 2.5],
      [3, 20],
      [2, 20],
      [2, 2.5],
    ],
    parts,
  )
  const { figure, stack, relations } = await onBase([tube])
  const q = await quickStrength(figure, stack, relations, EVEN, few)
  const limb = q.frame.branches.reduce((a, b) => (b.stations.length > a.stations.length ? b : a)).stations
  const mid = limb[limb.length >> 1]
  expect(q.frame.area[mid] / (Math.PI * 5)).toBeCloseTo(1, 1)
  expect(q.frame.thickMm[mid] / (2 * (81 - 16) ** 0.25)).toBeCloseTo(1, 1)
  expect(Math.hypot(...q.frame.rim.slice(3 * N_RIM * mid, 3 * N_RIM * mid + 3))).toBeCloseTo(3, 0)
})
