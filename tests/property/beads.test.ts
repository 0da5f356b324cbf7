// What must hold for every plan: volume does not depend on order, beads stay inside, room is never laid twice.

import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { BEAD_WISHES_DEFAULTS, type BeadPlan, planBeads, roundingMm } from '../../src/engine/beads/index.ts'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { areaOfLoop, type Loop, lengthOfLoop, stackByHand } from '../stack-by-hand.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const wishes = {
  ...BEAD_WISHES_DEFAULTS,
  nPrimingLoops: 0,
  flowShare: 1,
  infillReachShare: 0,
  leftoverPoints: 'deposit' as const,
}

/** A star-shaped outline: radius from a few waves. */
const outline = fc
  .record({
    radius: fc.double({ min: 0.3, max: 5, noNaN: true }),
    waves: fc.array(
      fc.tuple(
        fc.integer({ min: 1, max: 7 }),
        fc.double({ min: 0, max: 0.25, noNaN: true }),
        fc.double({ min: 0, max: 6.28, noNaN: true }),
      ),
      { maxLength: 3 },
    ),
  })
  .map(
    ({ radius, waves }): Loop =>
      Array.from({ length: 90 }, (_, i) => {
        const a = (2 * Math.PI * i) / 90
        const r =
          radius * waves.reduce((sum, [n, share, phase]) => sum + (share / waves.length) * Math.sin(n * a + phase), 1)
        return [r * Math.cos(a), r * Math.sin(a)]
      }),
  )
const total = (plan: BeadPlan) => plan.volume.reduce((sum, v) => sum + v, 0)
const at = (loop: Loop, x: number): Loop => loop.map(([u, v]) => [u + x, v])

test('volume laid does not depend on the order of islands or of shells', async () => {
  await fc.assert(
    fc.asyncProperty(outline, outline, outline, async (a, b, c) => {
      const islands = [[a], [at(b, 14)], [at(c, 28)]]
      const one = await planBeads(stackByHand([islands, islands], 0.1), wishes, kit)
      const other = await planBeads(
        stackByHand([[...islands].reverse(), islands], 0.1),
        { ...wishes, outerShellFirst: true },
        kit,
      )
      expect(total(other.plan)).toBeCloseTo(total(one.plan), 6)
      expect(other.plan.nBeads).toBe(one.plan.nBeads)
    }),
    { numRuns: 25 },
  )
})

test('at full infill never more is laid than there is room, and all but the stated leftovers is filled', async () => {
  await fc.assert(
    fc.asyncProperty(outline, async (loop) => {
      const { plan, report } = await planBeads(stackByHand([[[loop]]], 0.1), { ...wishes, infillShare: 1 }, kit)
      const free = areaOfLoop(loop) - (lengthOfLoop(loop) * roundingMm(0.1)) / 2
      const laid = total(plan) / 0.1
      expect(laid).toBeLessThanOrEqual(free * 1.03 + 0.03)
      expect(laid + report.emptyArea[0]).toBeGreaterThanOrEqual(free * 0.93 - 0.12)
    }),
    { numRuns: 400 },
  )
})

test('every path stays inside the outline, and widths stay within their limits', async () => {
  await fc.assert(
    fc.asyncProperty(outline, async (loop) => {
      const { plan } = await planBeads(stackByHand([[[loop]]], 0.1), wishes, kit)
      for (let i = 0; i < plan.pointWidth.length; i++) {
        const x = plan.points[3 * i]
        const y = plan.points[3 * i + 1]
        expect(windingOf(loop, x, y), `${x} ${y}`).toBe(1)
      }
      for (let b = 0; b < plan.nBeads; b++) {
        expect(plan.volume[b]).toBeGreaterThan(0)
        expect(plan.width[b]).toBeLessThanOrEqual(0.9)
      }
    }),
    { numRuns: 400 },
  )
})

const windingOf = (loop: Loop, x: number, y: number): number => {
  let angle = 0
  loop.forEach(([ax, ay], i) => {
    const [bx, by] = loop[(i + 1) % loop.length]
    angle += Math.atan2((ax - x) * (by - y) - (ay - y) * (bx - x), (ax - x) * (bx - x) + (ay - y) * (by - y))
  })
  return Math.round(angle / (2 * Math.PI))
}
