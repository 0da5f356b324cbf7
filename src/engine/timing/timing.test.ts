import { expect, test } from 'vitest'
import { beadPlanOf, squarePath } from '../../../tests/bead-plans.ts'
import { freeMachine, movesThrough } from '../../../tests/moves.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import type { BeadPlan } from '../beads/index.ts'
import { machineFit, motionLimits, type TimingCards, timeBeads, timeMoves } from './index.ts'

const cards = (recipe: object = {}, printer: object = {}): TimingCards => ({
  recipe: { ...STARTING_RECIPE, leastLayerTimeS: 0, ...recipe },
  printer: { ...STARTING_PRINTER, ...printer },
  filament: STARTING_FILAMENT,
})
const oneSquare = (extra = {}): BeadPlan =>
  beadPlanOf([{ height: 0.2, beads: [{ path: squarePath(0, 0, 10), speed: 45, ...extra }] }])
const closeTo = (got: number, expected: number): void => expect(got).toBeCloseTo(expected, 7)

test('one square of 10 mm with corners at 5 mm/s takes the closed-form time', async () => {
  const timeline = await timeBeads(oneSquare(), cards({ cornerSpeedMmPerS: 5 * Math.SQRT2 }))
  // Ends from or to rest: 45/300 + 40/300 + cruise 3.2917; between corners: 2 x 40/300 + cruise 3.3333.
  const end = 85 / 300 + (10 - 3.375 - 2000 / 600) / 45
  const middle = 80 / 300 + (10 - 4000 / 600) / 45
  closeTo(timeline.totals.printS, 2 * (end + middle))
  expect(timeline.totals.printS).toBeCloseTo(1.39444, 5)
})

test('axis limits of speed and acceleration hold along the axis only', () => {
  const limits = freeMachine({
    mostSpeed: [20, 1e9, 1e9, 1e9],
    mostAcceleration: [100, 1e9, 1e9, 1e9],
    acceleration: 1000,
  })
  expect(
    timeMoves(
      movesThrough(
        [
          [0, 0],
          [50, 0],
        ],
        45,
      ),
      limits,
    ).peakSpeed[0],
  ).toBeCloseTo(20, 9)
  expect(
    timeMoves(
      movesThrough(
        [
          [0, 0],
          [0, 50],
        ],
        45,
      ),
      limits,
    ).peakSpeed[0],
  ).toBeCloseTo(45, 9)
  const slant = timeMoves(
    movesThrough(
      [
        [0, 0],
        [30, 40],
      ],
      45,
    ),
    limits,
  )
  expect(slant.peakSpeed[0]).toBeCloseTo(20 / 0.6, 9)
  // 100 mm/s2 along x is 100/0.6 along the slant.
  const a = 100 / 0.6
  const v = 20 / 0.6
  expect(slant.totalS).toBeCloseTo(v / a + 50 / v, 9)
})

test('filament limits hold back moves that push much plastic', () => {
  const list = movesThrough(
    [
      [0, 0, 0, 0],
      [100, 0, 0, 10],
    ],
    45,
  )
  const limited = timeMoves(list, freeMachine({ mostSpeed: [1e9, 1e9, 1e9, 2], mostAcceleration: [1e9, 1e9, 1e9, 20] }))
  expect(limited.peakSpeed[0]).toBeCloseTo(20, 9)
  expect(limited.totalS).toBeCloseTo(20 / 200 + 100 / 20, 9)
})

test('a change of plastic per length is a corner for the filament', () => {
  const list = movesThrough(
    [
      [0, 0, 0, 0],
      [100, 0, 0, 0],
      [200, 0, 0, 50],
    ],
    45,
  )
  const { jointSpeed } = timeMoves(list, freeMachine({ filamentCornerSpeed: 5 }))
  expect(jointSpeed[1]).toBeCloseTo(10, 9)
})

test('a move of the filament alone stops the nozzle and takes its trapezoid', () => {
  const list = movesThrough(
    [
      [0, 0],
      [10, 0],
      [10, 0, 0, -5],
      [20, 0, 0, -5],
    ],
    [45, 40, 45],
  )
  const { durationS, jointSpeed } = timeMoves(list, freeMachine({ mostAcceleration: [1e9, 1e9, 1e9, 1000] }))
  expect([...jointSpeed]).toEqual([0, 0, 0, 0])
  expect(durationS[1]).toBeCloseTo(5 / 40 + 40 / 1000, 12)
  expect(durationS[0]).toBeCloseTo(10 / 45 + 45 / 300, 12)
})

