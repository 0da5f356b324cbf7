// Where a closed bead begins: in its sharpest concave corner, where the mark is hidden, else at the point nearest to the nozzle.

/** Arms along which the turn at a point is seen, mm: longer than the chords of rounded corners. */
const ARM = 0.25
/** Least turn that hides a start, radians. */
const LEAST_TURN = 0.35

/** Turn at every point of a closed path over arms of a fixed length, radians; negative where the solid (left) is concave, 0 at convex points. */
export const turnsOf = (points: Float64Array, arm = ARM): Float64Array => {
  const n = points.length / 2
  const turns = new Float64Array(n)
  const reach = (i: number, way: 1 | -1): [number, number] => {
    let left = arm
    let x = points[2 * i]
    let y = points[2 * i + 1]
    let at = i
    for (let k = 0; k < n; k++) {
      at = (at + way + n) % n
      const dx = points[2 * at] - x
      const dy = points[2 * at + 1] - y
      const l = Math.hypot(dx, dy)
      if (l >= left) return [x + (dx * left) / l, y + (dy * left) / l]
      left -= l
      x = points[2 * at]
      y = points[2 * at + 1]
    }
    return [x, y]
  }
  for (let i = 0; i < n; i++) {
    const h = i === 0 ? n - 1 : i - 1
    const k = i + 1 < n ? i + 1 : 0
    const ex = points[2 * i] - points[2 * h]
    const ey = points[2 * i + 1] - points[2 * h + 1]
    // Only points that are concave themselves can be the bottom of a corner.
    if (ex * (points[2 * k + 1] - points[2 * i + 1]) - ey * (points[2 * k] - points[2 * i]) >= 0) continue
    const [bx, by] = reach(i, -1)
    const [ax, ay] = reach(i, 1)
    const ux = points[2 * i] - bx
    const uy = points[2 * i + 1] - by
    const vx = ax - points[2 * i]
    const vy = ay - points[2 * i + 1]
    turns[i] = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
  }
  return turns
}

/** Index of the point where the closed bead begins. @param turns of the same path, or null to take the nearest point */
export const beadStartOf = (points: Float64Array, turns: Float64Array | null, x: number, y: number): number => {
  const n = points.length / 2
  let sharpest = -LEAST_TURN
  if (turns) for (let i = 0; i < n; i++) if (turns[i] < sharpest) sharpest = turns[i]
  const concave = turns !== null && sharpest < -LEAST_TURN
  let best = 0
  let least = Infinity
  for (let i = 0; i < n; i++) {
    // Corners as sharp as the sharpest one, within a degree, compete by distance.
    if (concave && (turns as Float64Array)[i] > sharpest + 0.02) continue
    const d = (points[2 * i] - x) ** 2 + (points[2 * i + 1] - y) ** 2
    if (d < least) {
      least = d
      best = i
    }
  }
  return best
}
