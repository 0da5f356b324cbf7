// The size of cells for a plan: as fine as the time allows.

import type { BeadPlan } from '../beads/index.ts'
import type { Timeline } from '../timing/index.ts'
import { HEAT_DEFAULTS } from './conditions.ts'

/** Sides tried, mm, and updates near the nozzle that are afforded: about half a minute at the worst. */
const SIDES = [0.4, 0.6, 0.8, 1.2, 1.6, 2.4, 3.6]
const MOST_UPDATES = 1.5e8
/** Height that moves in short steps, mm. */
const NEAR_MM = 1.2

/** Estimate of the updates near the nozzle. */
const updatesOf = (plan: BeadPlan, timeline: Timeline, sideMm: number): number => {
  const { nLayers, layerStart, layerHeight, volume } = plan
  const { stepsPerLayer, longestStepS } = HEAT_DEFAULTS
  const cells = new Float64Array(nLayers)
  for (let k = 0; k < nLayers; k++) {
    for (let b = layerStart[k]; b < layerStart[k + 1]; b++) cells[k] += volume[b]
    cells[k] /= sideMm * sideMm * layerHeight[k]
  }
  let sum = 0
  for (let k = 0; k < nLayers; k++) {
    let near = 0
    for (let j = k, depth = 0; j >= 0 && depth < NEAR_MM; depth += layerHeight[j--]) near += cells[j]
    sum += near * Math.max(stepsPerLayer, (timeline.layerS[k + 1] - timeline.layerS[k]) / longestStepS)
  }
  return sum
}

/** Side of a cell, mm: 0.4 for figures, more for large pieces. */
export const cellsThatFit = (plan: BeadPlan, timeline: Timeline): number =>
  SIDES.find((side) => updatesOf(plan, timeline, side) <= MOST_UPDATES) ?? SIDES[SIDES.length - 1]
