import { expect, test } from 'vitest'
import { box, moved, type Solid, together } from '../../../tests/solids.ts'
import { person } from '../../../tests/standing-figures.ts'
import { type LengthUnit, prepareMesh, type Sculpt } from '../mesh/index.ts'
import { FROM_Y_UP, UPRIGHT } from './stance.ts'
import { type StandUpOptions, standUp } from './stand-up.ts'
import type { Figure } from './types.ts'

const sculptOf = (solid: Solid, statedUnit: LengthUnit | null = null): Sculpt => {
  const { mesh, health } = prepareMesh(solid.positions, solid.triangles)
  return { kind: 'sculpt', name: 'x', format: 'obj', mesh, statedUnit, health, hash: '0' }
}

const scaled = ({ positions, triangles }: Solid, by: number): Solid => ({
  positions: positions.map((p) => p * by),
  triangles,
})
const yUp = ({ positions, triangles }: Solid): Solid => ({
  positions: positions.map(
    (_, i) => [positions[i - (i % 3)], positions[i - (i % 3) + 2], -positions[i - (i % 3) + 1]][i % 3],
  ),
  triangles,
})

const figureOf = (solid: Solid, options: Partial<StandUpOptions> = {}, unit: LengthUnit | null = null): Figure => {
  const stood = standUp(sculptOf(solid, unit), { scale: { by: 'guess' }, ...options })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  return stood.value
}

test('28 mm to the eye is 29.9 mm to the crown and 32.9 mm with a base of 3 mm', () => {
  // The base grows with the figure, so it is made as high as comes to 3 mm.
  const figure = figureOf(person(60, { base: 6.018 }), { scale: { by: 'scale-height', soleToEyeMm: 28 } })
  expect(figure.eyeLine.value - figure.soleMm).toBeCloseTo(28, 9)
  expect(figure.max[2] - figure.soleMm).toBeCloseTo(29.9, 1)
  expect(figure.max[2]).toBeCloseTo(32.9, 1)
  expect(figure.base).toMatchObject({ shape: 'round' })
  expect(figure.base?.topMm).toBeCloseTo(3, 2)
  expect(figure.oneTo).toBeCloseTo(58.5, 1)
  expect(figure.min[2]).toBe(0)
})

test('a base is found with its height and radius, under a figure in its printed size', () => {
  const figure = figureOf(person(30, { base: 3 }))
  expect(figure.scale).toMatchObject({ value: 1, basis: 'guessed' })
  expect(figure.base?.topMm).toBeCloseTo(3, 6)
  expect(figure.base?.radiusMm).toBeCloseTo(12.5, 1)
  expect(figure.soleMm).toBe(figure.base?.topMm)
  expect(figure.eyeLine.value).toBeCloseTo(3 + 0.936 * 30, 1)
})

test('without a base the soles are on the bed; a block has no base', () => {
  expect(figureOf(person(30))).toMatchObject({ base: null, soleMm: 0 })
  expect(figureOf(box(20, 20, 20)).base).toBeNull()
  expect(figureOf(together(box(20, 30, 2), moved(box(8, 8, 30), 6, 11, 1))).base?.shape).toBe('other')
})

test('a spear held up is left out of the crown; a tall hat is told by the neck', () => {
  const bare = figureOf(person(30, { base: 3 }))
  const spear = figureOf(person(30, { base: 3, spear: 0.25 }))
  expect(spear.max[2]).toBeCloseTo(3 + 30 * 1.25, 6)
  expect(spear.eyeLine.value).toBeCloseTo(bare.eyeLine.value, 0)
  expect(spear.eyeLine.reason).toContain('leaving out')
  const hat = figureOf(person(30, { base: 3, hat: 0.08 }))
  expect(Math.abs(hat.eyeLine.value - bare.eyeLine.value)).toBeLessThan(1.2)
  expect(hat.eyeLine.reason).toContain('chin')
})

test('with a spear, scale height still goes to the eyes', () => {
  const figure = figureOf(person(100, { spear: 0.3 }), { scale: { by: 'scale-height', soleToEyeMm: 32 } })
  expect(figure.eyeLine.value).toBeCloseTo(32, 9)
  expect(figure.oneTo).toBeGreaterThan(50.5)
  expect(figure.oneTo).toBeLessThan(53)
})

test.each([
  [1, null, 1, 'guessed'],
  [1 / 25.4, null, 25.4, 'guessed'],
  [0.1, null, 10, 'guessed'],
  [0.001, null, 1000, 'guessed'],
  [0.001, 'm', 1000, 'stated'],
  [1 / 25.4, 'inch', 25.4, 'stated'],
] as const)('a figure of 32 mm written %f times as large (unit %s) keeps its size', (by, unit, value, basis) => {
  expect(figureOf(scaled(person(32), by), {}, unit).scale).toMatchObject({ value, basis })
})

test.each([
  [1.75, 'life size'],
  [175, 'life size'],
  [1750, 'life size'],
  [9000, 'none gives the size'],
])('a person %f units tall is scaled to 28 mm to the eye, with the reason', (height, words) => {
  const figure = figureOf(person(height))
  expect(figure.eyeLine.value).toBeCloseTo(28, 9)
  expect(figure.scale.reason).toContain(words)
  expect(figure.scale.reason).toContain('28 mm')
})

