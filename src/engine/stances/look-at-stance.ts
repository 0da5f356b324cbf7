// One stance through the full rooms: sections, what rests on what, beads, times, heat by layers, strength with the layers its way.

import { planBeads } from '../beads/index.ts'
import { type ExamineSettings, recipeInForce } from '../examine/index.ts'
import { type Figure, type Stance, standUp } from '../figure/index.ts'
import { quickHeat } from '../heat/index.ts'
import { breathe, good, type Outcome, type PolygonKit, partOf, type Task } from '../kernel/index.ts'
import type { Sculpt } from '../mesh/index.ts'
import { cutLayers, type LayerRelations, type LayerStack, relateLayers } from '../sections/index.ts'
import { type QuickStrength, quickStrength } from '../strength/index.ts'
import { timeBeads } from '../timing/index.ts'
import { attitudeWords } from './attitudes.ts'
import { pryForceN } from './search-stances.ts'
import type { Direction, StanceAim, StanceLook, StanceOutlines } from './types.ts'

/** The figure as given, cut, for strength: limbs do not change with the stance, only the layers across them do. */
export interface GivenFigure {
  readonly figure: Figure
  readonly layers: LayerStack
  readonly relations: LayerRelations
}

/** Small pictures show every n-th layer, and outlines to this tolerance. */
const PICTURE_LAYERS = 110

/** A few of the layers, each point kept: enough for a picture of thumb size. */
const pictureOf = (stack: LayerStack): StanceOutlines => {
  const every = Math.max(1, Math.ceil(stack.nLayers / PICTURE_LAYERS))
  const faceZ: number[] = []
  const layerStart = [0]
  const loopStart = [0]
  const points: number[] = []
  for (let k = 0; k < stack.nLayers; k += every) {
    faceZ.push(stack.faceZ[k])
    for (let j = stack.layerStart[k]; j < stack.layerStart[k + 1]; j++) {
      const n = stack.loopStart[j + 1] - stack.loopStart[j]
      const step = Math.max(1, Math.floor(n / 60))
      for (let i = stack.loopStart[j]; i < stack.loopStart[j + 1]; i += step)
        points.push(stack.points[2 * i], stack.points[2 * i + 1])
      loopStart.push(points.length / 2)
    }
    layerStart.push(loopStart.length - 1)
  }
  faceZ.push(stack.faceZ[stack.nLayers])
  return {
    nLayers: faceZ.length - 1,
    faceZ: Float64Array.from(faceZ),
    layerStart: Uint32Array.from(layerStart),
    loopStart: Uint32Array.from(loopStart),
    points: Float64Array.from(points),
  }
}

const sum = (values: Float64Array): number => values.reduce((a, b) => a + b, 0)

/** What is known of a stance before the comparison with others. */
export type BareLook = Omit<
  StanceLook,
  'unbeaten' | 'gains' | 'givesUp' | 'propRoomMm3' | 'headStepUm' | 'meanStepUm'
> & {
  readonly strength: QuickStrength
}

/** Looks at one stance with the recipe in force. @param given the figure as given: strength is worked out on its limbs */
export const lookAtStance = async (
  sculpt: Sculpt,
  given: GivenFigure,
  stance: Stance,
  up: Direction,
  aims: readonly StanceAim[],
  settings: ExamineSettings,
  kit: PolygonKit,
  task?: Task,
): Promise<Outcome<BareLook>> => {
  const { scale, unit, eyeLineMm, printer, filament, layerHeightMm, firstLayerHeightMm, beadWidthMm } = settings
  const stood = standUp(sculpt, { scale, unit, stance, eyeLineMm })
  if (!stood.ok) return stood
  const { mesh, max } = stood.value
  const layers = await cutLayers(mesh, max[2], { layerHeightMm, firstLayerHeightMm }, kit, partOf(task, 0, 0.15))
  const relations = await relateLayers(layers, { allowanceMm: beadWidthMm / 2 }, kit, partOf(task, 0.15, 0.3))
  await breathe(task)
  const recipe = recipeInForce(settings)
  const wishes = { ...recipe, leftoverPoints: printer.leftoverPoints, densityGPerCm3: filament.densityGPerCm3 }
  const { plan, report } = await planBeads(layers, wishes, kit, partOf(task, 0.3, 0.65))
  const timeline = await timeBeads(plan, { printer, filament, recipe }, {}, partOf(task, 0.65, 0.75))
  const heat = await quickHeat(
    plan,
    timeline,
    { printer, filament, recipe },
    { timesToo: false },
    partOf(task, 0.75, 0.85),
  )
  const { nShells, capThicknessMm, infillShare } = recipe
  const strength = await quickStrength(
    given.figure,
    given.layers,
    given.relations,
    filament,
    { stuffing: { nShells, beadWidthMm, layerHeightMm, capThicknessMm, infillShare }, layerNormal: up, nAttitudes: 8 },
    partOf(task, 0.85, 1),
  )
  const weakest = strength.weakPlaces[0]
  let hottestTopC = Number.NaN
  let nSoftLayers = 0
  for (const c of heat.topC) {
    if (!(c <= hottestTopC) && Number.isFinite(c)) hottestTopC = c
    if (c > heat.limitC) nSoftLayers++
  }
  return good({
    stance,
    up,
    aims,
    attitude: attitudeWords(up),
    heightMm: max[2],
    minutes: timeline.totals.printS / 60,
    massG: report.massG,
    nLayers: layers.nLayers,
    contactMm2: relations.bedContact,
    pryN: pryForceN(relations.bedContact, max[2]),
    undersideMm2: sum(relations.unsupportedArea),
    startsInAir: relations.startsInAir.reduce((n, v) => n + v, 0),
    leastForceN: weakest ? weakest.forceN.value : Number.NaN,
    weakAtMm: weakest ? weakest.heightMm : Number.NaN,
    weakThickMm: weakest ? weakest.thickMm : Number.NaN,
    hottestTopC,
    nSoftLayers,
    picture: pictureOf(layers),
    strength,
  })
}
