// What the worker does for squads: stances of a figure, a tray of several, a class at the printers.

import type { ExamineSettings } from '../engine/examine/index.ts'
import { good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { readSculpt } from '../engine/mesh/index.ts'
import { findStances, type StanceOptions, type StanceReport } from '../engine/stances/index.ts'
import {
  type ClassCase,
  type ClassRoom,
  classCase,
  planTray,
  type TrayFacts,
  type TrayOptions,
  type TrayWish,
  trayFacts,
} from '../tray/index.ts'

/** A figure's file with its settings. */
export interface SquadFile {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
}

export interface StancesRequest extends SquadFile {
  readonly options: StanceOptions
}
export interface TrayRequest {
  readonly figures: readonly (SquadFile & { readonly copies: number; readonly spool: string })[]
  readonly options: Partial<TrayOptions>
  /** The class to work out as well, for the first figure. */
  readonly classRoom: ClassRoom | null
}

/** A tray, and the class when one was asked for. */
export interface TrayAnswer {
  readonly tray: TrayFacts
  readonly classCase: ClassCase | null
}

const trayWork = async (
  { figures, options, classRoom }: TrayRequest,
  kit: PolygonKit,
  task: Task,
): Promise<Outcome<TrayAnswer>> => {
  const wishes: TrayWish[] = []
  for (const { bytes, name, settings, copies, spool } of figures) {
    const read = await readSculpt(bytes, { name }, partOf(task, 0, 0.02))
    if (!read.ok) return read
    wishes.push({ sculpt: read.value, settings, copies, spool })
  }
  const tray = await planTray(wishes, kit, options, partOf(task, 0.02, classRoom ? 0.7 : 1))
  if (!tray.ok) return tray
  if (!classRoom) return good({ tray: trayFacts(tray.value), classCase: null })
  const taught = await classCase(wishes[0], classRoom, tray.value.bed, kit, partOf(task, 0.7, 1))
  return taught.ok ? good({ tray: trayFacts(tray.value), classCase: taught.value }) : taught
}

/** The methods, given the polygon library once it is loaded. */
export const squadMethods = (loadingKit: Promise<PolygonKit>) => ({
  stances: async ({ bytes, name, settings, options }: StancesRequest, task: Task): Promise<Outcome<StanceReport>> => {
    const read = await readSculpt(bytes, { name }, partOf(task, 0, 0.03))
    return read.ok ? findStances(read.value, settings, await loadingKit, options, partOf(task, 0.03, 1)) : read
  },
  tray: async (request: TrayRequest, task: Task): Promise<Outcome<TrayAnswer>> =>
    trayWork(request, await loadingKit, task),
})
