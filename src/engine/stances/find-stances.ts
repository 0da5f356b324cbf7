// How to stand or lay a figure: two thousand stances by cheap measures, the few best through the full rooms, and where a cut would help.

import { planBeads } from '../beads/index.ts'
import { type ExamineSettings, recipeInForce } from '../examine/index.ts'
import { standUp } from '../figure/index.ts'
import { breathe, good, type Outcome, type PolygonKit, partOf, type Task } from '../kernel/index.ts'
import type { Sculpt } from '../mesh/index.ts'
import { cutLayers, relateLayers } from '../sections/index.ts'
import { quickStrength } from '../strength/index.ts'
import { timeBeads } from '../timing/index.ts'
import { stanceFacing, upOf } from './attitudes.ts'
import { compareLooks } from './compare-looks.ts'
import { findCut } from './find-cut.ts'
import { findHead, inHead } from './head-region.ts'
import { limbTable, limitCurve } from './limb-table.ts'
import { type BareLook, type GivenFigure, lookAtStance } from './look-at-stance.ts'
import { outerTriangles } from './outer-triangles.ts'
import { MOST_LEAN_COS, pickStances } from './pick-stances.ts'
import {
  measureStance,
  SEARCH_DEFAULTS,
  type SearchBody,
  type SearchPrint,
  searchStances,
  timeScaleOf,
} from './search-stances.ts'
import { surfaceTable } from './surface-table.ts'
import { type Direction, STANCE_COLUMNS, STANCE_ROW, type StanceLook, type StanceReport } from './types.ts'

/** How far to search. */
export interface StanceOptions {
  /** Directions over the sphere; tilts and rests come on top. Range 100-20000. */
  readonly nSphere?: number
  /** Stances besides the given one that go through the full rooms. Range 0-8. */
  readonly most?: number
  /** Look for a cut and a pin. */
  readonly cutToo?: boolean
}
export const STANCE_DEFAULTS = Object.freeze({ nSphere: SEARCH_DEFAULTS.nSphere, most: 4, cutToo: true })

/** What the cheap measures take from the settings. */
export const searchPrintOf = (settings: ExamineSettings): SearchPrint => {
  const recipe = recipeInForce(settings)
  return {
    layerHeightMm: settings.layerHeightMm,
    firstLayerHeightMm: settings.firstLayerHeightMm,
    // The slope at which a layer reaches half a bead beyond the one below.
    undersideSlope: Math.atan(settings.beadWidthMm / 2 / settings.layerHeightMm),
    nShells: settings.nShells,
    beadWidthMm: settings.beadWidthMm,
    infillShare: recipe.infillShare,
    leastLayerTimeS: recipe.leastLayerTimeS,
    shellSpeedMmPerS: (recipe.outerShellSpeedMmPerS + recipe.speedMmPerS) / 2,
    infillSpeedMmPerS: recipe.speedMmPerS,
  }
}

