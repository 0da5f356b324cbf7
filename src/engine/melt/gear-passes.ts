// How often each piece of filament goes back and forth under the feed gear.
//
// A retraction after E mm of filament pulls the last r mm back under the gear and pushes them out again: the pieces from E - r to E
// pass once more. So a piece passes as often as retractions begin within r mm after it: with a retraction every d mm of filament
// r/d times. Longer retraction makes it worse in proportion, and does nothing for the distance between retractions.

import { type BeadPlan, filamentArea } from '../beads/index.ts'
import type { GearPasses } from './types.ts'

/** Most passes, where, and the length with more than the allowed ones. @param starts filament fed before each retraction, mm, rising */
const sweep = (starts: ArrayLike<number>, lengths: ArrayLike<number>, mostAllowed: number) => {
  const n = starts.length
  const opens = Float64Array.from({ length: n }, (_, i) => starts[i] - lengths[i]).sort()
  const closes = Float64Array.from({ length: n }, (_, i) => starts[i])
  let most = 0
  let mostAtMm = 0
  let chewedMm = 0
  let passes = 0
  let o = 0
  let c = 0
  let at = 0
  while (c < n) {
    // Equal but for rounding: the piece just left is closed before the next one is opened.
    const isOpen = o < n && opens[o] < closes[c] - 1e-9
    const to = isOpen ? opens[o] : closes[c]
    if (passes > mostAllowed) chewedMm += to - at
    at = to
    if (isOpen) {
      o++
      passes++
      if (passes > most) {
        most = passes
        mostAtMm = at
      }
    } else {
      c++
      passes--
    }
  }
  return { most, mostAtMm, chewedMm }
}

/**
 * Gear passes of a plan.
 * @param mostAllowed passes above this count as chewed (filament card)
 * @param otherLengths retraction lengths to compare with, mm
 */
export const gearPasses = (
  plan: BeadPlan,
  filamentMm: number,
  mostAllowed: number,
  otherLengths: readonly number[] = [],
): GearPasses => {
  const area = filamentArea(filamentMm)
  const starts: number[] = []
  const lengths: number[] = []
  const layerOf: number[] = []
  let fed = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      if (plan.retraction[b] > 0) {
        starts.push(fed)
        lengths.push(plan.retraction[b])
        layerOf.push(layer)
      }
      fed += plan.volume[b] / area
    }
  }
  const own = sweep(starts, lengths, mostAllowed)
  // Per layer: the piece just under the gear at a retraction is passed by it and by those that follow within its length.
  const layerMost = new Uint16Array(plan.nLayers)
  for (let i = 0, j = 0; i < starts.length; i++) {
    // Retractions up to j begin within reach of the piece that retraction i pulls back first.
    j = Math.max(j, i)
    while (j + 1 < starts.length && starts[j + 1] - lengths[j + 1] < starts[i] - 1e-9) j++
    layerMost[layerOf[i]] = Math.max(layerMost[layerOf[i]], j - i + 1)
  }
  return {
    kind: 'gear-passes',
    nRetractions: starts.length,
    filamentMm: fed,
    ...own,
    mostAllowed,
    layerMost,
    withOtherLengths: otherLengths.map((retractionMm) => {
      const { most, chewedMm } = sweep(starts, new Float64Array(starts.length).fill(retractionMm), mostAllowed)
      return { retractionMm, most, chewedMm }
    }),
  }
}
