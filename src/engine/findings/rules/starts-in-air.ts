// Islands with nothing below them: plastic laid on air.

import { followSightings } from '../follow.ts'
import { isAt, islandExtent, islandNear, layerOfIslands } from '../islands.ts'
import { otherStances } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, type Rule, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

/** Height of free air below a point, down to plastic or the bed. */
const airBelow = (results: RoomResults, layer: number, x: number, y: number): number => {
  for (let k = layer - 1; k >= 0; k--) {
    if (islandNear(results, k, x, y, 0) >= 0) return results.layers.faceZ[layer] - results.layers.faceZ[k + 1]
  }
  return results.layers.faceZ[layer]
}

/** How high the island grows by itself before it joins something that stands, mm. */
const heightAlone = (results: RoomResults, start: number, layerOf: Uint32Array): number => {
  const { layers, relations } = results
  let mine = new Set([start])
  for (let k = layerOf[start] + 1; k < layers.nLayers; k++) {
    const next = new Set<number>()
    let joined = false
    for (let island = layers.islandStart[k]; island < layers.islandStart[k + 1]; island++) {
      let on = 0
      let other = 0
      for (let u = relations.belowStart[island]; u < relations.belowStart[island + 1]; u++) {
        if (mine.has(relations.below[u])) on++
        else other++
      }
      if (on > 0) next.add(island)
      if (on > 0 && other > 0) joined = true
    }
    if (joined || next.size === 0) return layers.faceZ[k] - layers.faceZ[layerOf[start]]
    mine = next
  }
  return layers.faceZ[layers.nLayers] - layers.faceZ[layerOf[start]]
}

const look = (results: RoomResults): Finding[] => {
  const { layers, relations } = results
  const layerOf = layerOfIslands(results)
  const starts: number[] = []
  for (let i = 0; i < relations.startsInAir.length; i++) if (relations.startsInAir[i]) starts.push(i)
  const extents = starts.map((i) => islandExtent(results, i))
  const groups = followSightings(
    starts.map((i, u) => ({ layer: layerOf[i], x: extents[u].x, y: extents[u].y, reach: extents[u].half + 1 })),
    5,
  )
  const found = groups.map((group): Finding & { area: number } => {
    const first = starts[group[0]]
    const { x, y } = extents[group[0]]
    const layer = layerOf[first]
    const fromMm = layers.faceZ[layer]
    const area = group.reduce((sum, u) => sum + layers.islandArea[starts[u]], 0)
    const alone = heightAlone(results, first, layerOf)
    const air = airBelow(results, layer, x, y)
    // A speck smaller than one bead's end is lost or sticks to the nozzle; it is a blemish, not a failed print.
    const speck = alone < 0.35 && area < 0.3
    return {
      id: findingId('starts-in-air', fromMm, x, y),
      rule: 'starts-in-air',
      severity: speck ? 'marks' : 'breaks',
      title: speck
        ? `A speck starts in mid air at ${mm(fromMm, 1)}, ${whereInWords(results, x, y)}`
        : `A part starts in mid air at ${mm(fromMm, 1)}, ${whereInWords(results, x, y)}`,
      place: {
        fromMm,
        toMm: fromMm + alone,
        point: [x, y, fromMm],
        areaMm2: area,
        fromLayer: layer,
        toLayer: layersBetween(results, fromMm, fromMm + alone)[1],
      },
      evidence: [
        { label: 'air below it', value: air, unit: 'mm', limit: 0 },
        { label: 'area of its first layer', value: area, unit: 'mm2' },
        { label: 'height before it joins the rest', value: alone, unit: 'mm' },
        ...(group.length > 1 ? [{ label: 'separate starts', value: group.length, unit: '' }] : []),
      ],
      certainty: speck
        ? { share: 0.6, cause: 'a speck may still be caught by a neighbouring bead' }
        : { share: 0.97, cause: 'plastic cannot be laid on air; only a prop or another stance helps' },
      why:
        `The cut at ${mm(layers.cutZ[layer])} shows an island of ${area.toFixed(2)} mm2 that overlaps nothing of the layer below. ` +
        'Its first bead has no plastic and no bed under it, so it follows the nozzle or falls. Common practice, no source.',
      remedies: speck ? [] : otherStances(results),
      area,
    }
  })
  return found
    .sort((a, b) => b.area - a.area)
    .slice(0, MOST_OF_A_RULE)
    .map(({ area: _, ...finding }) => finding)
}

export const startsInAir: Rule = {
  id: 'starts-in-air',
  byOutlines: true,
  about: 'An island of a layer that overlaps nothing of the layer below.',
  look,
  measure: (results, spot) => {
    const layerOf = layerOfIslands(results)
    const [from, to] = layersBetween(results, spot.fromMm - spot.radiusMm, spot.toMm + spot.radiusMm)
    let area = 0
    for (let i = 0; i < results.relations.startsInAir.length; i++) {
      if (!results.relations.startsInAir[i] || layerOf[i] < from || layerOf[i] > to) continue
      const { x, y } = islandExtent(results, i)
      if (isAt(spot, x, y)) area += results.layers.islandArea[i]
    }
    return { label: 'area laid on air', value: area, unit: 'mm2' }
  },
}
