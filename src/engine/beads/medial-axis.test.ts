import { describe, expect, test } from 'vitest'
import { boxLoop, circleLoop, type Loop } from '../../../tests/stack-by-hand.ts'
import type { Polygons } from '../kernel/index.ts'
import { medialAxis } from './medial-axis.ts'

const polygonsOf = (...loops: Loop[]): Polygons => {
  const loopStart = [0]
  for (const loop of loops) loopStart.push(loopStart[loopStart.length - 1] + loop.length)
  return { loopStart: Uint32Array.from(loopStart), points: Float64Array.from(loops.flat(2)) }
}
const options = { stepMm: 0.02, mostRadiusMm: 10, leastFacing: 1.8, unevenMm: 1e-4 }

describe('medial axis', () => {
  test.each([0, 0.3, 1.1, 2.5])(
    'rectangle turned by %f rad: its mid-line, at half the width, without corner arms',
    (turn) => {
      const c = Math.cos(turn)
      const s = Math.sin(turn)
      const box = boxLoop(-2.5, -0.5, 5, 1).map(([x, y]): [number, number] => [x * c - y * s, x * s + y * c])
      const paths = medialAxis(polygonsOf(box), options)
      expect(paths.length).toBe(1)
      const [{ n, points, radius, closed }] = paths
      expect(closed).toBe(false)
      let reach = 0
      for (let i = 0; i < n; i++) {
        const x = points[2 * i] * c + points[2 * i + 1] * s
        const y = points[2 * i + 1] * c - points[2 * i] * s
        expect(Math.abs(y)).toBeLessThan(1e-9)
        expect(radius[i]).toBeCloseTo(0.5, 9)
        reach = Math.max(reach, Math.abs(x))
      }
      expect(reach).toBeLessThanOrEqual(2)
      expect(reach).toBeGreaterThan(2 - options.stepMm)
    },
  )

  test('wedge: the bisector, with radius distance x sin(half-angle)', () => {
    const half = 0.1
    const tip: Loop = [
      [0, 0],
      [10 * Math.cos(half), -10 * Math.sin(half)],
      [10 * Math.cos(half), 10 * Math.sin(half)],
    ]
    const [path] = medialAxis(polygonsOf(tip), { ...options, stepMm: 0.1 })
    expect(path.n).toBeGreaterThan(50)
    for (let i = 0; i < path.n; i++) {
      expect(Math.abs(path.points[2 * i + 1])).toBeLessThan(1e-9)
      expect(path.radius[i]).toBeCloseTo(path.points[2 * i] * Math.sin(half), 9)
    }
  })

  test('annulus: one closed circle midway', () => {
    const ring = polygonsOf(circleLoop(1, 2, 3, 300), circleLoop(1, 2, 2, 300, true))
    const paths = medialAxis(ring, { ...options, unevenMm: 2e-3 })
    expect(paths.length).toBe(1)
    expect(paths[0].closed).toBe(true)
    for (let i = 0; i < paths[0].n; i++) {
      expect(Math.hypot(paths[0].points[2 * i] - 1, paths[0].points[2 * i + 1] - 2)).toBeCloseTo(2.5, 2)
      expect(paths[0].radius[i]).toBeCloseTo(0.5, 2)
    }
  })

  test('a corner of two strips is followed round its reflex corner', () => {
    const bend: Loop = [
      [0, 0],
      [5, 0],
      [5, 1],
      [1, 1],
      [1, 5],
      [0, 5],
    ]
    const paths = medialAxis(polygonsOf(bend), options)
    let length = 0
    for (const { n, points } of paths)
      for (let i = 1; i < n; i++)
        length += Math.hypot(points[2 * i] - points[2 * i - 2], points[2 * i + 1] - points[2 * i - 1])
    // Two mid-lines of 3.5 each to the level of the reflex corner, and what the bisecting curve adds.
    expect(length).toBeGreaterThan(6.8)
    expect(length).toBeLessThan(8.2)
  })
})
