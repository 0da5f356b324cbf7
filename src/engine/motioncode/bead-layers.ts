// Layers from the heights at which plastic is laid; widths from volume and layer height.

import { widthOfPitch } from '../beads/index.ts'
import type { RawBeads } from './cut-beads.ts'

/** Heights closer than this are one layer, mm. */
const SAME_HEIGHT_MM = 0.004

export interface BeadLayers {
  readonly nLayers: number
  readonly topZ: number[]
  readonly height: number[]
  /** Beads of layer i are start[i] to start[i+1]-1; length nLayers+1. */
  readonly start: number[]
  /** Share of beads whose layer has a height that most layers share, 0-1. */
  readonly regularShare: number
  readonly cause: string
}

/** Groups beads by the height they end at, in laying order; a layer's height is the step from the next lower height in the whole file. */
export const layersOf = (raw: RawBeads): BeadLayers => {
  const topZ: number[] = []
  const start: number[] = [0]
  for (let b = 0; b < raw.n; b++) {
    const z = raw.points.at(3 * (raw.start.at(b + 1) - 1) + 2)
    const now = topZ.length - 1
    if (now < 0 || Math.abs(z - topZ[now]) > SAME_HEIGHT_MM) {
      if (now >= 0) start.push(b)
      topZ.push(z)
    }
  }
  start.push(raw.n)
  const levels: number[] = []
  for (const z of [...topZ].sort((a, b) => a - b))
    if (levels.length === 0 || z - levels[levels.length - 1] > SAME_HEIGHT_MM) levels.push(z)
  const below = (z: number): number => {
    let low = 0
    let high = levels.length
    while (low < high) {
      const middle = (low + high) >> 1
      if (levels[middle] < z - SAME_HEIGHT_MM) low = middle + 1
      else high = middle
    }
    return low > 0 ? levels[low - 1] : 0
  }
  const usual = levels.length > 1 ? median(levels.slice(1).map((z, i) => z - levels[i])) : 0
  // A first level far off the bed is no first layer height: take the usual step.
  const oddFirst = levels.length > 1 && (levels[0] > 4 * usual + 0.2 || levels[0] <= 0)
  const height = topZ.map((z) => (oddFirst && z - SAME_HEIGHT_MM <= levels[0] ? usual : z - below(z)))
  let regular = 0
  for (let layer = 0; layer < topZ.length; layer++)
    if (Math.abs(height[layer] - usual) <= SAME_HEIGHT_MM || Math.abs(topZ[layer] - levels[0]) <= SAME_HEIGHT_MM)
      regular += start[layer + 1] - start[layer]
  const regularShare = raw.n > 0 ? regular / raw.n : 0
  const cause = oddFirst
    ? `the lowest bead lies at ${levels[0].toFixed(3)} mm, which is no layer height; ${usual.toFixed(3)} mm was taken`
    : regularShare < 1
      ? `${Math.round(100 * (1 - regularShare))} % of the beads lie in layers of another height than ${usual.toFixed(3)} mm`
      : levels.length === 1
        ? 'there is only one height'
        : `all layers above the first step by ${usual.toFixed(3)} mm`
  return { nLayers: topZ.length, topZ, height: height.map((h) => Math.max(h, 1e-3)), start, regularShare, cause }
}

/** Middle value; NaN of nothing. */
export const median = (values: ArrayLike<number>): number => {
  const sorted = Float64Array.from(values).sort()
  const n = sorted.length
  return n === 0 ? Number.NaN : n % 2 === 1 ? sorted[(n - 1) / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2
}

/** Width of the bead of this section and height; one narrower than high is an ellipse. */
export const widthOfSection = (area: number, height: number): number => widthOfPitch(Math.max(0, area) / height, height)
