import { expect, test } from 'vitest'
import { oneLayer, rectangle, regular, stackOf } from '../../../tests/solids-2d.ts'
import { beadsAcross, coreWithin, fitShells, shellPitch } from './fit-shells.ts'
import { measureOutlines } from './measure-outlines.ts'

test('a 1.2 mm shaft in 24 sides holds one shell of 0.4 mm and a core of 0.4 mm', async () => {
  const stack = oneLayer([regular(24, 0.6)])
  const fit = fitShells(stack, await measureOutlines(stack), { beadWidthMm: 0.4 })
  expect(fit.atThinnest[0]).toBe(1)
  expect(fit.atThinnestSideBySide[0]).toBe(1)
  expect(fit.coreAtThinnest[0]).toBeCloseTo(0.4, 1)
  expect(beadsAcross(1.2 * Math.cos(Math.PI / 24), 0.4, 0.4)).toBe(2)
  expect(beadsAcross(1.2 * Math.cos(Math.PI / 64), 0.4, 0.4)).toBe(3)
})

test('counts beads from the first that fits, a little short of it included', () => {
  const count = (t: number) => beadsAcross(t, 0.4, 0.4)
  expect([0.3, 0.38, 0.393, 0.4, 0.79, 0.793, 0.8, 1.19, 1.2].map(count)).toEqual([0, 0, 1, 1, 1, 2, 2, 2, 3])
  // Pressed together three beads need 0.4 + 2 * 0.3785.
  const pitch = shellPitch(0.4, 0.1)
  expect([1.14, 1.16].map((t) => beadsAcross(t, 0.4, pitch))).toEqual([2, 3])
})

test('what is left inside n shells', () => {
  expect(coreWithin(0.3, 0, 0.4, 0.38)).toBe(0.3)
  expect(coreWithin(1.2, 1, 0.4, 0.38)).toBeCloseTo(0.4, 12)
  expect(coreWithin(2, 2, 0.4, 0.38)).toBeCloseTo(2 - 2 * 0.78, 12)
  expect(coreWithin(0.795, 1, 0.4, 0.4)).toBe(0)
})

test('takes the pitch of every layer from its own height', async () => {
  const stack = stackOf([[[rectangle(5, 1.16)]], [[rectangle(5, 1.16)]]], [0.3, 0.1])
  const fit = fitShells(stack, await measureOutlines(stack), { beadWidthMm: 0.4 })
  expect(fit.pitch[0]).toBeCloseTo(0.4 - 0.3 * (1 - Math.PI / 4), 12)
  expect(fit.pitch[1]).toBeCloseTo(0.4 - 0.1 * (1 - Math.PI / 4), 12)
})
