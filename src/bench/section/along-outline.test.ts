import { expect, test } from 'vitest'
import { box } from '../../../tests/solids.ts'
import type { Paint } from '../elevation/paint.ts'
import { alongOf, alongWords, nearestAlong, profileOf, readAlong, spotAt } from './along-outline.ts'
import { cutOfSurface, type OutlineLine } from './outline-lines.ts'

const paint = (name: string, unit: string, limit?: Paint['limit']): Paint => ({
  id: 'x',
  name,
  unit,
  from: 0,
  to: 10,
  decimals: 1,
  ...(limit ? { limit } : {}),
  quantity: { faceZ: [0, 1], values: [0], from: 0, to: 10 },
})

/** A box of 12 by 10 by 8 mm. */
const surfaceOf = () => {
  const mesh = box(12, 10, 8)
  return { positions: Float32Array.from(mesh.positions), triangles: Uint32Array.from(mesh.triangles) }
}
const corners = (axis: number, times = 1) => {
  const { positions } = surfaceOf()
  return Float32Array.from({ length: positions.length / 3 }, (_, i) => times * positions[3 * i + axis])
}

test('a plane through a box meets its sides in one closed line, with the values that lie there', () => {
  const lines = cutOfSurface(surfaceOf(), corners(2, 2), 3.21)
  expect(lines).toHaveLength(1)
  const [{ points, values }] = lines
  expect(points.slice(0, 2)).toEqual(points.slice(-2))
  expect(values).toHaveLength(points.length / 2)
  const reading = readAlong(profileOf(lines))
  expect(reading?.lengthMm).toBeCloseTo(44, 5)
  expect(reading?.least).toBeCloseTo(6.42, 5)
  expect(reading?.most).toBeCloseTo(6.42, 5)
  expect(reading?.unknownMm).toBe(0)
})

test('a value that is x has its mean in the middle and its ends at the sides', () => {
  const reading = readAlong(profileOf(cutOfSurface(surfaceOf(), corners(0), 3.21)))
  expect((reading?.most ?? 0) - (reading?.least ?? 0)).toBeCloseTo(12, 5)
  expect(reading?.mean).toBeCloseTo(((reading?.least ?? 0) + (reading?.most ?? 0)) / 2, 5)
})

test('two bodies give two lines, and a surface with a hole one that stays open', () => {
  const one = surfaceOf()
  const n = one.positions.length / 3
  const two = {
    positions: Float32Array.from([...one.positions, ...one.positions.map((v, i) => (i % 3 === 0 ? v + 40 : v))]),
    triangles: Uint32Array.from([...one.triangles, ...one.triangles.map((v) => v + n)]),
  }
  const values = new Float32Array(2 * n)
  expect(cutOfSurface(two, values, 3).map((l) => readAlong(profileOf([l]))?.lengthMm)).toEqual([
    expect.closeTo(44, 5),
    expect.closeTo(44, 5),
  ])
  // Without one triangle of a side the cut is open: it starts and ends apart.
  const crosses = (t: number) => {
    const z = [0, 1, 2].map((k) => one.positions[3 * one.triangles[t + k] + 2])
    return Math.min(...z) < 3 && Math.max(...z) > 3
  }
  const gone = Array.from({ length: one.triangles.length / 3 }, (_, k) => 3 * k).find(crosses) ?? -1
  const torn = { ...one, triangles: one.triangles.filter((_, i) => i < gone || i >= gone + 3) }
  const lines = cutOfSurface(torn, values, 3)
  expect(lines).toHaveLength(1)
  expect(lines[0].points.slice(0, 2)).not.toEqual(lines[0].points.slice(-2))
  const shorter = readAlong(profileOf(lines))?.lengthMm ?? 0
  expect(shorter).toBeGreaterThan(30)
  expect(shorter).toBeLessThan(43.9)
})

test('above the figure nothing is met, and that is said', () => {
  const lines = cutOfSurface(surfaceOf(), corners(0), 9)
  expect(lines).toEqual([])
  expect(readAlong(profileOf(lines))).toBeNull()
  expect(spotAt(profileOf(lines), 0)).toBeNull()
  expect(alongWords(null, paint('stress', 'MPa'))).toBe('Along the outline: stress is not known at this height.')
})

/** 4 mm out and back in values 1 to 5, then 3 mm of which one point is not known, on a second outline. */
const LINES: readonly OutlineLine[] = [
  { points: [20, 0, 21, 0, 22, 0, 23, 0], values: [4, Number.NaN, 4, 4] },
  { points: [0, 0, 2, 0, 4, 0], values: [1, 3, 5] },
]

test('the longest outline comes first; what is not known is measured, and so is what lies past a limit', () => {
  const profile = profileOf(LINES)
  expect(profile.lengthMm).toBe(7)
  expect(profile.lines.map(({ atMm }) => atMm)).toEqual([
    [0, 2, 4],
    [4, 5, 6, 7],
  ])
  const limit = { label: 'one bead', value: 2, bad: 'below' as const }
  expect(readAlong(profile, limit)).toEqual({
    least: 1,
    most: 5,
    mean: (4 + 8 + 4) / 5,
    lengthMm: 5,
    unknownMm: 2,
    // From 1 to 3 in 2 mm: half of it below 2.
    beyondMm: 1,
  })
  expect(readAlong(profile, { ...limit, bad: 'above' })?.beyondMm).toBe(4)
  expect(alongWords(profile, paint('wall', 'mm', limit))).toBe(
    'Coloured along the outline: wall, 1.0 mm to 5.0 mm, 3.2 mm in the mean of 5 mm; not known along 2.0 mm. ' +
      'Below "one bead", 2.0 mm, along 1.0 mm.',
  )
})

test('a place along the way has its value and its point, and is found again from the point', () => {
  const profile = profileOf(LINES)
  expect(spotAt(profile, 1)).toEqual({ atMm: 1, x: 1, y: 0, value: 2, outline: 1 })
  expect(spotAt(profile, 6.5)).toEqual({ atMm: 6.5, x: 22.5, y: 0, value: 4, outline: 2 })
  expect(spotAt(profile, 4.5)?.value).toBeNaN()
  expect(spotAt(profile, 99)?.atMm).toBe(7)
  expect(spotAt(profile, -1)?.atMm).toBe(0)
  expect(nearestAlong(profile, 3, 0.5, 1)).toBe(3)
  expect(nearestAlong(profile, 22.5, -0.5, 1)).toBe(6.5)
  expect(nearestAlong(profile, 10, 10, 1)).toBeNull()
})

test('as the section draws them, lines end with a point that has no value', () => {
  const along = alongOf(LINES, paint('wall', 'mm'))
  expect(along.values).toEqual([4, Number.NaN, 4, 4, Number.NaN, 1, 3, 5, Number.NaN])
  expect(along.points).toHaveLength(2 * along.values.length)
  expect([along.from, along.to]).toEqual([0, 10])
})
