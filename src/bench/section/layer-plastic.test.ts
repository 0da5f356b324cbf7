// The section's beads: the page's single-precision copy says the same as the engine's plan, and the words fit the beads.
import { beforeAll, describe, expect, it } from 'vitest'
import { boxLoop, circleLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { BEAD_WISHES_DEFAULTS, planBeads, roleIndex } from '../../engine/beads/index.ts'
import { balanceOf, laidField, surplusOfLayer } from '../../engine/melt/index.ts'
import type { LayerStack } from '../../engine/sections/index.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { PrintFacts } from '../messages.ts'
import { beadWords, layerWords } from './bead-words.ts'
import { beadsOfLayer, plasticOfLayer, threadsOfLayer } from './layer-plastic.ts'

let stack: LayerStack
let printed: PrintFacts
let exact: Awaited<ReturnType<typeof planBeads>>
const wishes = { ...BEAD_WISHES_DEFAULTS, leftoverPoints: 'deposit' as const }

beforeAll(async () => {
  // A body with a shaft of 1.2 mm beside it: full of shells and a leftover in the shaft, infill in the body.
  stack = stackByHand(
    Array.from({ length: 30 }, () => [[boxLoop(0, 0, 9, 7)], [circleLoop(14, 3, 0.6, 40)]]),
    0.1,
  )
  exact = await planBeads(stack, wishes, await loadPolygonKit())
  const { plan, report } = exact
  const field = await laidField(plan, stack, wishes.flowShare, wishes.infillShare)
  const balance = balanceOf(field, plan, stack, { flowShare: wishes.flowShare, filamentMm: 1.75, diameterErrorMm: 0 })
  const seconds = Float64Array.from({ length: 30 }, () => 5.6)
  printed = {
    ...plan,
    points: Float32Array.from({ length: 2 * plan.pointWidth.length }, (_, i) => plan.points[3 * (i >> 1) + (i & 1)]),
    volume: Float32Array.from(plan.volume),
    report,
    layerTypedS: seconds.map((s) => s - 1),
    layerRealS: seconds,
    laidMm3: balance.laidMm3,
    overflowMm3: balance.overflowMm3,
    surplusAt: balance.heightAt,
    surplusMm: balance.heightMm,
    surplusCause: balance.heightCause,
    strings: {
      kind: 'strings',
      nCrossings: 2,
      bead: Uint32Array.of(1, 2),
      layer: Uint32Array.of(15, 15),
      airMm: Float64Array.of(5, 5),
      at: Float64Array.of(9, 3, 13, 3, 13, 4, 9, 4),
      leftBehindMm3: new Float64Array(2),
      oozeMm3: new Float64Array(2),
      cause: Uint8Array.of(0, 2),
      layerCrossings: Uint32Array.from({ length: 30 }, (_, k) => (k === 15 ? 2 : 0)),
      layerAirMm: new Float64Array(30),
      layerThreads: Uint32Array.from({ length: 30 }, (_, k) => (k === 15 ? 1 : 0)),
    },
    flowShare: wishes.flowShare,
    infillShare: wishes.infillShare,
  }
})

describe('beads of a layer', () => {
  it('are weighed against room as in the whole plan', () => {
    const whole = surplusOfLayer(exact.plan, stack, 15, wishes.flowShare, wishes.infillShare)
    const alone = plasticOfLayer(printed, stack, 15)
    expect([alone.nx, alone.ny, alone.x0]).toEqual([whole.nx, whole.ny, whole.x0])
    expect(whole.share.some((share) => share > 0.01)).toBe(true)
    for (let k = 0; k < whole.share.length; k++)
      if (Number.isNaN(whole.share[k])) expect(alone.share[k]).toBeNaN()
      else expect(alone.share[k]).toBeCloseTo(whole.share[k], 3)
  })
  it('leave priming loops out', () => {
    const { fromBead, toBead, isLeftOut } = beadsOfLayer(printed, 0)
    const loops = Array.from({ length: toBead - fromBead }, (_, k) => fromBead + k).filter((b) => isLeftOut?.(b))
    expect(loops.length).toBeGreaterThan(0)
    expect(loops.every((b) => printed.role[b] === roleIndex('priming loop'))).toBe(true)
  })
  it('are said in words, piece by piece', () => {
    const [body, shaft] = [stack.islandStart[15], stack.islandStart[15] + 1]
    expect(beadWords(printed, 15, body)).toBe('three beads round, infill at 50 %')
    expect(beadWords(printed, 15, shaft)).toMatch(/^one bead round, .*no infill$/)
    expect(beadWords(printed, 0, stack.islandStart[0])).toContain('solid cap')
  })
  it('have a time, and threads only where some are left', () => {
    expect(layerWords(printed, 15)[0]).toBe('5.6 s (as typed 4.6 s)')
    expect(layerWords(printed, 15).at(-1)).toBe('2 travels over air, 1 leaves a thread by pressure inside the nozzle')
    expect(threadsOfLayer(printed, 15)).toEqual([13, 4, 9, 4])
    expect(threadsOfLayer(printed, 14)).toEqual([])
  })
})
