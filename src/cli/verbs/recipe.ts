// The verb "recipe" in the table.

import { CARD_OPTIONS, FORCE, OUT, type VerbRow } from '../verb-row.ts'

export const RECIPE: VerbRow = {
  name: 'recipe',
  takes: '[WORD...]',
  summary: 'print, check or compare recipes and cards',
  manual: [
    '"fettle recipe" or "fettle recipe starting" prints the recipe to begin with as JSON; "fettle recipe printer" and "fettle recipe filament" print the cards. Change the values and hand the files to "fettle examine". With --bore they are for another nozzle, carried over from the 0.4 mm one: computed, untried.',
    '"fettle recipe check FILE" reads a recipe or a card and names every key, value and range that is wrong. Nothing is guessed and nothing is filled in. A recipe is also held against itself, its cards (the starting ones unless --printer and --filament name others) and common practice: contradictions, departures and notes, each with its reason.',
    '"fettle recipe compare A B" tells line by line what recipe B changes against recipe A, and whether B may be the next trial after A: at most 5 deg C of the nozzle, one setting at a time.',
  ],
  options: [
    ...CARD_OPTIONS.filter(({ long }) => long !== 'recipe'),
    { long: 'bore', value: 'MM', meaning: 'starting recipe or printer card for this nozzle: computed, untried' },
    { long: 'json', meaning: 'answer check and compare as JSON' },
    { long: 'strict', meaning: 'exit code 1 when a recipe contradicts itself or its cards, or a step is too large' },
    OUT,
    FORCE,
  ],
  examples: [
    ['fettle recipe -o fine.json', 'a recipe to start from'],
    ['fettle recipe starting --bore 0.25', 'the same for a finer nozzle, computed and untried'],
    ['fettle recipe check fine.json', 'is every value within its range, does anything contradict?'],
    ['fettle recipe compare fine.json coarse.json', 'what the second one changes'],
  ],
  completes: 'recipe',
}
