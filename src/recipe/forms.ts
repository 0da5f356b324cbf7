// The three forms: recipe, printer card, filament card, each with its reader and its starting values.

import type { Outcome } from '../engine/kernel/index.ts'
import type { FieldTable, ValuesOf } from './field.ts'
import { FILAMENT_FIELDS, type FilamentCard } from './filament-fields.ts'
import { PRINTER_FIELDS, type PrinterCard } from './printer-fields.ts'
import { type FormDefinition, readForm } from './read-form.ts'
import { RECIPE_FIELDS, type Recipe } from './recipe-fields.ts'

const RECIPE_FORM: FormDefinition<'fettle-recipe', 1, typeof RECIPE_FIELDS> = {
  form: 'fettle-recipe',
  version: 1,
  called: 'recipe',
  fields: RECIPE_FIELDS,
  older: [],
  rising: [['leastBeadWidthMm', 'beadWidthMm', 'mostBeadWidthMm']],
}
const PRINTER_FORM: FormDefinition<'fettle-printer-card', 1, typeof PRINTER_FIELDS> = {
  form: 'fettle-printer-card',
  version: 1,
  called: 'printer card',
  fields: PRINTER_FIELDS,
  older: [],
  rising: [['nozzleBoreMm', 'nozzleLandMm']],
}
const FILAMENT_FORM: FormDefinition<'fettle-filament-card', 1, typeof FILAMENT_FIELDS> = {
  form: 'fettle-filament-card',
  version: 1,
  called: 'filament card',
  fields: FILAMENT_FIELDS,
  older: [],
  rising: [
    ['softeningFromC', 'softeningToC'],
    ['nozzleFromC', 'nozzleToC'],
  ],
}

/** Reads a recipe from JSON text. Issues name key, value and range; code "recipe/...". */
export const readRecipe = (text: string): Outcome<Recipe> => readForm(text, RECIPE_FORM)
/** Reads a printer card from JSON text; code "printer-card/...". */
export const readPrinterCard = (text: string): Outcome<PrinterCard> => readForm(text, PRINTER_FORM)
/** Reads a filament card from JSON text; code "filament-card/...". */
export const readFilamentCard = (text: string): Outcome<FilamentCard> => readForm(text, FILAMENT_FORM)

const startOf = <T extends FieldTable>(fields: T): ValuesOf<T> =>
  Object.fromEntries(Object.entries(fields).map(([key, field]) => [key, field.start])) as ValuesOf<T>

/** The recipe to begin with: figures of 28-32 mm in PLA. */
export const STARTING_RECIPE: Recipe = Object.freeze({
  form: 'fettle-recipe',
  version: 1,
  ...startOf(RECIPE_FIELDS),
})
/** The printer card to begin with: a bowden-fed machine with a 0.4 mm nozzle. */
export const STARTING_PRINTER: PrinterCard = Object.freeze({
  form: 'fettle-printer-card',
  version: 1,
  ...startOf(PRINTER_FIELDS),
})
/** The filament card to begin with: plain PLA. */
export const STARTING_FILAMENT: FilamentCard = Object.freeze({
  form: 'fettle-filament-card',
  version: 1,
  ...startOf(FILAMENT_FIELDS),
})
