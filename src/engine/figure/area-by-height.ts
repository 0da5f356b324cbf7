// Area of the level section at many heights, without cutting the mesh: good enough to tell a base and a crown.

import type { Mesh } from '../mesh/index.ts'

/** Section areas at evenly spaced heights. */
export interface AreaByHeight {
  /** Lowest and highest z of the mesh. */
  readonly from: number
  readonly to: number
  /** Distance between levels; level i lies at from + (i + 0.5) * step. */
  readonly step: number
  /** Area at each level, squared unit of the mesh. Overlapping shells count twice; holes in the mesh disturb it. */
  readonly area: Float64Array
}

/**
 * Areas by the divergence theorem: the section at z has the area of all that lies above it, seen from above, upward faces counted
 * plus and downward faces minus. Exact for closed meshes.
 */
export const areaByHeight = ({ positions: p, triangles }: Mesh, nLevels: number): AreaByHeight => {
  let from = Infinity
  let to = -Infinity
  for (let i = 2; i < p.length; i += 3) {
    if (p[i] < from) from = p[i]
    if (p[i] > to) to = p[i]
  }
  const step = (to - from) / nLevels
  const area = new Float64Array(nLevels)
  /** whole[k]: plan area of the triangles that lie wholly above levels 0 to k-1 and not above level k. */
  const whole = new Float64Array(nLevels + 1)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const plan = ((p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a])) / 2
    if (plan === 0) continue
    // Heights in levels, so that level i lies at i.
    const za = (p[a + 2] - from) / step - 0.5
    const zb = (p[b + 2] - from) / step - 0.5
    const zc = (p[c + 2] - from) / step - 0.5
    const low = Math.min(za, zb, zc)
    const high = Math.max(za, zb, zc)
    const middle = za + zb + zc - low - high
    let level = Math.max(0, Math.ceil(low))
    whole[Math.min(level, nLevels)] += plan
    for (; level < high && level < nLevels; level++) {
      // Share of the triangle above the level: similar triangles from its top or from its bottom.
      const share =
        level >= middle
          ? (high - level) ** 2 / ((high - low) * (high - middle))
          : 1 - (level - low) ** 2 / ((high - low) * (middle - low))
      area[level] += plan * share
    }
  }
  let above = 0
  for (let k = nLevels - 1; k >= 0; k--) {
    above += whole[k + 1]
    area[k] = Math.max(0, area[k] + above)
  }
  return { from, to, step, area }
}
