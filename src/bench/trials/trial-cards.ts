// Recipe and cards of what is shown, as trials take them.

import { type ExamineSettings, recipeInForce } from '../../engine/examine/index.ts'
import type { TrialCards } from '../../trials/index.ts'

/** The recipe in force with both cards. */
export const cardsOf = (shown: ExamineSettings): TrialCards => ({
  recipe: recipeInForce(shown),
  printer: shown.printer,
  filament: shown.filament,
})
