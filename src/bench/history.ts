// The steps that were taken: opening a figure, trying a remedy, changing a setting. Each one can be taken back and taken again.

import type { ExamineSettings } from '../engine/examine/index.ts'
import type { Change } from '../engine/findings/index.ts'
import type { Source } from './state.ts'

export interface Step {
  /** What was done, in a few words. */
  readonly label: string
  readonly source: Source
  readonly settings: ExamineSettings
}

/** Steps that remain when a new one is taken after some were taken back. */
export const afterStep = (steps: readonly Step[], at: number, next: Step): readonly Step[] => [
  ...steps.slice(0, at + 1),
  next,
]

/** Key under which a finished sheet of this step can be kept. */
export const stepKey = ({ source, settings }: Step): string => `${source.id} ${JSON.stringify(settings)}`

/** Settings in which two steps differ. */
export const changedKeys = (a: ExamineSettings, b: ExamineSettings): readonly (keyof ExamineSettings)[] =>
  (Object.keys(b) as (keyof ExamineSettings)[]).filter((key) => JSON.stringify(a[key]) !== JSON.stringify(b[key]))

const single = (value: number | readonly number[]): number => (typeof value === 'number' ? value : value[0])

/**
 * Settings with a remedy's change made.
 * @param soleToEyeMm size of the figure as it stands, from which a share of size is taken
 * @returns null when the bench has no such setting
 */
export const withChange = (
  settings: ExamineSettings,
  { what, to }: Change,
  soleToEyeMm: number,
): ExamineSettings | null => {
  if (what === 'soleToEyeMm') return { ...settings, scale: { by: 'scale-height', soleToEyeMm: single(to) } }
  if (what === 'scaleShare')
    return { ...settings, scale: { by: 'scale-height', soleToEyeMm: soleToEyeMm * single(to) } }
  if (what === 'stance') {
    if (typeof to === 'number') return null
    return { ...settings, stance: { kind: 'stance', aboutX: to[0], aboutY: to[1], aboutZ: to[2] } }
  }
  if (what in settings && typeof settings[what as keyof ExamineSettings] === 'number')
    return { ...settings, [what]: single(to) }
  return null
}
