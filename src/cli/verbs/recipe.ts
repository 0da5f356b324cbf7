// The verb "recipe" in the table.

import { FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const RECIPE: VerbRow = {
  name: 'recipe',
  takes: '[WORD...]',
  summary: 'print, check or compare recipes and cards',
  manual: [
    '"fettle recipe" or "fettle recipe starting" prints the recipe to begin with as JSON; "fettle recipe printer" and "fettle recipe filament" print the cards. Change the values and hand the files to "fettle examine".',
    '"fettle recipe check FILE" reads a recipe or a card and names every key, value and range that is wrong. Nothing is guessed and nothing is filled in.',
    '"fettle recipe compare A B" tells line by line what recipe B changes against recipe A.',
  ],
  options: [{ long: 'json', meaning: 'answer check and compare as JSON' }, OUT, FORCE],
  examples: [
    ['fettle recipe -o fine.json', 'a recipe to start from'],
    ['fettle recipe check fine.json', 'is every value within its range?'],
    ['fettle recipe compare fine.json coarse.json', 'what the second one changes'],
  ],
  completes: 'recipe',
}
