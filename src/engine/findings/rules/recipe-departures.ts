// Where a recipe departs from common practice for figures of 28-32 mm, each with the reason. A departure may be right; it wants a reason.

import type { Recipe } from '../../../recipe/index.ts'
import type { Change, Evidence } from '../types.ts'
import { PLAY_SHARE, PRACTICE, plain, type RecipeCase, type RecipeRemark, type RecipeRule } from './recipe-remark.ts'

type NumberKey = {
  [K in keyof Recipe]: Recipe[K] extends number ? K : never
}[keyof Recipe] &
  string

interface Usual {
  readonly id: string
  readonly key: NumberKey
  readonly called: string
  readonly unit: string
  /** Usual values for this case, both ends included; null where practice says nothing. */
  readonly usual: (asked: RecipeCase) => readonly [number, number] | null
  /** What a lower and a higher value does. */
  readonly below: string
  readonly above: string
  /** Factor for showing: 100 for a share in percent. */
  readonly times?: number
  /** A departure that shows on the figure; otherwise it is worth a note. */
  readonly severity?: 'marks' | 'costs'
}

const isPla = ({ filament }: RecipeCase): boolean => filament.plastic === 'PLA'
const isBowden = ({ printer }: RecipeCase): boolean => printer.feedType === 'bowden'
/** Only ever finer than the 0.4 mm nozzle that practice speaks of. */
const ofBore = ({ printer }: RecipeCase, at04: number): number => at04 * Math.min(1, printer.nozzleBoreMm / 0.4)

