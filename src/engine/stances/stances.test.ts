import { expect, test } from 'vitest'
import { figureOf } from '../../../tests/figure-by-hand.ts'
import { box, cylinder, moved, type Solid, sphere, together } from '../../../tests/solids.ts'
import { onBase, PLAIN, rod } from '../../../tests/strength-bodies.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { rotationOf } from '../figure/index.ts'
import { cutLayers } from '../sections/index.ts'
import { quickStrength } from '../strength/index.ts'
import { attitudeWords, stanceFacing, turnUpright, upOf } from './attitudes.ts'
import { compareLooks } from './compare-looks.ts'
import { outermost, restingDirections, sphereDirections } from './directions.ts'
import { chooseJoint } from './joints.ts'
import { leastForce, limbTable, limitCurve } from './limb-table.ts'
import { outerTriangles } from './outer-triangles.ts'
import { pickStances } from './pick-stances.ts'
import { measureStance, type SearchPrint, searchStances, timeScaleOf } from './search-stances.ts'
import { reachAlong, surfaceTable } from './surface-table.ts'
import { thinLimbAt } from './thin-limb.ts'
import { type Direction, STANCE_COLUMNS, STANCE_ROW, type StanceLook } from './types.ts'
import { markUnbeaten } from './unbeaten.ts'

const PRINT: SearchPrint = {
  layerHeightMm: 0.1,
  firstLayerHeightMm: 0.2,
  undersideSlope: Math.PI / 4,
  nShells: 3,
  beadWidthMm: 0.4,
  infillShare: 0.5,
  leastLayerTimeS: 10,
  shellSpeedMmPerS: 33,
  infillSpeedMmPerS: 45,
}
const bodyOf = (solid: Solid, centre: Direction, volumeMm3: number) => ({
  table: surfaceTable(solid, () => false),
  centre,
  volumeMm3,
  limbs: null,
})
const rowOf = (solid: Solid, up: Direction): Float64Array => {
  const row = new Float64Array(STANCE_COLUMNS)
  measureStance(bodyOf(solid, [0, 0, 0], 100), PRINT, up, row)
  return row
}
const unit = (x: number, y: number, z: number): Direction => {
  const n = Math.hypot(x, y, z)
  return [x / n, y / n, z / n]
}

test('turns: the direction comes upright, and the stance that says so is found again', () => {
  const given = { kind: 'stance', aboutX: 0.4, aboutY: -0.7, aboutZ: 1.9 } as const
  const ups = sphereDirections(60)
  for (let i = 0; i < 60; i++) {
    const up: Direction = [ups[3 * i], ups[3 * i + 1], ups[3 * i + 2]]
    const q = turnUpright(up)
    expect(
      Math.hypot(q[0] * up[0] + q[1] * up[1] + q[2] * up[2], q[3] * up[0] + q[4] * up[1] + q[5] * up[2]),
    ).toBeLessThan(1e-12)
    const again = upOf(stanceFacing(up, given), given)
    // Rounded to tenths of a degree about each axis.
    expect(Math.acos(Math.min(1, again[0] * up[0] + again[1] * up[1] + again[2] * up[2]))).toBeLessThan(0.003)
  }
  expect(rotationOf(stanceFacing([0, 0, -1], { kind: 'stance', aboutX: 0, aboutY: 0, aboutZ: 0 }))[8]).toBeCloseTo(
    -1,
    9,
  )
})

test('attitudes in words: the side that the top goes to', () => {
  expect(attitudeWords([0, 0, 1])).toBe('standing as given')
  expect(attitudeWords(unit(0, 1, 1))).toBe('leaning 45 deg to the front')
  expect(attitudeWords([0, -1, 0])).toBe('lying to the back (90 deg)')
  expect(attitudeWords([-1, 0, 0])).toBe('lying to the right (90 deg)')
  expect(attitudeWords([0, 0, -1])).toBe('upside down')
})

test('a cube on an edge: undersides, room below them, contact, height', () => {
  const cube = box(10, 10, 10)
  const flat = rowOf(cube, [0, 0, 1])
  expect(flat[STANCE_ROW.contact]).toBeCloseTo(100, 9)
  expect(flat[STANCE_ROW.underside]).toBeCloseTo(0, 9)
  // Flat tops carry no steps.
  expect(flat[STANCE_ROW.steps]).toBe(0)
  expect(flat[STANCE_ROW.outline]).toBeCloseTo(400 / 0.1, 6)
  // Tilted by 60 deg about y: one face looks down at 60 deg from the vertical, clear of the bed but for its edge.
  const tilted = rowOf(cube, unit(Math.sin(Math.PI / 3), 0, Math.cos(Math.PI / 3)))
  expect(tilted[STANCE_ROW.height]).toBeCloseTo(10 * (Math.sin(Math.PI / 3) + 0.5), 9)
  const below = 0.2 / (10 * Math.cos(Math.PI / 3))
  // The face x = 0 rises at 30 deg: below 0.2 mm lies 0.2 / sin 30 of its 10 mm.
  expect(tilted[STANCE_ROW.underside]).toBeCloseTo(100 * (1 - below), 9)
  expect(tilted[STANCE_ROW.contact]).toBeCloseTo(100 * below * Math.sin(Math.PI / 3), 9)
})

