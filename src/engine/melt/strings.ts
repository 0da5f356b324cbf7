// Travels over open air, and whether what they drag came from outside the nozzle or from pressure inside it.
//
// Outside: the surplus standing under the nozzle at the last bead's end, over a bead's footprint, and what the nozzle lets out
// while it stands there and draws the filament back; a share of it sticks to the nozzle. Inside: melt and filament are springs;
// when the feed stops, the stored volume (rate times time constant) keeps flowing out and dies away exponentially. Retraction
// lets both springs go; what is left leaks out during the travel.

import { type BeadPlan, filamentArea } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import type { Timeline } from '../timing/index.ts'
import type { MeltBalance, StringReport } from './types.ts'

export interface StringOptions {
  readonly filamentMm: number
  /** Time in which pressure left in the nozzle falls to 37 %, s. */
  readonly oozeTimeConstantS: number
  /** Give of the filament in its tube, mm: the retraction that takes the push off it before any melt is drawn back. */
  readonly playMm?: number
  /** Share of what stands at the bead's end that sticks to the leaving nozzle. */
  readonly stickingShare?: number
  /** Crossings of less open air are not looked at, mm. */
  readonly leastAirMm?: number
  /** Thinnest thread that is seen, mm: a crossing with less volume than such a thread needs leaves none. */
  readonly threadMm?: number
}

/** From memory, rough: a 400 mm tube gives about 1 % of its length; a tenth of a blob sticks; a thread of 0.04 mm is just seen. */
export const STRING_DEFAULTS = Object.freeze({ playMm: 4, stickingShare: 0.1, leastAirMm: 0.3, threadMm: 0.04 })

/** Where the plastic goes that pressure pushes out after the feed stops, mm3. */
export interface Oozed {
  /** While the nozzle stands at the bead's end and draws the filament back: it stays there. */
  readonly standingMm3: number
  /** During the travel: it is drawn across the air. */
  readonly travellingMm3: number
}

/**
 * What pressure pushes out after the feed stops.
 * @param rate volume rate before the stop, mm3/s: rate times time constant is stored
 * @param travelS time of the travel alone, s
 * @param retraction length and speed, mm and mm/s (length 0: none, and the nozzle leaves at once)
 */
export const oozedAfter = (
  rate: number,
  travelS: number,
  timeConstantS: number,
  retraction: { readonly lengthMm: number; readonly speedMmPerS: number },
  filamentMm: number,
  playMm: number,
): Oozed => {
  const stored = rate * timeConstantS
  const leaks = (volume: number, forS: number) => volume * (1 - Math.exp(-forS / timeConstantS))
  const { lengthMm, speedMmPerS } = retraction
  if (lengthMm <= 0 || speedMmPerS <= 0) return { standingMm3: 0, travellingMm3: leaks(stored, travelS) }
  // The play is a spring in line with the melt: both let go together, so the store is drawn in evenly over play + stored volume:
  // s' = -s/tau - pull.
  const toRelease = playMm + stored / filamentArea(filamentMm)
  const pull = (stored / toRelease) * speedMmPerS
  const relief = timeConstantS * Math.log(1 + stored / (pull * timeConstantS))
  const pulling = Math.min(relief, lengthMm / speedMmPerS)
  const kept = (stored + pull * timeConstantS) * Math.exp(-pulling / timeConstantS) - pull * timeConstantS
  const standing = stored - kept - pull * pulling
  // What is still under pressure when the filament stops leaks on, first of all during the travel.
  return { standingMm3: Math.max(0, standing), travellingMm3: leaks(Math.max(0, kept), travelS) }
}

/** Parts of the straight way a-b that lie outside the layer's outlines: total length, first start and last end as shares. */
export const openAir = (
  stack: LayerStack,
  layer: number,
  ax: number,
  ay: number,
  bx: number,
  by: number,
): { length: number; from: number; to: number } => {
  const { points, loopStart, layerStart } = stack
  const dx = bx - ax
  const dy = by - ay
  const whole = Math.hypot(dx, dy)
  const shares: number[] = []
  let inside = false
  for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
    const end = loopStart[j + 1]
    let px = points[2 * end - 2]
    let py = points[2 * end - 1]
    for (let i = loopStart[j]; i < end; i++) {
      const qx = points[2 * i]
      const qy = points[2 * i + 1]
      if (py > ay !== qy > ay && ax < ((px - qx) * (ay - qy)) / (py - qy) + qx) inside = !inside
      const sideP = dx * (py - ay) - dy * (px - ax)
      const sideQ = dx * (qy - ay) - dy * (qx - ax)
      if (sideP > 0 !== sideQ > 0) {
        const s = sideP / (sideP - sideQ)
        const x = px + s * (qx - px) - ax
        const y = py + s * (qy - py) - ay
        const share = (x * dx + y * dy) / (whole * whole)
        if (share > 0 && share < 1) shares.push(share)
      }
      px = qx
      py = qy
    }
  }
  shares.sort((p, q) => p - q)
  shares.push(1)
  let length = 0
  let from = Number.NaN
  let to = Number.NaN
  let before = 0
  for (const share of shares) {
    if (!inside && share > before) {
      length += (share - before) * whole
      if (Number.isNaN(from)) from = before
      to = share
    }
    inside = !inside
    before = share
  }
  return { length, from, to }
}

