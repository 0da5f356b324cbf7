// Sums over each layer of a plan: the same for planned beads and for those read from a file.

import { BEAD_ROLES, type BeadPlan, roleIndex } from '../beads/index.ts'
import type { Timeline } from '../timing/index.ts'
import type { LayerFacts, RoleSum } from './code-types.ts'

export const N_ROLES = BEAD_ROLES.length
const OUTER = roleIndex('outer shell')
const INNER = roleIndex('inner shell')
const BESIDE = new Set([roleIndex('priming loop'), roleIndex('prop')])

/** True for beads of the figure itself. */
export const isOfFigure = (plan: BeadPlan, bead: number): boolean => !BESIDE.has(plan.role[bead])

/** Length of a bead's path, mm. */
export const lengthOf = ({ points, beadStart }: BeadPlan, bead: number): number => {
  let length = 0
  for (let i = beadStart[bead] + 1; i < beadStart[bead + 1]; i++)
    length += Math.hypot(
      points[3 * i] - points[3 * i - 3],
      points[3 * i + 1] - points[3 * i - 2],
      points[3 * i + 2] - points[3 * i - 1],
    )
  return length
}

/** Facts of every layer. @param timeline times of the same plan */
export const layerFacts = (plan: BeadPlan, timeline: Timeline): LayerFacts => {
  const { nLayers } = plan
  const each = (): Float64Array => new Float64Array(nLayers)
  const volumeMm3 = each()
  const roleMm3 = new Float64Array(nLayers * N_ROLES)
  const shells = each()
  const widthMm = each()
  const retractions = each()
  const retractionMm = each()
  for (let layer = 0; layer < nLayers; layer++) {
    let nOuter = 0
    let nClosed = 0
    let length = 0
    let widths = 0
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      const role = plan.role[b]
      roleMm3[layer * N_ROLES + role] += plan.volume[b]
      if (isOfFigure(plan, b)) volumeMm3[layer] += plan.volume[b]
      if (plan.retraction[b] > 0) {
        retractions[layer]++
        retractionMm[layer] = Math.max(retractionMm[layer], plan.retraction[b])
      }
      if (role !== OUTER && role !== INNER) continue
      const own = lengthOf(plan, b)
      length += own
      widths += own * plan.width[b]
      if (plan.closed[b] === 0) continue
      nClosed++
      if (role === OUTER) nOuter++
    }
    shells[layer] = nOuter > 0 ? nClosed / nOuter : Number.NaN
    widthMm[layer] = length > 0 ? widths / length : Number.NaN
  }
  return {
    nLayers,
    topZ: plan.layerTopZ,
    heightMm: plan.layerHeight,
    volumeMm3,
    roleMm3,
    typedS: timeline.layerTypedS,
    realS: timeline.layerRealS,
    shells,
    widthMm,
    retractions,
    retractionMm,
  }
}

/** Beads of a plan summed by role, in the order of BEAD_ROLES; roles without beads are left out. */
export const sumRoles = (plan: BeadPlan): RoleSum[] => {
  const sums = BEAD_ROLES.map((role) => ({ role, n: 0, lengthMm: 0, volumeMm3: 0, widthMm: 0 }))
  for (let b = 0; b < plan.nBeads; b++) {
    const sum = sums[plan.role[b]]
    const own = lengthOf(plan, b)
    sum.n++
    sum.lengthMm += own
    sum.volumeMm3 += plan.volume[b]
    sum.widthMm += own * plan.width[b]
  }
  return sums
    .filter(({ n }) => n > 0)
    .map((sum) => ({ ...sum, widthMm: sum.lengthMm > 0 ? sum.widthMm / sum.lengthMm : 0 }))
}