test('what lies in the first layer counts as contact, wherever triangles are cut', () => {
  const lying = cylinder(3, 20, 64)
  const row = rowOf(lying, [1, 0, 0])
  // A chord of sagitta 0.2 on radius 3, wide 2 sqrt(2 r s - s2).
  const wide = 2 * Math.sqrt(2 * 3 * 0.2 - 0.04)
  expect(row[STANCE_ROW.contact] / (20 * wide)).toBeGreaterThan(0.95)
  expect(row[STANCE_ROW.contact] / (20 * wide)).toBeLessThan(1.02)
})

test('bodies come to rest on their faces: a box on six, a long cylinder on its ends and its side', () => {
  const solid = box(10, 14, 20)
  const table = surfaceTable(solid, () => false)
  const ups = sphereDirections(800)
  const lowest = new Uint32Array(800)
  const heights = new Float64Array(800)
  const centre: Direction = [5, 7, 10]
  for (let i = 0; i < 800; i++) {
    const [x, y, z] = [ups[3 * i], ups[3 * i + 1], ups[3 * i + 2]]
    const reach = reachAlong(table, x, y, z)
    lowest[i] = reach.lowest
    heights[i] = centre[0] * x + centre[1] * y + centre[2] * z - reach.low
  }
  const rests = restingDirections(outermost(solid.positions, lowest), centre, ups, heights)
  expect(rests.length / 3).toBe(6)
  for (let i = 0; i < 18; i += 3)
    expect(Math.max(...[0, 1, 2].map((c) => Math.abs(rests[i + c])))).toBeGreaterThan(1 - 1e-6)
})

test('unbeaten rows: nothing is as good in everything and better in something; the first of equals stays', () => {
  const rows = new Float64Array(4 * STANCE_COLUMNS)
  const set = (i: number, force: number, prop: number, head: number, minutes: number, pry: number): void => {
    const at = STANCE_COLUMNS * i
    rows[at + STANCE_ROW.leastForce] = force
    rows[at + STANCE_ROW.propRoom] = prop
    rows[at + STANCE_ROW.headStepUm] = head
    rows[at + STANCE_ROW.minutes] = minutes
    rows[at + STANCE_ROW.pry] = pry
  }
  set(0, 1, 500, 50, 60, 2)
  set(1, 2, 500, 50, 60, 2)
  set(2, 2, 500, 50, 60, 2)
  set(3, 0.5, 0, 50, 60, 0)
  expect([...markUnbeaten(rows, 0.1)]).toEqual([0, 1, 0, 1])
})

test('times: the scale of a timed stance gives its time back, fewer layers take less slack', () => {
  const row = rowOf(sphere(10, 40), [0, 0, 1])
  const times = timeScaleOf(row, 4188, PRINT, 1500, 2100)
  const body = bodyOf(sphere(10, 40), [0, 0, 0], 4188)
  const again = new Float64Array(STANCE_COLUMNS)
  measureStance(body, { ...PRINT, times }, [0, 0, 1], again)
  expect(again[STANCE_ROW.minutes]).toBeCloseTo(35, 9)
})

test('a shaft on a base: lying makes it stronger by the ratio of the limits, and it can be told apart as a limb', async () => {
  const { figure, stack, relations } = await onBase([rod([0, 0, 1], [0, 0, 24], 1.4)])
  const strength = await quickStrength(figure, stack, relations, PLAIN, { nAttitudes: 2 })
  const table = limbTable(strength, PLAIN)
  const curve = limitCurve(PLAIN)
  const upright = leastForce(table, curve, 0, 0, 1).force
  expect(upright / strength.weakPlaces[0].forceN.value).toBeCloseTo(1, 2)
  expect(leastForce(table, curve, 1, 0, 0).force / upright).toBeCloseTo(
    PLAIN.alongStrengthMPa / PLAIN.acrossStrengthMPa,
    1,
  )
  const limb = thinLimbAt(strength.frame, strength.weakPlaces[0], figure.base?.topMm ?? 0)
  expect(limb?.lengthMm).toBeGreaterThan(18)
  expect(Math.abs(limb?.axis[2] ?? 0)).toBeGreaterThan(0.99)
  expect(limb?.ends.map(({ holderMm }) => holderMm)).toEqual([Number.POSITIVE_INFINITY])
  expect(limb?.ends[0].normal[2]).toBeGreaterThan(0.99)
})