/** Length of a bead's path, mm. */
const pathLength = (plan: BeadPlan, bead: number): number => {
  let length = 0
  for (let i = plan.beadStart[bead] + 1; i < plan.beadStart[bead + 1]; i++)
    length += Math.hypot(plan.points[3 * i] - plan.points[3 * i - 3], plan.points[3 * i + 1] - plan.points[3 * i - 2])
  return length
}

/**
 * All travels over open air.
 * @param balance gives what stands under the nozzle at every bead's end
 * @param timeline real speeds and times where known; else set speeds
 */
export const findStrings = (
  plan: BeadPlan,
  stack: LayerStack,
  balance: Pick<MeltBalance, 'endSurplusMm'>,
  timeline: Timeline | null,
  options: StringOptions,
): StringReport => {
  const { filamentMm, oozeTimeConstantS, playMm, stickingShare, leastAirMm, threadMm } = {
    ...STRING_DEFAULTS,
    ...options,
  }
  const nLayers = Math.min(plan.nLayers, stack.nLayers)
  const bead: number[] = []
  const layers: number[] = []
  const airMm: number[] = []
  const at: number[] = []
  const leftBehind: number[] = []
  const ooze: number[] = []
  const cause: number[] = []
  const layerCrossings = new Uint32Array(nLayers)
  const layerAirMm = new Float64Array(nLayers)
  const layerThreads = new Uint32Array(nLayers)
  for (let layer = 0; layer < nLayers; layer++) {
    for (let b = Math.max(1, plan.layerStart[layer]); b < plan.layerStart[layer + 1]; b++) {
      const last = plan.beadStart[b] - 1
      const first = plan.beadStart[b]
      const way = [plan.points[3 * last], plan.points[3 * last + 1]]
      for (let i = plan.travelStart[b]; i < plan.travelStart[b + 1]; i++)
        way.push(plan.travelPoints[3 * i], plan.travelPoints[3 * i + 1])
      way.push(plan.points[3 * first], plan.points[3 * first + 1])
      let air = 0
      let whole = 0
      const ends = [Number.NaN, Number.NaN, Number.NaN, Number.NaN]
      for (let i = 2; i < way.length; i += 2) {
        const [ax, ay, bx, by] = way.slice(i - 2, i + 2)
        const length = Math.hypot(bx - ax, by - ay)
        whole += length
        if (length < 1e-9) continue
        const open = openAir(stack, layer, ax, ay, bx, by)
        if (open.length <= 0) continue
        air += open.length
        if (Number.isNaN(ends[0])) {
          ends[0] = ax + open.from * (bx - ax)
          ends[1] = ay + open.from * (by - ay)
        }
        ends[2] = ax + open.to * (bx - ax)
        ends[3] = ay + open.to * (by - ay)
      }
      if (air < leastAirMm) continue
      const before = b - 1
      const length = pathLength(plan, before)
      const speed = timeline ? timeline.meanSpeed[before] : plan.speed[before]
      const rate =
        length > 1e-6
          ? (plan.volume[before] / length) * speed
          : plan.volume[before] / Math.max(plan.dwell[before], 1e-3)
      const back = plan.retraction[b] > 0 ? (2 * plan.retraction[b]) / Math.max(plan.retractionSpeed[b], 1e-3) : 0
      const travelS = timeline
        ? Math.max(0, timeline.startS[b] - timeline.travelS[b] - back)
        : whole / Math.max(plan.travelSpeed[b], 1e-3)
      const { standingMm3, travellingMm3 } = oozedAfter(
        rate,
        travelS,
        oozeTimeConstantS,
        { lengthMm: plan.retraction[b], speedMmPerS: plan.retractionSpeed[b] },
        filamentMm,
        playMm,
      )
      const pushed = travellingMm3
      const left = balance.endSurplusMm[before] * (Math.PI / 4) * plan.width[before] ** 2 + standingMm3
      const threadNeeds = (Math.PI / 4) * threadMm * threadMm * air
      bead.push(b)
      layers.push(layer)
      airMm.push(air)
      at.push(...ends)
      leftBehind.push(left)
      ooze.push(pushed)
      const dragged = left * stickingShare
      const why = dragged + pushed < threadNeeds ? 0 : dragged > pushed ? 1 : 2
      cause.push(why)
      layerCrossings[layer]++
      layerAirMm[layer] += air
      if (why > 0) layerThreads[layer]++
    }
  }
  return {
    kind: 'strings',
    nCrossings: bead.length,
    bead: Uint32Array.from(bead),
    layer: Uint32Array.from(layers),
    airMm: Float64Array.from(airMm),
    at: Float64Array.from(at),
    leftBehindMm3: Float64Array.from(leftBehind),
    oozeMm3: Float64Array.from(ooze),
    cause: Uint8Array.from(cause),
    layerCrossings,
    layerAirMm,
    layerThreads,
  }
}
