// Properties of the surface room over random shapes and numbers.

import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { prepareMesh } from '../../src/engine/mesh/index.ts'
import { vertexDeviation } from '../../src/engine/surface/deviation.ts'
import {
  blockCurvature,
  cuspHeight,
  footingShare,
  predictSurface,
  spanSagMm,
  stadiumMoment,
  stepDepth,
  stepRa,
} from '../../src/engine/surface/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { figureOf } from '../figure-by-hand.ts'
import { cylinder } from '../solids.ts'
import { boxLoop, circleLoop, type Loop, stackByHand } from '../stack-by-hand.ts'
import { PLAIN_LOOK } from '../surface-looks.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

describe('profile', () => {
  test('roughness and depth go with the layer, and stay within it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1, max: 1, noNaN: true }),
        fc.double({ min: 0.03, max: 0.4, noNaN: true }),
        (c, t) => {
          expect(stepRa(2 * t, c)).toBeCloseTo(2 * stepRa(t, c), 12)
          expect(stepDepth(t, c)).toBeLessThanOrEqual(t * 1.0001)
          expect(stepRa(t, c)).toBeLessThanOrEqual(stepDepth(t, c) / 2 + 1e-12)
          expect(cuspHeight(t, c)).toBe(cuspHeight(t, -c))
        },
      ),
    )
  })
})

test('footing lies between nothing and all, and grows inwards', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.1, max: 1, noNaN: true }),
      fc.double({ min: -2, max: 2, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (w, e, more) => {
        const share = footingShare(w, e)
        expect(share).toBeGreaterThanOrEqual(0)
        expect(share).toBeLessThanOrEqual(1)
        expect(footingShare(w, e + more)).toBeGreaterThanOrEqual(share)
      },
    ),
  )
})

test('sag solves its equation and grows with length and with time', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.5, max: 30, noNaN: true }),
      fc.double({ min: 0.1, max: 1000, noNaN: true }),
      fc.double({ min: 0.05, max: 0.3, noNaN: true }),
      (lengthMm, fluidity, height) => {
        const bead = {
          lengthMm,
          areaMm2: 0.4 * height,
          momentMm4: stadiumMoment(0.4, height),
          weightNPerMm: 5e-6 * height,
        }
        const s = spanSagMm(bead, fluidity)
        const load = (bead.weightNPerMm * lengthMm ** 4 * fluidity) / 3
        expect((384 * bead.momentMm4 * s + (128 / 9) * bead.areaMm2 * s ** 3) / load).toBeCloseTo(1, 6)
        expect(spanSagMm({ ...bead, lengthMm: 1.1 * lengthMm }, fluidity)).toBeGreaterThan(s)
        expect(spanSagMm(bead, 1.1 * fluidity)).toBeGreaterThan(s)
      },
    ),
  )
})

test('a block curls most at one and a half times the stressed depth', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.2, max: 5, noNaN: true }), fc.double({ min: 0.5, max: 20, noNaN: true }), (d, h) => {
      expect(blockCurvature(0.002, d, h)).toBeLessThanOrEqual(blockCurvature(0.002, d, 1.5 * d) * (1 + 1e-9))
    }),
  )
})

/** Stacks of a block with a round hole, and a pin beside it, jittered from layer to layer. */
const stacks = fc
  .array(
    fc.record({
      x: fc.double({ min: -0.3, max: 0.3, noNaN: true }),
      r: fc.double({ min: 0.5, max: 1.4, noNaN: true }),
      pin: fc.double({ min: 0.3, max: 1.2, noNaN: true }),
    }),
    { minLength: 2, maxLength: 6 },
  )
  .map((layers) =>
    stackByHand(
      layers.map(({ x, r, pin }): Loop[][] => [
        [boxLoop(x - 2, -2, 4, 4), circleLoop(x, 0, r, 24, true)],
        [circleLoop(5, x, pin, 24)],
      ]),
      0.1,
    ),
  )

test('the predicted solid is closed and as large as its layers, less the round sides', async () => {
  await fc.assert(
    fc.asyncProperty(stacks, async (stack) => {
      const wishes = { beadWidthMm: 0.4, leastBeadWidthMm: 0.2, gapBeads: true }
      const figure = figureOf(cylinder(6, 0.6, 24))
      const { mesh } = await predictSurface(figure, stack, PLAIN_LOOK, wishes, kit, { isCold: false })
      const { mesh: whole, health } = prepareMesh(mesh.positions, mesh.triangles)
      expect(health.nOpenEdges).toBe(0)
      expect(whole.nShells).toBeGreaterThanOrEqual(stack.nLayers)
      let volume = 0
      const { positions: p, triangles } = mesh
      for (let t = 0; t < triangles.length; t += 3) {
        const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
        volume +=
          (p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) +
            p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]) +
            p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c])) /
          6
      }
      let laid = 0
      let around = 0
      for (let j = 0; j < stack.loopArea.length; j++) {
        laid += stack.loopArea[j] * 0.1
        around += 2 * Math.PI * 1.5 + 8
      }
      expect(volume).toBeLessThan(laid)
      // Round sides take at most (1 - pi/4) / 2 of t2 a millimetre of outline, corners a little more.
      expect(volume).toBeGreaterThan(laid - around * 0.01 - 0.1)
    }),
    { numRuns: 25 },
  )
})

test('vertices on the walls of a straight pile deviate by no more than the round of a bead', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.double({ min: 1, max: 6, noNaN: true }),
      fc.integer({ min: 2, max: 12 }),
      async (r, nLayers) => {
        const stack = stackByHand(
          Array.from({ length: nLayers }, () => [[circleLoop(0, 0, r, 128)]]),
          0.2,
        )
        const { mesh } = figureOf(cylinder(r, 0.2 * nLayers, 128))
        for (const d of await vertexDeviation(mesh, stack, () => null, null))
          expect(Math.abs(d)).toBeLessThan(0.1 + 0.002 * r)
      },
    ),
  )
})
