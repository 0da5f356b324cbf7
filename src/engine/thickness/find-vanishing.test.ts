import { describe, expect, test } from 'vitest'
import { type Loop, oneLayer, rectangle, regular, reversed, stackOf, stadium } from '../../../tests/solids-2d.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { findVanishing } from './find-vanishing.ts'
import { cornerArea, cornerReach } from './lost-pieces.ts'
import { measureOutlines } from './measure-outlines.ts'

/** The same outline in n layers of 0.1 mm, searched with the gate by thickness and without: both must agree. */
const vanishing = async (layers: readonly (readonly Loop[])[], beadWidthMm = 0.4) => {
  const stack = stackOf(
    layers.map((island) => [island]),
    0.1,
  )
  const kit = await loadPolygonKit()
  const gated = await findVanishing(stack, { beadWidthMm, outlineThickness: await measureOutlines(stack) }, kit)
  expect(await findVanishing(stack, { beadWidthMm }, kit)).toEqual(gated)
  return gated
}
const times = (n: number, ...island: Loop[]) => Array.from({ length: n }, () => island)
const fold = (degrees: number): Loop => {
  const x = 5 * Math.cos((degrees * Math.PI) / 360)
  const y = 5 * Math.sin((degrees * Math.PI) / 360)
  return [
    [0, 0],
    [x, -y],
    [9, -y],
    [9, y],
    [x, y],
  ]
}

describe('nothing is told of', () => {
  test('a sharp-edged cube', async () => expect(await vanishing(times(10, rectangle(10, 10)))).toEqual([]))
  test.each([30, 45, 60, 90, 120])('a coat fold of %i degrees', async (degrees) =>
    expect(await vanishing(times(10, fold(degrees)))).toEqual([]),
  )
  test('a post of 0.405 mm in 32 chords', async () =>
    expect(await vanishing(times(30, regular(32, 0.2025)))).toEqual([]))
  test('a plate of one bead with round ends', async () =>
    expect(await vanishing(times(30, stadium(4, 0.4)))).toEqual([]))
  test('a speck of two layers, shorter than a bead', async () =>
    expect(await vanishing(times(2, rectangle(0.25, 0.25)))).toEqual([]))
})

test('a ribbon of 0.3 mm vanishes along its whole length', async () => {
  const [ribbon, ...rest] = await vanishing(times(20, rectangle(6, 0.3)))
  expect(rest).toEqual([])
  expect(ribbon).toMatchObject({ fromLayer: 0, toLayer: 19, kind: 'island' })
  expect(ribbon.lengthMm).toBeCloseTo(Math.hypot(6, 0.3), 6)
  expect(ribbon.widthMm).toBeCloseTo(0.3, 6)
  expect(ribbon.volumeMm3).toBeCloseTo(6 * 0.3 * 2, 5)
  expect(Math.hypot(ribbon.at[0], ribbon.at[1])).toBeLessThan(0.2)
})

test('tip and neck are told apart', async () => {
  const block: Loop = [
    [0, 0],
    [4, 0],
    [4, 2],
    [8, 2],
    [8, 2.3],
    [4, 2.3],
    [4, 4],
    [0, 4],
  ]
  const [tip] = await vanishing(times(5, block))
  expect(tip.kind).toBe('tip')
  expect(Math.abs(tip.lengthMm - 4)).toBeLessThan(0.05)
  const dumb: Loop = [
    [0, 0],
    [2, 0],
    [2, 0.85],
    [4, 0.85],
    [4, 0],
    [6, 0],
    [6, 2],
    [4, 2],
    [4, 1.15],
    [2, 1.15],
    [2, 2],
    [0, 2],
  ]
  const necks = await vanishing(times(5, dumb))
  expect(necks.map(({ kind }) => kind)).toEqual(['neck'])
  expect(necks[0].at.map((v) => Math.round(v * 10) / 10)).toEqual([3, 1, 0.3])
})

test('a cone vanishes only at its tip', async () => {
  const cone = Array.from({ length: 100 }, (_, i) => [regular(48, 3 * (1 - (i + 0.5) / 100))])
  const [tip, ...rest] = await vanishing(cone)
  expect(rest).toEqual([])
  // The layers whose circle is less than the disc of 0.394 mm.
  expect([tip.fromLayer, tip.toLayer]).toEqual([93, 99])
})

test('a fold sharper than 30 degrees is told, and a thin ring whole', async () => {
  expect((await vanishing(times(5, fold(20)))).map(({ kind }) => kind)).toEqual(['tip'])
  const [ring] = await vanishing(times(3, regular(64, 3), reversed(regular(64, 2.7))))
  expect(ring.kind).toBe('island')
  expect(ring.lengthMm).toBeCloseTo(6, 3)
})

test('details that do not meet from layer to layer stay apart', async () => {
  const kit = await loadPolygonKit()
  const stack = stackOf(
    Array.from({ length: 4 }, () => [[rectangle(3, 0.3)], [rectangle(3, 0.3, 0, 5)]]),
    0.1,
  )
  expect(await findVanishing(stack, { beadWidthMm: 0.4 }, kit)).toHaveLength(2)
})

test('what a disc leaves in a corner: square corner and half plane', async () => {
  expect(cornerArea(Math.PI / 2)).toBeCloseTo(1 - Math.PI / 4, 12)
  expect(cornerReach(Math.PI / 2)).toBeCloseTo(Math.SQRT2 - 1, 12)
  expect(cornerArea(Math.PI)).toBeCloseTo(0, 12)
  // The opening itself takes the same from a square's four corners.
  const kit = await loadPolygonKit()
  const { loopStart, points } = oneLayer([rectangle(10, 10)])
  const lost = kit.lostByOpening({ loopStart, points }, 2, 2, 1e-5)
  expect(lost.loopStart.length - 1).toBe(4)
})
