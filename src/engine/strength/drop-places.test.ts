// Places that touch, poses of rest, falling over.

import { expect, test } from 'vitest'
import { boxLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { farthest, outerPoints, restingPoses, tipOver, touchPlaces } from './drop-places.ts'

const brick = (w: number, d: number, h: number) =>
  stackByHand(
    Array.from({ length: 10 }, () => [[boxLoop(-w / 2, -d / 2, w, d)]]),
    h / 10,
  )

test('a brick rests on each of its six faces, most steadily on the greatest', () => {
  const poses = restingPoses(outerPoints(brick(10, 20, 30)), [0, 0, 15], 12)
  expect(poses.length).toBe(6)
  expect(Math.abs(poses[0].down[0])).toBeCloseTo(1, 6)
  expect(poses[0].marginMm).toBeCloseTo(10, 6)
  expect(poses[5].marginMm).toBeCloseTo(5, 6)
})

test('a brick whose weight lies beyond a face does not rest on it', () => {
  const poses = restingPoses(outerPoints(brick(10, 20, 30)), [6, 0, 15], 12)
  expect(poses.every((p) => Math.abs(p.down[0]) > 0.9)).toBe(true)
})

test('a slim rod that falls over strikes with the spin its height gives it', () => {
  const length = 40
  const points = outerPoints(brick(0.02, 0.02, length))
  const mass = 1e-6
  const about = (mass * length ** 2) / 12
  const fall = tipOver(points, [0, 0, length / 2], mass, [about, about, 0, 0, 0, 0], [1, 0])
  expect(fall).not.toBeNull()
  expect(Math.hypot(...(fall?.spin ?? []))).toBeCloseTo(Math.sqrt((3 * 9806.65) / length), 1)
  expect(fall?.down[0]).toBeCloseTo(1, 3)
})

test('places are spread, and the lowest of each wanted attitude is among them', () => {
  const points = outerPoints(brick(10, 20, 30))
  const down = [0.5, 0.5, -Math.SQRT1_2] as const
  const places = touchPlaces(points, [down], 2.5, 60)
  const p = farthest(points, down)
  expect(places[0].at).toEqual([points[3 * p], points[3 * p + 1], points[3 * p + 2]])
  expect(places.length).toBeGreaterThanOrEqual(8)
})
