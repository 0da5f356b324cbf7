// What a recipe changes without moving a bead: the same beads fed, driven and cooled otherwise.
//
// Beads are planned once for everything that says where they lie and how wide they are. Flow, speeds, retraction, lift, temperatures and
// fan only fill arrays beside them, by the same expressions as the planner's: fed beads equal beads planned anew to the last digit.

import type { Recipe } from '../../recipe/index.ts'
import { type BeadPlan, beadArea, type PlannedBeads, roleIndex } from '../beads/index.ts'
import { recipeInForce } from './settings.ts'
import type { ExamineSettings } from './types.ts'

const OUTER = roleIndex('outer shell')
const DEPOSIT = roleIndex('point deposit')

/** Fields of a recipe that leave every bead where it is. Any other, a new one among them, has the beads planned anew. */
export const FEED_KEYS = [
  'name',
  'printer',
  'filament',
  'flowShare',
  'speedMmPerS',
  'outerShellSpeedMmPerS',
  'firstLayerSpeedMmPerS',
  'accelerationMmPerS2',
  'cornerSpeedMmPerS',
  'travelSpeedMmPerS',
  'liftMm',
  'retractionMm',
  'retractionSpeedMmPerS',
  'nozzleC',
  'firstLayerNozzleC',
  'bedC',
  'fanShare',
  'fanFromLayer',
  'leastLayerTimeS',
  'leastSpeedMmPerS',
  'waitForLayerTime',
] as const satisfies readonly (keyof Recipe)[]

const FED: ReadonlySet<string> = new Set(FEED_KEYS)

/** Key of what beads and their report depend on besides the layers: settings of the same key share their beads. */
export const beadsKeyOf = (settings: ExamineSettings): string =>
  JSON.stringify([
    Object.entries(recipeInForce(settings)).filter(([key]) => !FED.has(key)),
    settings.printer.leftoverPoints,
    settings.filament.densityGPerCm3,
  ])

/** The recipe by which beads are planned before they are fed: whole volumes, and a retraction wherever there may be one. */
export const bareRecipe = (recipe: Recipe): Recipe => ({ ...recipe, flowShare: 1, retractionMm: 1 })

/** A plan made by a bare recipe, fed as a recipe says. */
const fedPlan = (bare: BeadPlan, recipe: Recipe): BeadPlan => {
  const { nLayers, nBeads, layerStart, layerHeight, role, retraction: retracts } = bare
  const { flowShare, speedMmPerS, outerShellSpeedMmPerS, firstLayerSpeedMmPerS, retractionMm, liftMm } = recipe
  const volume = bare.volume.map((v) => v * flowShare)
  const speed = new Float32Array(nBeads)
  const dwell = new Float32Array(nBeads)
  for (let layer = 0; layer < nLayers; layer++) {
    const area = beadArea(recipe.beadWidthMm, layerHeight[layer])
    for (let b = layerStart[layer]; b < layerStart[layer + 1]; b++) {
      const own = role[b] === OUTER ? outerShellSpeedMmPerS : speedMmPerS
      const set = layer === 0 ? Math.min(own, firstLayerSpeedMmPerS) : own
      speed[b] = set
      if (role[b] === DEPOSIT) dwell[b] = volume[b] / (area * set)
    }
  }
  const retraction = retracts.map((r) => (r > 0 ? retractionMm : 0))
  const perLayer = (of: (layer: number) => number) => Float32Array.from({ length: nLayers }, (_, i) => of(i))
  return {
    ...bare,
    fanShare: perLayer((i) => (i + 1 >= recipe.fanFromLayer ? recipe.fanShare : 0)),
    nozzleC: perLayer((i) => (i === 0 ? recipe.firstLayerNozzleC : recipe.nozzleC)),
    bedC: perLayer(() => recipe.bedC),
    speed,
    volume,
    travelSpeed: new Float32Array(nBeads).fill(recipe.travelSpeedMmPerS),
    retraction,
    retractionSpeed: new Float32Array(nBeads).fill(recipe.retractionSpeedMmPerS),
    lift: retracts.map((r) => (r > 0 && retractionMm > 0 ? liftMm : 0)),
    dwell,
  }
}

/**
 * Beads of a bare recipe as settings feed them; whatever else stands beside the beads is handed on.
 * @param bare planned by bareRecipe, for settings of the same beadsKeyOf
 */
export const fedBeads = <P extends PlannedBeads>(bare: P, settings: ExamineSettings): P => {
  const plan = fedPlan(bare.plan, recipeInForce(settings))
  let volumeMm3 = 0
  for (const v of plan.volume) volumeMm3 += v
  const massG = (volumeMm3 * settings.filament.densityGPerCm3) / 1000
  return { ...bare, plan, report: { ...bare.report, volumeMm3, massG } }
}
