// Melt against handbook numbers, and against facts of the trade: each says whether the model bears it out, and when.

import { beforeAll, describe, expect, test } from 'vitest'
import { BEAD_WISHES_DEFAULTS, filamentArea, planBeads } from '../../src/engine/beads/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import {
  balanceOf,
  conductionLimit,
  diffusivityOf,
  flowErrorOf,
  gearPasses,
  laidField,
  type MeltBalance,
} from '../../src/engine/melt/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { beadPlanOf } from '../bead-plans.ts'
import { boxLoop, circleLoop, type Loop, stackByHand } from '../stack-by-hand.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const room = 'melt'

test('flow error of a diameter tolerance', () => {
  const of = {
    room,
    model: 'flow error (1 + d/D)2 - 1, filament 1.75 mm',
    source: 'area of a circle, plane geometry',
    unit: '%',
  }
  for (const [d, percent] of [
    [0.05, 5.8],
    [-0.05, -5.6],
    [0.02, 2.3],
    [-0.02, -2.3],
  ])
    checkOutside({
      ...of,
      case: `${d > 0 ? '+' : ''}${d} mm`,
      expected: percent,
      got: 100 * flowErrorOf(d, 1.75),
      allowed: 0.05,
    })
})

test('melt limit by conduction', () => {
  const source =
    'long cylinder warmed at its surface, Fourier number 0.2 (Carslaw & Jaeger, Conduction of Heat in Solids; from memory)'
  const alpha = diffusivityOf(0.13, 1.24, 1800)
  const of = { room, model: 'volume rate whose core just gets warm', source, unit: 'mm3/s' }
  checkOutside({
    room,
    model: 'diffusivity k / (rho c)',
    source: 'definition',
    case: 'k 0.13, density 1.24, heat capacity 1800',
    expected: 0.058244,
    got: alpha,
    allowed: 1e-6,
    unit: 'mm2/s',
  })
  checkOutside({ ...of, case: 'melt zone 12 mm', expected: 11, got: conductionLimit(12, alpha), allowed: 0.05 })
  checkOutside({ ...of, case: 'melt zone 20 mm', expected: 18, got: conductionLimit(20, alpha), allowed: 0.4 })
  checkOutside({
    ...of,
    unit: 's',
    case: 'dwell at that rate in 12 mm',
    expected: 2.63,
    got: (filamentArea(1.75) * 12) / conductionLimit(12, alpha),
    allowed: 0.005,
  })
})

const PRACTICE = 'common practice, no source'
const wishes = { ...BEAD_WISHES_DEFAULTS, flowShare: 1, nPrimingLoops: 0 }
const balanceAt = async (
  loop: Loop,
  infillShare: number,
  reach: number,
  flowShare: number,
  errorMm: number,
): Promise<MeltBalance> => {
  const stack = stackByHand(
    Array.from({ length: 30 }, () => [[loop]]),
    0.1,
  )
  const { plan } = await planBeads(stack, { ...wishes, infillShare, infillReachShare: reach }, kit)
  const field = await laidField(plan, stack, 1, infillShare)
  return balanceOf(field, plan, stack, { flowShare, filamentMm: 1.75, diameterErrorMm: errorMm })
}

