// What the worker does for squads: stances of a figure, a tray of several with a class at the printers.

import type { ExamineSettings } from '../engine/examine/index.ts'
import { type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { readSculpt } from '../engine/mesh/index.ts'
import { findStances, type StanceOptions, type StanceReport } from '../engine/stances/index.ts'
import { orderTray, type TrayAnswer, type TrayOrder } from '../tray/index.ts'

export interface StancesRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
  readonly options: StanceOptions
}

/** The methods, given the polygon library once it is loaded. */
export const squadMethods = (loadingKit: Promise<PolygonKit>) => ({
  stances: async ({ bytes, name, settings, options }: StancesRequest, task: Task): Promise<Outcome<StanceReport>> => {
    const read = await readSculpt(bytes, { name }, partOf(task, 0, 0.03))
    return read.ok ? findStances(read.value, settings, await loadingKit, options, partOf(task, 0.03, 1)) : read
  },
  tray: async (order: TrayOrder, task: Task): Promise<Outcome<TrayAnswer>> => orderTray(order, await loadingKit, task),
})
