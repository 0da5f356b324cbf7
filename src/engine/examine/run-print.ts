// From outlines and recipe to beads, times, and where the plastic goes.

import type { Recipe } from '../../recipe/index.ts'
import { type BeadPlan, type PlannedBeads, planBeads, roleIndex } from '../beads/index.ts'
import type { Change, PrintResults } from '../findings/index.ts'
import { breathe, type PolygonKit, partOf, type Task } from '../kernel/index.ts'
import {
  balanceOf,
  diffusivityOf,
  findStrings,
  gearPasses,
  type LaidField,
  laidField,
  type MeltBalance,
  meltLimit,
  type SteadyFlow,
  steadyFlow,
} from '../melt/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { machineFit, sharedTimeline, type Timeline, timeBeads } from '../timing/index.ts'
import { bareRecipe, fedBeads } from './fed-plan.ts'
import type { Kept } from './kept.ts'
import { recipeInForce } from './settings.ts'
import type { ExamineSettings } from './types.ts'

const OUTER = roleIndex('outer shell')

/** Retraction lengths that are compared with the recipe's own, mm. */
const OTHER_RETRACTIONS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]

/** Mean heat capacity between room and nozzle, J/(kg K): the enthalpy over the rise. */
export const meanHeatCapacity = ({ recipe, filament }: ExamineSettings): number => {
  const table = filament.heatCapacityJPerKgK
  const at = (temperatureC: number): number => {
    const next = table.findIndex(([t]) => t >= temperatureC)
    if (next === 0) return table[0][1]
    if (next < 0) return table[table.length - 1][1]
    const [t0, c0] = table[next - 1]
    const [t1, c1] = table[next]
    return c0 + ((c1 - c0) * (temperatureC - t0)) / (t1 - t0)
  }
  const roomC = 25
  const stops = [roomC, ...table.map(([t]) => t).filter((t) => t > roomC && t < recipe.nozzleC), recipe.nozzleC]
  let enthalpy = 0
  for (let i = 1; i < stops.length; i++) enthalpy += ((at(stops[i]) + at(stops[i - 1])) / 2) * (stops[i] - stops[i - 1])
  return enthalpy / Math.max(1, recipe.nozzleC - roomC)
}

/** Beads already planned, with the grids of their balance: what a change of flow or of retraction can start from. */
export interface PlannedPrint extends PlannedBeads {
  readonly field: LaidField
}

/** Plans the beads of a stack: enough for times and heat. */
export const planOf = (
  layers: LayerStack,
  settings: ExamineSettings,
  kit: PolygonKit,
  task?: Task,
): Promise<PlannedBeads> =>
  planBeads(
    layers,
    {
      ...recipeInForce(settings),
      leftoverPoints: settings.printer.leftoverPoints,
      densityGPerCm3: settings.filament.densityGPerCm3,
    },
    kit,
    task,
  )

/** Beads planned by the bare recipe, with the grids on which plastic is weighed against room: for every recipe of the same beadsKeyOf. */
export const planBare = async (
  layers: LayerStack,
  settings: ExamineSettings,
  kit: PolygonKit,
  task?: Task,
): Promise<PlannedPrint> => {
  const bare = { ...settings, recipe: bareRecipe(settings.recipe) }
  const { plan, report } = await planOf(layers, bare, kit, partOf(task, 0, 0.6))
  const field = await laidField(plan, layers, 1, settings.recipe.infillShare, partOf(task, 0.6, 1))
  return { plan, report, field }
}

/** Plans the beads of a stack, and the grids on which plastic is weighed against room. */
export const planPrint = async (
  layers: LayerStack,
  settings: ExamineSettings,
  kit: PolygonKit,
  task?: Task,
): Promise<PlannedPrint> => fedBeads(await planBare(layers, settings, kit, task), settings)

/** Plastic weighed against room: as fed, with filament as thick as the card allows, and at which flow neither is too much. */
export interface WeighedPlastic {
  readonly balance: MeltBalance
  readonly thickFilament: MeltBalance
  readonly steady: SteadyFlow
}

/** Weighs the plastic of a plan, each part kept by what it depends on. @param key of layers and beads */
export const weighPlastic = async (
  kept: Kept,
  key: string,
  layers: LayerStack,
  { plan, field }: PlannedPrint,
  { filament, recipe: { flowShare } }: ExamineSettings,
  task?: Task,
): Promise<WeighedPlastic> => {
  const feed = { filamentMm: filament.diameterMm, diameterErrorMm: 0 }
  const weigh = (diameterErrorMm: number): Promise<MeltBalance> =>
    kept.get('balance', `${key}|${JSON.stringify([feed.filamentMm, diameterErrorMm, flowShare])}`, () =>
      balanceOf(field, plan, layers, { ...feed, diameterErrorMm, flowShare }),
    )
  const balance = await weigh(0)
  await breathe(task)
  const thickFilament = await weigh(filament.diameterToleranceMm)
  await breathe(task)
  const steady = await kept.get('steady', `${key}|${feed.filamentMm}`, () => steadyFlow(field, plan, layers, feed))
  return { balance, thickFilament, steady }
}

