// Times of a bead plan on a machine: look-ahead over the whole print, slow-down for the least layer time, speeds really reached.

import type { FilamentCard, PrinterCard, Recipe } from '../../recipe/index.ts'
import { type BeadPlan, beadArea } from '../beads/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import { type BeadMotion, type LaidChain, layChain } from './lay-chain.ts'
import { type SlowedLayer, slowLayer } from './slow-down.ts'
import { motionLimits } from './time-moves.ts'
import type { Timeline, TimeTotals } from './types.ts'

/** What the timing is made for. */
export interface TimingCards {
  readonly printer: PrinterCard
  readonly filament: FilamentCard
  readonly recipe: Recipe
}

export interface TimingOptions extends BeadMotion {
  /** False for a print file, whose writer has already slowed its layers. */
  readonly slowDown: boolean
}
export const TIMING_DEFAULTS: TimingOptions = Object.freeze({ slowDown: true })

const ROOM_C = 20

const totalsOf = (
  { printer, recipe }: TimingCards,
  parts: Pick<TimeTotals, 'printS' | 'beadsS' | 'travelsS' | 'retractionsS' | 'waitsS'>,
): TimeTotals => {
  const nozzleS = Math.max(0, recipe.firstLayerNozzleC - ROOM_C) / printer.nozzleHeatingCPerS
  const bedS = Math.max(0, recipe.bedC - ROOM_C) / printer.bedHeatingCPerS
  const heatingS = Math.max(nozzleS, bedS)
  const { startS, coolingS, removalS } = printer
  return {
    ...parts,
    heatingS,
    startS,
    coolingS,
    removalS,
    totalS: heatingS + startS + parts.printS + coolingS + removalS,
    assumed: [
      `Nozzle and bed heat up at the same time from ${ROOM_C} deg C at ${printer.nozzleHeatingCPerS} and ${printer.bedHeatingCPerS} deg C/s: ${Math.round(heatingS)} s.`,
      `Homing and the start before the first bead take ${startS} s.`,
      `The figure cools for ${coolingS} s before it comes off, and removal takes ${removalS} s.`,
      'The nozzle rests at the first and the last move; it does not wait for temperatures between layers.',
    ],
  }
}

/** Starts of all moves, s, with the wait of each layer put after its last move; and the sums of the parts. */
const clockOf = (plan: BeadPlan, laid: LaidChain, waits: Float64Array) => {
  const { chain, travelAt, beadAt, isRetraction } = laid
  const clock = new Float64Array(chain.n + 1)
  let now = 0
  let beadsS = 0
  let travelsS = 0
  let retractionsS = 0
  let waitsS = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      for (let i = travelAt[b]; i < travelAt[b + 1]; i++) {
        clock[i] = now
        const seconds = chain.duration(i)
        now += seconds
        if (chain.speed[i] === 0) waitsS += seconds
        else if (i >= beadAt[b]) beadsS += seconds
        else if (isRetraction[i] === 1) retractionsS += seconds
        else travelsS += seconds
      }
    }
    now += waits[layer]
    waitsS += waits[layer]
  }
  clock[chain.n] = now
  return { clock, parts: { printS: now, beadsS, travelsS, retractionsS, waitsS } }
}

/**
 * Times of every bead and layer.
 * The chain is solved over the whole print; a layer that is too short is slowed by one share for all its beads, and waits at its end
 * where the recipe says so and slowing is not enough.
 */
