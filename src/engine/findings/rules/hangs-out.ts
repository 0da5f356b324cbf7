// Strips that hang out beyond the layer below, and spans held at both ends.

import { STRIP_COLUMNS, STRIP_ROW } from '../../sections/index.ts'
import { followSightings } from '../follow.ts'
import { isAt } from '../islands.ts'
import { otherStances, thinnerLayers } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, present, type Rule, type Spot, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

/** Spans shorter than this close without trouble. Common practice, no source. */
const SHORT_SPAN_MM = 2
/** Spans longer than this sag visibly. Common practice, no source. */
const LONG_SPAN_MM = 5

const stripsOf = (results: RoomResults, spanning: boolean): number[] => {
  const { strips, nStrips } = results.relations
  const rows: number[] = []
  for (let s = 0; s < nStrips; s++) {
    const row = s * STRIP_COLUMNS
    const holds = strips[row + STRIP_ROW.holds]
    const span = strips[row + STRIP_ROW.spanMm]
    if (spanning ? holds >= 2 && span > SHORT_SPAN_MM : holds === 1) rows.push(row)
  }
  return rows
}

const follow = (results: RoomResults, rows: readonly number[]): number[][] => {
  const { strips } = results.relations
  return followSightings(
    rows.map((row) => ({
      layer: strips[row + STRIP_ROW.layer],
      x: strips[row + STRIP_ROW.x],
      y: strips[row + STRIP_ROW.y],
      // The hem of a coat is one underside, though it shows as many strips.
      reach: 4,
    })),
    4,
  ).map((group) => group.map((u) => rows[u]))
}

/** Worst row of a group by one column, and the sums that both rules show. */
const gather = (results: RoomResults, group: readonly number[], by: number) => {
  const { strips } = results.relations
  const { faceZ } = results.layers
  let worst = group[0]
  let area = 0
  let fromLayer = Infinity
  let toLayer = 0
  for (const row of group) {
    if (strips[row + by] > strips[worst + by]) worst = row
    area += strips[row + STRIP_ROW.areaMm2]
    fromLayer = Math.min(fromLayer, strips[row + STRIP_ROW.layer])
    toLayer = Math.max(toLayer, strips[row + STRIP_ROW.layer])
  }
  return {
    area,
    fromLayer,
    toLayer,
    fromMm: faceZ[fromLayer],
    toMm: faceZ[toLayer + 1],
    x: strips[worst + STRIP_ROW.x],
    y: strips[worst + STRIP_ROW.y],
    z: faceZ[strips[worst + STRIP_ROW.layer]],
    reach: strips[worst + STRIP_ROW.reach],
    slopeDeg: (strips[worst + STRIP_ROW.slope] * 180) / Math.PI,
    span: strips[worst + STRIP_ROW.spanMm],
  }
}

const greatest = (results: RoomResults, spot: Spot, spanning: boolean, column: number): number => {
  const { strips } = results.relations
  const [from, to] = layersBetween(results, spot.fromMm, spot.toMm)
  let most = 0
  for (const row of stripsOf(results, spanning)) {
    const layer = strips[row + STRIP_ROW.layer]
    if (layer < from || layer > to || !isAt(spot, strips[row + STRIP_ROW.x], strips[row + STRIP_ROW.y])) continue
    most = Math.max(most, strips[row + column])
  }
  return most
}

export const overhang: Rule = {
  id: 'overhang',
  byOutlines: true,
  foldsNotes: true,
  about: 'A strip that reaches more than one bead beyond the layer below, held on one side.',
  look: (results) => {
    const { beadWidthMm } = results.settings
    const found: Finding[] = []
    for (const group of follow(results, stripsOf(results, false))) {
      const { area, fromLayer, toLayer, fromMm, toMm, x, y, z, reach, slopeDeg } = gather(
        results,
        group,
        STRIP_ROW.reach,
      )
      if (reach <= beadWidthMm || area < 0.3) continue
      const severe = reach > 3 * beadWidthMm
      const shows = reach > 1.5 * beadWidthMm || area > 2
      found.push({
        id: findingId('overhang', fromMm, x, y),
        rule: 'overhang',
        severity: shows ? 'marks' : 'note',
        title: `An underside reaches ${mm(reach)} out over air at ${mm(z, 1)}, ${whereInWords(results, x, y)}`,
        place: { fromMm, toMm, point: [x, y, z], areaMm2: area, fromLayer, toLayer },
        evidence: [
          { label: 'reach beyond the layer below', value: reach, unit: 'mm', limit: beadWidthMm / 2 },
          { label: 'slope from the vertical', value: slopeDeg, unit: 'deg' },
          { label: 'unsupported area', value: area, unit: 'mm2' },
        ],
        certainty: severe
          ? { share: 0.9, cause: 'several beads side by side have nothing below them' }
          : { share: 0.65, cause: 'a single bead may still cling to its neighbour' },
        why:
          `The layer at ${mm(z)} reaches ${mm(reach)} beyond the one below it; a bead of ${mm(beadWidthMm)} keeps its place while at least ` +
          `half of it has footing, ${mm(beadWidthMm / 2)}. Distance to the outline below, exact; the limit is common practice, no source.`,
        remedies: shows ? present([thinnerLayers(results), ...otherStances(results)]) : [],
      })
    }
    return found.sort((a, b) => b.evidence[0].value - a.evidence[0].value).slice(0, MOST_OF_A_RULE)
  },
  measure: (results, spot) => ({
    label: 'reach beyond the layer below',
    value: greatest(results, spot, false, STRIP_ROW.reach),
    unit: 'mm',
  }),
}

export const span: Rule = {
  id: 'span',
  byOutlines: true,
  foldsNotes: true,
  about: `A stretch held at both ends over more than ${SHORT_SPAN_MM} mm of air.`,
  look: (results) => {
    const found = follow(results, stripsOf(results, true)).map((group): Finding => {
      const { area, fromLayer, toLayer, fromMm, toMm, x, y, z, span: free } = gather(results, group, STRIP_ROW.spanMm)
      return {
        id: findingId('span', fromMm, x, y),
        rule: 'span',
        severity: free > LONG_SPAN_MM ? 'marks' : 'note',
        title: `A stretch of ${mm(free, 1)} hangs between two holds at ${mm(z, 1)}, ${whereInWords(results, x, y)}`,
        place: { fromMm, toMm, point: [x, y, z], areaMm2: area, fromLayer, toLayer },
        evidence: [
          { label: 'free length', value: free, unit: 'mm', limit: LONG_SPAN_MM },
          { label: 'unsupported area', value: area, unit: 'mm2' },
        ],
        certainty: { share: 0.6, cause: 'how far it sags depends on cooling, which is not computed here' },
        why:
          `Beads at ${mm(z)} lie on plastic at both ends and on nothing between, over ${mm(free)} by the shortest way. ` +
          `Up to about ${LONG_SPAN_MM} mm closes well with the fan on: common practice, no source.`,
        remedies: free > LONG_SPAN_MM ? otherStances(results) : [],
      }
    })
    return found.sort((a, b) => b.evidence[0].value - a.evidence[0].value).slice(0, MOST_OF_A_RULE)
  },
  measure: (results, spot) => ({
    label: 'free length',
    value: greatest(results, spot, true, STRIP_ROW.spanMm),
    unit: 'mm',
  }),
}