test('ratio, total height and unit', () => {
  expect(figureOf(person(1.75), { scale: { by: 'ratio', oneTo: 56 } }).max[2]).toBeCloseTo(31.25, 6)
  expect(figureOf(person(30), { scale: { by: 'ratio', oneTo: 56 } }).oneTo).toBeCloseTo(56, 9)
  expect(figureOf(person(30, { base: 3 }), { scale: { by: 'total-height', totalMm: 40 } }).max[2]).toBeCloseTo(40, 9)
  expect(figureOf(person(30), { scale: { by: 'unit', unit: 'cm' } }).max[2]).toBeCloseTo(300, 9)
  expect(figureOf(person(30), { unit: 'inch' }).scale).toMatchObject({ value: 25.4, basis: 'set' })
})

test('the eye line can be set, in mm on the sculpt or as a share', () => {
  const set = figureOf(person(30, { base: 3 }), { eyeLineMm: 26 })
  expect(set.eyeLine).toMatchObject({ basis: 'set' })
  expect(set.eyeLine.value).toBeCloseTo(29, 9)
  // The place 26 mm above the soles comes to 28 mm: all grows by 28/26.
  const scaledUp = figureOf(person(30, { base: 3 }), { eyeLineMm: 26, scale: { by: 'scale-height', soleToEyeMm: 28 } })
  expect(scaledUp.scale.value).toBeCloseTo(28 / 26, 12)
  expect(
    figureOf(person(30), { eyeLineShare: 0.5, scale: { by: 'scale-height', soleToEyeMm: 15 } }).max[2],
  ).toBeCloseTo(30, 9)
})

test('a stance never changes the size; a leaning figure stands on z = 0 over the middle', () => {
  const wish = { by: 'scale-height', soleToEyeMm: 28 } as const
  const solid = moved(person(30, { base: 3 }), 40, -7, 11)
  const upright = figureOf(solid, { scale: wish })
  expect(upright.min[0] + upright.max[0]).toBeCloseTo(0, 9)
  for (const stance of [
    { aboutX: 0.4, aboutY: 0, aboutZ: 0 },
    { aboutX: -Math.PI / 2, aboutY: 0.1, aboutZ: 2 },
    { aboutX: 0, aboutY: Math.PI, aboutZ: 0 },
  ]) {
    const figure = figureOf(solid, { scale: wish, stance: { kind: 'stance', ...stance } })
    expect(figure.scale.value).toBe(upright.scale.value)
    expect(figure.mass.volume).toBeCloseTo(upright.mass.volume, 6)
    expect(figure.min[2]).toBeCloseTo(0, 9)
    expect(figure.base).toBeNull()
    expect(figure.eyeLine.value - figure.soleMm).toBeCloseTo(28, 9)
  }
})

test('the stance turns about x, then y, then z', () => {
  const solid = together(box(10, 20, 30))
  const quarter = Math.PI / 2
  const figure = figureOf(solid, { stance: { kind: 'stance', aboutX: quarter, aboutY: quarter, aboutZ: 0 } })
  // About x: 10 x 30 x 20. Then about y: 20 x 30 x 10.
  expect(figure.max.map((high, k) => high - figure.min[k])).toEqual([20, 30, 10])
})

test('a sculpt with y up is stood up, or said to lie when a stance is set', () => {
  const solid = yUp(person(30, { base: 3 }))
  const figure = figureOf(solid)
  expect(figure.stance).toEqual(FROM_Y_UP)
  expect(figure.max[2]).toBeCloseTo(33, 6)
  expect(figure.base?.topMm).toBeCloseTo(3, 6)
  const lying = standUp(sculptOf(solid), { scale: { by: 'guess' }, stance: UPRIGHT })
  expect(lying.ok && lying.notes.map(({ code }) => code)).toEqual(['figure/lies'])
})

test('holes move with the figure', () => {
  const solid = person(60)
  const torn = { positions: solid.positions, triangles: solid.triangles.slice(3) }
  const figure = figureOf(torn, { scale: { by: 'total-height', totalMm: 30 } })
  const sculpt = sculptOf(torn)
  expect(figure.health.holes[3]).toBeCloseTo(sculpt.health.holes[3] / 2, 9)
  expect(figure.health.holes[2]).toBeCloseTo(sculpt.health.holes[2] / 2, 9)
})

test.each([
  [{ scale: { by: 'scale-height', soleToEyeMm: 0 } }, 'figure/out-of-range'],
  [{ scale: { by: 'scale-height', soleToEyeMm: Number.NaN } }, 'figure/out-of-range'],
  [{ scale: { by: 'ratio', oneTo: -3 } }, 'figure/out-of-range'],
  [{ scale: { by: 'total-height', totalMm: 1e9 } }, 'figure/out-of-range'],
  [{ scale: { by: 'guess' }, eyeLineMm: -1 }, 'figure/out-of-range'],
  [{ scale: { by: 'guess' }, eyeLineMm: 500 }, 'figure/eye-line'],
  [
    { scale: { by: 'guess' }, stance: { kind: 'stance', aboutX: Number.NaN, aboutY: 0, aboutZ: 0 } },
    'figure/out-of-range',
  ],
] as const)('wishes out of range are refused (%#)', (options, code) => {
  const stood = standUp(sculptOf(person(30)), options)
  expect(stood.ok ? '' : stood.issues[0].code).toBe(code)
})

test('a flat sculpt is refused', () => {
  const flat = sculptOf({
    positions: Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0]),
    triangles: Uint32Array.from([0, 1, 2]),
  })
  const stood = standUp(flat)
  expect(stood.ok ? '' : stood.issues[0].code).toBe('figure/no-height')
})
