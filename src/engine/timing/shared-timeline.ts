// Several figures on one bed, layer by layer: the others' time is a pause in each layer of the one that is looked at.

import type { BeadPlan } from '../beads/index.ts'
import type { Timeline } from './types.ts'

/**
 * The timeline of one figure printed together with others like it, each layer of all of them before the next.
 * @param plan the beads that were timed @param nTogether figures in all, 1 or more
 */
export const sharedTimeline = (plan: BeadPlan, timeline: Timeline, nTogether: number): Timeline => {
  const others = Math.max(0, Math.round(nTogether) - 1)
  if (others === 0) return timeline
  const { layerS } = timeline
  const travelS = timeline.travelS.slice()
  const startS = timeline.startS.slice()
  const endS = timeline.endS.slice()
  const pointS = timeline.pointS.slice()
  for (let layer = 0; layer < plan.nLayers; layer++) {
    // By layer, not by time: the last bead of a layer ends at the moment at which the next layer begins.
    const laterS = others * (layerS[layer] - layerS[0])
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      travelS[b] += laterS
      startS[b] += laterS
      endS[b] += laterS
      for (let p = plan.beadStart[b]; p < plan.beadStart[b + 1]; p++) pointS[p] += laterS
    }
  }
  return {
    ...timeline,
    travelS,
    startS,
    endS,
    pointS,
    layerS: layerS.map((s) => layerS[0] + (others + 1) * (s - layerS[0])),
    layerRealS: timeline.layerRealS.map((s) => s * (others + 1)),
    layerWaitS: timeline.layerWaitS.map((s, k) => s + others * timeline.layerRealS[k]),
  }
}
