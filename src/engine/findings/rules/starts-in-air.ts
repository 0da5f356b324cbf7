// Islands with nothing below them: plastic laid on air.

import type { PropPlace } from '../../surface/index.ts'
import { followSightings } from '../follow.ts'
import { isAt, islandExtent, islandNear, layerOfIslands } from '../islands.ts'
import { otherStances } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, present, type Rule, whereInWords } from '../rule.ts'
import type { Finding, Remedy } from '../types.ts'

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

/** Up to this height an underside grows by itself before it joins the rest: its rim hangs, but the piece is not lost. Ours, from memory. */
const RIM_MM = 0.5

/** One start: an island with nothing below it. */
interface Start {
  readonly island: number
  readonly layer: number
  readonly x: number
  readonly y: number
  readonly half: number
  readonly alone: number
}

/** Layers and mm within which an underside of the surface room is the one that starts here. */
const SAME_LAYERS = 3
const SAME_MM = 2

/** Props under it, as the surface room counts them; null before it has looked. They are put in outside: Fettle lays no beads. */
const propsUnder = ({ surface }: RoomResults, start: Start, area: number): Remedy | null => {
  const far = (at: readonly [number, number, number]): number => Math.hypot(at[0] - start.x, at[1] - start.y)
  const place = (surface?.props.places ?? [])
    .filter((one) => Math.abs(one.layer - start.layer) <= SAME_LAYERS && far(one.at) <= SAME_MM + start.half)
    .reduce<PropPlace | null>((a, b) => (a && far(a.at) <= far(b.at) ? a : b), null)
  if (!place) return null
  const one = place.nProps === 1
  return {
    id: 'props',
    label: `put ${one ? 'a prop' : `${place.nProps} props`} under it: ${one ? 'a thin pillar' : 'thin pillars'} of ${place.heightMm.toFixed(1)} mm, printed along and broken off, ${one ? 'which leaves' : 'which leave'} a mark of ${place.contactMm2.toFixed(1)} mm2`,
    change: { what: 'props', from: 0, to: place.nProps },
    effect: { resolves: true, label: 'area laid on air', before: area, after: 0, unit: 'mm2', brings: [] },
  }
}

const finding = (results: RoomResults, group: readonly Start[], rim: boolean): Finding => {
  const { layers } = results
  const first = group.reduce((a, b) => (layers.islandArea[b.island] > layers.islandArea[a.island] ? b : a))
  const lowest = group.reduce((a, b) => (b.layer < a.layer ? b : a))
  const fromMm = layers.faceZ[lowest.layer]
  const area = group.reduce((sum, s) => sum + layers.islandArea[s.island], 0)
  const alone = Math.max(...group.map((s) => s.alone))
  const { x, y } = first
  const air = airBelow(results, first.layer, x, y)
  const where = whereInWords(results, x, y)
  return {
    id: findingId(rim ? 'rim-in-air' : 'starts-in-air', fromMm, x, y),
    rule: rim ? 'rim-in-air' : 'starts-in-air',
    severity: rim ? (area < 0.3 ? 'note' : 'marks') : 'breaks',
    title: rim
      ? `The rim of an underside starts in mid air at ${mm(fromMm, 1)}, ${where}${group.length > 1 ? `, in ${group.length} places` : ''}`
      : `A part starts in mid air at ${mm(fromMm, 1)}, ${where}`,
    place: {
      fromMm,
      toMm: Math.max(...group.map((s) => layers.faceZ[s.layer] + s.alone)),
      point: [x, y, layers.faceZ[first.layer]],
      areaMm2: area,
      fromLayer: lowest.layer,
      toLayer: layersBetween(results, fromMm, fromMm + alone)[1],
    },
    evidence: [
      { label: 'air below it', value: air, unit: 'mm', limit: 0 },
      { label: rim ? 'area of the first layers' : 'area of its first layer', value: area, unit: 'mm2' },
      { label: 'height before it joins the rest', value: alone, unit: 'mm' },
      ...(group.length > 1 ? [{ label: 'separate starts', value: group.length, unit: '' }] : []),
    ],
    certainty: rim
      ? { share: 0.7, cause: 'the strands of the first layers hang, but soon join what stands' }
      : {
          share: 0.97,
          cause: 'plastic cannot be laid on air; only a prop, a pillar printed under it, or another stance helps',
        },
    why:
      `The cut at ${mm(layers.cutZ[first.layer])} shows an island of ${layers.islandArea[first.island].toFixed(2)} mm2 that overlaps nothing of the layer below. ` +
      'Its first bead has no plastic and no bed under it, so it follows the nozzle or falls. Common practice, no source.',
    remedies: rim ? [] : present([propsUnder(results, first, area), ...otherStances(results)]),
  }
}

const starts = (results: RoomResults): Start[] => {
  const layerOf = layerOfIslands(results)
  const found: Start[] = []
  for (let island = 0; island < results.relations.startsInAir.length; island++) {
    if (!results.relations.startsInAir[island]) continue
    found.push({
      island,
      layer: layerOf[island],
      ...islandExtent(results, island),
      alone: heightAlone(results, island, layerOf),
    })
  }
  return found
}

/** Parts that start in the air: one finding each. */
const lookForParts = (results: RoomResults): Finding[] => {
  const parts = starts(results).filter((s) => s.alone > RIM_MM)
  return followSightings(
    parts.map((s) => ({ layer: s.layer, x: s.x, y: s.y, reach: s.half + 1 })),
    5,
  )
    .map((group) =>
      finding(
        results,
        group.map((u) => parts[u]),
        false,
      ),
    )
    .sort((a, b) => b.place.areaMm2 - a.place.areaMm2)
    .slice(0, MOST_OF_A_RULE)
}

/** Rims of undersides: those of one height together, as the hem of a coat is one thing to look at. */
const lookForRims = (results: RoomResults): Finding[] => {
  const rims = starts(results).filter((s) => s.alone <= RIM_MM)
  return followSightings(
    rims.map((s) => ({ layer: s.layer, x: s.x, y: s.y, reach: Infinity })),
    6,
  )
    .map((group) =>
      finding(
        results,
        group.map((u) => rims[u]),
        true,
      ),
    )
    .sort((a, b) => b.place.areaMm2 - a.place.areaMm2)
    .slice(0, MOST_OF_A_RULE)
}

export const startsInAir: Rule = {
  id: 'starts-in-air',
  byOutlines: true,
  about: 'An island that overlaps nothing of the layer below and grows by itself for more than half a millimetre.',
  look: lookForParts,
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

export const rimInAir: Rule = {
  id: 'rim-in-air',
  byOutlines: true,
  foldsNotes: true,
  about:
    'Islands that overlap nothing of the layer below but join the rest within half a millimetre: the rim of an underside.',
  look: lookForRims,
}