/** Searches stances of a sculpt; settings.stance is the given one. */
export const findStances = async (
  sculpt: Sculpt,
  settings: ExamineSettings,
  kit: PolygonKit,
  options: StanceOptions = {},
  task?: Task,
): Promise<Outcome<StanceReport>> => {
  const { nSphere, most, cutToo } = { ...STANCE_DEFAULTS, ...options }
  const { scale, unit, stance, eyeLineMm, printer, filament, layerHeightMm, firstLayerHeightMm, beadWidthMm } = settings
  const stood = standUp(sculpt, { scale, unit, stance, eyeLineMm })
  if (!stood.ok) return stood
  const figure = stood.value
  task?.onProgress?.(0, 'looking at the figure as given')
  const layers = await cutLayers(
    figure.mesh,
    figure.max[2],
    { layerHeightMm, firstLayerHeightMm },
    kit,
    partOf(task, 0, 0.04),
  )
  const relations = await relateLayers(layers, { allowanceMm: beadWidthMm / 2 }, kit, partOf(task, 0.04, 0.06))
  const given: GivenFigure = { figure, layers, relations }
  const recipe = recipeInForce(settings)
  const wishes = { ...recipe, leftoverPoints: printer.leftoverPoints, densityGPerCm3: filament.densityGPerCm3 }
  const { plan } = await planBeads(layers, wishes, kit, partOf(task, 0.06, 0.12))
  const timeline = await timeBeads(plan, { printer, filament, recipe }, {}, partOf(task, 0.12, 0.13))
  const pure = await timeBeads(plan, { printer, filament, recipe }, { slowDown: false }, partOf(task, 0.13, 0.14))
  const { nShells, capThicknessMm, infillShare } = recipe
  const stuffing = { nShells, beadWidthMm, layerHeightMm, capThicknessMm, infillShare }
  const strength = await quickStrength(figure, layers, relations, filament, { stuffing }, partOf(task, 0.14, 0.18))

  const head = findHead(figure, layers)
  const outer = outerTriangles(figure, layers)
  const body: SearchBody = {
    table: surfaceTable(figure.mesh, inHead(head), outer, false),
    centre: figure.mass.centre,
    volumeMm3: figure.mass.volume,
    limbs: strength.loads.length > 0 ? { table: limbTable(strength, filament), curve: limitCurve(filament) } : null,
  }
  const plain = searchPrintOf(settings)
  const givenRow = new Float64Array(STANCE_COLUMNS)
  measureStance(body, plain, [0, 0, 1], givenRow)
  const { printS } = timeline.totals
  const times = timeScaleOf(givenRow, body.volumeMm3, plain, pure.totals.printS, printS)
  const print: SearchPrint = { ...plain, times }
  const search = await searchStances(body, print, { ...SEARCH_DEFAULTS, nSphere }, partOf(task, 0.18, 0.4))
  const picks = pickStances(search, most, figure.base ? MOST_LEAN_COS : -1)
  const looks: Omit<StanceLook, 'unbeaten' | 'gains' | 'givesUp'>[] = []
  for (let k = 0; k < picks.length; k++) {
    const { index, aims } = picks[k]
    task?.onProgress?.(0.4 + (0.55 * k) / picks.length, 'looking at the best stances')
    await breathe(task)
    const wanted: Direction = [search.ups[3 * index], search.ups[3 * index + 1], search.ups[3 * index + 2]]
    const chosen = index === 0 ? stance : stanceFacing(wanted, stance)
    const up: Direction = index === 0 ? [0, 0, 1] : upOf(chosen, stance)
    const from = 0.4 + (0.55 * k) / picks.length
    const step = partOf(task, from, from + 0.55 / picks.length)
    const look = await lookAtStance(sculpt, given, chosen, up, aims, settings, kit, step)
    if (!look.ok) return look
    const row = new Float64Array(STANCE_COLUMNS)
    measureStance(body, print, up, row)
    looks.push(withMeasures(look.value, row, body.table.totalArea))
  }
  task?.onProgress?.(0.96, 'looking for a cut')
  await breathe(task)
  const cut = cutToo
    ? await findCut(figure, strength, body, print, search, settings, task)
    : { advice: null, reason: null }
  task?.onProgress?.(1, 'stances known')
  return good({
    kind: 'stance-report',
    name: figure.name,
    search,
    looks: compareLooks(looks),
    cut: cut.advice,
    noCut: cut.reason,
    basis: [
      `${search.nStances} stances by cheap measures, ${search.unbeaten.reduce((n, v) => n + v, 0)} of them beaten by none; ${looks.length} looked at with the whole recipe.`,
      `Undersides: more than ${Math.round((search.undersideSlope * 180) / Math.PI)} deg from the vertical, where a layer reaches half a bead beyond the one below. Room for props is that between them and the bed; what stands in between is not taken off.`,
      ...(outer
        ? ['It is put together from several shells: faces inside another shell are left out of all sums.']
        : []),
      'Strength: hands on all limbs with the layers turned along; bonds between layers as full.',
      ...(figure.base
        ? [
            'It has a base: stances that lean farther than 115 deg, with the base overhead, are measured but not proposed.',
          ]
        : []),
      head
        ? `Steps on the head: a ball of ${head.radiusMm.toFixed(1)} mm about the eye line.`
        : 'No head was found at the eye line: steps on it are left out.',
    ],
  })
}

/** The cheap measures that no full room gives. */
const withMeasures = (
  { strength: _strength, ...look }: BareLook,
  row: Float64Array,
  totalArea: number,
): Omit<StanceLook, 'unbeaten' | 'gains' | 'givesUp'> => ({
  ...look,
  propRoomMm3: row[STANCE_ROW.propRoom],
  headStepUm: row[STANCE_ROW.headStepUm],
  meanStepUm: (1000 * row[STANCE_ROW.steps]) / totalArea,
})
