// Runs the rooms on one figure, for the whole height or for a window of it.

import type { Figure } from '../figure/index.ts'
import type { RoomResults, RuleSettings } from '../findings/index.ts'
import { type PolygonKit, partOf, type Task } from '../kernel/index.ts'
import { cutLayers, type LayerRelations, type LayerStack, relateLayers } from '../sections/index.ts'
import {
  findVanishing,
  fitShells,
  measureOutlines,
  type OutlineThickness,
  type ShellFit,
  thinnestOver,
  type VanishingDetail,
} from '../thickness/index.ts'
import type { ExamineSettings } from './types.ts'

const degrees = (radians: number): number => Math.round((radians * 180 * 1e6) / Math.PI) / 1e6

/** The settings that rules see. */
export const ruleSettings = (settings: ExamineSettings): RuleSettings => ({
  beadWidthMm: settings.beadWidthMm,
  leastBeadWidthMm: settings.leastBeadWidthMm,
  layerHeightMm: settings.layerHeightMm,
  firstLayerHeightMm: settings.firstLayerHeightMm,
  nShells: settings.nShells,
  soleToEyeMm: settings.scale.by === 'scale-height' ? settings.scale.soleToEyeMm : Number.NaN,
  thickenMm: settings.thickenMm,
  nTogether: settings.nTogether,
  stanceDeg: [degrees(settings.stance.aboutX), degrees(settings.stance.aboutY), degrees(settings.stance.aboutZ)],
})

/** What the steps need beside the figure. */
export interface RoomContext {
  readonly figure: Figure
  readonly neighbours: Int32Array
  readonly settings: ExamineSettings
  readonly kit: PolygonKit
  readonly window?: readonly [number, number]
}

export const runSections = (
  { figure, neighbours, settings, kit, window }: RoomContext,
  task?: Task,
): Promise<LayerStack> =>
  cutLayers(
    figure.mesh,
    figure.max[2],
    {
      layerHeightMm: settings.layerHeightMm,
      firstLayerHeightMm: settings.firstLayerHeightMm,
      thickenMm: settings.thickenMm,
      neighbours,
      window,
    },
    kit,
    task,
  )

export const runRelations = (
  layers: LayerStack,
  { settings, kit }: RoomContext,
  task?: Task,
): Promise<LayerRelations> => relateLayers(layers, { allowanceMm: settings.beadWidthMm / 2 }, kit, task)

/** Local thickness along outlines, with thin places taken over a length that matters. */
export const runThickness = async (layers: LayerStack, task?: Task): Promise<OutlineThickness> =>
  thinnestOver(layers, await measureOutlines(layers, {}, task))

export const runVanishing = (
  layers: LayerStack,
  outlineThickness: OutlineThickness,
  { settings, kit }: RoomContext,
  task?: Task,
): Promise<readonly VanishingDetail[]> =>
  findVanishing(layers, { beadWidthMm: settings.beadWidthMm, outlineThickness }, kit, task)

/** Results for rules that look only at outlines and what they rest on: no thickness. */
const NO_THICKNESS: Pick<RoomResults, 'outlineThickness' | 'shellFit' | 'vanishing'> = {
  outlineThickness: {
    kind: 'outline-thickness',
    sampleStart: new Uint32Array(1),
    samples: new Float64Array(0),
    thickness: new Float32Array(0),
    facing: new Float32Array(0),
    islandThinnest: new Float64Array(0),
    islandThinnestAt: new Float64Array(0),
    islandWidest: new Float64Array(0),
  } satisfies OutlineThickness,
  shellFit: {
    kind: 'shell-fit',
    beadWidthMm: 0,
    pitch: new Float64Array(0),
    atThinnest: new Float32Array(0),
    atWidest: new Float32Array(0),
    atThinnestSideBySide: new Float32Array(0),
    atWidestSideBySide: new Float32Array(0),
    coreAtThinnest: new Float64Array(0),
  } satisfies ShellFit,
  vanishing: [],
}

/** Cuts and relates only: enough to judge another stance. */
export const runStanceRooms = async (context: RoomContext, task?: Task): Promise<RoomResults> => {
  const layers = await runSections(context, partOf(task, 0, 0.4))
  const relations = await runRelations(layers, context, partOf(task, 0.4, 1))
  return {
    settings: ruleSettings(context.settings),
    figure: context.figure,
    layers,
    relations,
    ...NO_THICKNESS,
    print: null,
    heat: null,
    strength: null,
  }
}

/** All rooms that rules look at, without keeping anything. */
export const runAllRooms = async (context: RoomContext, task?: Task): Promise<RoomResults> => {
  const { settings, figure } = context
  const layers = await runSections(context, partOf(task, 0, 0.2))
  const relations = await runRelations(layers, context, partOf(task, 0.2, 0.4))
  const outlineThickness = await runThickness(layers, partOf(task, 0.4, 0.8))
  const shellFit = fitShells(layers, outlineThickness, { beadWidthMm: settings.beadWidthMm })
  const vanishing = await runVanishing(layers, outlineThickness, context, partOf(task, 0.8, 1))
  return {
    settings: ruleSettings(settings),
    figure,
    layers,
    relations,
    outlineThickness,
    shellFit,
    vanishing,
    print: null,
    heat: null,
    strength: null,
  }
}
