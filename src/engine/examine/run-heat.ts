// What is soft when the nozzle comes back: the layer model at once, the detailed calculation after it, windows of it for remedies.

import type { HeatLook, PrintResults } from '../findings/index.ts'
import {
  cellsThatFit,
  cellWords,
  checkCells,
  computeHeat,
  type HeatOptions,
  type HeatResult,
  type HeatWindow,
  quickHeat,
} from '../heat/index.ts'
import { partOf, type Task } from '../kernel/index.ts'

const conditionsOf = ({ filament, printer, recipe }: PrintResults) => ({ filament, printer, recipe })

/** The layer model. @param lean temperatures alone, for a change that is only tried */
export const runQuickHeat = async (print: PrintResults, lean = false, task?: Task): Promise<HeatLook> => ({
  quick: await quickHeat(print.plan, print.timeline, conditionsOf(print), { timesToo: !lean }, task),
  full: null,
})

/** The detailed calculation, for the whole figure or for a window of its height. A whole run tells what the size of its cells does. */
export const runFullHeat = async (
  print: PrintResults,
  options: Partial<HeatOptions>,
  task?: Task,
  window?: HeatWindow,
): Promise<HeatResult> => {
  const { plan, timeline } = print
  const cellMm = window ? window.states.grid.cellMm : cellsThatFit(plan, timeline)
  // Least times are known from the layer model that went before.
  const settings = { cellMm, timesToo: false, ...options }
  const conditions = conditionsOf(print)
  const heat = await computeHeat(plan, timeline, conditions, settings, window ? task : partOf(task, 0, 0.9), window)
  const check = window ? null : await checkCells(plan, timeline, conditions, settings, heat, partOf(task, 0.9, 1))
  return check ? { ...heat, cells: check, assumed: [...heat.assumed, cellWords(check)] } : heat
}
