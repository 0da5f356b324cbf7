// The worker's side of trials: one figure with one recipe, examined without remedies and boiled down; and advice on a recipe.

import { type Advice, type AdviceWish, advise, stancesToTry, type TrialNumbers, trialNumbers } from '../advise/index.ts'
import type { Examiner, ExamineSettings } from '../engine/examine/index.ts'
import type { Severity } from '../engine/findings/index.ts'
import { failed, good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'

/** A figure and how it is to be printed. */
export interface TrialRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly settings: ExamineSettings
}

/** A finding, short. */
export interface ShortFinding {
  readonly rule: string
  readonly severity: Severity
  readonly title: string
  readonly fromMm: number
  readonly toMm: number
}

/** A trial: head of the sheet, numbers, findings without remedies. */
export interface TrialReport {
  readonly verdict: string
  readonly soleToEyeMm: number
  readonly totalHeightMm: number
  readonly nLayers: number
  readonly numbers: TrialNumbers
  readonly findings: readonly ShortFinding[]
}

/** A figure and what is wished for. */
export interface AdviceRequest {
  readonly bytes: Uint8Array
  readonly name: string
  readonly wish: AdviceWish
  /** Stances to try besides the given one. */
  readonly nStances: number
}

/** One trial. */
export const trialWork = async (
  examiner: Examiner,
  { bytes, name, settings }: TrialRequest,
  task: Task,
): Promise<Outcome<TrialReport>> => {
  const bare = { ...task, withoutRemedies: true, heat: 'quick' } as const
  const outcome = await examiner.examine(bytes, name, settings, bare)
  if (!outcome.ok) return outcome
  const { summary, findings } = outcome.value
  const numbers = trialNumbers(outcome.value)
  if (!numbers) return failed('trial/no-beads', 'no beads could be laid')
  return good(
    {
      verdict: summary.verdict,
      soleToEyeMm: summary.soleToEyeMm,
      totalHeightMm: summary.totalHeightMm,
      nLayers: summary.nLayers,
      numbers,
      findings: findings.map(({ rule, severity, title, place }) => ({
        rule,
        severity,
        title,
        fromMm: place.fromMm,
        toMm: place.toMm,
      })),
    },
    outcome.notes,
  )
}

/** Advice, with stances searched first where others than the given one are to be tried. */
export const adviceWork = async (
  kit: PolygonKit,
  { bytes, name, wish, nStances }: AdviceRequest,
  task: Task,
): Promise<Outcome<Advice>> => {
  const share = nStances > 0 ? 0.2 : 0
  const stances = await stancesToTry(bytes, name, wish.settings, nStances, kit, partOf(task, 0, share))
  if (!stances.ok) return stances
  return advise(bytes, name, { ...wish, stances: stances.value }, kit, partOf(task, share, 1))
}
