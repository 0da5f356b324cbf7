// Which undersides need props, how many, and how much contact they leave. Estimated, not generated.
//
// Needs props: what starts in mid air; what hangs out farther than one and a half beads; spans that sink by more than half a layer while
// soft. Props stand as far apart as such a span is long. Each touches by a disc of two beads, the least that a closed bead fills, and
// goes down to the next plastic below, or to the bed. Limits: undersides that another stance would do without are counted all the same;
// contact leaves a mark of about its own size, how deep is not computed.

import {
  isInsideLoop,
  islandPolygons,
  type LayerRelations,
  type LayerStack,
  STRIP_COLUMNS,
  STRIP_ROW,
} from '../sections/index.ts'
import type { PropNeed, PropPlace } from './types.ts'

/** Reach in bead widths from which a strip needs props. Common practice, no source. */
const REACH_BEADS = 1.5
/** Bounds of the distance between props, mm. */
const PITCH_RANGE: readonly [number, number] = [1, 5]
/** Islands smaller than a dot of the narrowest bead are not propped, mm2. */
const LEAST_MM2 = 0.03
/** Strips of one underside lie within this distance and these layers. */
const SAME_MM = 4
const SAME_LAYERS = 4

interface Sighting {
  readonly why: PropPlace['why']
  readonly layer: number
  readonly x: number
  readonly y: number
  readonly area: number
  readonly length: number
}

/** Middle of an island's area. */
const middleOf = (layers: LayerStack, island: number): readonly [number, number] => {
  const { loopStart, points } = islandPolygons(layers, island)
  let [area, mx, my] = [0, 0, 0]
  for (let j = 0; j + 1 < loopStart.length; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const cross = points[2 * i] * points[2 * k + 1] - points[2 * k] * points[2 * i + 1]
      area += cross
      mx += (points[2 * i] + points[2 * k]) * cross
      my += (points[2 * i + 1] + points[2 * k + 1]) * cross
    }
  }
  return area !== 0 ? [mx / (3 * area), my / (3 * area)] : [points[0], points[1]]
}

/** Top of the next plastic below a place, mm; 0 is the bed. */
const groundBelow = (layers: LayerStack, layer: number, x: number, y: number): number => {
  const { points, loopStart, layerStart, faceZ } = layers
  for (let k = layer - 1; k >= 0; k--) {
    let inside = false
    for (let j = layerStart[k]; j < layerStart[k + 1]; j++)
      if (isInsideLoop(points, loopStart[j], loopStart[j + 1], x, y)) inside = !inside
    if (inside) return faceZ[k + 1]
  }
  return 0
}

const sightingsOf = (
  layers: LayerStack,
  relations: LayerRelations,
  beadWidthMm: number,
  longestSpan: number,
): Sighting[] => {
  const found: Sighting[] = []
  for (let k = 1; k < layers.nLayers; k++) {
    for (let i = layers.islandStart[k]; i < layers.islandStart[k + 1]; i++) {
      if (relations.startsInAir[i] !== 1) continue
      const area = layers.islandArea[i]
      if (area < LEAST_MM2) continue
      const [x, y] = middleOf(layers, i)
      found.push({ why: 'starts in mid air', layer: k, x, y, area, length: Math.sqrt(area) })
    }
  }
  const { strips, nStrips } = relations
  for (let s = 0; s < nStrips; s++) {
    const row = s * STRIP_COLUMNS
    const holds = strips[row + STRIP_ROW.holds]
    const hangs = holds === 1 && strips[row + STRIP_ROW.reach] > REACH_BEADS * beadWidthMm
    const spans = holds >= 2 && strips[row + STRIP_ROW.spanMm] > longestSpan
    if (!hangs && !spans) continue
    found.push({
      why: hangs ? 'hangs out' : 'spans',
      layer: strips[row + STRIP_ROW.layer],
      x: strips[row + STRIP_ROW.x],
      y: strips[row + STRIP_ROW.y],
      area: strips[row + STRIP_ROW.areaMm2],
      length: strips[row + STRIP_ROW.lengthMm],
    })
  }
  return found.sort((a, b) => a.layer - b.layer)
}

/** Sightings of one underside together. */
const grouped = (sightings: readonly Sighting[]): Sighting[][] => {
  const groups: Sighting[][] = []
  for (const one of sightings) {
    const near = groups.find((group) => {
      const last = group[group.length - 1]
      return one.layer - last.layer <= SAME_LAYERS && Math.hypot(one.x - last.x, one.y - last.y) <= SAME_MM
    })
    if (near) near.push(one)
    else groups.push([one])
  }
  return groups
}

/**
 * Props for a stack.
 * @param longestSpanMm longest span that sags less than half a layer, mm
 */
export const propNeed = (
  layers: LayerStack,
  relations: LayerRelations,
  beadWidthMm: number,
  longestSpanMm: number,
): PropNeed => {
  const pitchMm = Math.min(PITCH_RANGE[1], Math.max(PITCH_RANGE[0], longestSpanMm))
  const touch = (Math.PI / 4) * (2 * beadWidthMm) ** 2
  const places = grouped(sightingsOf(layers, relations, beadWidthMm, pitchMm)).map((group): PropPlace => {
    const { why, layer, x, y } = group[0]
    const areaMm2 = group.reduce((sum, s) => sum + s.area, 0)
    const longest = group.reduce((most, s) => Math.max(most, s.length), 0)
    const nProps = Math.max(1, Math.ceil(areaMm2 / pitchMm ** 2), Math.ceil(longest / pitchMm))
    const z = layers.faceZ[layer]
    const ground = groundBelow(layers, layer, x, y)
    const onFigure = ground > 0
    const contactMm2 = nProps * touch * (onFigure ? 2 : 1)
    return {
      why,
      layer,
      at: [x, y, z],
      areaMm2,
      nProps,
      contactMm2,
      heightMm: z - ground,
      volumeMm3: nProps * touch * (z - ground),
      onFigure,
    }
  })
  const sum = (of: (place: PropPlace) => number): number => places.reduce((all, place) => all + of(place), 0)
  return {
    places,
    nProps: sum((p) => p.nProps),
    contactMm2: sum((p) => p.contactMm2),
    volumeMm3: sum((p) => p.volumeMm3),
    pitchMm,
  }
}
