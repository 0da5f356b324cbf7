import { beforeAll, expect, test } from 'vitest'
import { circleLoop, stackByHand } from '../../tests/stack-by-hand.ts'
import type { PolygonKit, Polygons } from '../engine/kernel/index.ts'
import { loadPolygonKit } from '../pool/polygon-kit-node.ts'
import { shareOut } from './calendar.ts'
import { discRows } from './disc-rows.ts'
import { powerCost, spoolUse } from './filament-use.ts'
import { fillBed, shapeStore } from './fill-bed.ts'
import { leastGap, outlineAt, outlineDistance } from './gaps.ts'
import { mostOnBed, placeTray } from './place-tray.ts'
import { OUTLINE_ERROR_MM, planOutline } from './plan-outline.ts'
import { sharedLayerTimes } from './plate-print.ts'
import { clearance, trayShape } from './shapes.ts'
import { visitOrder, wayLength } from './visit-order.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

const loop = (...points: [number, number][]): Polygons => ({
  loopStart: Uint32Array.of(0, points.length),
  points: Float64Array.from(points.flat()),
})
const square = (a: number): Polygons => loop([-a / 2, -a / 2], [a / 2, -a / 2], [a / 2, a / 2], [-a / 2, a / 2])
/** A bar with an arm: it fits into itself turned round. */
const HOOK = loop([-10, -10], [10, -10], [10, -4], [-4, -4], [-4, 10], [-10, 10])
const BED = { xMm: 220, yMm: 220, marginMm: 5, gapMm: 3 }

test('plan outline: what overhangs counts, holes are filled, never smaller than the true one', async () => {
  // A base of radius 10 with an arm of radius 3 reaching out to x = 16 above it, and a ring whose hole is filled.
  const stack = stackByHand(
    [
      [[circleLoop(0, 0, 10, 96)]],
      [[circleLoop(0, 0, 6, 96), circleLoop(0, 0, 3, 96, true)]],
      [[circleLoop(0, 0, 4, 96)], [circleLoop(13, 0, 3, 96)]],
    ],
    0.2,
  )
  const outline = await planOutline(stack, kit)
  expect(outline.loopStart.length - 1).toBe(1)
  let [most, least] = [0, 0]
  for (let i = 0; i < outline.points.length; i += 2) {
    most = Math.max(most, outline.points[i])
    least = Math.min(least, outline.points[i])
  }
  expect(most).toBeGreaterThanOrEqual(16)
  expect(most).toBeLessThanOrEqual(16.01 + OUTLINE_ERROR_MM)
  expect(least).toBeLessThanOrEqual(-10)
  expect(least).toBeGreaterThanOrEqual(-10.01 - OUTLINE_ERROR_MM)
})

test('clearance: squares, shifted and past each other', () => {
  const shape = trayShape(square(10), 0, 0, kit)
  expect(clearance(shape.overX, shape.overX, 0)).toBeCloseTo(10, 9)
  expect(clearance(shape.overX, shape.overX, 9.97)).toBeCloseTo(10, 9)
  expect(clearance(shape.overX, shape.overX, 10.2)).toBe(Number.NEGATIVE_INFINITY)
  // Half the gap round each.
  const grown = trayShape(square(10), 0, 4, kit)
  expect(clearance(grown.overY, grown.overY, 0)).toBeGreaterThanOrEqual(14)
  expect(clearance(grown.overY, grown.overY, 0)).toBeLessThan(14.1)
})

test('rows of discs in closed form: straight, staggered, two-one-two', () => {
  expect(discRows(10, 100, 100).centres.length).toBeGreaterThanOrEqual(100)
  // 2 1 2 in a square of side 2.4143 diameters.
  expect(discRows(10, 24.143, 24.143).centres.length).toBe(5)
  expect(discRows(10, 17.072, 17.072).centres.length).toBe(2)
  expect(discRows(10, 9.9, 30).centres.length).toBe(0)
  for (const [w, d] of [
    [33, 71],
    [48, 52],
    [61, 20.5],
  ]) {
    const { centres } = discRows(10, w, d)
    for (let i = 0; i < centres.length; i++) {
      expect(Math.min(centres[i][0], w - centres[i][0])).toBeGreaterThanOrEqual(5 - 1e-6)
      expect(Math.min(centres[i][1], d - centres[i][1])).toBeGreaterThanOrEqual(5 - 1e-6)
      for (let j = 0; j < i; j++)
        expect(Math.hypot(centres[i][0] - centres[j][0], centres[i][1] - centres[j][1])).toBeGreaterThan(10 - 1e-6)
    }
  }
})