test('faces inside another shell do not count: two boxes that overlap cast no more than their union', async () => {
  const low = box(10, 10, 10)
  // Stands on the first, three millimetres deep in it.
  const high = moved(box(4, 4, 10), 0.5, 0.5, 7)
  const figure = figureOf(together(low, high))
  const kit = await loadPolygonKit()
  const layers = await cutLayers(figure.mesh, figure.max[2], { layerHeightMm: 0.1, firstLayerHeightMm: 0.1 }, kit)
  const outer = outerTriangles(figure, layers)
  // The bottom of the upper box is inside; its sides reach out and stay.
  expect(outer?.length).toBe(22)
  expect(outerTriangles({ mesh: { ...figure.mesh, nShells: 1 } }, layers)).toBeUndefined()
  const table = surfaceTable(figure.mesh, () => false, outer, false)
  const row = new Float64Array(STANCE_COLUMNS)
  measureStance({ table, centre: [0, 0, 0], volumeMm3: 1120, limbs: null }, PRINT, [0, 0, 1], row)
  expect(row[STANCE_ROW.underside]).toBeCloseTo(0, 9)
  expect(row[STANCE_ROW.height]).toBeCloseTo(17, 9)
})

test('joints: a peg where the holder has room, a pin where only the limb has, nothing where neither', () => {
  const limits = { leastBeadMm: 0.2, beadMm: 0.4, nozzleBoreMm: 0.4 }
  const peg = chooseJoint(1.2, 4, 5, 1, 1, PLAIN, limits)
  expect(peg).toMatchObject({ kind: 'peg', pinMm: 1.2, holeMm: 1.4, wallMm: 1.3 })
  expect(peg?.strengthShare).toBeGreaterThan(1)
  const pin = chooseJoint(2, 2.2, 5, 1, 1, PLAIN, limits)
  expect(pin).toMatchObject({ kind: 'pin', pinMm: 1.2, holeMm: 1.4 })
  expect(pin?.wallMm).toBeCloseTo(0.3, 9)
  expect(chooseJoint(0.8, 0.9, 5, 1, 1, PLAIN, limits)).toBeNull()
  // A card with a wide least bead holds less.
  expect(chooseJoint(2, 2.2, 5, 1, 1, PLAIN, { ...limits, leastBeadMm: 0.6 })?.pinMm ?? 0).toBeLessThan(1)
})

test('a search over a leaning slab: the given stance first, picks apart from each other, progress to the end', async () => {
  const slab = box(20, 4, 30)
  let last = 0
  const search = await searchStances(
    bodyOf(slab, [10, 2, 15], 2400),
    PRINT,
    { nSphere: 300, leansDeg: [10, 20], nAround: 8 },
    { onProgress: (share) => (last = share) },
  )
  expect(search.nStances).toBeGreaterThan(316)
  expect([...search.ups.subarray(0, 3)]).toEqual([0, 0, 1])
  expect(last).toBeGreaterThan(0.8)
  const picks = pickStances(search, 3)
  expect(picks[0]).toMatchObject({ index: 0 })
  expect(picks.length).toBeLessThanOrEqual(4)
  // Lying on its largest face it is lowest: the quickest of all.
  const quickest = picks.find(({ aims }) => aims.includes('quick'))
  expect(Math.abs(search.ups[3 * (quickest?.index ?? 0) + 1])).toBeGreaterThan(0.99)
  expect(pickStances(search, 3, 0.9).every(({ index }) => search.ups[3 * index + 2] >= 0.9)).toBe(true)
})

test('gains and losses are told against the best of each, and a beaten look is marked', () => {
  const look = (
    attitude: string,
    leastForceN: number,
    minutes: number,
    pryN: number,
  ): Omit<StanceLook, 'unbeaten' | 'gains' | 'givesUp'> =>
    ({
      attitude,
      leastForceN,
      minutes,
      pryN,
      propRoomMm3: 100,
      headStepUm: 30,
      contactMm2: 400 * pryN,
      weakThickMm: 1.2,
      undersideMm2: 5,
    }) as never
  const told = compareLooks([look('a', 1, 60, 2), look('b', 2, 70, 2), look('c', 0.9, 80, 1.5)])
  expect(told.map(({ attitude, unbeaten }) => [attitude, unbeaten])).toEqual([
    ['a', true],
    ['b', true],
    ['c', false],
  ])
  expect(told[0].gains).toEqual(['quickest: 60 min'])
  expect(told[0].givesUp).toEqual(['breaks at 1.00 N, 2.00 N when b'])
  expect(told[1].givesUp).toEqual(['takes 10 min more than when a'])
})
