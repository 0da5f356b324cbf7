// Beads of one layer as the section draws them, and where they have too much plastic or too little.

import { type BeadPlan, roleIndex } from '../../engine/beads/index.ts'
import { type LayerSurplus, surplusOfLayer } from '../../engine/melt/index.ts'
import type { LayerStack } from '../../engine/sections/index.ts'
import type { BeadsInPlan } from '../../picture/index.ts'
import type { PrintFacts } from '../messages.ts'

const PRIMING_LOOP = roleIndex('priming loop')

/** Beads of a layer; priming loops lie beside the figure and are left out. */
export const beadsOfLayer = (printed: PrintFacts, layer: number): BeadsInPlan => ({
  beadStart: printed.beadStart,
  points: printed.points,
  stride: 2,
  pointWidth: printed.pointWidth,
  fromBead: printed.layerStart[layer],
  toBead: printed.layerStart[layer + 1],
  isLeftOut: (bead) => printed.role[bead] === PRIMING_LOOP,
})

/** The beads of one layer as a plan of that layer alone, as far as weighing them needs it. */
const planOfLayer = (printed: PrintFacts, layer: number): BeadPlan => {
  const [from, to] = [printed.layerStart[layer], printed.layerStart[layer + 1]]
  const [first, end] = [printed.beadStart[from], printed.beadStart[to]]
  const points = new Float64Array(3 * (end - first))
  for (let i = first; i < end; i++) {
    points[3 * (i - first)] = printed.points[2 * i]
    points[3 * (i - first) + 1] = printed.points[2 * i + 1]
  }
  const nBeads = to - from
  const none = new Float32Array(nBeads)
  return {
    kind: 'bead-plan',
    nLayers: 1,
    layerTopZ: new Float64Array(1),
    layerHeight: new Float64Array(1),
    layerStart: Uint32Array.of(0, nBeads),
    fanShare: new Float32Array(1),
    nozzleC: new Float32Array(1),
    bedC: new Float32Array(1),
    nBeads,
    beadStart: printed.beadStart.slice(from, to + 1).map((at) => at - first),
    points,
    pointWidth: printed.pointWidth.subarray(first, end),
    role: printed.role.subarray(from, to),
    closed: new Uint8Array(nBeads),
    width: printed.width.subarray(from, to),
    height: printed.height.subarray(from, to),
    speed: none,
    volume: Float64Array.from(printed.volume.subarray(from, to)),
    island: printed.island.subarray(from, to),
    travelStart: new Uint32Array(nBeads + 1),
    travelPoints: new Float64Array(0),
    travelSpeed: none,
    retraction: none,
    retractionSpeed: none,
    lift: none,
    dwell: none,
  }
}

/** Plastic against room in a layer, worked out when the layer is looked at. */
export const plasticOfLayer = (printed: PrintFacts, layers: LayerStack, layer: number): LayerSurplus =>
  surplusOfLayer(
    planOfLayer(printed, layer),
    {
      ...layers,
      nLayers: 1,
      faceZ: layers.faceZ.subarray(layer, layer + 2),
      layerStart: layers.layerStart.subarray(layer, layer + 2),
    },
    0,
    printed.flowShare,
    printed.infillShare,
  )

/** Ends of the travels of a layer that leave a thread, x1 y1 x2 y2 each, mm. */
export const threadsOfLayer = ({ strings }: PrintFacts, layer: number): readonly number[] => {
  const ends: number[] = []
  for (let s = 0; s < strings.nCrossings; s++)
    if (strings.layer[s] === layer && strings.cause[s] !== 0) ends.push(...strings.at.subarray(4 * s, 4 * s + 4))
  return ends
}
