// The recipe's own lines on the settings page, made from the recipe's table of fields: label, unit, range and reason stand there.

import type { ExamineSettings } from '../../engine/examine/index.ts'
import { recipeInForce } from '../../engine/examine/index.ts'
import { compareRecipes, fieldRows, RECIPE_FIELDS, STARTING_RECIPE } from '../../recipe/index.ts'
import type { NumberField } from './settings-table.ts'

/** Lines that stand on the page; what else a recipe says comes from its file and is named when it differs. */
const LINES = [
  'flowShare',
  'infillShare',
  'speedMmPerS',
  'outerShellSpeedMmPerS',
  'leastLayerTimeS',
  'retractionMm',
  'nozzleC',
  'fanShare',
] as const
type LineKey = (typeof LINES)[number]

const ROWS = new Map(fieldRows(RECIPE_FIELDS).map((row) => [row.key, row]))

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** A share is shown and entered in percent; rounding takes off what multiplying adds. */
const lineOf = (key: LineKey): NumberField => {
  const row = ROWS.get(key)
  if (!row) throw new Error(`bench: the recipe has no field ${key}`)
  const field = RECIPE_FIELDS[key]
  const times = field.unit === 'share, 0-1' ? 100 : 1
  const shownAs = (value: number): number => Number((value * times).toPrecision(9))
  return {
    id: key,
    group: 'The recipe',
    label: capital(row.label),
    unit: times === 100 ? '%' : field.unit === 'deg C' ? '°C' : field.unit,
    least: shownAs(field.least),
    most: shownAs(field.most),
    help: row.meaning,
    read: ({ recipe }) => shownAs(recipe[key]),
    write: (settings, value) =>
      value === null
        ? settings
        : { ...settings, recipe: { ...settings.recipe, [key]: Number((value / times).toPrecision(9)) } },
  }
}

export const RECIPE_LINES: readonly NumberField[] = LINES.map(lineOf)

/** Keys whose lines stand elsewhere on the page. */
const ELSEWHERE: ReadonlySet<string> = new Set([
  ...LINES,
  'layerHeightMm',
  'firstLayerHeightMm',
  'beadWidthMm',
  'leastBeadWidthMm',
  'nShells',
  'name',
])

/** What else differs from the starting recipe, in words. */
export const otherDifferences = (settings: ExamineSettings): readonly string[] =>
  compareRecipes(STARTING_RECIPE, recipeInForce(settings))
    .filter(({ key }) => !ELSEWHERE.has(key))
    .map(({ words }) => words)
