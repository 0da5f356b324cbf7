// Several figures on one bed, layer by layer: the others' time is a pause in each layer of the one that is looked at.

import type { Timeline } from './types.ts'

/** The timeline of one figure printed together with others like it, each layer of all of them before the next. @param nTogether figures in all, 1 or more */
export const sharedTimeline = (timeline: Timeline, nTogether: number): Timeline => {
  const others = Math.max(0, Math.round(nTogether) - 1)
  if (others === 0) return timeline
  const nLayers = timeline.layerRealS.length
  const { layerS } = timeline
  /** What a moment is later by: the pauses of all layers before its own. */
  const later = (s: number): number => {
    let lo = 0
    let hi = nLayers - 1
    while (lo < hi) {
      const mid = (lo + hi + 1) >> 1
      if (layerS[mid] <= s) lo = mid
      else hi = mid - 1
    }
    return s + others * (layerS[lo] - layerS[0])
  }
  const shifted = (times: Float64Array): Float64Array => times.map(later)
  return {
    ...timeline,
    travelS: shifted(timeline.travelS),
    startS: shifted(timeline.startS),
    endS: shifted(timeline.endS),
    pointS: shifted(timeline.pointS),
    layerS: layerS.map((s) => layerS[0] + (others + 1) * (s - layerS[0])),
    layerRealS: timeline.layerRealS.map((s) => s * (others + 1)),
    layerWaitS: timeline.layerWaitS.map((s, k) => s + others * timeline.layerRealS[k]),
  }
}