const USUAL: readonly Usual[] = [
  {
    id: 'layer-height',
    key: 'layerHeightMm',
    called: 'layer height',
    unit: 'mm',
    usual: ({ printer }) => [0.08, Math.max(0.1, 0.25 * printer.nozzleBoreMm)],
    below: 'layers of 0.05 mm tend to look worse, not better: the nozzle goes over soft plastic more often',
    above: 'steps on slopes grow with the layer height; 0.08 to 0.10 mm suits faces and hands',
  },
  {
    id: 'first-layer-height',
    key: 'firstLayerHeightMm',
    called: 'first layer height',
    unit: 'mm',
    usual: (asked) => [ofBore(asked, 0.2) - 0.03, Math.min(0.25, ofBore(asked, 0.2) + 0.05)],
    below: 'a thin first layer forgives no uneven bed',
    above: 'a thick first layer is pressed less onto the bed',
  },
  {
    id: 'bead-width',
    key: 'beadWidthMm',
    called: 'bead width',
    unit: 'mm',
    usual: ({ printer }) => [0.95 * printer.nozzleBoreMm, 1.15 * printer.nozzleBoreMm],
    below: 'a bead narrower than the bore is drawn out, not laid',
    above: 'a bead wider than the bore blunts small detail; usual is the width of the bore',
  },
  {
    id: 'shells',
    key: 'nShells',
    called: 'number of shells',
    unit: '',
    // Three beads of 0.4 mm: 1.2 mm of plastic from each side.
    usual: ({ recipe }) => {
      const n = Math.max(1, Math.round(1.2 / recipe.beadWidthMm))
      return [n, n + 2]
    },
    below: '1.2 mm of plastic from each side is usual; less is thin for figures',
    above: 'more plastic and time, and nothing gained where thin limbs are full already',
    severity: 'marks',
  },
  {
    id: 'caps',
    key: 'capThicknessMm',
    called: 'cap thickness',
    unit: 'mm',
    usual: () => [0.8, 1.2],
    below: 'roofs sag between the lines of the infill',
    above: 'more plastic and time; 1.0 mm is enough for scenery',
  },
  {
    id: 'infill',
    key: 'infillShare',
    called: 'infill share',
    unit: '%',
    times: 100,
    usual: () => [0.3, 0.7],
    below: 'less than 30 % holds roofs and thick limbs badly',
    above: 'near 100 % a surplus finds no room, and weight makes falls worse',
  },
  {
    id: 'flow',
    key: 'flowShare',
    called: 'flow share',
    unit: '%',
    times: 100,
    usual: () => [0.94, 1],
    below: 'gaps show',
    above: 'strings and blobs; 95 % helps against both',
  },
  {
    id: 'nozzle',
    key: 'nozzleC',
    called: 'nozzle temperature',
    unit: '°C',
    usual: (asked) => (isPla(asked) ? [185, 205] : null),
    below: 'layers bond badly',
    above: 'it drips and strings; begin at 195 °C and change by 5 °C at most at a time',
  },
  {
    id: 'bed',
    key: 'bedC',
    called: 'bed temperature',
    unit: '°C',
    usual: (asked) => (isPla(asked) ? [55, 65] : null),
    below: 'the first layer may let go',
    above: 'the lowest millimetres stay soft',
  },
  {
    id: 'speed',
    key: 'speedMmPerS',
    called: 'speed',
    unit: 'mm/s',
    // The same volume a second from another bead width is the same practice.
    usual: ({ recipe }) => [30, Math.max(60, (60 * 0.4) / recipe.beadWidthMm)],
    below: 'the nozzle lingers and warms what it lays',
    above: 'small outlines never reach it, corners ring; about 45 mm/s is usual',
  },
  {
    id: 'acceleration',
    key: 'accelerationMmPerS2',
    called: 'acceleration',
    unit: 'mm/s2',
    usual: () => [200, 500],
    below: 'the machine hardly gets going between two corners, and lingers there',
    above: 'the shock shows as ripples; 300 is usual and 500 still good',
    severity: 'marks',
  },
  {
    id: 'corner-speed-usual',
    key: 'cornerSpeedMmPerS',
    called: 'corner speed',
    unit: 'mm/s',
    usual: () => [2, 8],
    below: 'the nozzle nearly stops in every corner and leaves a blob',
    above: 'corners ring; about 5 mm/s is usual',
  },
  {
    id: 'lift',
    key: 'liftMm',
    called: 'lift on travel',
    unit: 'mm',
    usual: () => [0, 0],
    below: '',
    above: 'lifting takes time in which the nozzle leaks, and draws threads upwards; off is usual',
  },
  {
    id: 'retraction',
    key: 'retractionMm',
    called: 'retraction',
    unit: 'mm',
    usual: ({ printer }) => {
      const play = PLAY_SHARE * printer.feedTubeMm
      return [Math.max(0.3, 0.8 * play), play + 2]
    },
    below: 'the give of the tube is not even taken up, and travels leave threads',
    above: 'longer ones chew the filament and bring nothing',
  },
  {
    id: 'retraction-speed',
    key: 'retractionSpeedMmPerS',
    called: 'retraction speed',
    unit: 'mm/s',
    usual: (asked) => (isBowden(asked) ? [25, 45] : [20, 45]),
    below: 'the nozzle leaks while the filament is drawn back',
    above: 'faster ones bring nothing and grip worse; 40 mm/s is usual',
  },
]

const outside = (row: Usual): RecipeRule => {
  const { id, key, called, unit, times = 1, severity = 'note' } = row
  return (asked) => {
    const range = row.usual(asked)
    const value = asked.recipe[key]
    if (!range || (value >= range[0] - 1e-9 && value <= range[1] + 1e-9)) return null
    const isBelow = value < range[0]
    const limit = isBelow ? range[0] : range[1]
    const said = (v: number): string => `${plain(v * times)}${unit ? ` ${unit}` : ''}`
    const between = range[0] === range[1] ? said(range[0]) : `${plain(range[0] * times)} to ${said(range[1])}`
    const change: Change = { what: key, from: value, to: limit }
    return {
      id,
      kind: 'departure',
      severity,
      keys: [key],
      title: `The ${called} is ${said(value)}; usual for figures is ${between}`,
      why: `${isBelow ? row.below : row.above}. ${PRACTICE}`.replace(/^./, (c) => c.toUpperCase()),
      evidence: [{ label: called, value: value * times, unit, limit: limit * times }],
      change,
    }
  }
}

/** A departure in one line that is no plain range. */
const departure = (
  id: string,
  key: keyof Recipe & string,
  title: string,
  why: string,
  evidence: readonly [Evidence, ...Evidence[]],
  change: Change | null,
): RecipeRemark => ({
  id,
  kind: 'departure',
  severity: 'note',
  keys: [key],
  title,
  why: `${why} ${PRACTICE}`,
  evidence,
  change,
})

