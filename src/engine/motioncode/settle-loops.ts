// Doubtful closed beads take the role of a sure one that lies right above or below them.

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import { distanceTo, samplesOf, shapeOf } from './layer-shapes.ts'

/** Up to this certainty a role is doubtful; from the second on it may serve as a model. */
const DOUBTFUL = 0.5
const SURE = 0.7

const shapeOfBead = (plan: BeadPlan, b: number) => shapeOf(plan.points, plan.beadStart[b], plan.beadStart[b + 1])

/** Goes through all layers once. A shell over a shell: most of the bead lies within 0.6 of its width of the other's path. */
export const settleLoops = (plan: BeadPlan, roleSure: Float32Array): void => {
  const shells = [roleIndex('outer shell'), roleIndex('inner shell')]
  for (let layer = 0; layer < plan.nLayers; layer++)
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      if (plan.closed[b] === 0 || roleSure[b] > DOUBTFUL || !shells.includes(plan.role[b])) continue
      const samples = samplesOf(shapeOfBead(plan, b), 16)
      let best = 0
      for (const other of [layer + 1, layer - 1]) {
        if (other < 0 || other >= plan.nLayers) continue
        for (let c = plan.layerStart[other]; c < plan.layerStart[other + 1]; c++) {
          if (plan.closed[c] === 0 || roleSure[c] < SURE || !shells.includes(plan.role[c])) continue
          const path = shapeOfBead(plan, c)
          let near = 0
          for (let i = 0; i < samples.length; i += 2)
            if (distanceTo(path, samples[i], samples[i + 1]) < 0.6 * plan.width[b]) near++
          const share = near / (samples.length / 2)
          if (share < 0.6 || share <= best) continue
          best = share
          plan.role[b] = plan.role[c]
        }
      }
      if (best > 0) roleSure[b] = SURE
    }
}
