// How it will look: all parts of the surface room in one call.

import type { FilamentCard, PrinterCard, Recipe } from '../../recipe/index.ts'
import { type BeadPlan, beadArea } from '../beads/index.ts'
import type { Figure } from '../figure/index.ts'
import { HEAT_DEFAULTS, type HeatResult } from '../heat/index.ts'
import { breathe, type PolygonKit, type Polygons, partOf, type Task } from '../kernel/index.ts'
import type { LayerRelations, LayerStack } from '../sections/index.ts'
import type { VanishingDetail } from '../thickness/index.ts'
import type { Timeline } from '../timing/index.ts'
import { beadSetting } from './bead-setting.ts'
import { findStarts } from './bead-starts.ts'
import { vertexDeviation } from './deviation.ts'
import { facetsOf } from './facets.ts'
import { findHanging } from './hanging.ts'
import { printedOutline } from './printed-outlines.ts'
import { propNeed } from './props.ts'
import { findRegions } from './regions.ts'
import { shapeLost } from './shape-lost.ts'
import { shrinkAndCurl } from './shrink-curl.ts'
import { stepsOf } from './steps.ts'
import type { SurfaceLook } from './types.ts'
import { longestSpanMm, stadiumMoment, weightPerMm } from './viscous-sag.ts'

/** What the room needs. */
export interface SurfaceSubject {
  readonly figure: Figure
  readonly layers: LayerStack
  readonly relations: LayerRelations
  readonly vanishing: readonly VanishingDetail[]
  readonly plan: BeadPlan
  readonly timeline: Timeline
  readonly recipe: Recipe
  readonly printer: PrinterCard
  readonly filament: FilamentCard
  /** Local thickness per vertex, NaN where the surface is buried in another shell; leaves such triangles out. */
  readonly buriedVertices?: Float32Array | null
  /** Heat of the same plan: times until beads have set. Without it a bead alone in the fan's air stands for all. */
  readonly heat?: HeatResult | null
}

/** 1 per triangle whose three corners are buried; null when none is known. */
const hiddenTriangles = (triangles: Uint32Array, vertices: Float32Array | null | undefined): Uint8Array | null => {
  if (!vertices) return null
  const hidden = new Uint8Array(triangles.length / 3)
  for (let t = 0; t < hidden.length; t++)
    hidden[t] =
      Number.isNaN(vertices[triangles[3 * t]]) &&
      Number.isNaN(vertices[triangles[3 * t + 1]]) &&
      Number.isNaN(vertices[triangles[3 * t + 2]])
        ? 1
        : 0
  return hidden
}

/** Air at the part with the recipe's fan, m/s. */
export const airOf = ({ printer, recipe }: Pick<SurfaceSubject, 'printer' | 'recipe'>): number =>
  printer.fanAirMPerS * recipe.fanShare

/** Longest clamped span of one bead that sags less than half a layer, mm. */
export const supportedSpanMm = (subject: Pick<SurfaceSubject, 'recipe' | 'printer' | 'filament'>): number => {
  const { recipe, filament } = subject
  const { beadWidthMm: w, layerHeightMm: h } = recipe
  const { fluidity } = beadSetting({
    filament,
    nozzleC: recipe.nozzleC,
    airMPerS: airOf(subject),
    roomC: HEAT_DEFAULTS.roomC,
    widthMm: w,
    heightMm: h,
  })
  const areaMm2 = beadArea(w, h)
  const weightNPerMm = weightPerMm(areaMm2, filament.densityGPerCm3)
  return longestSpanMm({ areaMm2, momentMm4: stadiumMoment(w, h), weightNPerMm }, fluidity, h / 2)
}

/** Looks at the surface of a planned print. */
export const lookAtSurface = async (subject: SurfaceSubject, kit: PolygonKit, task?: Task): Promise<SurfaceLook> => {
  const { figure, layers, relations, vanishing, plan, timeline, recipe, filament } = subject
  const { mesh } = figure
  task?.onProgress?.(0, 'looking at steps')
  const facets = facetsOf(mesh)
  const regions = findRegions(figure, layers, facets.normals)
  await breathe(task)
  const hidden = hiddenTriangles(mesh.triangles, subject.buriedVertices)
  const steps = stepsOf(mesh, facets, regions, hidden, {
    layerHeightMm: recipe.layerHeightMm,
    firstLayerHeightMm: recipe.firstLayerHeightMm,
    faceZ: layers.faceZ,
    layerS: timeline.layerRealS,
  })
  await breathe(task)
  const conditions = {
    filament,
    nozzleC: recipe.nozzleC,
    airMPerS: airOf(subject),
    roomC: HEAT_DEFAULTS.roomC,
    heat: subject.heat ?? null,
    fullAirMPerS: subject.printer.fanAirMPerS,
  }
  const hanging = await findHanging(plan, layers, relations, conditions, partOf(task, 0.2, 0.5))
  const props = propNeed(layers, relations, recipe.beadWidthMm, supportedSpanMm(subject))
  await breathe(task)
  const lost = shapeLost(layers, vanishing, recipe.beadWidthMm, recipe.firstLayerHeightMm)
  const starts = findStarts(plan, figure, layers, regions, recipe.beadWidthMm)
  await breathe(task)
  const opened = new Map<number, Polygons>()
  const wishes = { ...recipe, squeezeMm: lost.squeezeMm }
  for (const { fromLayer, toLayer } of vanishing)
    for (let k = fromLayer; k <= toLayer; k++) {
      if (opened.has(k)) continue
      opened.set(k, printedOutline(layers, k, wishes, kit))
      if (opened.size % 4 === 0) await breathe(task)
    }
  const vertexDeviationMm = await vertexDeviation(
    mesh,
    layers,
    (k) => opened.get(k) ?? null,
    hanging,
    partOf(task, 0.6, 1),
  )
  if (subject.buriedVertices)
    for (let v = 0; v < vertexDeviationMm.length; v++)
      if (Number.isNaN(subject.buriedVertices[v])) vertexDeviationMm[v] = Number.NaN
  const leftOut = subject.heat
    ? []
    : [
        'Heat was not followed through every bead: beads over air set as one bead alone in the air of the fan, so sag in thick places is too small.',
      ]
  return {
    kind: 'surface-look',
    regions,
    steps,
    hanging,
    props,
    lost,
    shrink: shrinkAndCurl(figure, filament),
    starts,
    vertexDeviationMm,
    leftOut,
  }
}