const outerShellShare: RecipeRule = ({ recipe }) => {
  const share = recipe.outerShellSpeedMmPerS / recipe.speedMmPerS
  if (share >= 0.4 && share <= 0.7) return null
  return departure(
    'outer-shell-share',
    'outerShellSpeedMmPerS',
    `The outer shell runs at ${plain(share * 100)} % of the base speed; half of it is usual`,
    share > 0.7
      ? 'What is seen is laid as fast as what is hidden: corners ring and details smear.'
      : 'The change of rate between inner and outer shell leaves surplus at the start of the outer one.',
    [
      { label: 'outer shell of base speed', value: share * 100, unit: '%', limit: share > 0.7 ? 70 : 40 },
      { label: 'outer shell speed', value: recipe.outerShellSpeedMmPerS, unit: 'mm/s' },
      { label: 'base speed', value: recipe.speedMmPerS, unit: 'mm/s' },
    ],
    { what: 'outerShellSpeedMmPerS', from: recipe.outerShellSpeedMmPerS, to: recipe.speedMmPerS / 2 },
  )
}

const firstLayerNozzle: RecipeRule = ({ recipe }) => {
  const over = recipe.firstLayerNozzleC - recipe.nozzleC
  if (over >= 5 && over <= 15) return null
  return departure(
    'first-layer-nozzle',
    'firstLayerNozzleC',
    `The nozzle is ${over === 0 ? 'no hotter' : `${plain(Math.abs(over))} °C ${over > 0 ? 'hotter' : 'cooler'}`} on the first layer; 10 °C hotter is usual`,
    'A hotter first layer wets the bed better; this is one setting for the first layer and no trial step.',
    [
      { label: 'first layer hotter by', value: over, unit: '°C', limit: over > 15 ? 15 : 5 },
      { label: 'nozzle, first layer', value: recipe.firstLayerNozzleC, unit: '°C' },
      { label: 'nozzle', value: recipe.nozzleC, unit: '°C' },
    ],
    { what: 'firstLayerNozzleC', from: recipe.firstLayerNozzleC, to: recipe.nozzleC + 10 },
  )
}

const fan: RecipeRule = (asked) => {
  const { recipe } = asked
  if (!isPla(asked)) return null
  if (recipe.fanShare < 0.95)
    return departure(
      'fan',
      'fanShare',
      `The fan runs at ${plain(recipe.fanShare * 100)} %; full is usual for PLA`,
      'Thin limbs stay soft longer and lean. Less air bonds layers better at the cost of shape.',
      [{ label: 'fan share', value: recipe.fanShare * 100, unit: '%', limit: 95 }],
      { what: 'fanShare', from: recipe.fanShare, to: 1 },
    )
  if (recipe.fanFromLayer === 2) return null
  return departure(
    'fan-from',
    'fanFromLayer',
    `The fan starts at layer ${recipe.fanFromLayer}; the second layer is usual`,
    recipe.fanFromLayer < 2
      ? 'Air on the first layer lifts it from the bed.'
      : 'The layers before stay soft without need.',
    [{ label: 'fan starts at layer', value: recipe.fanFromLayer, unit: '', limit: 2 }],
    { what: 'fanFromLayer', from: recipe.fanFromLayer, to: 2 },
  )
}

const gapBeads: RecipeRule = ({ recipe }) =>
  recipe.gapBeads
    ? null
    : departure(
        'gap-beads',
        'gapBeads',
        'Gap beads are off; on everywhere is usual',
        'On a figure most walls are no whole number of beads; without gap beads the rest stays empty.',
        [{ label: 'gap beads, 1 on and 0 off', value: 0, unit: '', limit: 1 }],
        { what: 'gapBeads', from: 0, to: 1 },
      )

/** Every check for departures. */
export const DEPARTURES: readonly RecipeRule[] = [
  ...USUAL.map(outside),
  outerShellShare,
  firstLayerNozzle,
  fan,
  gapBeads,
]
