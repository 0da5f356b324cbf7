// The step from one trial to the next: what may change between two recipes that are to be compared by their prints.

import { compareRecipes, type Recipe } from '../../../recipe/index.ts'
import { PRACTICE, plain, type RecipeRemark } from './recipe-remark.ts'

/** Largest change of the nozzle between two trials, deg C. */
export const MOST_NOZZLE_STEP_C = 5

/** Lines that say what a recipe is called and belongs to; they are no settings. */
const NAMES = ['name', 'printer', 'filament']

/**
 * What stands against printing recipe b as the next trial after recipe a. The step limit holds between trials and for the nozzle after
 * the first layer: a hotter first layer within one recipe is no step.
 */
export const checkStep = (a: Recipe, b: Recipe): RecipeRemark[] => {
  const remarks: RecipeRemark[] = []
  const step = b.nozzleC - a.nozzleC
  if (Math.abs(step) > MOST_NOZZLE_STEP_C) {
    const to = a.nozzleC + Math.sign(step) * MOST_NOZZLE_STEP_C
    remarks.push({
      id: 'nozzle-step',
      kind: 'contradiction',
      severity: 'note',
      keys: ['nozzleC'],
      title: `The nozzle changes by ${plain(Math.abs(step))} °C from one trial to the next; ${MOST_NOZZLE_STEP_C} °C at a time is the most`,
      why: `A larger step jumps over the temperature that would have done, and changes flow and strings with it. Print ${plain(to, 4)} °C first. ${PRACTICE}`,
      evidence: [{ label: 'step', value: Math.abs(step), unit: '°C', limit: MOST_NOZZLE_STEP_C }],
      change: { what: 'nozzleC', from: b.nozzleC, to },
    })
  }
  const changed = compareRecipes(a, b)
    .map(({ key }) => key)
    .filter((key) => !NAMES.includes(key))
    // The first layer's nozzle goes along with the nozzle: one change in two lines.
    .filter((key) => key !== 'firstLayerNozzleC' || b.firstLayerNozzleC - a.firstLayerNozzleC !== step)
  if (changed.length > 1)
    remarks.push({
      id: 'several-changes',
      kind: 'note',
      severity: 'note',
      keys: changed,
      title: `${changed.length} settings change at once; as a trial it would not tell which of them did it`,
      why: `One change at a time, where two prints are to be compared. ${PRACTICE}`,
      evidence: [{ label: 'settings changed', value: changed.length, unit: '', limit: 1 }],
      change: null,
    })
  return remarks
}
