// How it will look: the surface room on what is known of the print, its track in the height log, and the printed solid.

import type { RoomResults } from '../findings/index.ts'
import type { HeatResult } from '../heat/index.ts'
import type { PolygonKit, Task } from '../kernel/index.ts'
import {
  lookAtSurface,
  type PredictedSurface,
  type PredictOptions,
  predictSurface,
  type SurfaceLook,
} from '../surface/index.ts'
import type { SurfaceThickness } from '../thickness/index.ts'
import { recipeInForce } from './settings.ts'
import { roundUp } from './tracks.ts'
import type { Examination, Track } from './types.ts'

/** Looks at the surface; null without beads. @param heat the whole calculation on the same plan, null where it was not made */
export const runSurface = async (
  results: RoomResults,
  thickness: SurfaceThickness | null,
  heat: HeatResult | null,
  kit: PolygonKit,
  task?: Task,
): Promise<SurfaceLook | null> => {
  const { figure, layers, relations, vanishing, print } = results
  if (!print) return null
  const { plan, timeline, recipe, printer, filament } = print
  return lookAtSurface(
    {
      figure,
      layers,
      relations,
      vanishing,
      plan,
      timeline,
      recipe,
      printer,
      filament,
      buriedVertices: thickness?.perVertex ?? null,
      heat,
    },
    kit,
    task,
  )
}

/** Mean step height of each layer. */
export const surfaceTrack = ({ settings }: RoomResults, { steps }: SurfaceLook): Track => ({
  id: 'steps',
  question: 'how stepped',
  quantity: 'steps',
  unit: 'µm',
  values: steps.layerUm,
  from: 0,
  to: roundUp(1000 * settings.layerHeightMm),
  drawn: 'line',
  decimals: 0,
  why: `Cusp height t cos theta of the surface, mean of each layer: nothing on walls, the whole layer height where the surface is nearly level. ${steps.viewing}`,
})

/** The printed solid of an examination; null when its surface was not looked at. */
export const predictPrinted = async (
  { figure, layers, settings, surface }: Examination,
  kit: PolygonKit,
  options: PredictOptions = {},
  task?: Task,
): Promise<PredictedSurface | null> =>
  surface ? predictSurface(figure, layers, surface, recipeInForce(settings), kit, options, task) : null
