// Fewer points on an outline, within a stated tolerance, with its area kept.
//
// One pass of narrowing cones (after Imai and Iri's allowed directions): from the last kept point the directions that pass
// within the tolerance of every point since are intersected; when none is left, the point before is kept. Then all corners move
// along their mitres by the one small distance that gives back the area (chords of a round outline lie inside it; the flat
// sides of mixed outlines move by the same fraction of the tolerance).

/** Room for the result and scratch, reused from loop to loop. */
export interface SimplifyRoom {
  points: Float64Array
}

/** Signed area of a closed loop, mm2, counter-clockwise positive. Points from..to-1 of a flat xy array. */
export const loopAreaOf = (points: Float64Array, from: number, to: number): number => {
  const n = to - from
  if (n < 3) return 0
  // Relative to the first point: no loss of digits far from the origin.
  const x0 = points[2 * from]
  const y0 = points[2 * from + 1]
  let twice = 0
  let px = points[2 * (to - 1)] - x0
  let py = points[2 * (to - 1) + 1] - y0
  for (let i = from; i < to; i++) {
    const x = points[2 * i] - x0
    const y = points[2 * i + 1] - y0
    twice += px * y - x * py
    px = x
    py = y
  }
  return twice / 2
}

/** Moves all corners along their mitres by one distance so that the area becomes the given one; leaves the loop if that takes more than `most`. */
const giveBackArea = (points: Float64Array, n: number, area: number, most: number): void => {
  // Area is a quadratic in the distance: gather its coefficients, with the mitre vectors in a second half of the array.
  let linear = 0
  let square = 0
  const mitre = 2 * n
  for (let i = 0; i < n; i++) {
    const h = i === 0 ? n - 1 : i - 1
    const j = i === n - 1 ? 0 : i + 1
    let ax = points[2 * i] - points[2 * h]
    let ay = points[2 * i + 1] - points[2 * h + 1]
    let bx = points[2 * j] - points[2 * i]
    let by = points[2 * j + 1] - points[2 * i + 1]
    const la = Math.hypot(ax, ay) || 1
    const lb = Math.hypot(bx, by) || 1
    ax /= la
    ay /= la
    bx /= lb
    by /= lb
    // Right-hand normals point outwards of a counter-clockwise loop.
    const c = Math.max(1 + ax * bx + ay * by, 0.5)
    points[mitre + 2 * i] = (ay + by) / c
    points[mitre + 2 * i + 1] = -(ax + bx) / c
  }
  for (let i = 0; i < n; i++) {
    const j = i === n - 1 ? 0 : i + 1
    const x = points[2 * i]
    const y = points[2 * i + 1]
    const u = points[mitre + 2 * i]
    const v = points[mitre + 2 * i + 1]
    const x2 = points[2 * j]
    const y2 = points[2 * j + 1]
    const u2 = points[mitre + 2 * j]
    const v2 = points[mitre + 2 * j + 1]
    linear += x * v2 - x2 * v + (u * y2 - u2 * y)
    square += u * v2 - u2 * v
  }
  linear /= 2
  square /= 2
  const missing = area - loopAreaOf(points, 0, n)
  if (!(Math.abs(linear) > 1e-12)) return
  let d = missing / linear
  for (let turn = 0; turn < 4; turn++) d -= (square * d * d + linear * d - missing) / (2 * square * d + linear)
  if (!(Math.abs(d) <= most)) return
  for (let i = 0; i < n; i++) {
    points[2 * i] += d * points[mitre + 2 * i]
    points[2 * i + 1] += d * points[mitre + 2 * i + 1]
  }
}

/**
 * Simplifies the closed loop points[from..to-1] into room.points and returns the number of points kept (0: the loop has no width).
 * @param tolerance greatest distance between the old outline and the new one, mm; corners may move by as much again to keep the area
 */
export const simplifyLoop = (
  points: Float64Array,
  from: number,
  to: number,
  tolerance: number,
  room: SimplifyRoom,
): number => {
  const n = to - from
  if (n < 3) return 0
  if (room.points.length < 4 * n) room.points = new Float64Array(8 * n)
  const out = room.points
  // Start at an outermost point: a corner of the hull is never lost.
  let first = from
  for (let i = from + 1; i < to; i++) {
    const dx = points[2 * i] - points[2 * first]
    if (dx < 0 || (dx === 0 && points[2 * i + 1] < points[2 * first + 1])) first = i
  }
  let kept = 0
  let ax = points[2 * first]
  let ay = points[2 * first + 1]
  out[kept++] = ax
  out[kept++] = ay
  // Cone of allowed directions as two vectors: right (rx, ry) and left (lx, ly); wide means no limit yet.
  let wide = true
  let rx = 0
  let ry = 0
  let lx = 0
  let ly = 0
  let farthest = 0
  let px = ax
  let py = ay
  for (let step = 1; step <= n; step++) {
    const i = first + step < to ? first + step : first + step - n
    const x = points[2 * i]
    const y = points[2 * i + 1]
    let dx = x - ax
    let dy = y - ay
    let d2 = dx * dx + dy * dy
    const inside = wide || (rx * dy - ry * dx >= 0 && lx * dy - ly * dx <= 0)
    // A point that comes back towards the start of the chord also ends it: the chord would not cover the turn.
    if ((!inside || d2 < farthest) && !(px === ax && py === ay)) {
      out[kept++] = px
      out[kept++] = py
      ax = px
      ay = py
      wide = true
      farthest = 0
      dx = x - ax
      dy = y - ay
      d2 = dx * dx + dy * dy
    }
    if (d2 > farthest) farthest = d2
    const d = Math.sqrt(d2)
    if (d > tolerance) {
      const s = tolerance / d
      const c = Math.sqrt(1 - s * s)
      const ux = dx / d
      const uy = dy / d
      const nrx = ux * c + uy * s
      const nry = uy * c - ux * s
      const nlx = ux * c - uy * s
      const nly = uy * c + ux * s
      if (wide) {
        rx = nrx
        ry = nry
        lx = nlx
        ly = nly
        wide = false
      } else {
        if (rx * nry - ry * nrx > 0) {
          rx = nrx
          ry = nry
        }
        if (lx * nly - ly * nlx < 0) {
          lx = nlx
          ly = nly
        }
      }
    }
    px = x
    py = y
  }
  const count = kept / 2
  if (count < 3) return 0
  giveBackArea(out, count, loopAreaOf(points, from, to), tolerance)
  return count
}
