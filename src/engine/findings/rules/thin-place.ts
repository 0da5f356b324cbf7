// Thin places on larger pieces: blades, hems, straps that hold less than one closed shell.

import { beadsAcross } from '../../thickness/index.ts'
import { followSightings } from '../follow.ts'
import { islandNear, layerOfIslands } from '../islands.ts'
import { narrowerBeads, printLarger, thicken } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, present, type Rule, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

/** Lower than this, a thin wall is a detail of its own layer. Ours. */
const LEAST_HEIGHT_MM = 0.5

const look = (results: RoomResults): Finding[] => {
  const { layers, shellFit, outlineThickness, settings } = results
  const { beadWidthMm } = settings
  const layerOf = layerOfIslands(results)
  const thin: number[] = []
  for (let i = 0; i < layers.islandLoop.length; i++) {
    const t = outlineThickness.islandThinnest[i]
    if (shellFit.atWidest[i] >= 2 && t >= beadWidthMm && shellFit.atThinnest[i] === 0) thin.push(i)
  }
  const at = outlineThickness.islandThinnestAt
  const groups = followSightings(
    thin.map((i) => ({ layer: layerOf[i], x: at[2 * i], y: at[2 * i + 1], reach: 1 })),
    2,
  )
  const found: Finding[] = []
  for (const group of groups) {
    const islands = group.map((u) => thin[u])
    const fromLayer = layerOf[islands[0]]
    const toLayer = layerOf[islands[islands.length - 1]]
    const fromMm = layers.faceZ[fromLayer]
    const toMm = layers.faceZ[toLayer + 1]
    if (toMm - fromMm < LEAST_HEIGHT_MM) continue
    let thinnest = islands[0]
    for (const i of islands)
      if (outlineThickness.islandThinnest[i] < outlineThickness.islandThinnest[thinnest]) thinnest = i
    const thickness = outlineThickness.islandThinnest[thinnest]
    const x = at[2 * thinnest]
    const y = at[2 * thinnest + 1]
    const wanted = 2 * beadWidthMm
    found.push({
      id: findingId('thin-place', fromMm, x, y),
      rule: 'thin-place',
      severity: 'marks',
      title: `A wall is only ${mm(thickness)} thick from ${mm(fromMm, 1)} to ${mm(toMm, 1)}, ${whereInWords(results, x, y)}`,
      place: { fromMm, toMm, point: [x, y, layers.cutZ[layerOf[thinnest]]], areaMm2: 0, fromLayer, toLayer },
      evidence: [
        { label: 'thickness', value: thickness, unit: 'mm', limit: wanted },
        { label: 'shells that fit there', value: 0, unit: '', limit: 1 },
      ],
      certainty: { share: 0.7, cause: 'one bead of other width may fill it; its surface will be uneven' },
      why:
        `Two beads of ${mm(beadWidthMm)} need ${mm(wanted)} from wall to wall; ${mm(thickness)} holds one bead and a remainder, ` +
        'which is left open or overfilled. Measured as the smallest inscribed circle between facing walls (after Hildebrand and Rüegsegger 1997).',
      remedies: present([
        thicken(results, thickness, wanted * 1.01),
        printLarger(results, thickness, wanted * 1.01),
        narrowerBeads(results, thickness / 2),
      ]),
    })
  }
  return found.sort((a, b) => a.evidence[0].value - b.evidence[0].value).slice(0, MOST_OF_A_RULE)
}

export const thinPlace: Rule = {
  id: 'thin-place',
  about: 'A wall between one and two beads thick on a larger piece, over at least half a millimetre.',
  look,
  measure: (results, spot) => {
    const [from, to] = layersBetween(results, spot.fromMm, spot.toMm)
    const { beadWidthMm } = results.settings
    let least = Infinity
    let pitch = beadWidthMm
    for (let k = from; k <= to; k++) {
      const island = islandNear(results, k, spot.x, spot.y, spot.radiusMm)
      if (island < 0 || !(results.outlineThickness.islandThinnest[island] < least)) continue
      least = results.outlineThickness.islandThinnest[island]
      pitch = results.shellFit.pitch[k]
    }
    return {
      label: 'beads across',
      value: Number.isFinite(least) ? beadsAcross(least, beadWidthMm, pitch) : 0,
      unit: '',
    }
  },
}
