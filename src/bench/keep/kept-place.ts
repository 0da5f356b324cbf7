// Where the visitor was: the steps of this tab, and small choices. Written as it changes, read when the page starts.
//
// Steps are kept per tab (session storage), so that two tabs never write over one another; a copy of the last tab's steps stays for the day
// the tab itself was closed.

import { EXAMINE_DEFAULTS, type ExamineSettings } from '../../engine/examine/index.ts'
import { STARTING_RECIPE } from '../../recipe/index.ts'
import type { Step } from '../history.ts'
import type { Source } from '../state.ts'

/** A step as it is kept: the source by its id and name. */
export interface KeptStep {
  readonly label: string
  readonly sourceId: string
  readonly sourceName: string
  readonly settings: ExamineSettings
  /** Id and name of a print file that is held against it. */
  readonly codeId?: string
  readonly codeName?: string
}

export interface KeptPlace {
  readonly steps: readonly KeptStep[]
  readonly at: number
}

const KEY = 'fettle place 1'
const MOST_STEPS = 30

const kept = ({ label, source, settings, code }: Step): KeptStep => ({
  label,
  sourceId: source.id,
  sourceName: source.name,
  settings,
  ...(code ? { codeId: code.id, codeName: code.name } : {}),
})

/** The place as text; the oldest of many steps are left out. */
export const placeText = (steps: readonly Step[], at: number): string => {
  const from = Math.max(0, Math.min(at, steps.length - MOST_STEPS))
  return JSON.stringify({ steps: steps.slice(from, from + MOST_STEPS).map(kept), at: at - from })
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** Settings kept by an older bench get what they lack from the starting ones. */
const completed = (settings: Record<string, unknown>): ExamineSettings => {
  const over = <T extends object>(start: T, key: string): T => {
    const own = settings[key]
    return isRecord(own) ? { ...start, ...own } : start
  }
  return {
    ...EXAMINE_DEFAULTS,
    ...settings,
    recipe: over(STARTING_RECIPE, 'recipe'),
    printer: over(EXAMINE_DEFAULTS.printer, 'printer'),
    filament: over(EXAMINE_DEFAULTS.filament, 'filament'),
  }
}

/** Reads a place; null when the text is not one. */
export const readPlace = (text: string | null): KeptPlace | null => {
  if (!text) return null
  try {
    const whole: unknown = JSON.parse(text)
    if (!isRecord(whole) || !Array.isArray(whole.steps) || !Number.isInteger(whole.at)) return null
    const steps = whole.steps.filter(
      (step): step is Record<string, unknown> =>
        isRecord(step) &&
        typeof step.label === 'string' &&
        typeof step.sourceId === 'string' &&
        typeof step.sourceName === 'string' &&
        isRecord(step.settings),
    )
    const at = whole.at as number
    if (!steps.length || steps.length !== whole.steps.length || at < 0 || at >= steps.length) return null
    return {
      at,
      steps: steps.map((step) => ({
        label: step.label as string,
        sourceId: step.sourceId as string,
        sourceName: step.sourceName as string,
        settings: completed(step.settings as Record<string, unknown>),
        ...(typeof step.codeId === 'string' && typeof step.codeName === 'string'
          ? { codeId: step.codeId, codeName: step.codeName }
          : {}),
      })),
    }
  } catch {
    return null
  }
}

/** Storage that may be refused: nothing is kept then. */
const quietly = <T>(act: () => T): T | null => {
  try {
    return act()
  } catch {
    return null
  }
}

export const writePlace = (steps: readonly Step[], at: number): void => {
  const text = placeText(steps, at)
  quietly(() => sessionStorage.setItem(KEY, text))
  quietly(() => localStorage.setItem(KEY, text))
}

/** The place of this tab, or of the last one that was open. @param ofTab only what this tab itself has kept */
export const placeBefore = (ofTab = false): KeptPlace | null =>
  readPlace(quietly(() => sessionStorage.getItem(KEY))) ??
  (ofTab ? null : readPlace(quietly(() => localStorage.getItem(KEY))))

export const forgetPlace = (): void => {
  quietly(() => sessionStorage.removeItem(KEY))
  quietly(() => localStorage.removeItem(KEY))
}

/** Steps again, with their sources; null when a source is gone. */
export const stepsOf = (
  place: KeptPlace,
  sourceOf: (id: string, name: string) => Source | null,
  codeOf: (id: string, name: string) => Source,
): Step[] | null => {
  const steps: Step[] = []
  for (const { label, sourceId, sourceName, settings, codeId, codeName } of place.steps) {
    const source = sourceOf(sourceId, sourceName)
    const code = codeId ? codeOf(codeId, codeName ?? codeId) : undefined
    if (!source) return null
    steps.push({ label, source, settings, ...(code ? { code } : {}) })
  }
  return steps
}