/** Times of a plan, with other figures on the bed when there are any: each one's own layer may then be as much shorter. */
const timed = async (plan: BeadPlan, settings: ExamineSettings, task?: Task): Promise<Timeline> => {
  const { filament, printer, nTogether } = settings
  const recipe = recipeInForce(settings)
  const own = { ...recipe, leastLayerTimeS: recipe.leastLayerTimeS / nTogether }
  return sharedTimeline(plan, await timeBeads(plan, { printer, filament, recipe: own }, {}, task), nTogether)
}

/**
 * Times the beads and weighs the plastic.
 * @param known results of the same figure before a change that is only being tried: what the change is not judged by is taken from there
 * @param weighed plastic that has been weighed already
 */
export const runPrint = async (
  layers: LayerStack,
  { plan, report, field }: PlannedPrint,
  settings: ExamineSettings,
  task?: Task,
  known?: PrintResults,
  weighed?: WeighedPlastic,
): Promise<PrintResults> => {
  const { filament, printer } = settings
  const recipe = recipeInForce(settings)
  const timeline = await timed(plan, settings, partOf(task, 0, 0.5))
  await breathe(task)
  const feed = { filamentMm: filament.diameterMm, diameterErrorMm: 0 }
  const balance = weighed?.balance ?? balanceOf(field, plan, layers, { ...feed, flowShare: recipe.flowShare })
  await breathe(task)
  const thickFilament =
    (weighed ?? known)?.thickFilament ??
    balanceOf(field, plan, layers, {
      ...feed,
      diameterErrorMm: filament.diameterToleranceMm,
      flowShare: recipe.flowShare,
    })
  task?.onProgress?.(0.6, 'weighing plastic against room')
  await breathe(task)
  const steady = (weighed ?? known)?.steady ?? steadyFlow(field, plan, layers, feed)
  task?.onProgress?.(0.9, 'looking for strings')
  await breathe(task)
  const strings = findStrings(plan, layers, balance, timeline, {
    filamentMm: filament.diameterMm,
    oozeTimeConstantS: printer.oozeTimeConstantS,
  })
  const gear = gearPasses(plan, filament.diameterMm, filament.mostGearPasses, OTHER_RETRACTIONS)
  const limit = meltLimit(plan, timeline, {
    filamentMm: filament.diameterMm,
    meltZoneMm: printer.meltZoneMm,
    diffusivity: diffusivityOf(filament.conductivityWPerMK, filament.densityGPerCm3, meanHeatCapacity(settings)),
    cardMm3PerS: printer.meltLimitMm3PerS,
  })
  task?.onProgress?.(1, 'looking for strings')
  return {
    recipe,
    printer,
    filament,
    plan,
    report,
    timeline,
    fit: machineFit(plan, printer),
    balance,
    thickFilament,
    steady,
    strings,
    gear,
    limit,
  }
}

/** The results of a print whose beads, speeds or waits have changed, with times alone worked out anew: enough to judge heat by. */
export const retimed = async (
  { plan, report }: PlannedBeads,
  settings: ExamineSettings,
  known: PrintResults,
  task?: Task,
): Promise<PrintResults> => {
  const { filament, printer } = settings
  const recipe = recipeInForce(settings)
  return { ...known, recipe, printer, filament, plan, report, timeline: await timed(plan, settings, task) }
}

/** Keys of a recipe whose change leaves every bead where it is. */
export const isPrintChange = (change: Change, recipe: Recipe): boolean =>
  change.what === 'nTogether' ||
  (change.what in recipe &&
    !['beadWidthMm', 'leastBeadWidthMm', 'layerHeightMm', 'firstLayerHeightMm', 'nShells'].includes(change.what))

/**
 * The planned beads after a change of the recipe, without planning again where that is exact: a flow share scales every volume,
 * a retraction its lengths. Null where beads must be planned anew.
 */
export const replanned = <P extends PlannedBeads>(planned: P, change: Change): P | null => {
  const { plan } = planned
  const from = Number(change.from)
  const to = Number(change.to)
  switch (change.what) {
    case 'flowShare':
      return { ...planned, plan: { ...plan, volume: plan.volume.map((v) => (v * to) / from) } }
    case 'retractionMm':
      return { ...planned, plan: { ...plan, retraction: plan.retraction.map((r) => (r > 0 ? to : 0)) } }
    case 'fanShare':
      if (from === 0) return null
      return { ...planned, plan: { ...plan, fanShare: plan.fanShare.map((f) => (f > 0 ? to : 0)) } }
    case 'nozzleC':
      return { ...planned, plan: { ...plan, nozzleC: plan.nozzleC.map((c, k) => (k === 0 ? c : to)) } }
    case 'bedC':
      return { ...planned, plan: { ...plan, bedC: plan.bedC.map(() => to) } }
    case 'outerShellSpeedMmPerS': {
      const first = plan.layerStart[1] ?? plan.nBeads
      return {
        ...planned,
        plan: { ...plan, speed: plan.speed.map((s, b) => (b >= first && plan.role[b] === OUTER ? to : s)) },
      }
    }
    case 'nTogether':
    case 'leastLayerTimeS':
    case 'waitForLayerTime':
    case 'leastSpeedMmPerS':
    case 'accelerationMmPerS2':
    case 'cornerSpeedMmPerS':
      return planned
    default:
      return null
  }
}
