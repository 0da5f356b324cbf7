// Small measures and changes of closed loops and polylines in the plane, on flat arrays.

import type { Polygons } from '../kernel/index.ts'

/** Number of loops. */
export const nLoopsOf = (polygons: Polygons): number => polygons.loopStart.length - 1

/** Signed area of one loop, mm2. */
export const loopArea = ({ loopStart, points }: Polygons, loop: number): number => {
  const from = loopStart[loop]
  const to = loopStart[loop + 1]
  if (to - from < 3) return 0
  const x0 = points[2 * from]
  const y0 = points[2 * from + 1]
  let twice = 0
  let px = points[2 * to - 2] - x0
  let py = points[2 * to - 1] - y0
  for (let i = from; i < to; i++) {
    const x = points[2 * i] - x0
    const y = points[2 * i + 1] - y0
    twice += px * y - x * py
    px = x
    py = y
  }
  return twice / 2
}

/** Length of one loop, mm. */
export const loopLength = ({ loopStart, points }: Polygons, loop: number): number => {
  const from = loopStart[loop]
  const to = loopStart[loop + 1]
  let length = 0
  for (let i = from; i < to; i++) {
    const k = i + 1 < to ? i + 1 : from
    length += Math.hypot(points[2 * k] - points[2 * i], points[2 * k + 1] - points[2 * i + 1])
  }
  return length
}

/** Area of all loops together, holes taken off, mm2. */
export const areaOf = (polygons: Polygons): number => {
  let area = 0
  for (let j = 0; j < nLoopsOf(polygons); j++) area += loopArea(polygons, j)
  return area
}

/** Length of all loops together, mm. */
export const lengthOf = (polygons: Polygons): number => {
  let length = 0
  for (let j = 0; j < nLoopsOf(polygons); j++) length += loopLength(polygons, j)
  return length
}

/** Points of one loop, xy. */
export const loopPoints = ({ loopStart, points }: Polygons, loop: number): Float64Array =>
  points.slice(2 * loopStart[loop], 2 * loopStart[loop + 1])

/** The chosen loops, in the order given. */
export const loopsChosen = (polygons: Polygons, chosen: readonly number[]): Polygons => {
  const { loopStart, points } = polygons
  const starts = new Uint32Array(chosen.length + 1)
  let n = 0
  chosen.forEach((j, i) => {
    n += loopStart[j + 1] - loopStart[j]
    starts[i + 1] = n
  })
  const out = new Float64Array(2 * n)
  chosen.forEach((j, i) => {
    out.set(points.subarray(2 * loopStart[j], 2 * loopStart[j + 1]), 2 * starts[i])
  })
  return { loopStart: starts, points: out }
}

/** True when (x, y) lies within the loop, by crossings. */
export const isInLoop = ({ loopStart, points }: Polygons, loop: number, x: number, y: number): boolean => {
  const from = loopStart[loop]
  const to = loopStart[loop + 1]
  let inside = false
  let px = points[2 * to - 2]
  let py = points[2 * to - 1]
  for (let i = from; i < to; i++) {
    const qx = points[2 * i]
    const qy = points[2 * i + 1]
    if (qy > y !== py > y && x < ((px - qx) * (y - qy)) / (py - qy) + qx) inside = !inside
    px = qx
    py = qy
  }
  return inside
}

/** Groups of one outer loop and its holes: the loops of each connected piece, outer first. */
export const piecesOf = (polygons: Polygons): number[][] => {
  const outers: number[] = []
  const holes: number[] = []
  const areas: number[] = []
  for (let j = 0; j < nLoopsOf(polygons); j++) {
    areas.push(loopArea(polygons, j))
    ;(areas[j] > 0 ? outers : holes).push(j)
  }
  const pieces = outers.map((j) => [j])
  for (const hole of holes) {
    const i = polygons.loopStart[hole]
    let best = -1
    for (let k = 0; k < outers.length; k++) {
      if (best >= 0 && areas[outers[k]] >= areas[outers[best]]) continue
      if (isInLoop(polygons, outers[k], polygons.points[2 * i], polygons.points[2 * i + 1])) best = k
    }
    if (best < 0 && outers.length === 1) best = 0
    if (best >= 0) pieces[best].push(hole)
  }
  return pieces
}

