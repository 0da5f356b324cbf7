// The least distance between pieces on a bed, exactly, from their outlines as they stand.

import type { Polygons } from '../engine/kernel/index.ts'
import { turnedLoops } from './shapes.ts'
import type { TrayPlace } from './types.ts'

/** Outline of a piece where it stands. */
export const outlineAt = (outline: Polygons, { x, y, turn }: Pick<TrayPlace, 'x' | 'y' | 'turn'>): Polygons => {
  const { loopStart, points } = turnedLoops(outline, turn)
  for (let i = 0; i < points.length; i += 2) {
    points[i] += x
    points[i + 1] += y
  }
  return { loopStart, points }
}

const boxOf = ({ points }: Polygons): [number, number, number, number] => {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < points.length; i += 2) {
    box[0] = Math.min(box[0], points[i])
    box[1] = Math.min(box[1], points[i + 1])
    box[2] = Math.max(box[2], points[i])
    box[3] = Math.max(box[3], points[i + 1])
  }
  return box
}

/** Distance of a point from a segment, squared. */
const square = (px: number, py: number, ax: number, ay: number, bx: number, by: number): number => {
  const [dx, dy] = [bx - ax, by - ay]
  const length = dx * dx + dy * dy
  const s = length > 0 ? Math.max(0, Math.min(1, ((px - ax) * dx + (py - ay) * dy) / length)) : 0
  return (px - ax - s * dx) ** 2 + (py - ay - s * dy) ** 2
}

/** Distance between two outlines that do not cross, mm: least of point to edge both ways. */
export const outlineDistance = (a: Polygons, b: Polygons, most = Infinity): number => {
  let least = most * most
  const oneWay = (p: Polygons, q: Polygons): void => {
    for (let i = 0; i < p.points.length; i += 2)
      for (let j = 0; j + 1 < q.loopStart.length; j++) {
        const [from, to] = [q.loopStart[j], q.loopStart[j + 1]]
        let k = to - 1
        for (let m = from; m < to; m++) {
          const d = square(
            p.points[i],
            p.points[i + 1],
            q.points[2 * k],
            q.points[2 * k + 1],
            q.points[2 * m],
            q.points[2 * m + 1],
          )
          if (d < least) least = d
          k = m
        }
      }
  }
  oneWay(a, b)
  oneWay(b, a)
  return Math.sqrt(least)
}

/** Least distance between any two pieces, mm; infinite for one. */
export const leastGap = (places: readonly TrayPlace[], outlines: readonly Polygons[]): number => {
  const standing = places.map((place) => outlineAt(outlines[place.figure], place))
  const boxes = standing.map(boxOf)
  let least = Infinity
  for (let i = 0; i < standing.length; i++)
    for (let j = 0; j < i; j++) {
      const [a, b] = [boxes[i], boxes[j]]
      const apart = Math.hypot(Math.max(0, a[0] - b[2], b[0] - a[2]), Math.max(0, a[1] - b[3], b[1] - a[3]))
      if (apart < least) least = Math.min(least, outlineDistance(standing[i], standing[j], least))
    }
  return least
}
