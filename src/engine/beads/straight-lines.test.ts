import { expect, test } from 'vitest'
import { boxLoop, circleLoop } from '../../../tests/stack-by-hand.ts'
import type { Polygons } from '../kernel/index.ts'
import { extentAcross, linesAcross } from './straight-lines.ts'

const ring: Polygons = {
  loopStart: Uint32Array.of(0, 90, 150),
  points: Float64Array.from([...circleLoop(0, 0, 5, 90), ...circleLoop(0, 0, 2, 60, true)].flat()),
}
const lengthOfLines = (lines: Float64Array): number => {
  let length = 0
  for (let i = 0; i < lines.length; i += 4) length += Math.hypot(lines[i + 2] - lines[i], lines[i + 3] - lines[i + 1])
  return length
}

test('length of lines times spacing is the area, holes left out', () => {
  const lines = linesAcross(ring, { angle: Math.PI / 4, spacing: 0.1, phase: 0.03, reach: 0, leastLength: 0 })
  expect(lengthOfLines(lines) * 0.1).toBeCloseTo(Math.PI * 21, 1)
  for (let i = 0; i < lines.length; i += 4) {
    const [ax, ay, bx, by] = lines.slice(i, i + 4)
    expect(Math.hypot((ax + bx) / 2, (ay + by) / 2)).toBeLessThan(5)
    expect(Math.abs(by - ay - (bx - ax))).toBeLessThan(1e-9)
  }
})

test('lines through corners and along edges are counted once', () => {
  const box: Polygons = { loopStart: Uint32Array.of(0, 4), points: Float64Array.from(boxLoop(0, 0, 4, 4).flat()) }
  const level = linesAcross(box, { angle: 0, spacing: 1, phase: 0, reach: 0, leastLength: 0 })
  expect(lengthOfLines(level)).toBeCloseTo(16, 9)
  const slanted = linesAcross(box, { angle: Math.PI / 4, spacing: Math.SQRT2, phase: 0, reach: 0, leastLength: 0 })
  expect(lengthOfLines(slanted) * Math.SQRT2).toBeCloseTo(16, 9)
})

test('reach draws both ends out; extent is measured across the lines', () => {
  const plain = linesAcross(ring, { angle: 0, spacing: 3, phase: 0, reach: 0, leastLength: 0 })
  const drawn = linesAcross(ring, { angle: 0, spacing: 3, phase: 0, reach: 0.1, leastLength: 0 })
  expect(lengthOfLines(drawn) - lengthOfLines(plain)).toBeCloseTo((drawn.length / 4) * 0.2, 9)
  const [least, most] = extentAcross(ring, 0.7)
  expect(most - least).toBeCloseTo(10, 1)
})
