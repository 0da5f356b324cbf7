import { expect, test } from 'vitest'
import { beadPlanOf, squarePath } from '../../../tests/bead-plans.ts'
import { blockAndTube } from '../../../tests/figure-plans.ts'
import { boxLoop, ellipseLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { BEAD_ROLES, BEAD_WISHES_DEFAULTS, type BeadPlan, planBeads } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { type InferredBeads, inferBeads, readCode, writeCode } from './index.ts'

const inferText = async (text: string, options = {}): Promise<InferredBeads> => {
  const reading = readCode(new TextEncoder().encode(text))
  if (!reading.ok) throw new Error(reading.issues[0].message)
  expect(reading.value.malformed).toEqual([])
  const outcome = await inferBeads(reading.value, options)
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}
const rolesOf = (plan: BeadPlan): string[] => Array.from(plan.role, (role) => BEAD_ROLES[role])
const near = (got: ArrayLike<number>, expected: ArrayLike<number>, within: number, what: string): void => {
  expect(got.length, what).toBe(expected.length)
  for (let i = 0; i < expected.length; i++)
    if (!(Math.abs(got[i] - expected[i]) <= within) && !(Number.isNaN(got[i]) && Number.isNaN(expected[i])))
      throw new Error(`${what} ${i}: ${got[i]} instead of ${expected[i]}`)
}

test.each([1, 0.95])('a plan written as code at flow share %s is read back to the same beads', async (flowShare) => {
  const plan = blockAndTube(flowShare)
  const read = (await inferText(writeCode(plan, { flowShare, originX: 100, originY: 80 }))).plan
  expect(read.nLayers).toBe(plan.nLayers)
  near(read.layerTopZ, plan.layerTopZ, 1e-4, 'top')
  near(read.layerHeight, plan.layerHeight, 2e-4, 'height')
  expect([...read.layerStart]).toEqual([...plan.layerStart])
  expect([...read.beadStart]).toEqual([...plan.beadStart])
  expect([...read.closed]).toEqual([...plan.closed])
  near(
    read.points,
    plan.points.map((c, i) => c + [100, 80, 0][i % 3]),
    6e-5,
    'point',
  )
  near(read.volume, plan.volume, 3e-4, 'volume')
  // A gap bead's width is the mean over its points in the plan, over its length in the reading.
  near(read.width, plan.width, 0.006, 'width')
  near(read.pointWidth, plan.pointWidth, 0.03, 'point width')
  near(read.speed, plan.speed, 1e-3, 'speed')
  near(read.retraction, plan.retraction, 1e-4, 'retraction')
  near(read.lift.subarray(1), plan.lift.subarray(1), 2e-4, 'lift')
  near(read.dwell, plan.dwell, 1e-4, 'dwell')
  near(read.travelSpeed.subarray(1), plan.travelSpeed.subarray(1), 0.1, 'travel')
  expect([...read.travelStart]).toEqual([...plan.travelStart])
  near(read.fanShare, plan.fanShare, 1e-6, 'fan')
  near(read.nozzleC, plan.nozzleC, 1e-3, 'nozzle')
  near(read.bedC, plan.bedC, 1e-3, 'bed')
  expect(rolesOf(read)).toEqual(rolesOf(plan))
})

test('volume is kept over a long file: rounding does not add up', async () => {
  const plan = blockAndTube()
  const { plan: read } = await inferText(writeCode(plan))
  const sum = (values: Float64Array): number => values.reduce((a, b) => a + b, 0)
  expect(Math.abs(sum(read.volume) / sum(plan.volume) - 1)).toBeLessThan(1e-6)
})

test('says how sure it is, and why', async () => {
  const { certainty, roleSure } = await inferText(writeCode(blockAndTube()))
  expect(certainty.layers.share).toBe(1)
  expect(certainty.widths.share).toBeGreaterThan(0.99)
  expect(certainty.roles.share).toBeGreaterThan(0.7)
  expect(certainty.roles.share).toBeLessThan(1)
  expect(certainty.roles.cause).toContain('nesting')
  for (const sure of roleSure) expect(sure > 0 && sure <= 1).toBe(true)
  const wrong = await inferText(writeCode(blockAndTube(), { filamentDiameterMm: 0.4 }))
  expect(wrong.certainty.widths.share).toBeLessThan(0.5)
  expect(wrong.certainty.widths.cause).toContain('filament diameter')
})

test('a file written by hand: absolute filament, arcs, odd spacing, a wipe while drawing back, a deposit', async () => {
  const perMm = ((0.4 - 0.2) * 0.2 + Math.PI * 0.01) / ((Math.PI * 1.75 ** 2) / 4)
  const e = (mm: number): string => (mm * perMm).toFixed(6)
  const turn = 2 * Math.PI * 5
  const text = `
    g21 ; plain words only
    G90 M82
    G92 E0
    g0 X 15 y10 Z0.2 F 6000
    G3 X15 Y10 I-5 J0 E${e(turn)} F1350   (a ring in one arc)
    G1 X15.5 E${(turn * perMm - 2).toFixed(6)} F2400
    G0 X40 Y10 F6000
    G1 E${e(turn)} F2400
    G1 X50 E${e(turn + 10)} F2700
    G1 E${(Number(e(turn + 10)) + 0.1).toFixed(6)} F60
    M84`
  const { plan } = await inferText(text)
  expect(plan.nBeads).toBe(3)
  expect([...plan.closed]).toEqual([1, 0, 0])
  expect(plan.width[0]).toBeCloseTo(0.4, 3)
  expect(plan.width[1]).toBeCloseTo(0.4, 3)
  expect([...plan.speed].slice(0, 2)).toEqual([22.5, 45])
  expect(plan.retraction[1]).toBeCloseTo(2, 4)
  expect(plan.volume[2]).toBeCloseTo((0.1 * Math.PI * 1.75 ** 2) / 4, 4)
  expect(BEAD_ROLES[plan.role[2]]).toBe('point deposit')
  expect(BEAD_ROLES[plan.role[0]]).toBe('outer shell')
})

test('a loop cut by a change of speed stays one bead; open paths are cut there', async () => {
  const text =
    'G21\nM83\nG0 X0 Y0 Z0.2 F6000\nG1 X10 E0.3 F1200\nY10 E0.3 F2400\nX0 E0.3\nY0 E0.3\nG0 X20\nG1 X30 E0.3 F1200\nX40 E0.3 F2400'
  const { plan } = await inferText(text)
  expect([...plan.closed]).toEqual([1, 0, 0])
  expect(plan.speed[0]).toBeCloseTo(40 / (10 / 20 + 30 / 40), 4)
  expect([...plan.speed].slice(1)).toEqual([20, 40])
})

test('a loop that ends short of its start is closed, its plastic kept; a zigzag that ends near its start is not', async () => {
  const square = 'G21\nM83\nG0 X0 Y0 Z0.2 F6000\nG1 X10 E0.3 F1200\nY10 E0.3\nX0 E0.3\nY0.3 E0.291'
  const { plan } = await inferText(square)
  expect([...plan.closed]).toEqual([1])
  expect([...plan.points.slice(-3)]).toEqual([0, 0, 0.2])
  expect(plan.volume[0]).toBeCloseTo((1.191 * Math.PI * 1.75 ** 2) / 4, 5)
  const zigzag = 'G21\nM83\nG0 X0 Y0 Z0.2 F6000\nG1 X10 E0.3 F1200\nY0.2 E0.01\nX1 E0.27\nY0.4 E0.01\nX0.1 E0.03'
  expect([...(await inferText(zigzag)).plan.closed]).toEqual([0])
})

test('acceleration and corner speed of the file come out by bead', async () => {
  const plan = beadPlanOf([{ height: 0.2, beads: [{ path: squarePath(0, 0, 10) }] }])
  const set = await inferText(writeCode(plan, { acceleration: 500, cornerSpeed: 8 }))
  expect([...(set.acceleration ?? [])]).toEqual([500])
  expect([...(set.cornerSpeed ?? [])]).toEqual([8])
  expect((await inferText(writeCode(plan))).acceleration).toBeUndefined()
})

test('a file that lays nothing is told so', async () => {
  const reading = readCode(new TextEncoder().encode('G21\nG0 X10 F600'))
  const outcome = reading.ok ? await inferBeads(reading.value) : reading
  expect(outcome.ok === false && outcome.issues[0].code).toBe('motioncode/no-beads')
})

/** Outlines of the block, tube and wall as a layer stack. */
const stackOf = (plan: BeadPlan): LayerStack => {
  const ring = (r: number, turn: number): number[] =>
    Array.from({ length: 96 }, (_, i) => {
      const a = (turn * 2 * Math.PI * i) / 96
      return [22 + r * Math.cos(a), 6 + r * Math.sin(a)]
    }).flat()
  const box = (x0: number, y0: number, x1: number, y1: number): number[] => [x0, y0, x1, y0, x1, y1, x0, y1]
  const loops = [box(0, 0, 12, 12), ring(6, 1), ring(2, -1), box(2, 20, 12, 21.1)]
  const n = plan.nLayers
  const points: number[] = []
  const loopStart = [0]
  for (let layer = 0; layer < n; layer++)
    for (const loop of loops) {
      points.push(...loop)
      loopStart.push(points.length / 2)
    }
  const each = (values: number[]): number[] => Array.from({ length: n }, () => values).flat()
  return {
    kind: 'layer-stack',
    nLayers: n,
    loopStart: Uint32Array.from(loopStart),
    points: Float64Array.from(points),
    faceZ: Float64Array.from([0, ...plan.layerTopZ]),
    cutZ: plan.layerTopZ.map((z, i) => z - plan.layerHeight[i] / 2),
    layerStart: Uint32Array.from({ length: n + 1 }, (_, i) => 4 * i),
    loopArea: Float64Array.from(each([144, 36 * Math.PI, -4 * Math.PI, 11])),
    loopParent: Int32Array.from({ length: 4 * n }, (_, i) => (i % 4 === 2 ? i - 1 : -1)),
    loopIsland: Uint32Array.from({ length: 4 * n }, (_, i) => 3 * Math.floor(i / 4) + [0, 1, 1, 2][i % 4]),
    islandStart: Uint32Array.from({ length: n + 1 }, (_, i) => 3 * i),
    islandLoop: Uint32Array.from({ length: 3 * n }, (_, i) => 4 * Math.floor(i / 3) + [0, 1, 3][i % 3]),
    islandArea: Float64Array.from(each([144, 32 * Math.PI, 11])),
    toleranceMm: 0.005,
    seams: new Float64Array(0),
    nResolvedLayers: 0,
  }
}

test('with the figure at hand its place is recovered and roles and islands follow its outlines', async () => {
  const plan = blockAndTube()
  const read = await inferText(writeCode(plan, { originX: 100, originY: 80 }), { stack: stackOf(plan) })
  expect(read.placement?.dx).toBeCloseTo(100, 2)
  expect(read.placement?.dy).toBeCloseTo(80, 2)
  expect(read.placement?.offMm).toBeLessThan(0.02)
  expect(rolesOf(read.plan)).toEqual(rolesOf(plan))
  expect(read.certainty.roles.share).toBeGreaterThan(0.88)
  expect(read.plan.island[2]).toBe(0)
  const last = read.plan.nBeads - 1
  expect(read.plan.island[last]).toBe(3 * 5 + 2)
})

test('a figure that is not the one in the file is not used, and that is said', async () => {
  const plan = blockAndTube()
  const stack = stackOf(plan)
  const other = { ...stack, points: stack.points.map((c) => 1.3 * c) }
  const read = await inferText(writeCode(plan), { stack: other })
  expect(read.placement).toBeNull()
  expect(read.certainty.roles.cause).toContain('does not fit')
})

test('without any difference of speed, shells are still told apart by nesting, and the figure settles the rest', async () => {
  const made = blockAndTube()
  const plan = { ...made, speed: made.speed.map(() => 45) }
  const text = writeCode(plan)
  const alone = await inferText(text)
  let right = 0
  for (let b = 0; b < plan.nBeads; b++) if (alone.plan.role[b] === plan.role[b]) right += plan.volume[b]
  expect(right / plan.volume.reduce((a, b) => a + b, 0)).toBeGreaterThan(0.95)
  const settled = await inferText(text, { stack: stackOf(plan) })
  expect(rolesOf(settled.plan)).toEqual(rolesOf(plan))
})

test('a tube wall of shells only: its inner face is an outer shell', async () => {
  const ring = (r: number): [number, number][] =>
    Array.from({ length: 65 }, (_, i) => [
      r * Math.cos((Math.PI * (i % 64)) / 32),
      r * Math.sin((Math.PI * (i % 64)) / 32),
    ])
  const layer = (height: number) => ({
    height,
    beads: [5.8, 5.42, 5.04, 4.66].map((r, k) => ({ path: ring(r), speed: k === 0 || k === 3 ? 22.5 : 45 })),
  })
  const { plan } = await inferText(writeCode(beadPlanOf([layer(0.2), layer(0.1)])))
  expect(rolesOf(plan).slice(0, 4)).toEqual(['outer shell', 'inner shell', 'inner shell', 'outer shell'])
})

test('beads planned from outlines are read back, all but a few crumbs', async () => {
  const kit = await loadPolygonKit()
  const layers = Array.from({ length: 24 }, (_, i) => [
    [ellipseLoop(0, 0, 6 - 0.08 * i, 4, 90)],
    [ellipseLoop(14, 2, 3, 3, 60), ellipseLoop(14, 2, 1.2, 1.2, 40, true)],
    [boxLoop(-3, 8, 9, 0.9 + 0.02 * i)],
  ])
  const { plan } = await planBeads(
    stackByHand(layers, 0.1),
    { ...BEAD_WISHES_DEFAULTS, leftoverPoints: 'deposit' },
    kit,
  )
  const { plan: read } = await inferText(writeCode(plan, { flowShare: BEAD_WISHES_DEFAULTS.flowShare }))
  expect(read.nBeads).toBe(plan.nBeads)
  expect([...read.closed]).toEqual([...plan.closed])
  near(read.volume, plan.volume, 3e-4, 'volume')
  near(read.dwell, plan.dwell, 2e-3, 'dwell')
  let right = 0
  for (let b = 0; b < plan.nBeads; b++) if (read.role[b] === plan.role[b]) right += plan.volume[b]
  expect(right / plan.volume.reduce((a, b) => a + b, 0)).toBeGreaterThan(0.99)
})

test('thousands of nested loops and of layers neither overflow nor throw', async () => {
  const nested = Array.from({ length: 3000 }, (_, k) => {
    const s = (1 + 0.01 * k).toFixed(2)
    return `G0 X-${s} Y-${s}\nG1 X${s} E1 F1200\nY${s} E1\nX-${s} E1\nY-${s} E1`
  })
  expect((await inferText(`G21\nM83\nG0 Z0.2 F6000\n${nested.join('\n')}`)).plan.nBeads).toBe(3000)
  const layers = Array.from({ length: 3000 }, (_, k) => `G0 Z${(0.01 * (k + 1)).toFixed(2)}\nG1 X${10 * (k % 2)} E1`)
  expect((await inferText(`G21\nM83\nG1 X10 F1200\n${layers.join('\n')}`)).plan.nLayers).toBeGreaterThan(2990)
})
