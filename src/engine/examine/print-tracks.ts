// Tracks of the height log that need beads and times: layer time, shells only, surplus, crossings, gear passes.

import type { PrintResults, RoomResults } from '../findings/index.ts'
import { roundUp } from './tracks.ts'
import type { Track } from './types.ts'

const greatest = (values: Float64Array, share = 1): number => {
  const sorted = Float64Array.from(values.filter((v) => Number.isFinite(v))).sort()
  return sorted.length > 0 ? sorted[Math.min(sorted.length - 1, Math.floor(share * (sorted.length - 1)))] : 0
}

/** One track per question that a print raises. */
export const printTracks = ({ layers }: RoomResults, print: PrintResults): Track[] => {
  const { timeline, report, balance, strings, gear, recipe, filament } = print
  const shellsOnly = Float64Array.from(
    { length: layers.nLayers },
    (_, k) => 100 * (report.layerShellsOnlyShare[k] ?? 0),
  )
  const surplus = Float64Array.from({ length: layers.nLayers }, (_, k) =>
    balance.laidMm3[k] > 0 ? (100 * balance.overflowMm3[k]) / balance.laidMm3[k] : 0,
  )
  return [
    {
      id: 'layer-time',
      question: 'how long a layer',
      quantity: 'time',
      unit: 's',
      values: timeline.layerRealS,
      other: { label: 'as typed', values: timeline.layerTypedS },
      limit: { label: 'least', value: recipe.leastLayerTimeS, bad: 'below' },
      from: 0,
      // The base takes minutes; what matters are the short layers above it.
      to: roundUp(Math.max(greatest(timeline.layerRealS, 0.85) * 1.1, recipe.leastLayerTimeS * 1.5)),
      drawn: 'line',
      decimals: 1,
      why: 'Real time of each layer with acceleration, corners, travels, retractions and the slow-down for the least layer time, beside the time that the typed speeds alone would give. Constant acceleration with full look-ahead.',
    },
    {
      id: 'shells-only',
      question: 'shells alone',
      quantity: 'of the section',
      unit: '%',
      values: shellsOnly,
      from: 0,
      to: 100,
      drawn: 'line',
      decimals: 0,
      why: 'Share of the section that is shells and gap beads. At 100 % there is no infill at all, so that another infill share changes nothing there.',
    },
    {
      id: 'surplus',
      question: 'where it spills',
      quantity: 'surplus',
      unit: '%',
      values: surplus,
      limit: { label: 'shows', value: 1, bad: 'above' },
      from: 0,
      to: roundUp(Math.min(Math.max(greatest(surplus, 0.98) * 1.1, 2), 20)),
      drawn: 'line',
      decimals: 1,
      why: 'Plastic laid for which the layer has no room, as a share of what is laid: volume of the beads against the room between the outlines, place by place, with surplus that finds no way out carried into the next layer.',
    },
    {
      id: 'crossings',
      question: 'how often over air',
      quantity: 'travels',
      unit: '',
      values: Float64Array.from(strings.layerCrossings),
      other: { label: 'leaving threads', values: Float64Array.from(strings.layerThreads) },
      from: 0,
      to: roundUp(Math.max(greatest(Float64Array.from(strings.layerCrossings), 0.98), 4)),
      drawn: 'steps',
      decimals: 0,
      why: 'Travels of the nozzle over open air in each layer, and those that leave a thread: by surplus standing at the end of the last bead, or by pressure left in the nozzle, which dies away with a time constant.',
    },
    {
      id: 'gear-passes',
      question: 'how often chewed',
      quantity: 'gear passes',
      unit: '',
      values: Float64Array.from(gear.layerMost),
      limit: { label: 'most allowed', value: filament.mostGearPasses, bad: 'above' },
      from: 0,
      to: roundUp(Math.max(greatest(Float64Array.from(gear.layerMost)), filament.mostGearPasses) * 1.15),
      drawn: 'steps',
      decimals: 0,
      why: 'How often the same piece of filament passes the feed gear, back and forth, counted from retraction length and the filament used between retractions. Longer retractions overlap more of the ones before.',
    },
  ]
}
