// The tracks of the height log that the rooms so far can fill: one number for every layer.

import type { RoomResults } from '../findings/index.ts'
import { layerArea } from '../sections/index.ts'
import type { Track } from './types.ts'

const perLayer = (results: RoomResults, value: (layer: number) => number): Float64Array => {
  const values = new Float64Array(results.layers.nLayers)
  for (let k = 0; k < values.length; k++) values[k] = value(k)
  return values
}

/** Least value over the islands of a layer, NaN when none has one. */
const leastOfIslands = (results: RoomResults, layer: number, of: ArrayLike<number>): number => {
  const { islandStart } = results.layers
  let least = Infinity
  for (let i = islandStart[layer]; i < islandStart[layer + 1]; i++) if (of[i] < least) least = of[i]
  return Number.isFinite(least) ? least : Number.NaN
}

/** A round number at or above the value, for the end of an axis. */
export const roundUp = (value: number): number => {
  if (!(value > 0)) return 1
  const power = 10 ** Math.floor(Math.log10(value))
  const step = [1, 1.5, 2, 3, 4, 5, 6, 8, 10].find((s) => s * power >= value - 1e-9) ?? 10
  return step * power
}

const greatestOf = (values: Float64Array): number => {
  let most = 0
  for (const v of values) if (v > most) most = v
  return most
}

/** Area, thinnest place, shells that fit, unsupported reach. */
export const tracksOf = (results: RoomResults): Track[] => {
  const { layers, outlineThickness, shellFit, relations, settings } = results
  const area = perLayer(results, (k) => layerArea(layers, k))
  // An island without facing walls (a cone's tip, a disc) has its widest circle as thinnest place.
  const thickness = Float64Array.from(outlineThickness.islandThinnest, (t, i) =>
    Number.isNaN(t) ? outlineThickness.islandWidest[i] : t,
  )
  const thinnest = perLayer(results, (k) => leastOfIslands(results, k, thickness))
  const shells = perLayer(results, (k) => leastOfIslands(results, k, shellFit.atThinnest))
  const reach = relations.unsupportedMm.slice()
  // The base dwarfs everything above it; its area is cut at the axis and marked there.
  const sorted = Float64Array.from(area).sort()
  const usual = sorted[Math.floor(0.85 * (sorted.length - 1))] ?? 1
  return [
    {
      id: 'area',
      question: 'how much plastic',
      quantity: 'area',
      unit: 'mm²',
      values: area,
      from: 0,
      to: roundUp(Math.max(usual * 1.15, 1)),
      drawn: 'line',
      decimals: 1,
      why: 'Area inside the outlines of each layer, cut at the middle of the layer; overlapping shells count once. A small area means a short layer that has little time to set.',
    },
    {
      id: 'thinnest',
      question: 'how thin',
      quantity: 'thinnest wall',
      unit: 'mm',
      values: thinnest,
      limit: { label: 'one bead', value: settings.beadWidthMm, bad: 'below' },
      from: 0,
      to: Math.max(2, Math.ceil(settings.beadWidthMm * 8)),
      drawn: 'line',
      decimals: 2,
      why: 'Diameter of the smallest inscribed circle that touches two walls facing each other, over all pieces of the layer (local thickness after Hildebrand and Rüegsegger 1997). Sharp corners do not count as thin.',
    },
    {
      id: 'shells',
      question: 'how many shells fit',
      quantity: 'at the thinnest',
      unit: '',
      values: shells,
      limit: { label: 'asked for', value: settings.nShells, bad: 'below' },
      from: 0,
      to: settings.nShells + 1,
      drawn: 'steps',
      decimals: 0,
      why: 'Closed beads that fit side by side at the thinnest place, laid at a pitch of width less height times (1 - pi/4), the spacing at which stadium-shaped beads leave no room between them.',
    },
    {
      id: 'reach',
      question: 'how far over air',
      quantity: 'reach',
      unit: 'mm',
      values: reach,
      limit: { label: 'half a bead', value: settings.beadWidthMm / 2, bad: 'above' },
      from: 0,
      to: roundUp(Math.min(Math.max(greatestOf(reach), settings.beadWidthMm * 1.5), settings.beadWidthMm * 5)),
      drawn: 'line',
      decimals: 2,
      why: 'Greatest distance from any point of the layer to the outline of the layer below. A bead keeps its place while half of it has footing: common practice, no source.',
    },
  ]
}
