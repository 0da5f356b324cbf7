// Searches a recipe for the figure that is shown, and with it stances when others are to be tried.

import { type Advice, type AdviceWish, advise, stancesToTry } from '../../advise/index.ts'
import { partOf } from '../../engine/kernel/index.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'

export interface AdviceInput {
  readonly file: FileInput
  readonly wish: Omit<AdviceWish, 'stances'>
  /** Stances to try besides the shown one. */
  readonly nStances: number
}

export type AdviceAnswer =
  | { readonly ok: true; readonly advice: Advice }
  | { readonly ok: false; readonly messages: readonly string[] }

const adviseWork: BenchWork<AdviceInput, AdviceAnswer> = async ({ file, wish, nStances }, { kit, bytesOf, task }) => {
  const bytes = bytesOf(file)
  const share = nStances > 0 ? 0.2 : 0
  const stances = await stancesToTry(bytes, file.name, wish.settings, nStances, kit, partOf(task, 0, share))
  if (!stances.ok) return { ok: false, messages: stances.issues.map(({ message }) => message) }
  const outcome = await advise(bytes, file.name, { ...wish, stances: stances.value }, kit, partOf(task, share, 1))
  return outcome.ok
    ? { ok: true, advice: outcome.value }
    : { ok: false, messages: outcome.issues.map(({ message }) => message) }
}

export default adviseWork
