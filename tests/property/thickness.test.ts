// Thickness does not depend on where a shape stands, how it is turned, where its outline starts, or how its mesh is ordered.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Figure } from '../../src/engine/figure/index.ts'
import { findVanishing, fitShells, measureOutlines, measureSurface } from '../../src/engine/thickness/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { revolved } from '../solids.ts'
import { type Loop, moved, oneLayer, stackOf } from '../solids-2d.ts'

/** Star-shaped loops of 5 to 24 corners, 1 to 6 mm from their middle. */
const loops = fc
  .array(fc.double({ min: 1, max: 6, noNaN: true }), { minLength: 5, maxLength: 24 })
  .map((radii): Loop => {
    return radii.map((r, i) => {
      const a = (2 * Math.PI * i) / radii.length
      return [r * Math.cos(a), r * Math.sin(a)]
    })
  })
const places = fc.record({
  x: fc.double({ min: -100, max: 100, noNaN: true }),
  y: fc.double({ min: -100, max: 100, noNaN: true }),
  turn: fc.double({ min: 0, max: 6, noNaN: true }),
})

test('moving and turning an outline leaves every thickness as it was', async () => {
  await fc.assert(
    fc.asyncProperty(loops, places, async (loop, { x, y, turn }) => {
      const here = await measureOutlines(oneLayer([loop]))
      const there = await measureOutlines(oneLayer([moved(loop, x, y, turn)]))
      expect(there.thickness.length).toBe(here.thickness.length)
      let worst = 0
      for (let k = 0; k < here.thickness.length; k++)
        worst = Math.max(worst, Math.abs(here.thickness[k] - there.thickness[k]))
      // A contact that is just facing in one place may be just not in the other: the roughness apart at most, both ways.
      expect(worst).toBeLessThan(0.021)
      expect(Math.abs(here.islandWidest[0] - there.islandWidest[0])).toBeLessThan(0.021)
    }),
    { numRuns: 60 },
  )
})

test('no sample is thicker than the widest circle, and the thinnest place is no thicker either', async () => {
  await fc.assert(
    fc.asyncProperty(loops, async (loop) => {
      const { thickness, islandThinnest, islandWidest } = await measureOutlines(oneLayer([loop]), { roughnessMm: 0 })
      expect(islandThinnest[0]).toBeLessThanOrEqual(islandWidest[0] + 1e-9)
      expect(Math.max(...thickness)).toBeLessThanOrEqual(islandWidest[0] + 1e-5)
      expect(Math.min(...thickness)).toBeGreaterThanOrEqual(0)
    }),
    { numRuns: 60 },
  )
})

test('starting the outline at another corner changes neither the thinnest nor the widest place', async () => {
  await fc.assert(
    fc.asyncProperty(loops, fc.nat(23), async (loop, shift) => {
      const k = shift % loop.length
      const here = await measureOutlines(oneLayer([loop]))
      const there = await measureOutlines(oneLayer([[...loop.slice(k), ...loop.slice(0, k)]]))
      expect(Math.abs(here.islandThinnest[0] - there.islandThinnest[0])).toBeLessThan(1e-9)
      expect(Math.abs(here.islandWidest[0] - there.islandWidest[0])).toBeLessThan(1e-9)
    }),
    { numRuns: 40 },
  )
})

test('a bigger figure holds no fewer shells, and a narrower bead no fewer either', async () => {
  await fc.assert(
    fc.asyncProperty(loops, fc.double({ min: 1, max: 2, noNaN: true }), async (loop, scale) => {
      const small = oneLayer([loop])
      const large = oneLayer([loop.map(([x, y]) => [x * scale, y * scale] as const)])
      const smallThickness = await measureOutlines(small)
      const largeThickness = await measureOutlines(large)
      const fit = fitShells(small, smallThickness, { beadWidthMm: 0.4 })
      expect(fitShells(large, largeThickness, { beadWidthMm: 0.4 }).atWidest[0]).toBeGreaterThanOrEqual(fit.atWidest[0])
      expect(fitShells(small, smallThickness, { beadWidthMm: 0.35 }).atWidest[0]).toBeGreaterThanOrEqual(
        fit.atWidest[0],
      )
      expect(fit.atThinnest[0]).toBeLessThanOrEqual(fit.atWidest[0])
    }),
    { numRuns: 40 },
  )
})

test('what vanishes is the same wherever the figure stands', async () => {
  const kit = await loadPolygonKit()
  await fc.assert(
    fc.asyncProperty(fc.double({ min: 0.1, max: 0.38, noNaN: true }), places, async (width, { x, y, turn }) => {
      const paddle: Loop = [
        [0, 0],
        [3, 0],
        [3, 1],
        [6, 1],
        [6, 1 + width],
        [3, 1 + width],
        [3, 3],
        [0, 3],
      ]
      const [lost, ...rest] = await findVanishing(
        stackOf([[[moved(paddle, x, y, turn)]], [[moved(paddle, x, y, turn)]]], 0.1),
        { beadWidthMm: 0.4 },
        kit,
      )
      expect(rest).toEqual([])
      expect(lost.kind).toBe('tip')
      expect(Math.abs(lost.widthMm - width)).toBeLessThan(1e-3)
      expect(Math.abs(lost.lengthMm - 3)).toBeLessThan(0.15)
    }),
    { numRuns: 30 },
  )
})

test('the order of triangles and their corners does not change the thickness in space', async () => {
  const { positions, triangles } = revolved(
    [
      [0, 0],
      [1.5, 0.2],
      [0.7, 2],
      [1.2, 3.5],
      [0, 4],
    ],
    24,
  )
  const nTriangles = triangles.length / 3
  const measure = async (order: readonly number[], turn: number): Promise<Float32Array> => {
    const shuffled = Uint32Array.from(order.flatMap((t) => [0, 1, 2].map((k) => triangles[3 * t + ((k + turn) % 3)])))
    const mesh = { kind: 'mesh', positions, triangles: shuffled, shellOf: new Uint32Array(nTriangles), nShells: 1 }
    const { thickness } = await measureSurface({ mesh } as unknown as Figure, {
      maxSamples: 2 * nTriangles,
      spacingMm: 9,
    })
    return thickness.sort()
  }
  const plain = Array.from({ length: nTriangles }, (_, t) => t)
  const first = await measure(plain, 0)
  await fc.assert(
    fc.asyncProperty(fc.shuffledSubarray(plain, { minLength: nTriangles }), fc.nat(2), async (order, turn) => {
      const again = await measure(order, turn)
      expect(Math.abs(again[again.length >> 1] - first[first.length >> 1])).toBeLessThan(0.02)
      expect(Math.abs(again[0] - first[0])).toBeLessThan(0.02)
    }),
    { numRuns: 10 },
  )
})
