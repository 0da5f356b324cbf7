import { expect, test } from 'vitest'
import type { LayerStack } from '../../engine/sections/index.ts'
import type { SheetParts } from '../messages.ts'
import { heldOutline } from './held-outline.ts'

/** Layers of 0.2 mm, each of rectangles side by side, as wide and deep as said. */
const partsOf = (nLayers: number, boxes: readonly (readonly [number, number])[], thinnest?: number): SheetParts => {
  const n = boxes.length
  const count = (each: number) => Uint32Array.from({ length: nLayers + 1 }, (_, k) => k * each)
  const corners = boxes.flatMap(([w, d], k) => {
    const x = 20 * k
    return [x, 0, x + w, 0, x + w, d, x, d]
  })
  const layers = {
    nLayers,
    faceZ: Float64Array.from({ length: nLayers + 1 }, (_, k) => 0.2 * k),
    cutZ: Float64Array.from({ length: nLayers }, (_, k) => 0.2 * k + 0.1),
    layerStart: count(n),
    islandStart: count(n),
    loopStart: Uint32Array.from({ length: nLayers * n + 1 }, (_, k) => 4 * k),
    points: Float64Array.from(Array.from({ length: nLayers }, () => corners).flat()),
    islandArea: Float64Array.from({ length: nLayers * n }, (_, k) => boxes[k % n][0] * boxes[k % n][1]),
  } as unknown as LayerStack
  if (thinnest === undefined) return { layers }
  const islandThinnest = Float64Array.from({ length: nLayers * n }, (_, k) => (k % n ? Number.NaN : thinnest))
  return { layers, outlineThickness: { islandThinnest } as NonNullable<SheetParts['outlineThickness']> }
}

test('the same outline is said to be the same', () => {
  expect(heldOutline(partsOf(5, [[4, 3]], 3), partsOf(5, [[4, 3]], 3), 2)?.words).toBe('Dotted: A, the same here.')
})

test('area, width and thinnest place that B lost are told, and what it gained', () => {
  const [a, b] = [partsOf(5, [[4, 3]], 3), partsOf(5, [[3.5, 3]], 2.9)]
  expect(heldOutline(a, b, 2)?.words).toBe(
    'Dotted: A, with 12.0 mm² in 1 piece; B has 1.50 mm² less (12.5 %), 0.50 mm less from left to right, 2.90 mm at its thinnest instead of 3.00 mm.',
  )
  expect(heldOutline(b, a, 2)?.words).toContain('B has 1.50 mm² more (14.3 %), 0.50 mm more from left to right')
})

test('pieces that are not there any more are told; an unknown thinnest place is not', () => {
  const a = partsOf(5, [
    [4, 3],
    [0.3, 2],
  ])
  const said = heldOutline(a, partsOf(5, [[4, 3]], 3), 0)
  expect(said?.words).toContain('0.60 mm² less (4.8 %)')
  expect(said?.words).toContain('16.30 mm less from left to right')
  expect(said?.words).toContain('1 piece instead of 2')
  expect(said?.words).not.toContain('thinnest')
  expect([said?.outline?.fromLoop, said?.outline?.toLoop]).toEqual([0, 2])
})

test('where A ends below B, that is said; without layers there is nothing to say', () => {
  const said = heldOutline(partsOf(2, [[4, 3]]), partsOf(5, [[4, 3]]), 4)
  expect(said).toEqual({ outline: null, beads: null, words: 'A does not reach this high.' })
  expect(heldOutline({}, partsOf(5, [[4, 3]]), 1)).toBeNull()
  expect(heldOutline(partsOf(5, [[4, 3]]), {}, 1)).toBeNull()
})
