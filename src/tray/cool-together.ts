// How many alike must share the bed so that thin parts stay cool: the quick heat model with the others' time as a pause in every layer.

import { quickHeat } from '../engine/heat/index.ts'
import { breathe, partOf, type Task } from '../engine/kernel/index.ts'
import { sharedTimeline, timeBeads } from '../engine/timing/index.ts'
import type { CoolStep, CoolTogether, TrayFigure } from './types.ts'

/** Numbers tried. */
const NUMBERS = [1, 2, 3, 4, 6, 8, 12, 16]
/** Share of the thin layers that may stay soft for want of time below them. */
const STAYS_SOFT = 0.05
/** Layers whose deciding piece is thinner than this count as thin, mm. */
const THIN_MM = 2.4

/** Tries more and more together until no thin layer is laid on soft plastic. @param most pieces that fit on the bed */
export const coolTogether = async (
  figures: readonly TrayFigure[],
  figure: number,
  most: number,
  task?: Task,
): Promise<CoolTogether> => {
  const { plan, settings, name } = figures[figure]
  const { printer, filament, recipe } = settings
  const steps: CoolStep[] = []
  let thin: boolean[] = []
  let limitC = filament.softeningFromC
  const numbers = NUMBERS.filter((n) => n <= Math.max(1, most))
  for (const nTogether of numbers) {
    const step = partOf(task, steps.length / numbers.length, (steps.length + 1) / numbers.length)
    await breathe(task)
    // Each piece's own layer may be as much shorter as there are others.
    const own = { ...recipe, leastLayerTimeS: recipe.leastLayerTimeS / nTogether }
    const timeline = sharedTimeline(plan, await timeBeads(plan, { printer, filament, recipe: own }), nTogether)
    const heat = await quickHeat(plan, timeline, { printer, filament, recipe }, { timesToo: nTogether === 1 }, step)
    const { topC } = heat
    if (nTogether === 1) {
      thin = Array.from(heat.decidingWidthMm, (w) => w <= THIN_MM)
      limitC = heat.limitC
    }
    let [hottestC, softLayers, layersS, n] = [Number.NaN, 0, 0, 0]
    thin.forEach((isThin, k) => {
      if (!isThin) return
      if (!(topC[k] <= hottestC)) hottestC = topC[k]
      if (topC[k] > limitC) softLayers++
      layersS += timeline.layerRealS[k]
      n++
    })
    steps.push({ nTogether, hottestC, softLayers, layersS: n > 0 ? layersS / n : Number.NaN })
    if (softLayers === 0) break
  }
  const nThinLayers = thin.filter(Boolean).length
  // A few layers just above a warm bed stay soft however long one waits: the number after which more of them brings nothing.
  const fewest = Math.min(...steps.map(({ softLayers }) => softLayers))
  const enough =
    fewest < Math.max(1, STAYS_SOFT * nThinLayers)
      ? (steps.find(({ softLayers }) => softLayers <= fewest + 0.01 * nThinLayers)?.nTogether ?? null)
      : null
  const last = steps[steps.length - 1]
  const first = steps[0]
  const there = steps.find(({ nTogether }) => nTogether === enough)
  const words =
    nThinLayers === 0
      ? `${name}: no layer is thin enough to ask.`
      : !there
        ? `${name}: even ${last.nTogether} together leave ${last.softLayers} of ${nThinLayers} thin layers laid on plastic above ${limitC} deg C, alone ${first.softLayers}.`
        : enough === 1
          ? `${name}: thin parts stay below ${limitC} deg C by itself.`
          : `${name}: ${enough} together keep ${there.softLayers === 0 ? 'all' : `all but ${there.softLayers} of`} ${nThinLayers} thin layers off plastic above ${limitC} deg C; alone ${first.softLayers} are laid on it, the hottest at ${first.hottestC.toFixed(0)} deg C.`
  return { figure, limitC, thinMm: THIN_MM, nThinLayers, steps, enough, words }
}
