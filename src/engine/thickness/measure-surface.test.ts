import { expect, test } from 'vitest'
import { box, cylinder, moved, type Solid, sphere, together } from '../../../tests/solids.ts'
import type { Figure } from '../figure/index.ts'
import { measureSurface } from './measure-surface.ts'

/** The part of a figure that the measurement reads: solids as shells of one mesh. */
const figureOf = (...solids: Solid[]): Figure => {
  const { positions, triangles } = together(...solids)
  const shellOf = Uint32Array.from(solids.flatMap((solid, i) => Array(solid.triangles.length / 3).fill(i)))
  return { mesh: { kind: 'mesh', positions, triangles, shellOf, nShells: solids.length } } as unknown as Figure
}
const middle = (values: ArrayLike<number>): number => Array.from(values).sort((a, b) => a - b)[values.length >> 1]

test('a slab is as thick as it is away from its edges', async () => {
  const { samples, thickness, facing } = await measureSurface(figureOf(box(10, 10, 1)), { maxSamples: 3000 })
  let nInside = 0
  for (let k = 0; k < thickness.length; k++) {
    const [x, y] = [samples[3 * k], samples[3 * k + 1]]
    if (Math.min(x, y, 10 - x, 10 - y) < 0.6) continue
    nInside++
    expect(thickness[k]).toBeCloseTo(1, 5)
    expect(facing[k]).toBeCloseTo(Math.PI, 5)
  }
  expect(nInside).toBeGreaterThan(1000)
})

test('a coarse ball measures as a ball, on facets and vertices', async () => {
  const { thickness, perVertex } = await measureSurface(figureOf(sphere(3, 48)))
  for (const values of [thickness, perVertex]) {
    expect(Math.min(...values)).toBeGreaterThan(5.95)
    expect(Math.max(...values)).toBeLessThanOrEqual(6)
  }
})

test('no ball of a short cylinder is wider than the wall or its distance from the caps lets it be', async () => {
  const solid = together(cylinder(1.5, 4, 40))
  const { samples, thickness } = await measureSurface(figureOf(solid), { maxSamples: 200, roughnessMm: 0 })
  for (let k = 0; k < thickness.length; k++) {
    const z = samples[3 * k + 2]
    if (z < 0.01 || z > 3.99) continue
    const toEnds = 2 * Math.min(z, 4 - z)
    expect(thickness[k]).toBeLessThanOrEqual(Math.min(3, toEnds) + 1e-4)
  }
})

test('a ball on a rod is one solid: the buried part of the rod is no surface', async () => {
  const figure = figureOf(cylinder(0.6, 10, 48), moved(sphere(2, 48), 0, 0, 5))
  const { samples, thickness, perVertex } = await measureSurface(figure)
  for (let k = 0; k < thickness.length; k++) {
    const z = samples[3 * k + 2]
    expect(Math.hypot(samples[3 * k], samples[3 * k + 1], z - 5)).toBeGreaterThan(1.9)
  }
  expect(middle(thickness)).toBeGreaterThan(3.9)
  // The ball's poles lie within the rod.
  expect([...perVertex].some(Number.isNaN)).toBe(true)
})

test('a cavity bounds the solid', async () => {
  const hollow = sphere(2, 48)
  const cavity = {
    positions: hollow.positions,
    triangles: hollow.triangles.map((_, i, t) => t[i - (i % 3) + [0, 2, 1][i % 3]]),
  }
  const { thickness } = await measureSurface(figureOf(sphere(3, 48), cavity), { maxSamples: 4000 })
  expect(Math.abs(middle(thickness) - 1)).toBeLessThan(0.02)
})

test('same seed, same answer', async () => {
  const figure = figureOf(cylinder(0.6, 10, 24))
  const first = await measureSurface(figure, { maxSamples: 500, seed: 7 })
  expect(await measureSurface(figure, { maxSamples: 500, seed: 7 })).toEqual(first)
  const other = await measureSurface(figure, { maxSamples: 500, seed: 8 })
  expect(middle(other.thickness)).toBeCloseTo(middle(first.thickness), 1)
})