/** Marks in `keep` what a polyline needs so that no point of it is farther than the tolerance (halving at the farthest point). */
const markKept = (
  points: ArrayLike<number>,
  dims: number,
  from: number,
  to: number,
  tolerance: number,
  keep: Uint8Array,
): void => {
  const stack = [from, to]
  const limit = tolerance * tolerance
  while (stack.length > 0) {
    const b = stack.pop() as number
    const a = stack.pop() as number
    if (b - a < 2) continue
    let chord2 = 0
    for (let d = 0; d < dims; d++) chord2 += (points[dims * b + d] - points[dims * a + d]) ** 2
    let worst = limit
    let at = -1
    for (let i = a + 1; i < b; i++) {
      let along = 0
      let own = 0
      for (let d = 0; d < dims; d++) {
        const v = points[dims * i + d] - points[dims * a + d]
        along += v * (points[dims * b + d] - points[dims * a + d])
        own += v * v
      }
      const s = chord2 > 0 ? Math.min(1, Math.max(0, along / chord2)) : 0
      const off = own - 2 * s * along + s * s * chord2
      if (off > worst) {
        worst = off
        at = i
      }
    }
    if (at >= 0) {
      keep[at] = 1
      stack.push(a, at, at, b)
    }
  }
}

/** Indices of the points of an open polyline that stand for all within the tolerance. @param dims numbers per point */
export const thinnedLine = (points: ArrayLike<number>, dims: number, n: number, tolerance: number): number[] => {
  const keep = new Uint8Array(n)
  keep[0] = 1
  keep[n - 1] = 1
  markKept(points, dims, 0, n - 1, tolerance, keep)
  const kept: number[] = []
  for (let i = 0; i < n; i++) if (keep[i]) kept.push(i)
  return kept
}

/** Closed loops with fewer points: none of the old ones is farther from the new loop than the tolerance. Loops that vanish are left out. */
export const thinnedLoops = (polygons: Polygons, tolerance: number): Polygons => {
  const { loopStart, points } = polygons
  const out = new Float64Array(points.length)
  const starts = [0]
  let n = 0
  for (let j = 0; j < nLoopsOf(polygons); j++) {
    const from = loopStart[j]
    const count = loopStart[j + 1] - from
    if (count < 3) continue
    // Two far points first: the outermost one, and the one farthest from it.
    let a = 0
    for (let i = 1; i < count; i++) if (points[2 * (from + i)] < points[2 * (from + a)]) a = i
    const turned = new Float64Array(2 * count + 2)
    for (let i = 0; i <= count; i++) {
      const k = from + ((a + i) % count)
      turned[2 * i] = points[2 * k]
      turned[2 * i + 1] = points[2 * k + 1]
    }
    let b = 0
    let far = 0
    for (let i = 1; i < count; i++) {
      const d = (turned[2 * i] - turned[0]) ** 2 + (turned[2 * i + 1] - turned[1]) ** 2
      if (d > far) {
        far = d
        b = i
      }
    }
    if (b === 0) continue
    const keep = new Uint8Array(count + 1)
    keep[0] = 1
    keep[b] = 1
    markKept(turned, 2, 0, b, tolerance, keep)
    markKept(turned, 2, b, count, tolerance, keep)
    const before = n
    for (let i = 0; i < count; i++) {
      if (!keep[i]) continue
      out[2 * n] = turned[2 * i]
      out[2 * n + 1] = turned[2 * i + 1]
      n++
    }
    if (n - before < 3) n = before
    else starts.push(n)
  }
  return { loopStart: Uint32Array.from(starts), points: out.slice(0, 2 * n) }
}