test('hooks nest: more of them than squares round them would give, with the gap kept', () => {
  const load = mostOnBed(HOOK, { ...BED, xMm: 120, yMm: 120 }, kit)
  const inSquares = Math.floor((110 + 3) / 23) ** 2
  expect(load.places.length).toBeGreaterThan(inSquares)
  expect(load.leastGapMm).toBeGreaterThanOrEqual(3)
  for (const place of load.places) {
    const { points } = outlineAt(HOOK, place)
    expect(Math.min(...points)).toBeGreaterThanOrEqual(5 - 1e-6)
    expect(Math.max(...points)).toBeLessThanOrEqual(115 + 1e-6)
  }
})

test('what does not fit goes to the next bed; what fits on none is left over', () => {
  const { loads, leftOver } = placeTray([square(100), square(300)], [6, 1], BED, kit)
  expect(loads.map(({ places }) => places.length)).toEqual([4, 2])
  expect(leftOver).toEqual([1])
  // One bed load stands about the middle of its bed.
  const [only] = placeTray([square(50)], [1], BED, kit).loads
  expect(only.places[0].x).toBeCloseTo(110, 6)
  expect(only.places[0].y).toBeCloseTo(110, 6)
})

test('pieces are set beside what stands already', () => {
  const shapes = shapeStore([square(60)], 3, kit)
  const first = fillBed([0], [], BED, shapes)
  const more = fillBed([0, 0, 0, 0, 0, 0, 0, 0, 0], first.places, BED, shapes)
  expect(more.places).toHaveLength(9)
  expect(more.left).toEqual([8])
  expect(leastGap(more.places, [square(60)])).toBeGreaterThanOrEqual(3)
})

test('distance between outlines: corner to side', () => {
  const diamond = loop([0, -5], [5, 0], [0, 5], [-5, 0])
  const b = outlineAt(square(10), { x: 12, y: 0, turn: 0 })
  expect(outlineDistance(diamond, b)).toBeCloseTo(2, 9)
})

test('the way through pieces: as short as any for a few, no longer than the nearest next for many', () => {
  const at = (x: number, y: number) => ({ figure: 0, x, y, turn: 0 })
  const places = [at(0, 0), at(30, 0), at(10, 1), at(20, -1), at(41, 0), at(5, 30)]
  const order = visitOrder(places)
  expect([...order].sort()).toEqual([0, 1, 2, 3, 4, 5])
  let least = Infinity
  const permute = (rest: number[], way: number[]): void => {
    if (rest.length === 0) least = Math.min(least, wayLength(places, way))
    for (const i of rest)
      permute(
        rest.filter((j) => j !== i),
        [...way, i],
      )
  }
  permute([0, 1, 2, 3, 4, 5], [])
  expect(wayLength(places, order)).toBeCloseTo(least, 9)
})

test('shared layers: the sum of all, and no shorter than the least layer time where slowing down reaches it', () => {
  const piece = (pure: number[], alone: number[]) => ({
    layerPureS: Float64Array.from(pure),
    layerAloneS: Float64Array.from(alone),
  })
  const one = piece([20, 3, 3], [20, 10, 8])
  expect([...sharedLayerTimes([one], 10, () => 0)]).toEqual([20, 10, 8])
  expect([...sharedLayerTimes([one, one, one], 10, (_, n) => n - 1)]).toEqual([62, 11, 11])
  // Two together miss a second of the ten: they are slowed by that.
  expect([...sharedLayerTimes([one, piece([20], [20])], 10, () => 1)]).toEqual([41, 10, 9])
})

test('spools: sums, what remains, what it costs; power', () => {
  const takes = [
    { spool: 'grey', massG: 10, lengthM: 3 },
    { spool: 'blue', massG: 5, lengthM: 2 },
    { spool: 'grey', massG: 30, lengthM: 9 },
  ]
  const [grey, blue] = spoolUse(takes, { grey: 35 }, 20)
  expect(grey).toMatchObject({ spool: 'grey', massG: 40, lengthM: 12, onSpoolG: 35, leftG: -5 })
  expect(grey.plasticCost).toBeCloseTo(0.8, 12)
  expect(blue).toMatchObject({ onSpoolG: null, leftG: null })
  const { kWh, cost } = powerCost(3, 120, 0.3)
  expect(kWh).toBeCloseTo(0.36, 12)
  expect(cost).toBeCloseTo(0.108, 12)
})

test('calendar: long plates first, nothing overlaps, what is too long is told', () => {
  const room = { nPrinters: 2, slotMin: 270, slotName: 'evening', changeMin: 5 }
  const { entries, nSlots, tooLong } = shareOut([100, 200, 130, 300, 130, 60], room)
  expect(tooLong).toEqual([3])
  expect(entries).toHaveLength(5)
  expect(nSlots).toBe(2)
  for (const a of entries) {
    expect(a.endMin).toBeLessThanOrEqual(270)
    for (const b of entries)
      if (a !== b && a.slot === b.slot && a.printer === b.printer)
        expect(a.endMin + 5 <= b.startMin || b.endMin + 5 <= a.startMin).toBe(true)
  }
})
