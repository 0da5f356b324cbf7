// Recipe, printer card, filament card: schemas, unit and range checks, starting values, comparison. No physics here.
// Question answered: what was asked of the machine, and is every value written down in its unit and within reason?
// Limits: it checks form only; whether values suit a figure is for the rules of findings.
export { compareRecipes, type RecipeDifference } from './compare.ts'
export { type FieldRow, fieldRows, fieldsMarkdown, valueRows } from './field-rows.ts'
export { FILAMENT_FIELDS, type FilamentCard } from './filament-fields.ts'
export {
  readFilamentCard,
  readPrinterCard,
  readRecipe,
  STARTING_FILAMENT,
  STARTING_PRINTER,
  STARTING_RECIPE,
} from './forms.ts'
export { PRINTER_FIELDS, type PrinterCard } from './printer-fields.ts'
export { RECIPE_FIELDS, type Recipe } from './recipe-fields.ts'
