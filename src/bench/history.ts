// The steps that were taken: opening a figure, trying a remedy, changing a setting. Each one can be taken back and taken again.

import { type ExamineSettings, settingsAfter } from '../engine/examine/index.ts'
import type { Change } from '../engine/findings/index.ts'
import type { Source } from './state.ts'

export interface Step {
  /** What was done, in a few words. */
  readonly label: string
  readonly source: Source
  readonly settings: ExamineSettings
  /** A print file that is held against the figure; the sheet is then the file's. */
  readonly code?: Source
}

/** Steps that remain when a new one is taken after some were taken back. */
export const afterStep = (steps: readonly Step[], at: number, next: Step): readonly Step[] => [
  ...steps.slice(0, at + 1),
  next,
]

/** Key under which a finished sheet of this step can be kept. */
export const stepKey = ({ source, settings, code }: Step): string =>
  `${code ? `${code.id} against ` : ''}${source.id} ${JSON.stringify(settings)}`

/** Settings in which two steps differ. */
export const changedKeys = (a: ExamineSettings, b: ExamineSettings): readonly (keyof ExamineSettings)[] =>
  (Object.keys(b) as (keyof ExamineSettings)[]).filter((key) => JSON.stringify(a[key]) !== JSON.stringify(b[key]))

/**
 * Settings with a remedy's change made, by the same function that the examination tries remedies with.
 * @param soleToEyeMm size of the figure as it stands, from which a share of size is taken
 * @returns null when the bench has no such setting
 */
export const withChange = (settings: ExamineSettings, change: Change, soleToEyeMm: number): ExamineSettings | null => {
  const { what, from, to } = change
  if (what === 'stance') return typeof to === 'number' ? null : settingsAfter(settings, change)
  if (typeof to !== 'number') return null
  if (what === 'scaleShare') return settingsAfter(settings, { what: 'soleToEyeMm', from, to: soleToEyeMm * to })
  const isKnown =
    what === 'soleToEyeMm' ||
    typeof settings[what as keyof ExamineSettings] === 'number' ||
    ['number', 'boolean'].includes(typeof settings.recipe[what as keyof ExamineSettings['recipe']])
  return isKnown ? settingsAfter(settings, change) : null
}
