// Recipes and cards handed in as files: read and checked, then examined with as one step that can be taken back.

import { type ExamineSettings, withRecipe } from '../engine/examine/index.ts'
import type { Outcome } from '../engine/kernel/index.ts'
import { readFilamentCard, readPrinterCard, readRecipe } from '../recipe/index.ts'
import { takeStep } from './examine-run.ts'
import * as state from './state.ts'

/** A form is a page of numbers: larger files are meshes. */
const MOST_BYTES = 1_000_000

/** What a form does to the settings, or why it cannot be used. */
export type FormReading =
  | {
      readonly ok: true
      readonly label: string
      readonly apply: (settings: ExamineSettings) => ExamineSettings
      readonly notes: readonly string[]
    }
  | { readonly ok: false; readonly troubles: readonly string[] }

const reading = <T extends { readonly name: string }>(
  called: string,
  outcome: Outcome<T>,
  apply: (settings: ExamineSettings, form: T) => ExamineSettings,
): FormReading =>
  outcome.ok
    ? {
        ok: true,
        label: `${called} ${outcome.value.name}`,
        apply: (settings) => apply(settings, outcome.value),
        notes: outcome.notes.map(({ message }) => message),
      }
    : { ok: false, troubles: outcome.issues.map(({ message }) => message) }

/** Reads a recipe or a card; which of them it is, the text itself says. */
export const readFormText = (text: string): FormReading => {
  const stated = /"form"\s*:\s*"([^"]{0,60})"/.exec(text)?.[1]
  if (stated === 'fettle-printer-card')
    return reading('printer card', readPrinterCard(text), (settings, printer) => ({ ...settings, printer }))
  if (stated === 'fettle-filament-card')
    return reading('filament card', readFilamentCard(text), (was, filament) => ({ ...was, filament }))
  return reading('recipe', readRecipe(text), withRecipe)
}

/** True when a file is to be read as a form, by its content: one JSON object that is no mesh. */
export const isFormFile = async (file: File): Promise<boolean> => {
  if (file.size > MOST_BYTES) return false
  const text = (await file.text()).trimStart()
  return text.startsWith('{') && !/"asset"\s*:/.test(text)
}

/** Examines what is shown with the recipe or card of a file. */
export const openForm = async (file: File): Promise<void> => {
  const read = readFormText(await file.text())
  state.dialog.value = 'none'
  if (!read.ok) {
    state.troubles.value = read.troubles.map((text) => `${file.name}: ${text}`)
    return
  }
  const now = state.step.value
  if (!now) return
  await takeStep({ label: read.label, source: now.source, settings: read.apply(now.settings) })
  if (read.notes.length) state.troubles.value = [...state.troubles.value, ...read.notes]
}
