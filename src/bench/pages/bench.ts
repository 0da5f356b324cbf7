// What a page may see of the bench and do with it.

import type { ExamineSettings } from '../../engine/examine/index.ts'
import { takeStep } from '../examine-run.ts'
import { type Step, stepKey } from '../history.ts'
import type { SheetParts } from '../messages.ts'
import { openSource } from '../open-files.ts'
import * as state from '../state.ts'
import type { FileInput } from '../work/work-place.ts'
import { leavePage } from './page-place.ts'

/** Everything here is read when it is asked for: a component that reads it is drawn again when it changes. */
export interface Bench {
  /** Figure, settings and label of what is shown; null before the first figure. */
  readonly step: Step | null
  /** Names the figure and the settings: same key, same examination. */
  readonly key: string
  /** Parts of its examination that are known so far. */
  readonly parts: SheetParts
  /** True when no more parts will come. */
  readonly isWhole: boolean
  /** The figure's file, as work takes it; null before the first figure. */
  readonly figure: () => Promise<FileInput | null>
  /** Examines the same figure with other settings: one step, which can be taken back. Goes back to the sheet when `stay` is not set. */
  readonly apply: (label: string, settings: ExamineSettings, stay?: 'stay') => Promise<void>
  /** Opens another figure: one step. */
  readonly open: (source: state.Source) => Promise<void>
  /** Shows the sheet, scrubbed to a height, mm. */
  readonly lookAt: (mm: number) => void
  /** Back to the sheet. */
  readonly back: () => void
  /** A sentence for screen readers about what just happened. */
  readonly say: (text: string) => void
}

export const bench: Bench = {
  get step() {
    return state.step.value
  },
  get key() {
    return state.step.value ? stepKey(state.step.value) : ''
  },
  get parts() {
    return state.sheet.value
  },
  get isWhole() {
    return state.isWhole.value
  },
  figure: async () => {
    const source = state.step.value?.source
    return source ? { key: source.id, name: source.name, bytes: await source.bytes() } : null
  },
  apply: (label, settings, stay) => {
    const now = state.step.value
    if (!now) return Promise.resolve()
    if (!stay) leavePage()
    return takeStep({ label, source: now.source, settings })
  },
  open: (source) => {
    leavePage()
    return openSource(source)
  },
  lookAt: (mm) => {
    leavePage()
    state.scrubTo(mm)
  },
  back: leavePage,
  say: (text) => {
    state.said.value = text
  },
}