test('moves of no length take no time and do not stop the nozzle', () => {
  const plain = timeMoves(
    movesThrough(
      [
        [0, 0],
        [10, 0],
        [20, 0],
      ],
      45,
    ),
    freeMachine(),
  )
  const doubled = timeMoves(
    movesThrough(
      [
        [0, 0],
        [10, 0],
        [10, 0],
        [20, 0],
      ],
      45,
    ),
    freeMachine(),
  )
  expect(doubled.totalS).toBeCloseTo(plain.totalS, 12)
  expect(doubled.jointSpeed[2]).toBeCloseTo(45, 12)
})

test('z has a corner speed of its own', () => {
  const { jointSpeed } = timeMoves(
    movesThrough(
      [
        [0, 0, 0],
        [50, 0, 0],
        [100, 0, 10],
      ],
      45,
    ),
    freeMachine({ zCornerSpeed: 0.4, cornerSpeed: 1e9 }),
  )
  expect(jointSpeed[1]).toBeCloseTo(0.4 / (10 / Math.hypot(50, 10)), 9)
})

test('times of a plan are those of the same moves written out', async () => {
  const plan = beadPlanOf([
    { height: 0.2, beads: [{ path: squarePath(0, 0, 10) }, { path: squarePath(1, 1, 8), travel: [[0.5, 0.2]] }] },
    { height: 0.1, beads: [{ path: squarePath(0, 0, 10), speed: 20 }] },
  ])
  const chosen = cards({}, { filamentCornerSpeedMmPerS: 50, filamentMostMmPerS: 500 })
  const timeline = await timeBeads(plan, chosen)
  const e = 0 // no filament limit can be met here
  const way = [
    ...squarePath(0, 0, 10).map(([x, y]) => [x, y, 0.2, e]),
    [0.5, 0.2, 0.2, e],
    ...squarePath(1, 1, 8).map(([x, y]) => [x, y, 0.2, e]),
    ...squarePath(0, 0, 10).map(([x, y]) => [x, y, 0.30000000000000004, e]),
  ]
  const speed = [45, 45, 45, 45, 100, 100, 45, 45, 45, 45, 100, 20, 20, 20, 20]
  const times = timeMoves(movesThrough(way, speed), motionLimits(chosen.printer, chosen.recipe))
  closeTo(timeline.totals.printS, times.totalS)
  const sum = (from: number, to: number) => times.durationS.slice(from, to).reduce((a, b) => a + b, 0)
  closeTo(timeline.endS[0], sum(0, 4))
  closeTo(timeline.startS[1], sum(0, 6))
  closeTo(timeline.layerS[1], sum(0, 10))
  closeTo(timeline.layerRealS[1], sum(10, 15))
  closeTo(timeline.pointS[2], sum(0, 2))
  expect(timeline.mostSpeed[0]).toBeCloseTo(Math.max(...times.peakSpeed.slice(0, 4)), 4)
  expect(timeline.meanSpeed[0]).toBeCloseTo(40 / sum(0, 4), 4)
  closeTo(timeline.layerTypedS[1], Math.hypot(1, 1, 0.1) / 100 + 40 / 20)
})

test('share of length below the set speed: ramps of a trapezoid, all of a triangle', async () => {
  const line = (x: number) => ({
    path: [
      [0, 0],
      [x, 0],
    ] as [number, number][],
    speed: 45,
  })
  const timeline = await timeBeads(beadPlanOf([{ height: 0.2, beads: [{ ...line(10), retraction: 0 }] }]), cards())
  expect(timeline.belowSetShare[0]).toBeCloseTo((2 * 3.375) / 10, 6)
  const short = await timeBeads(beadPlanOf([{ height: 0.2, beads: [line(5)] }]), cards())
  expect(short.belowSetShare[0]).toBe(1)
  expect(short.mostSpeed[0]).toBeCloseTo(Math.sqrt(300 * 5), 4)
})

test('retraction, lift and dwell are counted apart', async () => {
  const beads = [{ path: squarePath(0, 0, 10) }, { path: squarePath(20, 0, 10), retraction: 5, lift: 1, dwell: 0.5 }]
  const plan = beadPlanOf([{ height: 0.2, beads }])
  const { totals, startS, travelS } = await timeBeads(plan, cards({}, { zCornerSpeedMmPerS: 0 }))
  // Out and back, 5 mm at 40 mm/s and 5000 mm/s2.
  closeTo(totals.retractionsS, 2 * (5 / 40 + 40 / 5000))
  closeTo(totals.waitsS, 0.5)
  // 1 mm up and down at 100 mm/s2 is a triangle that just reaches 10 mm/s; 20 mm across at 300 mm/s2 is one too.
  closeTo(totals.travelsS, 2 * 0.2 + 2 * Math.sqrt(20 / 300))
  closeTo(totals.printS, totals.beadsS + totals.travelsS + totals.retractionsS + totals.waitsS)
  closeTo(startS[1] - travelS[1], totals.travelsS + totals.retractionsS + 0.5)
})

