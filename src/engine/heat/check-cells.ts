// What the size of the cells does to the answer: the gravest millimetre once more with cells of twice the side, from the states of the run.
//
// What other cells change is the order of what these are wrong by, no more: on the keeper layers differ by 1.1 K in the median from 0.8 to
// 0.4 mm and by 0.5 K from 0.4 to 0.2 mm; on a post of 1.6 mm by 2.6 K and by 4.7 K, with 3.2 and 1.4 K left to cells of 0.1 mm, since what
// the nozzle warms beside a bead moves by whole cells. Coarser cells are asked, not finer ones: they take a tenth of a run, where finer ones
// take a third and four times the memory.

import type { BeadPlan } from '../beads/index.ts'
import type { Task } from '../kernel/index.ts'
import type { Timeline } from '../timing/index.ts'
import { computeHeat } from './compute-heat.ts'
import type { HeatConditions, HeatOptions } from './conditions.ts'
import type { CellCheck, HeatResult } from './types.ts'

/** Height looked at, mm; layers closer to the bed than this are held by it. */
const SPAN_MM = 1
const ABOVE_BED_MM = 1

/** Layer that lands on the hottest plastic, away from the bed where there is such a one; -1 for none. */
const gravest = ({ layers }: HeatResult, topZ: ArrayLike<number>): number => {
  let best = -1
  const isAway = (k: number): boolean => topZ[k] > ABOVE_BED_MM
  for (let k = 0; k < layers.belowC.length; k++) {
    if (Number.isNaN(layers.belowC[k])) continue
    if (best < 0 || (isAway(k) && !isAway(best))) best = k
    else if (isAway(k) === isAway(best) && layers.belowC[k] > layers.belowC[best]) best = k
  }
  return best
}

/**
 * Compares with cells of twice the side in the gravest millimetre.
 * @param whole of the same plan, timeline, conditions and options, followed whole
 * @returns null where no layer lies on another, by either cells
 */
export const checkCells = async (
  plan: BeadPlan,
  timeline: Timeline,
  conditions: HeatConditions,
  options: Partial<HeatOptions>,
  whole: HeatResult,
  task?: Task,
): Promise<CellCheck | null> => {
  const { layerTopZ } = plan
  const worst = gravest(whole, layerTopZ)
  if (worst < 0) return null
  const fromMm = Math.max(0, layerTopZ[worst] - SPAN_MM)
  const toMm = layerTopZ[worst]
  const cellMm = 2 * whole.grid.cellMm
  const window = { fromMm, toMm, states: whole.states }
  const { layers } = await computeHeat(plan, timeline, conditions, { ...options, cellMm }, task, window)
  const median = (of: 'belowC' | 'softDepthMm' | 'healing'): number => {
    const all: number[] = []
    for (let k = 0; k < plan.nLayers; k++) {
      const by = Math.abs(layers[of][k] - whole.layers[of][k])
      if (layerTopZ[k] > fromMm && layerTopZ[k] <= toMm && !Number.isNaN(by)) all.push(by)
    }
    all.sort((a, b) => a - b)
    return all.length > 0 ? all[all.length >> 1] : Number.NaN
  }
  const belowK = median('belowC')
  if (Number.isNaN(belowK)) return null
  return {
    cellMm,
    fromMm,
    toMm,
    belowK,
    softDepthMm: median('softDepthMm'),
    healing: median('healing'),
  }
}

/** The check as a sentence for those who read the result. */
export const cellWords = ({ cellMm, fromMm, toMm, belowK }: CellCheck): string =>
  `Cells of ${cellMm} mm change what layers land on by ${belowK.toFixed(1)} K (median, from ${fromMm.toFixed(1)} to ${toMm.toFixed(1)} mm): ` +
  `those of ${cellMm / 2} mm are wrong by the same order.`
