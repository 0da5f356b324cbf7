import { expect, test } from 'vitest'
import { box } from '../../../tests/solids.ts'
import type { Paint } from '../elevation/paint.ts'
import { alongWords, cutOfSurface, readAlong } from './along-outline.ts'

const joinMm = Number.POSITIVE_INFINITY
const paint = (name: string, unit: string): Paint => ({
  id: 'x',
  name,
  unit,
  from: 0,
  to: 10,
  decimals: 1,
  quantity: { faceZ: [0, 1], values: [0], from: 0, to: 10 },
})

/** A box of 12 by 10 by 8 mm, with a value that grows by 2 a millimetre of height and one that is x. */
const surfaceOf = () => {
  const mesh = box(12, 10, 8)
  return { positions: Float32Array.from(mesh.positions), triangles: Uint32Array.from(mesh.triangles) }
}

test('a plane through a box meets its sides all round, with the values that lie there', () => {
  const surface = surfaceOf()
  const n = surface.positions.length / 3
  const height = Float32Array.from({ length: n }, (_, i) => 2 * surface.positions[3 * i + 2])
  const reading = readAlong({ ...cutOfSurface(surface, height, 3), from: 0, to: 10, joinMm })
  expect(reading?.lengthMm).toBeCloseTo(44, 5)
  expect(reading?.least).toBeCloseTo(6, 5)
  expect(reading?.most).toBeCloseTo(6, 5)
})

test('a value that is x has its mean in the middle and its ends at the sides', () => {
  const surface = surfaceOf()
  const n = surface.positions.length / 3
  const x = Float32Array.from({ length: n }, (_, i) => surface.positions[3 * i])
  const reading = readAlong({ ...cutOfSurface(surface, x, 3.21), from: 0, to: 10, joinMm })
  const middle = ((reading?.least ?? 0) + (reading?.most ?? 0)) / 2
  expect((reading?.most ?? 0) - (reading?.least ?? 0)).toBeCloseTo(12, 5)
  expect(reading?.mean).toBeCloseTo(middle, 5)
})

test('above the figure nothing is met, and that is said', () => {
  const surface = surfaceOf()
  const cut = cutOfSurface(surface, new Float32Array(surface.positions.length / 3), 9)
  expect(cut.values).toEqual([])
  expect(readAlong({ ...cut, from: 0, to: 1, joinMm })).toBeNull()
  expect(alongWords(null, paint('stress', 'MPa'))).toBe('Along the outline: stress is not known at this height.')
})

test('steps longer than the samples stand apart, and points without a value, end the line', () => {
  const along = { points: [0, 0, 1, 0, 5, 0, 6, 0, 7, 0], values: [1, 3, 5, 7, Number.NaN], from: 0, to: 10, joinMm: 2 }
  expect(readAlong(along)).toEqual({ least: 1, most: 7, mean: 4, lengthMm: 2 })
  expect(alongWords(along, paint('wall', 'mm'))).toBe(
    'Coloured along the outline: wall, 1.0 mm to 7.0 mm, 4.0 mm in the mean of 2 mm.',
  )
})
