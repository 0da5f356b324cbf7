// What is soft when the nozzle comes back: the layer model at once, the detailed calculation after it, windows of it for remedies.

import type { HeatLook, PrintResults } from '../findings/index.ts'
import {
  cellsThatFit,
  computeHeat,
  type HeatOptions,
  type HeatResult,
  type HeatWindow,
  quickHeat,
} from '../heat/index.ts'
import type { Task } from '../kernel/index.ts'

const conditionsOf = ({ filament, printer, recipe }: PrintResults) => ({ filament, printer, recipe })

/** The layer model. @param lean temperatures alone, for a change that is only tried */
export const runQuickHeat = async (print: PrintResults, lean = false, task?: Task): Promise<HeatLook> => ({
  quick: await quickHeat(print.plan, print.timeline, conditionsOf(print), { timesToo: !lean }, task),
  full: null,
})

/** The detailed calculation, for the whole figure or for a window of its height. */
export const runFullHeat = (
  print: PrintResults,
  options: Partial<HeatOptions>,
  task?: Task,
  window?: HeatWindow,
): Promise<HeatResult> => {
  const cellMm = window ? window.states.grid.cellMm : cellsThatFit(print.plan, print.timeline)
  return computeHeat(print.plan, print.timeline, conditionsOf(print), { cellMm, ...options }, task, window)
}
