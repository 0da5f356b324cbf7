// Roles with the figure at hand: a closed bead half a width inside an outline is an outer shell, whatever lies round it.

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { distanceTo, isInside, type Shape, samplesOf, shapeOf } from './layer-shapes.ts'
import { type Placement, stackLayerAt } from './place-figure.ts'

/** Outlines of one layer of the stack, shifted to the file's place, as closed shapes. */
const outlinesOf = (stack: LayerStack, layer: number, placement: Placement): { shape: Shape; loop: number }[] => {
  const shapes: { shape: Shape; loop: number }[] = []
  for (let loop = stack.layerStart[layer]; loop < stack.layerStart[layer + 1]; loop++) {
    const from = stack.loopStart[loop]
    const n = stack.loopStart[loop + 1] - from
    const points = new Float64Array(3 * (n + 1))
    for (let i = 0; i <= n; i++) {
      const at = from + (i % n)
      points[3 * i] = stack.points[2 * at] + placement.dx
      points[3 * i + 1] = stack.points[2 * at + 1] + placement.dy
    }
    shapes.push({ shape: shapeOf(points, 0, n + 1), loop })
  }
  return shapes
}

/** Corrects shells, props and priming loops, and fills in the islands. */
export const rolesByFigure = (
  plan: BeadPlan,
  stack: LayerStack,
  placement: Placement,
  roleSure: Float32Array,
): void => {
  const outer = roleIndex('outer shell')
  const inner = roleIndex('inner shell')
  const prop = roleIndex('prop')
  const priming = roleIndex('priming loop')
  for (let layer = 0; layer < plan.nLayers; layer++) {
    const known = stackLayerAt(stack, plan.layerTopZ[layer], plan.layerHeight[layer])
    const outlines = known >= 0 ? outlinesOf(stack, known, placement) : []
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      const path = shapeOf(plan.points, plan.beadStart[b], plan.beadStart[b + 1])
      const samples = samplesOf(path, 24)
      const n = samples.length / 2
      let inside = 0
      let near = 0
      let island = -1
      for (let k = 0; k < samples.length; k += 2) {
        let turns = 0
        let nearest = Number.POSITIVE_INFINITY
        for (const { shape, loop } of outlines) {
          if (isInside(shape, samples[k], samples[k + 1])) {
            turns++
            if (stack.loopArea[loop] > 0) island = stack.loopIsland[loop]
          }
          nearest = Math.min(nearest, distanceTo(shape, samples[k], samples[k + 1]))
        }
        if (turns % 2 === 1) inside++
        else if (nearest < 0.3) inside += 0.5
        if (Math.abs(nearest - plan.width[b] / 2) < 0.4 * plan.width[b]) near++
      }
      if (inside < 0.3 * n) {
        if (plan.role[b] !== priming) {
          plan.role[b] = layer === 0 && roleSure[b] < 0.6 ? priming : prop
          roleSure[b] = 0.8
        }
        continue
      }
      plan.island[b] = island
      if (plan.role[b] !== outer && plan.role[b] !== inner && plan.role[b] !== priming) {
        roleSure[b] = Math.min(1, roleSure[b] + 0.05)
        continue
      }
      plan.role[b] = near > 0.6 * n ? outer : inner
      roleSure[b] = 0.97
    }
  }
}
