// Saves a recipe or a card as a file that bench and command read again.

import type { PrinterCard, Recipe } from '../../recipe/index.ts'
import { fileNameOf, saveFile } from '../save-file.ts'

export const saveRecipe = (form: Recipe | PrinterCard): void =>
  saveFile(`${fileNameOf(form.name)}.json`, `${JSON.stringify(form, null, 2)}\n`, 'application/json')
