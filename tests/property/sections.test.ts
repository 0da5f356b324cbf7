// Sections do not depend on where a figure stands, how it is turned about the vertical, or the order of its triangles.

import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { relateLayers } from '../../src/engine/sections/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import { cutSolid, layerArea } from '../section-cases.ts'
import { seededRandom } from '../seeded-random.ts'
import { box, cylinder, moved, type Solid, sphere, together, torus } from '../solids.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

const subject = together(
  moved(cylinder(5, 1, 48), 0, 0, 0),
  moved(sphere(2, 32), 0.3, 0.2, 2.6),
  moved(torus(2.2, 0.5, 40, 20), 0.5, 0, 5),
  moved(box(1, 6, 1), -0.5, -3, 5.2),
)

const turnedAndMixed = (solid: Solid, angle: number, scale: number, dx: number, dy: number, seed: number): Solid => {
  const random = seededRandom(seed)
  const positions = new Float64Array(solid.positions.length)
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  const n = positions.length / 3
  // Vertices in a new order, triangles in a new order and each with another first corner.
  const place = Uint32Array.from({ length: n }, (_, i) => i)
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1))
    const keep = place[i]
    place[i] = place[j]
    place[j] = keep
  }
  for (let i = 0; i < n; i++) {
    const [x, y, z] = solid.positions.subarray(3 * i, 3 * i + 3)
    positions.set([(c * x - s * y) * scale + dx, (s * x + c * y) * scale + dy, z * scale], 3 * place[i])
  }
  const order = Array.from({ length: solid.triangles.length / 3 }, (_, t) => t).sort(() => random() - 0.5)
  const triangles = new Uint32Array(solid.triangles.length)
  order.forEach((t, at) => {
    const turn = Math.floor(random() * 3)
    for (let e = 0; e < 3; e++) triangles[3 * at + e] = place[solid.triangles[3 * t + ((e + turn) % 3)]]
  })
  return { positions, triangles }
}

test('areas of layers survive turning, moving, scaling and reordering', async () => {
  const plain = await cutSolid(subject, {}, kit)
  await fc.assert(
    fc.asyncProperty(
      fc.double({ min: 0, max: 6.28, noNaN: true }),
      fc.constantFrom(0.01, 1, 100),
      fc.double({ min: -50, max: 50, noNaN: true }),
      fc.integer({ min: 1, max: 1e6 }),
      async (angle, scale, shift, seed) => {
        const other = await cutSolid(
          turnedAndMixed(subject, angle, scale, shift * scale, -shift * scale, seed),
          {
            layerHeightMm: 0.1 * scale,
            firstLayerHeightMm: 0.1 * scale,
            toleranceMm: 0.005 * scale,
            leastAreaMm2: 0.0004 * scale * scale,
          },
          kit,
        )
        expect(other.nLayers).toBe(plain.nLayers)
        for (let k = 0; k < plain.nLayers; k++) {
          // The union library works on its own grid; turned outlines agree to a hair, not to the bit.
          expect(Math.abs(layerArea(other, k) / scale ** 2 - layerArea(plain, k))).toBeLessThan(0.03)
          expect(other.islandStart[k + 1] - other.islandStart[k]).toBe(plain.islandStart[k + 1] - plain.islandStart[k])
        }
      },
    ),
    { numRuns: 12, seed: 20 },
  )
})

test('reach beyond the layer below survives turning about the vertical', async () => {
  const plain = await cutSolid(subject, {}, kit)
  const before = await relateLayers(plain, { allowanceMm: 0.2 }, kit)
  await fc.assert(
    fc.asyncProperty(
      fc.double({ min: 0, max: 6.28, noNaN: true }),
      fc.integer({ min: 1, max: 99 }),
      async (angle, seed) => {
        const other = await cutSolid(turnedAndMixed(subject, angle, 1, 0, 0, seed), {}, kit)
        const after = await relateLayers(other, { allowanceMm: 0.2 }, kit)
        for (let k = 0; k < plain.nLayers; k++) {
          expect(Math.abs(after.unsupportedMm[k] - before.unsupportedMm[k])).toBeLessThan(0.08)
        }
        expect([...after.startsInAir].filter(Boolean).length).toBe([...before.startsInAir].filter(Boolean).length)
      },
    ),
    { numRuns: 8, seed: 21 },
  )
})
