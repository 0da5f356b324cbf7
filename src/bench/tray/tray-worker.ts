// Plans a tray of the figures that are chosen.

import type { ExamineSettings } from '../../engine/examine/index.ts'
import { type ClassRoom, orderTray, type TrayAnswer, type TrayOptions } from '../../tray/index.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'

export interface TrayInput {
  readonly figures: readonly {
    readonly file: FileInput
    readonly settings: ExamineSettings
    readonly copies: number
    readonly spool: string
  }[]
  readonly options: Partial<TrayOptions>
  readonly classRoom: ClassRoom | null
}

export type TrayWorkAnswer =
  | ({ readonly ok: true } & TrayAnswer)
  | { readonly ok: false; readonly messages: readonly string[] }

const trayWork: BenchWork<TrayInput, TrayWorkAnswer> = async (
  { figures, options, classRoom },
  { kit, bytesOf, task },
) => {
  const files = figures.map(({ file, ...rest }) => ({ ...rest, bytes: bytesOf(file), name: file.name }))
  const outcome = await orderTray({ figures: files, options, classRoom }, kit, task)
  return outcome.ok
    ? { ok: true, ...outcome.value }
    : { ok: false, messages: outcome.issues.map(({ message }) => message) }
}

export default trayWork
