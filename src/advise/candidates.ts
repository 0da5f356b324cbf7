// The recipes that a search looks at: a few levels of each setting, all combined, without those that contradict themselves or, unless
// wanted, depart from common practice.

import { checkRecipe } from '../engine/findings/index.ts'
import type { Recipe } from '../recipe/index.ts'
import type { Cards } from './types.ts'

/** Settings that advice varies. */
export const VARIED_KEYS = [
  'layerHeightMm',
  'nShells',
  'infillShare',
  'flowShare',
  'speedMmPerS',
  'accelerationMmPerS2',
  'leastLayerTimeS',
] as const
export type VariedKey = (typeof VARIED_KEYS)[number]

/** Levels of each varied setting. */
export type Levels = Readonly<Record<VariedKey, readonly number[]>>

/** Step by which the effect of each setting is told. */
export const STEPS: Readonly<Record<VariedKey, number>> = {
  layerHeightMm: 0.02,
  nShells: 1,
  infillShare: 0.1,
  flowShare: 0.025,
  speedMmPerS: 10,
  accelerationMmPerS2: 100,
  leastLayerTimeS: 2,
}

const rounded = (value: number): number => Number(value.toFixed(4))
const levelsAround = (own: number, others: readonly number[]): number[] =>
  [...new Set([own, ...others].map(rounded))].sort((a, b) => a - b)

/** Levels around a recipe: its own value, and those of common practice that the nozzle allows. Common practice, no source. */
export const levelsFor = (recipe: Recipe, { printer }: Cards, given: Partial<Levels> = {}): Levels => {
  const bore = printer.nozzleBoreMm
  const heights = [0.08, 0.1, 0.12].filter((h) => h <= 0.5 * bore && h >= 0.12 * bore)
  const shells = [recipe.nShells - 1, recipe.nShells + 1].filter((n) => n >= 1 && n <= 20)
  const speeds = [0.75, 1.3].map((share) => Math.round(recipe.speedMmPerS * share))
  return {
    layerHeightMm: given.layerHeightMm ?? levelsAround(recipe.layerHeightMm, heights),
    nShells: given.nShells ?? levelsAround(recipe.nShells, shells),
    infillShare: given.infillShare ?? levelsAround(recipe.infillShare, [0.3, 0.5, 0.7]),
    flowShare: given.flowShare ?? levelsAround(recipe.flowShare, [0.95, 0.975, 1]),
    speedMmPerS: given.speedMmPerS ?? levelsAround(recipe.speedMmPerS, speeds),
    accelerationMmPerS2: given.accelerationMmPerS2 ?? levelsAround(recipe.accelerationMmPerS2, [300, 500]),
    leastLayerTimeS: given.leastLayerTimeS ?? levelsAround(recipe.leastLayerTimeS, [8, 15]),
  }
}

/** A recipe with one setting changed, and with what goes along with it: the outer shell keeps its share of the speed. */
export const withSetting = (recipe: Recipe, key: VariedKey, value: number): Recipe => {
  if (key !== 'speedMmPerS') return { ...recipe, [key]: value }
  const share = recipe.outerShellSpeedMmPerS / recipe.speedMmPerS
  return { ...recipe, speedMmPerS: value, outerShellSpeedMmPerS: rounded(value * share) }
}

/** What stands against a recipe, by id. */
const faultsOf = (recipe: Recipe, { printer, filament }: Cards, isPracticeHeld: boolean): string[] =>
  checkRecipe(recipe, printer, filament)
    .filter(({ kind }) => kind === 'contradiction' || (isPracticeHeld && kind === 'departure'))
    .map(({ id }) => id)

/** The base first, then every other combination of levels that brings no contradiction, and no departure from practice, the base has not. */
export const candidateRecipes = (base: Recipe, levels: Levels, cards: Cards, beyondPractice: boolean): Recipe[] => {
  let recipes: Recipe[] = [base]
  for (const key of VARIED_KEYS)
    recipes = recipes.flatMap((recipe) => levels[key].map((value) => withSetting(recipe, key, value)))
  const known = faultsOf(base, cards, !beyondPractice)
  const isBase = (recipe: Recipe): boolean => VARIED_KEYS.every((key) => recipe[key] === base[key])
  const sound = recipes.filter(
    (recipe) => !isBase(recipe) && faultsOf(recipe, cards, !beyondPractice).every((id) => known.includes(id)),
  )
  return [base, ...sound]
}