describe('facts of the trade', () => {
  test('full infill leaves the surplus no room', async () => {
    const body = boxLoop(0, 0, 8, 8)
    const of = { room, source: PRACTICE }
    for (const [reach, errorMm] of [
      [0.15, 0],
      [0.15, 0.02],
      [0.15, 0.05],
      [0, 0.05],
    ]) {
      const half = (await balanceAt(body, 0.5, reach, 1, errorMm)).totals.overflowMm3
      const whole = (await balanceAt(body, 1, reach, 1, errorMm)).totals.overflowMm3
      checkOutside({
        ...of,
        model: '100 % infill makes more surplus than 50 %: borne out in a body 8 mm wide',
        case: `reach of infill ${reach}, filament +${errorMm} mm, flow 1: ${whole.toFixed(2)} against ${half.toFixed(2)} mm3`,
        expected: 1,
        got: whole > half ? 1 : 0,
        allowed: 0,
      })
    }
    const plain = await balanceAt(body, 1, 0, 1, 0)
    checkOutside({
      ...of,
      model:
        '100 % infill harms: not borne out when infill only meets the shell, at true diameter and flow 1 (surplus below 1 %)',
      case: `surplus ${(100 * plain.totals.overflowShare).toFixed(2)} % of the volume laid`,
      expected: 0,
      got: plain.totals.overflowShare > 0.01 ? 1 : 0,
      allowed: 0,
    })
    const limb = circleLoop(0, 0, 1, 80)
    const thin = await Promise.all([0.3, 1].map((share) => balanceAt(limb, share, 0.15, 1, 0.05)))
    checkOutside({
      ...of,
      model: '100 % infill harms: not borne out in a limb of 2 mm, which is shells only',
      case: 'surplus at 100 % less surplus at 30 %',
      expected: 0,
      got: thin[1].totals.overflowMm3 - thin[0].totals.overflowMm3,
      allowed: 1e-9,
      unit: 'mm3',
    })
  })

  test('95 % flow helps against surplus', async () => {
    const body = boxLoop(0, 0, 8, 8)
    for (const share of [0.3, 0.5, 1]) {
      const at100 = (await balanceAt(body, share, 0.15, 1, 0)).totals
      const at95 = (await balanceAt(body, share, 0.15, 0.95, 0)).totals
      checkOutside({
        room,
        source: PRACTICE,
        model: '95 % flow takes most of the surplus away: borne out, at the price of gaps',
        case: `infill ${100 * share} %: surplus ${(100 * at95.overflowShare).toFixed(2)} against ${(100 * at100.overflowShare).toFixed(2)} %, gaps ${(100 * at95.gapShare).toFixed(1)} against ${(100 * at100.gapShare).toFixed(1)} %`,
        expected: 1,
        got: at95.overflowMm3 < 0.5 * at100.overflowMm3 && at95.gapShare > at100.gapShare ? 1 : 0,
        allowed: 0,
      })
    }
  })

  test('longer retraction chews the filament', () => {
    const of = { room, source: PRACTICE }
    const everyMm = (d: number) =>
      beadPlanOf([
        {
          height: 0.1,
          beads: Array.from({ length: 200 }, (_, i) => ({
            path: [
              [i, 0],
              [i + 1, 0],
            ] as [number, number][],
            volume: d * filamentArea(1.75),
            retraction: i > 0 ? 5 : 0,
          })),
        },
      ])
    const dense = gearPasses(everyMm(0.6), 1.75, 10, [5, 9])
    const [five, nine] = dense.withOtherLengths
    checkOutside({
      ...of,
      model: 'gear passes grow as retraction length: 9 mm against 5 mm, borne out',
      case: 'a retraction every 0.6 mm of filament: ratio of most passes',
      expected: 9 / 5,
      got: nine.most / five.most,
      allowed: 0.15,
    })
    checkOutside({
      ...of,
      model:
        '5 mm stays within 10 passes where 9 mm does not: borne out between 0.5 and 0.9 mm of filament per retraction',
      case: 'a retraction every 0.6 mm of filament',
      expected: 1,
      got: five.most <= 10 && nine.most > 10 ? 1 : 0,
      allowed: 0,
    })
    const sparse = gearPasses(everyMm(3), 1.75, 10, [5, 9]).withOtherLengths
    checkOutside({
      ...of,
      model: '9 mm chews: not borne out where retractions are far apart',
      case: 'a retraction every 3 mm of filament: most passes at 9 mm',
      expected: 3,
      got: sparse[1].most,
      allowed: 0,
    })
    expect(dense.nRetractions).toBe(199)
  })
})
