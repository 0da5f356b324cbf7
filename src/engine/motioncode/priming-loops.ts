// Priming loops: beads at the start of the first layer with nothing laid on or beside them in the layer above.

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import { roleLayer } from './bead-roles.ts'
import { distanceTo, isInside, samplesOf, shapeOf } from './layer-shapes.ts'

/** Plastic of the layer above must stay this far away, mm. */
const APART_MM = 1

const shapeOfBead = (plan: BeadPlan, b: number) => shapeOf(plan.points, plan.beadStart[b], plan.beadStart[b + 1])

const apartFrom = (plan: BeadPlan, b: number, first: number, last: number): boolean => {
  const shape = shapeOfBead(plan, b)
  const samples = samplesOf(shape, 16)
  for (let other = first; other < last; other++) {
    if (other === b) continue
    const path = shapeOfBead(plan, other)
    if (
      path.minX > shape.maxX + APART_MM ||
      path.maxX < shape.minX - APART_MM ||
      path.minY > shape.maxY + APART_MM ||
      path.maxY < shape.minY - APART_MM
    )
      continue
    for (let i = 0; i < samples.length; i += 2)
      if (distanceTo(path, samples[i], samples[i + 1]) < APART_MM) return false
  }
  return true
}

/** Marks them. With one layer only, closed beads at its start that go round the last bead and stay apart from all but themselves. */
export const findPrimingLoops = (plan: BeadPlan, roleSure: Float32Array): void => {
  if (plan.nLayers === 0) return
  const first = plan.layerStart[0]
  const last = plan.layerStart[1]
  const several = plan.nLayers > 1
  for (let b = first; b < last; b++) {
    const alone = several
      ? apartFrom(plan, b, plan.layerStart[1], plan.layerStart[2])
      : encloses(plan, b, last - 1) && apartFrom(plan, b, lastTouching(plan, b, last), last)
    if (!alone) break
    plan.role[b] = roleIndex('priming loop')
    roleSure[b] = several ? 0.85 : 0.5
  }
  // What the loops surround is no longer inside them: the outermost of the rest bound the figure.
  if (first < last && plan.role[first] === roleIndex('priming loop')) reNest(plan, first, last, roleSure)
}

const encloses = (plan: BeadPlan, b: number, other: number): boolean =>
  plan.closed[b] === 1 &&
  isInside(shapeOfBead(plan, b), plan.points[3 * plan.beadStart[other]], plan.points[3 * plan.beadStart[other] + 1])

/** Loops that stand side by side are one set: the first bead after b that does not touch the one before it. */
const lastTouching = (plan: BeadPlan, b: number, last: number): number => {
  let end = b + 1
  while (end < last && !apartFrom(plan, end, end - 1, end)) end++
  return end
}

const reNest = (plan: BeadPlan, first: number, last: number, roleSure: Float32Array): void => {
  let from = first
  while (from < last && plan.role[from] === roleIndex('priming loop')) from++
  if (from === last) return
  const roled = roleLayer({ ...plan, first: from, last })
  plan.role.set(roled.role, from)
  roleSure.set(roled.sure, from)
}
