// Does it stand: least angle to tip over, push at the top that tips it, energy to tip it. Support is the hull of what touches the bed.

import type { LayerStack } from '../sections/index.ts'
import type { Standing } from './types.ts'

/** Earth's pull, mm/s2. */
export const GRAVITY_MM_PER_S2 = 9806.65

/** Convex hull, counter-clockwise, of flat xy points (Andrew 1979). */
export const hullOf = (points: ArrayLike<number>): number[] => {
  const order = Array.from({ length: points.length / 2 }, (_, i) => i).sort(
    (a, b) => points[2 * a] - points[2 * b] || points[2 * a + 1] - points[2 * b + 1],
  )
  const half = (list: readonly number[]): number[] => {
    const out: number[] = []
    for (const i of list) {
      while (out.length >= 2) {
        const a = out[out.length - 2]
        const b = out[out.length - 1]
        const turn =
          (points[2 * b] - points[2 * a]) * (points[2 * i + 1] - points[2 * a + 1]) -
          (points[2 * b + 1] - points[2 * a + 1]) * (points[2 * i] - points[2 * a])
        if (turn > 0) break
        out.pop()
      }
      out.push(i)
    }
    out.pop()
    return out
  }
  return [...half(order), ...half([...order].reverse())]
}

/**
 * Standing on the first layer's outline.
 * @param centre middle of the mass, mm, @param topMm height at which one pushes
 */
export const standingOf = (
  stack: LayerStack,
  centre: readonly [number, number, number],
  massG: number,
  topMm: number,
): Standing => {
  const points = stack.points.subarray(
    2 * stack.loopStart[stack.layerStart[0]],
    2 * stack.loopStart[stack.layerStart[1] ?? stack.layerStart[0]],
  )
  const hull = hullOf(points)
  let arm = Infinity
  let towards: [number, number] = [1, 0]
  for (let k = 0; k < hull.length; k++) {
    const a = hull[k]
    const b = hull[(k + 1) % hull.length]
    const ex = points[2 * b] - points[2 * a]
    const ey = points[2 * b + 1] - points[2 * a + 1]
    const l = Math.hypot(ex, ey)
    if (l < 1e-9) continue
    const d = (ex * (centre[1] - points[2 * a + 1]) - ey * (centre[0] - points[2 * a])) / l
    if (d < arm) {
      arm = d
      towards = [ey / l, -ex / l]
    }
  }
  if (!Number.isFinite(arm)) arm = 0
  const z = centre[2]
  const weightN = massG * 1e-6 * GRAVITY_MM_PER_S2
  const reach = Math.max(arm, 0)
  return {
    centre,
    massG,
    tipDegrees: (Math.atan2(arm, z) * 180) / Math.PI,
    towards,
    pushAtTopN: (weightN * reach) / Math.max(topMm, 1e-9),
    tipEnergyMJ: weightN * (Math.hypot(reach, z) - z),
  }
}
