import { describe, expect, test } from 'vitest'
import { beadPlanOf } from '../../../tests/bead-plans.ts'
import { boxLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { filamentArea } from '../beads/index.ts'
import { findStrings, gearPasses, meltLimit, oozedAfter, STRING_CAUSES } from './index.ts'
import { openAir } from './strings.ts'

const none = { lengthMm: 0, speedMmPerS: 40 }

describe('ooze', () => {
  test('without retraction: stored volume that dies away during the travel', () => {
    expect(oozedAfter(2, 0, 0.5, none, 1.75, 0)).toEqual({ standingMm3: 0, travellingMm3: 0 })
    expect(oozedAfter(2, 0.5, 0.5, none, 1.75, 0).travellingMm3).toBeCloseTo(1 - Math.exp(-1), 12)
    expect(oozedAfter(2, 100, 0.5, none, 1.75, 0).travellingMm3).toBeCloseTo(1, 9)
  })

  test.each([
    [2, 1, 0.5, 5, 40, 4],
    [2, 1, 0.5, 2.1, 40, 4],
    [8, 0.6, 0.3, 1.2, 25, 1],
    [1, 0.05, 0.5, 3, 40, 4],
    [6, 3, 0.8, 2, 2, 0],
  ])(
    'rate %f, travel %f s, constant %f, retraction %f at %f, play %f: as integrated in small steps',
    (rate, travelS, tau, length, speed, play) => {
      let stored = rate * tau
      const pull = (stored / (play + stored / filamentArea(1.75))) * speed
      const run = (forS: number, pulls: boolean): number => {
        const n = 200_000
        const dt = forS / n
        let out = 0
        for (let i = 0; i < n && stored > 0; i++) {
          const flow = stored / tau
          out += flow * dt
          stored -= flow * dt + (pulls ? pull * dt : 0)
        }
        stored = Math.max(0, stored)
        return out
      }
      const standing = run(length / speed, true)
      const travelling = run(travelS, false)
      const got = oozedAfter(rate, travelS, tau, { lengthMm: length, speedMmPerS: speed }, 1.75, play)
      expect(Math.abs(got.standingMm3 - standing)).toBeLessThan(1e-4)
      expect(Math.abs(got.travellingMm3 - travelling)).toBeLessThan(1e-4)
    },
  )

  test('retraction beyond play and stored volume leaves nothing for the travel; more of it changes nothing', () => {
    const at = (lengthMm: number) => oozedAfter(2, 1, 0.5, { lengthMm, speedMmPerS: 40 }, 1.75, 4)
    expect(at(2).travellingMm3).toBeLessThan(at(0).travellingMm3)
    expect(at(5).travellingMm3).toBe(0)
    expect(at(9)).toEqual(at(5))
  })
})

describe('open air', () => {
  const stack = stackByHand([[[boxLoop(0, 0, 4, 4)], [boxLoop(10, 0, 4, 4), boxLoop(11, 1, 2, 2, true)]]], 0.2)
  test('length outside the outlines, holes counted', () => {
    expect(openAir(stack, 0, 2, 2, 10.5, 2).length).toBeCloseTo(6, 9)
    expect(openAir(stack, 0, 2, 2, 13.5, 2).length).toBeCloseTo(8, 9)
    expect(openAir(stack, 0, 1, 1, 3, 3).length).toBe(0)
    expect(openAir(stack, 0, 6, 2, 8, 2)).toEqual({ length: 2, from: 0, to: 1 })
  })
})

describe('strings', () => {
  const stack = stackByHand([[[boxLoop(0, 0, 4, 4)], [boxLoop(10, 0, 4, 4)]]], 0.2)
  const plan = (retraction: number) =>
    beadPlanOf([
      {
        height: 0.2,
        beads: [
          {
            path: [
              [1, 1],
              [3, 1],
            ],
          },
          {
            path: [
              [3, 3],
              [1, 3],
            ],
          },
          {
            path: [
              [11, 1],
              [13, 1],
            ],
            retraction,
            travelSpeed: 100,
          },
        ],
      },
    ])
  const options = { filamentMm: 1.75, oozeTimeConstantS: 0.5 }
  test('only the travel over air counts, and its cause is named', () => {
    const dry = findStrings(plan(0), stack, { endSurplusMm: new Float32Array(3) }, null, options)
    expect(dry.nCrossings).toBe(1)
    expect(dry.bead[0]).toBe(2)
    expect(dry.airMm[0]).toBeCloseTo((6 * Math.hypot(10, 2)) / 10, 6)
    expect(STRING_CAUSES[dry.cause[0]]).toBe('pressure inside the nozzle')
    expect(dry.layerThreads[0]).toBe(1)
    const pulled = findStrings(plan(6), stack, { endSurplusMm: new Float32Array(3) }, null, options)
    expect(pulled.oozeMm3[0]).toBe(0)
    expect(pulled.leftBehindMm3[0]).toBeGreaterThan(0)
    const proud = findStrings(plan(6), stack, { endSurplusMm: Float32Array.of(0, 5, 0) }, null, options)
    expect(STRING_CAUSES[proud.cause[0]]).toBe('surplus outside the nozzle')
  })
})

describe('gear passes', () => {
  const many = (n: number, filamentPerBead: number, retraction: number) =>
    beadPlanOf([
      {
        height: 0.2,
        beads: Array.from({ length: n }, (_, i) => ({
          path: [
            [i, 0],
            [i + 1, 0],
          ] as [number, number][],
          volume: filamentPerBead * filamentArea(1.75),
          retraction: i > 0 ? retraction : 0,
        })),
      },
    ])
  test('a retraction every d mm: length over d passes, in proportion to the length', () => {
    const passes = gearPasses(many(60, 0.4, 5), 1.75, 10, [2, 5, 9])
    expect(passes.nRetractions).toBe(59)
    expect(passes.filamentMm).toBeCloseTo(24, 9)
    // 12.5 retractions within 5 mm: 13 at most.
    expect(passes.most).toBe(13)
    expect(passes.layerMost[0]).toBe(13)
    expect(passes.withOtherLengths.map((o) => o.most)).toEqual([5, 13, 23])
    expect(passes.withOtherLengths[0].chewedMm).toBe(0)
    expect(passes.withOtherLengths[2].chewedMm).toBeGreaterThan(passes.chewedMm)
  })
  test('retractions far apart pass once each', () => {
    const passes = gearPasses(many(10, 8, 5), 1.75, 10)
    expect(passes.most).toBe(1)
    expect(passes.chewedMm).toBe(0)
  })
  test('as counted piece by piece', () => {
    const plan = many(40, 0.37, 4)
    const passes = gearPasses(plan, 1.75, 8)
    let most = 0
    let chewed = 0
    const step = 0.001
    for (let e = -4; e < 40 * 0.37; e += step) {
      let n = 0
      for (let k = 1; k < 40; k++) if (e < k * 0.37 && e >= k * 0.37 - 4) n++
      most = Math.max(most, n)
      if (n > 8) chewed += step
    }
    expect(passes.most).toBe(most)
    expect(passes.chewedMm).toBeCloseTo(chewed, 1)
  })
})

test('melt limit: rates of beads and deposits, and the layers over it', () => {
  const plan = beadPlanOf([
    {
      height: 0.2,
      beads: [
        {
          path: [
            [0, 0],
            [10, 0],
          ],
          volume: 1,
          speed: 50,
        },
        { path: [[0, 0]], volume: 0.1, dwell: 0.05 },
      ],
    },
    {
      height: 0.2,
      beads: [
        {
          path: [
            [0, 0],
            [10, 0],
          ],
          volume: 2,
          speed: 60,
        },
      ],
    },
  ])
  const limit = meltLimit(plan, null, { filamentMm: 1.75, meltZoneMm: 12, diffusivity: 0.0582, cardMm3PerS: 8 })
  expect([...limit.rateMm3PerS].map((r) => +r.toFixed(5))).toEqual([5, 2, 12])
  expect(limit.nBeadsOver).toBe(1)
  expect(limit.layerShare[1]).toBeCloseTo(1.5, 5)
  expect(limit.dwellS[0]).toBeCloseTo((filamentArea(1.75) * 12) / 5, 4)
})
