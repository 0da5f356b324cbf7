import { describe, expect, test } from 'vitest'
import { type Loop, moved, oneLayer, rectangle, regular, reversed, stackOf, stadium } from '../../../tests/solids-2d.ts'
import { Cancelled } from '../kernel/index.ts'
import { measureOutlines } from './measure-outlines.ts'

const measured = async (loops: readonly Loop[], roughnessMm = 0.01) => {
  const result = await measureOutlines(oneLayer(loops), { roughnessMm })
  return { ...result, thinnest: result.islandThinnest[0], widest: result.islandWidest[0] }
}

test.each([0, 0.4, 1.1])('a plate is as thick as it is, at any turn (%f)', async (turn) => {
  for (const thick of [0.3, 1.2, 3]) {
    const { thinnest, widest } = await measured([moved(rectangle(9, thick), 3, -2, turn)])
    expect(thinnest).toBeCloseTo(thick, 9)
    expect(widest).toBeCloseTo(thick, 9)
  }
})

test('a square has no thin place at its corners', async () => {
  const { thinnest, widest, thickness } = await measured([rectangle(10, 10)], 0)
  expect([thinnest, widest]).toEqual([10, 10])
  expect(Math.min(...thickness)).toBe(0)
})

describe('a round rod in chords measures as its inscribed circle', () => {
  test.each([5, 8, 12, 24, 32, 64, 200])('%i sides', async (n) => {
    const inscribed = 1.2 * Math.cos(Math.PI / n)
    const { thinnest, widest } = await measured([regular(n, 0.6, 4, 1, 0.3)])
    expect(widest).toBeGreaterThan(inscribed - 0.005)
    expect(widest).toBeLessThanOrEqual(1.2)
    expect(Math.abs(thinnest - inscribed)).toBeLessThan(0.011)
  })
})

test('a plate with half-round ends is as thick as its middle, to within its chords', async () => {
  const { thinnest, widest } = await measured([stadium(5, 0.8, 32)])
  expect(widest).toBeCloseTo(0.8, 9)
  expect(thinnest).toBeGreaterThan(0.79)
})

test('a ring is measured between its two outlines, an eccentric one at its thinnest', async () => {
  const { thinnest, widest } = await measured([regular(256, 3), reversed(regular(256, 2, 0.3))])
  expect(Math.abs(thinnest - 0.7)).toBeLessThan(2e-3)
  expect(Math.abs(widest - 1.3)).toBeLessThan(2e-3)
})

test('a wedge below 60 degrees is thin at its tip, a blunter one is not', async () => {
  const wedge = (degrees: number): Loop => {
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
  expect((await measured([wedge(40)])).thinnest).toBeLessThan(0.2)
  expect((await measured([wedge(75)])).thinnest).toBeGreaterThan(3)
})

test('holds against the slow way: every point of the outline, densely, against every sample', async () => {
  const star: Loop = Array.from({ length: 40 }, (_, i) => {
    const a = (2 * Math.PI * i) / 40
    const r = 3 + Math.sin(5 * a) + 0.4 * Math.cos(3 * a)
    return [r * Math.cos(a), r * Math.sin(a)]
  })
  const { samples, thickness } = await measured([star], 0)
  const dense: [number, number][] = star.flatMap(([x, y], i) => {
    const [u, v] = star[(i + 1) % star.length]
    return Array.from({ length: 400 }, (_, k) => [x + (k / 400) * (u - x), y + (k / 400) * (v - y)] as [number, number])
  })
  let nChecked = 0
  star.forEach(([x, y], i) => {
    const [u, v] = star[(i + 1) % star.length]
    const [px, py] = [(x + u) / 2, (y + v) / 2]
    const size = Math.hypot(u - x, v - y)
    const [nx, ny] = [-(v - y) / size, (u - x) / size]
    let least = Infinity
    for (const [qx, qy] of dense) {
      const h = nx * (qx - px) + ny * (qy - py)
      if (h > 1e-9) least = Math.min(least, ((qx - px) ** 2 + (qy - py) ** 2) / h)
    }
    for (let k = 0; k < thickness.length; k++) {
      if (Math.hypot(samples[2 * k] - px, samples[2 * k + 1] - py) > 1e-9) continue
      nChecked++
      expect(Math.abs(thickness[k] - least)).toBeLessThan(0.01)
      expect(thickness[k]).toBeLessThanOrEqual(least + 1e-6)
    }
  })
  expect(nChecked).toBe(40)
})

test('samples lie no farther apart than asked, islands of all layers are told apart', async () => {
  const stack = stackOf([[[rectangle(4, 1)], [rectangle(2, 2, 8)]], [], [[rectangle(6, 0.5)]]], 0.2)
  const { islandThinnest, islandThinnestAt, samples, sampleStart } = await measureOutlines(stack, { spacingMm: 0.1 })
  expect([...islandThinnest]).toEqual([1, 2, 0.5].map((t) => expect.closeTo(t, 9)))
  expect(Math.abs(islandThinnestAt[2] - 8)).toBeLessThanOrEqual(1 + 1e-9)
  for (let k = sampleStart[0]; k + 1 < sampleStart[1]; k++) {
    const gap = Math.hypot(samples[2 * k + 2] - samples[2 * k], samples[2 * k + 3] - samples[2 * k + 1])
    expect(gap).toBeLessThanOrEqual(0.1 + 1e-9)
  }
})

test('stops when told to, and reports its progress', async () => {
  const stack = stackOf(
    Array.from({ length: 30 }, () => [[rectangle(1, 1)]]),
    0.1,
  )
  const stop = new AbortController()
  const shares: number[] = []
  const work = measureOutlines(
    stack,
    {},
    {
      signal: stop.signal,
      onProgress: (share) => {
        shares.push(share)
        if (share > 0.4) stop.abort()
      },
    },
  )
  await expect(work).rejects.toBeInstanceOf(Cancelled)
  expect(shares[0]).toBe(0)
})