test('a layer that is too short is slowed to the least layer time by one share', async () => {
  const timeline = await timeBeads(oneSquare(), cards({ leastLayerTimeS: 2.5 }))
  expect(timeline.layerRealS[0]).toBeGreaterThanOrEqual(2.5)
  expect(timeline.layerRealS[0]).toBeLessThan(2.5 * 1.002)
  expect(timeline.setSpeed[0]).toBeCloseTo(45 * timeline.layerSpeedShare[0], 4)
  expect(timeline.layerWaitS[0]).toBe(0)
  const typed = await timeBeads(oneSquare(), cards({ leastLayerTimeS: 2.5 }), { slowDown: false })
  expect(typed.layerSpeedShare[0]).toBe(1)
  expect(typed.layerRealS[0]).toBeLessThan(1.6)
})

test('slowing stops at the least speed; the rest is waited for only where the recipe says so', async () => {
  const least = { leastLayerTimeS: 10, leastSpeedMmPerS: 10 }
  const short = await timeBeads(oneSquare(), cards(least))
  expect(short.setSpeed[0]).toBeCloseTo(10, 4)
  expect(short.layerRealS[0]).toBeLessThan(5)
  expect(short.layerWaitS[0]).toBe(0)
  const waited = await timeBeads(oneSquare(), cards({ ...least, waitForLayerTime: true }))
  expect(waited.layerRealS[0]).toBeCloseTo(10, 6)
  closeTo(waited.totals.waitsS, waited.layerWaitS[0])
  closeTo(waited.totals.printS, 10)
})

test('a point deposit takes its volume at the flow of its set speed', async () => {
  const plan = beadPlanOf([{ height: 0.2, beads: [{ path: [[0, 0]], role: 'point deposit', volume: 0.2, speed: 45 }] }])
  const { totals, mostFlow } = await timeBeads(plan, cards({}, { filamentMostMmPerS2: 1e5 }))
  const flow = 45 * ((0.4 - 0.2) * 0.2 + Math.PI * 0.01)
  expect(totals.printS).toBeGreaterThan(0.2 / flow)
  expect(totals.printS).toBeCloseTo(0.2 / flow, 4)
  expect(mostFlow[0]).toBeCloseTo(0.2 / totals.printS, 5)
})

test('greatest flow of a long bead is speed times section', async () => {
  const plan = beadPlanOf([
    {
      height: 0.2,
      beads: [
        {
          path: [
            [0, 0],
            [100, 0],
          ],
          width: 0.45,
          speed: 50,
        },
      ],
    },
  ])
  expect((await timeBeads(plan, cards())).mostFlow[0]).toBeCloseTo(4.071, 3)
})

test('acceleration may differ from bead to bead, as a print file may set it', async () => {
  const line = {
    path: [
      [0, 0],
      [5, 0],
    ] as [number, number][],
    speed: 45,
  }
  const plan = beadPlanOf([
    {
      height: 0.2,
      beads: [
        line,
        {
          path: [
            [5, 5],
            [10, 5],
          ],
          speed: 45,
          retraction: 1,
        },
      ],
    },
  ])
  const { endS, startS } = await timeBeads(plan, cards(), { acceleration: Float32Array.of(300, 1000) })
  closeTo(endS[0] - startS[0], 2 * Math.sqrt(5 / 300))
  closeTo(endS[1] - startS[1], 5 / 45 + 45 / 1000)
})

test('totals name what they assume and add up', async () => {
  const { totals } = await timeBeads(oneSquare(), cards())
  closeTo(totals.totalS, totals.heatingS + totals.startS + totals.printS + totals.coolingS + totals.removalS)
  closeTo(totals.heatingS, 160)
  expect(totals.assumed.length).toBe(4)
})

test('an empty plan takes no time', async () => {
  const { totals, layerS } = await timeBeads(beadPlanOf([]), cards())
  expect(totals.printS).toBe(0)
  expect([...layerS]).toEqual([0])
})

test('bed, height and gantry are checked with the width of the bead', () => {
  const fit = machineFit(oneSquare(), { ...STARTING_PRINTER, bedXMm: 10.3, gantryHeightMm: 5 })
  expect(fit.widthMm).toBeCloseTo(10.4, 6)
  expect(fit).toMatchObject({ fitsBed: false, fitsHeight: true, underGantry: true, heightMm: 0.2 })
})

test('stops when it is told to', async () => {
  const stop = new AbortController()
  stop.abort()
  await expect(timeBeads(oneSquare(), cards(), {}, { signal: stop.signal })).rejects.toThrow('stopped')
})
