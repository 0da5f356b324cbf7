// Makes one figure ready for a tray: stood, cut, planned, timed with and without the slow-down for short layers, its outline from above.

import { planBeads } from '../engine/beads/index.ts'
import { recipeInForce } from '../engine/examine/index.ts'
import { standUp } from '../engine/figure/index.ts'
import { good, type Outcome, type PolygonKit, partOf, type Task } from '../engine/kernel/index.ts'
import { cutLayers } from '../engine/sections/index.ts'
import { timeBeads } from '../engine/timing/index.ts'
import { planOutline } from './plan-outline.ts'
import type { TrayFigure, TrayWish } from './types.ts'

/** Makes a figure ready. */
export const prepareFigure = async (wish: TrayWish, kit: PolygonKit, task?: Task): Promise<Outcome<TrayFigure>> => {
  const { sculpt, settings, copies, spool } = wish
  const { scale, unit, stance, eyeLineMm, printer, filament, layerHeightMm, firstLayerHeightMm } = settings
  const stood = standUp(sculpt, { scale, unit, stance, eyeLineMm })
  if (!stood.ok) return stood
  const { mesh, max, name } = stood.value
  const layers = await cutLayers(mesh, max[2], { layerHeightMm, firstLayerHeightMm }, kit, partOf(task, 0, 0.15))
  const outline = await planOutline(layers, kit, partOf(task, 0.15, 0.25))
  const recipe = recipeInForce(settings)
  const wishes = { ...recipe, leftoverPoints: printer.leftoverPoints, densityGPerCm3: filament.densityGPerCm3 }
  const { plan, report } = await planBeads(layers, wishes, kit, partOf(task, 0.25, 0.8))
  const cards = { printer, filament, recipe }
  const timeline = await timeBeads(plan, cards, {}, partOf(task, 0.8, 0.9))
  const pure = await timeBeads(plan, cards, { slowDown: false }, partOf(task, 0.9, 1))
  const layerRadiusMm = new Float64Array(layers.nLayers)
  for (let k = 0; k < layers.nLayers; k++) {
    let area = 0
    for (let i = layers.islandStart[k]; i < layers.islandStart[k + 1]; i++) area += layers.islandArea[i]
    layerRadiusMm[k] = Math.sqrt(Math.max(0, area) / Math.PI)
  }
  return good({
    name,
    copies,
    spool,
    settings,
    outline,
    heightMm: max[2],
    nLayers: plan.nLayers,
    layerPureS: Float64Array.from(pure.layerRealS),
    layerAloneS: Float64Array.from(timeline.layerRealS),
    layerRadiusMm,
    massG: report.massG,
    volumeMm3: report.volumeMm3,
    plan,
    timeline,
  })
}
