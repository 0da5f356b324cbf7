// Asks one place of the figure again with other layer heights and speeds.

import { type ExamineSettings, type SoftAnswer, type SoftQuestion, softSeries } from '../../engine/examine/index.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'

export interface SoftInput {
  readonly file: FileInput
  readonly settings: ExamineSettings
  readonly question: SoftQuestion
}

export type SoftReply =
  | { readonly ok: true; readonly answer: SoftAnswer }
  | { readonly ok: false; readonly messages: readonly string[] }

const softWork: BenchWork<SoftInput, SoftReply> = async (
  { file, settings, question },
  { examiner, kit, bytesOf, task },
) => {
  const examined = await examiner.examine(bytesOf(file), file.name, settings, {
    signal: task.signal,
    breathe: task.breathe,
    heat: 'whole',
    withoutRemedies: true,
  })
  if (!examined.ok) return { ok: false, messages: examined.issues.map(({ message }) => message) }
  const outcome = await softSeries(examined.value, kit, startWasm, question, task)
  return outcome.ok
    ? { ok: true, answer: outcome.value }
    : { ok: false, messages: outcome.issues.map(({ message }) => message) }
}

export default softWork
