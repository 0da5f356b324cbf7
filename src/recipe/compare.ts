// Two recipes line by line, in words.

import { RECIPE_FIELDS, type Recipe } from './recipe-fields.ts'
import { numberWords, valueWords } from './words.ts'

/** One setting that differs. */
export interface RecipeDifference {
  readonly key: keyof typeof RECIPE_FIELDS
  /** E.g. "layer height: 0.15 mm instead of 0.1 mm (50 % more)". */
  readonly words: string
  readonly before: Recipe[keyof typeof RECIPE_FIELDS]
  readonly after: Recipe[keyof typeof RECIPE_FIELDS]
}

const changeWords = (before: unknown, after: unknown): string => {
  if (typeof before !== 'number' || typeof after !== 'number' || before === 0) return ''
  const share = (100 * (after - before)) / Math.abs(before)
  return ` (${numberWords(Number(Math.abs(share).toPrecision(3)))} % ${share > 0 ? 'more' : 'less'})`
}

/** What recipe b changes against recipe a, in the order of the table; empty when they agree. */
export const compareRecipes = (a: Recipe, b: Recipe): RecipeDifference[] => {
  const differences: RecipeDifference[] = []
  for (const key of Object.keys(RECIPE_FIELDS) as (keyof typeof RECIPE_FIELDS)[]) {
    const before = a[key]
    const after = b[key]
    if (before === after) continue
    const field = RECIPE_FIELDS[key]
    // A percentage of a temperature means nothing.
    const change = field.kind === 'number' && field.unit === 'deg C' ? '' : changeWords(before, after)
    const words = `${field.label}: ${valueWords(field, after)} instead of ${valueWords(field, before)}${change}`
    differences.push({ key, words, before, after })
  }
  return differences
}
