// Searches stances of the figure that is shown.

import type { ExamineSettings } from '../../engine/examine/index.ts'
import { partOf } from '../../engine/kernel/index.ts'
import { readSculpt } from '../../engine/mesh/index.ts'
import { findStances, type StanceReport } from '../../engine/stances/index.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'

export interface StancesInput {
  readonly file: FileInput
  readonly settings: ExamineSettings
  /** Stances besides the given one. */
  readonly most: number
}

export type StancesAnswer =
  | { readonly ok: true; readonly report: StanceReport }
  | { readonly ok: false; readonly messages: readonly string[] }

const stancesWork: BenchWork<StancesInput, StancesAnswer> = async (
  { file, settings, most },
  { kit, bytesOf, task },
) => {
  const read = await readSculpt(bytesOf(file), { name: file.name }, partOf(task, 0, 0.03))
  const found = read.ok ? await findStances(read.value, settings, kit, { most }, partOf(task, 0.03, 1)) : read
  return found.ok
    ? { ok: true, report: found.value }
    : { ok: false, messages: found.issues.map(({ message }) => message) }
}

export default stancesWork
