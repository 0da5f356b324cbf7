// Directions to try: even over the sphere, in finer steps about the given stance, and the attitudes in which the body comes to rest.

import type { Direction } from './types.ts'

const GOLDEN = Math.PI * (3 - Math.sqrt(5))

/** Directions even over the sphere, by the golden-angle spiral; xyz each. */
export const sphereDirections = (n: number): Float64Array => {
  const ups = new Float64Array(3 * n)
  for (let i = 0; i < n; i++) {
    const z = 1 - (2 * i + 1) / n
    const r = Math.sqrt(1 - z * z)
    ups[3 * i] = r * Math.cos(GOLDEN * i)
    ups[3 * i + 1] = r * Math.sin(GOLDEN * i)
    ups[3 * i + 2] = z
  }
  return ups
}

/** Tilts of the given stance about its base: `around` ways, in even steps of lean. */
export const tiltDirections = (around: number, leansDeg: readonly number[]): Float64Array => {
  const ups: number[] = []
  for (const lean of leansDeg) {
    const [c, s] = [Math.cos((lean * Math.PI) / 180), Math.sin((lean * Math.PI) / 180)]
    for (let k = 0; k < around; k++) {
      const a = (2 * Math.PI * k) / around
      ups.push(s * Math.cos(a), s * Math.sin(a), c)
    }
  }
  return Float64Array.from(ups)
}

/** Vertices that lie lowest in at least one direction, xyz each: enough of the hull to let the body settle. */
export const outermost = (positions: Float64Array, lowest: Uint32Array): Float64Array => {
  const seen = new Set<number>(lowest)
  const points: number[] = []
  for (const v of seen) points.push(positions[3 * v], positions[3 * v + 1], positions[3 * v + 2])
  return Float64Array.from(points)
}

/** How high the centre lies above the bed when `up` is up. */
const centreHeight = (points: Float64Array, centre: Direction, x: number, y: number, z: number): number => {
  let low = Infinity
  for (let i = 0; i < points.length; i += 3) {
    const h = points[i] * x + points[i + 1] * y + points[i + 2] * z
    if (h < low) low = h
  }
  return centre[0] * x + centre[1] * y + centre[2] * z - low
}

/** Steps of the descent, radians. */
const STEPS = [0.05, 0.02, 0.008, 0.003, 0.001, 3e-4, 1e-4]

/** Rolls a body from one direction to the nearest attitude in which its centre cannot sink any more. */
const settle = (points: Float64Array, centre: Direction, from: Direction): Direction => {
  let up = [...from]
  let height = centreHeight(points, centre, up[0], up[1], up[2])
  for (const step of STEPS) {
    for (let round = 0; round < 60; round++) {
      let best: number[] | null = null
      // Eight ways to turn, in the plane square to the direction.
      const side = Math.abs(up[2]) < 0.9 ? [-up[1], up[0], 0] : [0, -up[2], up[1]]
      const n = Math.hypot(...side)
      const a = side.map((v) => v / n)
      const b = [up[1] * a[2] - up[2] * a[1], up[2] * a[0] - up[0] * a[2], up[0] * a[1] - up[1] * a[0]]
      for (let k = 0; k < 8; k++) {
        const [c, s] = [step * Math.cos((k * Math.PI) / 4), step * Math.sin((k * Math.PI) / 4)]
        const to = up.map((v, i) => v + c * a[i] + s * b[i])
        const size = Math.hypot(...to)
        for (let i = 0; i < 3; i++) to[i] /= size
        const h = centreHeight(points, centre, to[0], to[1], to[2])
        if (h < height - 1e-12) {
          height = h
          best = to
        }
      }
      if (!best) break
      up = best
    }
  }
  return [up[0], up[1], up[2]]
}

/**
 * Attitudes in which the body comes to rest: local minima of the height of its centre.
 * @param heights height of the centre above the bed in each direction
 */
export const restingDirections = (
  points: Float64Array,
  centre: Direction,
  ups: Float64Array,
  heights: Float64Array,
): Float64Array => {
  const n = heights.length
  const near = Math.cos(Math.min(0.5, 6 / Math.sqrt(n)))
  const found: number[] = []
  for (let i = 0; i < n; i++) {
    let isLeast = true
    for (let j = 0; j < n && isLeast; j++) {
      if (heights[j] >= heights[i]) continue
      const cos = ups[3 * i] * ups[3 * j] + ups[3 * i + 1] * ups[3 * j + 1] + ups[3 * i + 2] * ups[3 * j + 2]
      if (cos > near) isLeast = false
    }
    if (!isLeast) continue
    const up = settle(points, centre, [ups[3 * i], ups[3 * i + 1], ups[3 * i + 2]])
    let isNew = true
    for (let k = 0; k < found.length && isNew; k += 3)
      isNew = found[k] * up[0] + found[k + 1] * up[1] + found[k + 2] * up[2] < 0.9998
    if (isNew) found.push(...up)
  }
  return Float64Array.from(found)
}
