// The thinnest place of every island that is long enough to matter: a wall, not the tip of a wedge.

import type { LayerStack } from '../sections/index.ts'
import type { OutlineThickness } from './types.ts'

/** What counts as a thin place. */
export interface ThinPlaceOptions {
  /** Walls that face each other by at least this angle, radians. Default 150 deg: wedges sharper than 30 deg count. */
  readonly leastFacing?: number
  /** Length of outline, both walls together, that must be as thin, mm. Default 0.6. */
  readonly lengthMm?: number
}

/** Defaults: the same 30 deg as for rounded corners; three quarters of a bead of 0.4 mm along both walls. Ours. */
export const THIN_PLACE_DEFAULTS = Object.freeze({ leastFacing: (150 * Math.PI) / 180, lengthMm: 0.6 })

/**
 * The same measurement with the thinnest place of each island taken over a length of outline instead of at one point:
 * the thickness below which `lengthMm` of its outline lies between facing walls. Islands without facing walls keep what they have.
 */
export const thinnestOver = (
  stack: LayerStack,
  measured: OutlineThickness,
  options: ThinPlaceOptions = {},
): OutlineThickness => {
  const { leastFacing, lengthMm } = { ...THIN_PLACE_DEFAULTS, ...options }
  const { sampleStart, samples, thickness, facing } = measured
  const islandThinnest = measured.islandThinnest.slice()
  const islandThinnestAt = measured.islandThinnestAt.slice()
  const nIslands = stack.islandLoop.length
  const nLoops = stack.loopIsland.length
  const chosen: number[] = []
  const lengths: number[] = []
  for (let island = 0; island < nIslands; island++) {
    chosen.length = 0
    lengths.length = 0
    for (let j = stack.islandLoop[island]; j < nLoops && stack.loopIsland[j] === island; j++) {
      const from = sampleStart[j]
      const to = sampleStart[j + 1]
      for (let s = from; s < to; s++) {
        if (facing[s] < leastFacing) continue
        // Half the way to either neighbour belongs to the sample.
        const a = s > from ? s - 1 : to - 1
        const b = s + 1 < to ? s + 1 : from
        chosen.push(s)
        lengths[s] =
          (Math.hypot(samples[2 * s] - samples[2 * a], samples[2 * s + 1] - samples[2 * a + 1]) +
            Math.hypot(samples[2 * b] - samples[2 * s], samples[2 * b + 1] - samples[2 * s + 1])) /
          2
      }
    }
    if (chosen.length === 0) {
      islandThinnest[island] = measured.islandWidest[island]
      continue
    }
    chosen.sort((a, b) => thickness[a] - thickness[b])
    let sum = 0
    let at = chosen[chosen.length - 1]
    for (const s of chosen) {
      sum += lengths[s]
      if (sum >= lengthMm) {
        at = s
        break
      }
    }
    islandThinnest[island] = thickness[at]
    islandThinnestAt[2 * island] = samples[2 * at]
    islandThinnestAt[2 * island + 1] = samples[2 * at + 1]
  }
  return { ...measured, islandThinnest, islandThinnestAt }
}
