// Settings of an examination: starting values, ranges, and checks that name the key, the value and the range.

import { type Recipe, STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import type { Issue } from '../kernel/index.ts'
import type { ExamineSettings } from './types.ts'

/** Starting values: figures of 28-32 mm in PLA from a 0.4 mm nozzle. Common practice, no source. */
export const EXAMINE_DEFAULTS: ExamineSettings = Object.freeze({
  scale: Object.freeze({ by: 'guess' as const }),
  unit: null,
  stance: Object.freeze({ kind: 'stance' as const, aboutX: 0, aboutY: 0, aboutZ: 0 }),
  eyeLineMm: null,
  layerHeightMm: 0.1,
  firstLayerHeightMm: 0.2,
  beadWidthMm: 0.4,
  leastBeadWidthMm: 0.2,
  nShells: 3,
  thickenMm: 0,
  nTogether: 1,
  recipe: STARTING_RECIPE,
  printer: STARTING_PRINTER,
  filament: STARTING_FILAMENT,
})

/** The recipe as it is examined: the settings' own heights, widths and shells go before those written in it. */
export const recipeInForce = (settings: ExamineSettings): Recipe => ({
  ...settings.recipe,
  layerHeightMm: settings.layerHeightMm,
  firstLayerHeightMm: settings.firstLayerHeightMm,
  beadWidthMm: settings.beadWidthMm,
  leastBeadWidthMm: settings.leastBeadWidthMm,
  mostBeadWidthMm: Math.max(settings.recipe.mostBeadWidthMm, settings.beadWidthMm),
  nShells: settings.nShells,
})

/** Settings that follow a recipe in everything it says. */
export const withRecipe = (settings: ExamineSettings, recipe: Recipe): ExamineSettings => ({
  ...settings,
  recipe,
  layerHeightMm: recipe.layerHeightMm,
  firstLayerHeightMm: recipe.firstLayerHeightMm,
  beadWidthMm: recipe.beadWidthMm,
  leastBeadWidthMm: recipe.leastBeadWidthMm,
  nShells: recipe.nShells,
})

/** Allowed ranges, with unit and the sentence that help texts show. */
export const EXAMINE_RANGES = Object.freeze({
  layerHeightMm: { from: 0.02, to: 1, unit: 'mm', about: 'height of every layer but the first' },
  firstLayerHeightMm: { from: 0.02, to: 1, unit: 'mm', about: 'height of the first layer' },
  beadWidthMm: { from: 0.1, to: 2, unit: 'mm', about: 'width of one bead as laid' },
  leastBeadWidthMm: { from: 0.05, to: 2, unit: 'mm', about: 'narrowest bead that is laid on purpose' },
  nShells: { from: 1, to: 20, unit: '', about: 'closed beads round every outline' },
  nTogether: { from: 1, to: 50, unit: '', about: 'figures like it side by side on the bed' },
  thickenMm: { from: -1, to: 3, unit: 'mm', about: 'growth of every wall, for "what if it were thicker"' },
})

/** Everything that is out of range, or nothing. */
export const checkSettings = (settings: ExamineSettings): Issue[] => {
  const issues: Issue[] = []
  for (const [key, range] of Object.entries(EXAMINE_RANGES)) {
    const value = settings[key as keyof typeof EXAMINE_RANGES]
    if (!(value >= range.from && value <= range.to)) {
      const unit = range.unit ? ` ${range.unit}` : ''
      issues.push({
        code: 'examine/out-of-range',
        message: `${key} is ${value}${unit}, expected ${range.from} to ${range.to}${unit} (${range.about}); set it within that range.`,
        place: { key },
      })
    }
  }
  for (const key of ['nShells', 'nTogether'] as const) {
    if (Number.isInteger(settings[key]) || issues.length > 0) continue
    issues.push({
      code: 'examine/whole-number',
      message: `${key} is ${settings[key]}, expected a whole number; round it.`,
      place: { key },
    })
  }
  const { scale } = settings
  const size =
    scale.by === 'scale-height'
      ? { key: 'soleToEyeMm', value: scale.soleToEyeMm, from: 3, to: 500 }
      : scale.by === 'total-height'
        ? { key: 'totalMm', value: scale.totalMm, from: 3, to: 500 }
        : scale.by === 'ratio'
          ? { key: 'oneTo', value: scale.oneTo, from: 1, to: 1000 }
          : null
  if (size && !(size.value >= size.from && size.value <= size.to)) {
    issues.push({
      code: 'examine/out-of-range',
      message: `${size.key} is ${size.value}, expected ${size.from} to ${size.to}; set a size within that range.`,
      place: { key: size.key },
    })
  }
  const { aboutX, aboutY, aboutZ } = settings.stance
  if (![aboutX, aboutY, aboutZ].every(Number.isFinite)) {
    issues.push({
      code: 'examine/stance',
      message: 'stance holds a turn that is not a number, expected three angles; set each one or leave the stance out.',
      place: { key: 'stance' },
    })
  }
  return issues
}
