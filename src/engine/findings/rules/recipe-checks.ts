// All checks of a recipe in one call, and the rules that bring them onto the sheet of a figure.

import type { FilamentCard, PrinterCard, Recipe } from '../../../recipe/index.ts'
import type { RoomResults } from '../results.ts'
import { type Rule, remedy } from '../rule.ts'
import type { Finding } from '../types.ts'
import { bedSoftens } from './recipe-bed.ts'
import { CONTRADICTIONS } from './recipe-contradictions.ts'
import { DEPARTURES } from './recipe-departures.ts'
import { type RecipeRemark, type RecipeRule, type RemarkKind, slowestOuterShell } from './recipe-remark.ts'

/** Slowing down for short layers may go below what the outer shell bears. */
const slowsTooFar: RecipeRule = (asked) => {
  const { leastSpeedMmPerS, waitForLayerTime, leastLayerTimeS } = asked.recipe
  const slowest = slowestOuterShell(asked)
  if (waitForLayerTime || leastLayerTimeS <= 0 || leastSpeedMmPerS >= slowest) return null
  return {
    id: 'slows-too-far',
    kind: 'note',
    severity: 'note',
    keys: ['leastSpeedMmPerS'],
    title: `Short layers may be slowed to ${leastSpeedMmPerS} mm/s, where the nozzle lingers over the outer shell (${slowest.toFixed(0)} mm/s and below)`,
    why: 'Where short layers are many, a second figure beside it or a wait away from the figure serves better than slowing down. Half-space, as for the outer shell’s own speed.',
    evidence: [{ label: 'least speed', value: leastSpeedMmPerS, unit: 'mm/s', limit: slowest }],
    change: null,
  }
}

/** A recipe says which cards it was made for; held against others it still may be right. */
const otherCards: RecipeRule = ({ recipe, printer, filament }) => {
  const isOther = recipe.printer !== printer.name
  if (!isOther && recipe.filament === filament.name) return null
  const [tied, held] = isOther ? [recipe.printer, printer.name] : [recipe.filament, filament.name]
  return {
    id: 'other-cards',
    kind: 'note',
    severity: 'note',
    keys: [isOther ? 'printer' : 'filament'],
    title: `The recipe is tied to "${tied}" and held here against "${held}"`,
    why: 'What suits one machine or spool need not suit another; "fettle carry" translates a recipe line by line.',
    evidence: [],
    change: null,
  }
}

const ORDER: readonly RemarkKind[] = ['contradiction', 'departure', 'note']

/**
 * Everything that can be said of a recipe held against its cards, without a figure: contradictions first, then departures from common
 * practice, then notes. A departure is left out where a contradiction names the same line.
 */
export const checkRecipe = (recipe: Recipe, printer: PrinterCard, filament: FilamentCard): RecipeRemark[] => {
  const asked = { recipe, printer, filament }
  const look = (rules: readonly RecipeRule[]): RecipeRemark[] =>
    rules.map((rule) => rule(asked)).filter((r) => r !== null)
  const contradictions = look(CONTRADICTIONS)
  const named = new Set(contradictions.map(({ keys }) => keys[0]))
  const departures = look(DEPARTURES).filter(({ keys }) => !named.has(keys[0]))
  return [...contradictions, ...departures, ...look([bedSoftens, slowsTooFar, otherCards])].sort(
    (a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind),
  )
}

/** Contradictions that other rules tell from the figure itself, with its own numbers. */
const TOLD_BY_FIGURE = ['corner-speed', 'retraction-grinds', 'melt-limit']

const wholeHeight = ({ layers, figure }: RoomResults): Finding['place'] => ({
  fromMm: 0,
  toMm: figure.max[2],
  point: [0, 0, figure.max[2] / 2],
  areaMm2: 0,
  fromLayer: 0,
  toLayer: layers.nLayers - 1,
})

const CERTAINTY: Readonly<Record<RemarkKind, Finding['certainty']>> = {
  contradiction: { share: 0.9, cause: 'follows from the recipe and its cards as they are written' },
  departure: { share: 0.5, cause: 'common practice for figures; a good reason may stand against it' },
  note: { share: 0.7, cause: 'a steady state with full contact to the bed' },
}

const findingOf = (results: RoomResults, rule: string, remark: RecipeRemark): Finding => {
  const { change } = remark
  return {
    id: `${rule}:${remark.id}`,
    rule,
    severity: remark.severity,
    title: remark.title,
    place: wholeHeight(results),
    evidence: remark.evidence,
    certainty: CERTAINTY[remark.kind],
    why: remark.why,
    remedies: change
      ? [
          remedy(
            remark.id,
            `set ${change.what} to ${Number(Number(change.to).toPrecision(4))}`,
            change.what,
            change.from,
            change.to,
          ),
        ]
      : [],
  }
}

export const contradictsItself: Rule = {
  id: 'recipe-contradiction',
  about: 'A recipe that cannot be right as it stands, in itself or against its cards.',
  look: (results) => {
    const { print } = results
    if (!print) return []
    return checkRecipe(print.recipe, print.printer, print.filament)
      .filter(({ kind, id }) => kind === 'contradiction' && !TOLD_BY_FIGURE.includes(id))
      .map((remark) => findingOf(results, 'recipe-contradiction', remark))
  },
  measure: ({ print }) => ({
    label: 'contradictions in the recipe',
    value: print
      ? checkRecipe(print.recipe, print.printer, print.filament).filter(({ kind }) => kind === 'contradiction').length
      : 0,
    unit: '',
  }),
}

export const departsFromPractice: Rule = {
  id: 'recipe-departure',
  about: 'Lines of a recipe that depart from common practice for figures, with the reason.',
  look: (results) => {
    const { print } = results
    if (!print) return []
    return checkRecipe(print.recipe, print.printer, print.filament)
      .filter(({ kind }) => kind === 'departure')
      .map((remark) => ({ ...findingOf(results, 'recipe-departure', remark), remedies: [] }))
  },
}