export const timeBeads = async (
  plan: BeadPlan,
  cards: TimingCards,
  options: Partial<TimingOptions> = {},
  task?: Task,
): Promise<Timeline> => {
  const { printer, filament, recipe } = cards
  const settings = { ...TIMING_DEFAULTS, ...options }
  const { nBeads, nLayers, layerStart, beadStart, points } = plan
  const laid = await layChain(plan, motionLimits(printer, recipe), filament.diameterMm, settings, task)
  const { chain, travelAt, beadAt } = laid
  chain.solve()
  await breathe(task)

  const layerTypedS = new Float64Array(nLayers)
  const layerSpeedShare = new Float32Array(nLayers).fill(1)
  const layerWaitS = new Float64Array(nLayers)
  for (let layer = 0; layer < nLayers; layer++) {
    const from = layerStart[layer]
    const to = layerStart[layer + 1]
    for (let b = from; b < to; b++) layerTypedS[layer] += laid.typedTravelS[b] + laid.typedBeadS[b]
    if (!settings.slowDown || from === to || chain.total(travelAt[from], travelAt[to]) >= recipe.leastLayerTimeS)
      continue
    const slowed: SlowedLayer = slowLayer(laid, from, to, recipe.leastLayerTimeS, recipe.leastSpeedMmPerS)
    layerSpeedShare[layer] = slowed.share
    if (recipe.waitForLayerTime && slowed.missingS > 0) {
      layerWaitS[layer] = slowed.missingS
      chain.corner2[travelAt[to]] = 0
    }
    if (layer % 16 === 0) await breathe(task)
  }
  chain.solve()
  await breathe(task)

  const { clock, parts } = clockOf(plan, laid, layerWaitS)
  const travelS = new Float64Array(nBeads)
  const startS = new Float64Array(nBeads)
  const endS = new Float64Array(nBeads)
  const pointS = new Float64Array(points.length / 3)
  const setSpeed = new Float32Array(nBeads)
  const meanSpeed = new Float32Array(nBeads)
  const mostSpeed = new Float32Array(nBeads)
  const belowSetShare = new Float32Array(nBeads)
  const mostFlow = new Float32Array(nBeads)
  const layerS = new Float64Array(nLayers + 1)
  const layerRealS = new Float64Array(nLayers)
  for (let layer = 0; layer < nLayers; layer++) {
    const share = layerSpeedShare[layer]
    for (let b = layerStart[layer]; b < layerStart[layer + 1]; b++) {
      const first = beadAt[b]
      const last = travelAt[b + 1]
      travelS[b] = clock[travelAt[b]]
      let now = first < chain.n && first > travelAt[b] ? clock[first - 1] + chain.duration(first - 1) : clock[first]
      startS[b] = now
      const set =
        share < 1 ? Math.min(plan.speed[b], Math.max(recipe.leastSpeedMmPerS, plan.speed[b] * share)) : plan.speed[b]
      setSpeed[b] = set
      const from = beadStart[b]
      const to = beadStart[b + 1]
      pointS[from] = now
      if (to - from === 1) {
        for (let i = first; i < last; i++) now += chain.duration(i)
        endS[b] = now
        const seconds = now - startS[b]
        mostFlow[b] = seconds > 0 ? plan.volume[b] / seconds : 0
        continue
      }
      let length = 0
      let below = 0
      let most2 = 0
      let i = first
      for (let p = from + 1; p < to; p++) {
        // Points that coincide have no move.
        const still =
          points[3 * p] === points[3 * p - 3] &&
          points[3 * p + 1] === points[3 * p - 2] &&
          points[3 * p + 2] === points[3 * p - 1]
        if (!still && i < last) {
          length += chain.length[i]
          below += chain.length[i] - (chain.speed[i] >= set * 0.9999 ? chain.cruise(i) : 0)
          const peak2 = chain.peak2(i)
          if (peak2 > most2) most2 = peak2
          now += chain.duration(i)
          i++
        }
        pointS[p] = now
      }
      endS[b] = now
      const seconds = now - startS[b]
      meanSpeed[b] = seconds > 0 ? length / seconds : 0
      mostSpeed[b] = Math.sqrt(most2)
      belowSetShare[b] = length > 0 ? below / length : 0
      const section = length > 0 ? plan.volume[b] / length : beadArea(plan.width[b], plan.height[b])
      mostFlow[b] = mostSpeed[b] * section
    }
    layerS[layer] = layer === 0 ? 0 : layerS[layer - 1] + layerRealS[layer - 1]
    const from = layerStart[layer]
    const to = layerStart[layer + 1]
    layerRealS[layer] = from === to ? 0 : endS[to - 1] + layerWaitS[layer] - layerS[layer]
  }
  layerS[nLayers] = parts.printS
  task?.onProgress?.(1, 'Timing the beads')
  return {
    kind: 'timeline',
    travelS,
    startS,
    endS,
    pointS,
    setSpeed,
    meanSpeed,
    mostSpeed,
    belowSetShare,
    mostFlow,
    layerS,
    layerTypedS,
    layerRealS,
    layerSpeedShare,
    layerWaitS,
    totals: totalsOf(cards, parts),
  }
}
