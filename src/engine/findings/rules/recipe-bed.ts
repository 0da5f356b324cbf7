// How high the bed keeps plastic within the softening band, where no figure is known: a note, not a fault, with its height range.
//
// Model: a long fin, a round base whose foot has the bed's temperature and whose sides lose heat to air and walls.
// Source: Incropera, Fundamentals of Heat and Mass Transfer, 3.6. Limits: steady, no fresh plastic from above, full contact with the bed.
// The sheet of a figure has a finding of its own for this, from the heat of its own layers.

import type { FilamentCard, PrinterCard, Recipe } from '../../../recipe/index.ts'
import { convectionWPerM2K, radiationWPerM2K } from '../../heat/index.ts'
import { plain, type RecipeRule, ROOM_C } from './recipe-remark.ts'

/** Base that is looked at, mm. */
const BASE_MM = 25

/** Height up to which the bed keeps a round base above the lower softening temperature, mm; 0 for a cooler bed. */
export const softOverBedMm = (
  recipe: Recipe,
  printer: PrinterCard,
  filament: FilamentCard,
  baseMm = BASE_MM,
): number => {
  const { softeningFromC, conductivityWPerMK, emissivityShare } = filament
  if (recipe.bedC <= softeningFromC || softeningFromC <= ROOM_C) return 0
  const sideC = (recipe.bedC + softeningFromC) / 2
  const loss =
    convectionWPerM2K(baseMm, recipe.fanShare * printer.fanAirMPerS, sideC, ROOM_C) +
    radiationWPerM2K(emissivityShare, sideC, ROOM_C)
  const decayMm = 1000 * Math.sqrt((conductivityWPerMK * (baseMm / 1000)) / (4 * loss))
  return decayMm * Math.log((recipe.bedC - ROOM_C) / (softeningFromC - ROOM_C))
}

/** The note. */
export const bedSoftens: RecipeRule = ({ recipe, printer, filament }) => {
  const { softeningFromC, softeningToC } = filament
  const soft = softOverBedMm(recipe, printer, filament)
  if (!(soft > 0)) return null
  return {
    id: 'bed-softens',
    kind: 'note',
    severity: 'note',
    keys: ['bedC'],
    title: `The bed at ${plain(recipe.bedC)} °C lies ${recipe.bedC > softeningToC ? 'above' : 'within'} the softening band of ${softeningFromC} to ${softeningToC} °C: a base ${BASE_MM} mm across stays soft from 0 to ${soft.toFixed(1)} mm while it stands there`,
    why: 'It holds the first layer, and it keeps what stands low from setting: let it cool before the figure is taken off, and put no thin feet right on the bed. Long fin with the bed at its foot, air and radiation at its sides (Incropera, 3.6).',
    evidence: [
      { label: 'bed', value: recipe.bedC, unit: '°C', limit: softeningFromC },
      { label: 'soft from the bed up to', value: soft, unit: 'mm' },
    ],
    change: null,
  }
}
