// A tray ordered from files: reads them, plans the tray and the class, and hands back what is shown.

import type { ExamineSettings } from '../engine/examine/index.ts'
import { good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { readSculpt } from '../engine/mesh/index.ts'
import { type ClassCase, type ClassRoom, classCase } from './class-case.ts'
import { planTray, type TrayOptions } from './plan-tray.ts'
import { type TrayFacts, trayFacts } from './tray-facts.ts'
import type { TrayWish } from './types.ts'

/** One file with how it is printed. */
export interface TrayFile {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
  readonly copies: number
  readonly spool: string
}

export interface TrayOrder {
  readonly figures: readonly TrayFile[]
  readonly options: Partial<TrayOptions>
  /** The class to work out as well, for the first figure. */
  readonly classRoom: ClassRoom | null
}

/** A tray, and the class when one was asked for. */
export interface TrayAnswer {
  readonly tray: TrayFacts
  readonly classCase: ClassCase | null
}

/** Reads and plans. */
export const orderTray = async (
  { figures, options, classRoom }: TrayOrder,
  kit: PolygonKit,
  task?: Task,
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
