// Opens a published guide that was dropped on the bench: its recipe and cards become one step. Only its block of data is read.

import { withRecipe } from '../../engine/examine/index.ts'
import { readPublished } from '../../guide/index.ts'
import { takeStep } from '../examine-run.ts'
import * as state from '../state.ts'

/** Examines what is shown with the recipe, printer card and filament card of a guide. */
export const openGuide = async (name: string, text: string): Promise<void> => {
  const read = readPublished(text)
  if (!read.ok) {
    state.troubles.value = read.issues.map(({ message }) => `${name}: ${message}`)
    return
  }
  const now = state.step.value
  if (!now) {
    state.troubles.value = [`${name} is a guide; choose the figure first, then drop it again.`]
    return
  }
  const { title, version, recipe, printer, filament } = read.value
  const settings = withRecipe({ ...now.settings, printer, filament }, recipe)
  await takeStep({ label: `guide ${title}, version ${version}`.slice(0, 80), source: now.source, settings })
  if (read.notes.length)
    state.troubles.value = [...state.troubles.value, ...read.notes.map(({ message }) => `${name}: ${message}`)]
}
