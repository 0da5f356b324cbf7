// Details narrower than a bead, which no bead can hold.

import { isAt } from '../islands.ts'
import { narrowerBeads, present, printLarger, thicken } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, type Rule, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

const WHAT = { island: 'A whole piece', tip: 'A thin end', neck: 'A thin link' } as const

const look = (results: RoomResults): Finding[] => {
  const { beadWidthMm, leastBeadWidthMm } = results.settings
  const { faceZ } = results.layers
  return [...results.vanishing]
    .sort((a, b) => b.volumeMm3 - a.volumeMm3)
    .slice(0, MOST_OF_A_RULE)
    .map((detail) => {
      const fromMm = faceZ[detail.fromLayer]
      const toMm = faceZ[detail.toLayer + 1]
      const [x, y, z] = detail.at
      const gapBeadMayHold = detail.widthMm >= leastBeadWidthMm && leastBeadWidthMm < beadWidthMm
      const height = toMm - fromMm
      return {
        id: findingId('vanishes', fromMm, x, y),
        rule: 'vanishes',
        severity: detail.kind === 'tip' && detail.lengthMm < 2 * beadWidthMm && height < 1 ? 'marks' : 'breaks',
        title: `${WHAT[detail.kind]} vanishes from ${mm(fromMm, 1)} to ${mm(toMm, 1)}, ${whereInWords(results, x, y)}`,
        place: {
          fromMm,
          toMm,
          point: [x, y, z],
          areaMm2: detail.volumeMm3 / Math.max(height, 1e-9),
          fromLayer: detail.fromLayer,
          toLayer: detail.toLayer,
        },
        evidence: [
          { label: 'width', value: detail.widthMm, unit: 'mm', limit: beadWidthMm },
          { label: 'length in the layer', value: detail.lengthMm, unit: 'mm' },
          { label: 'height', value: height, unit: 'mm' },
          { label: 'plastic lost', value: detail.volumeMm3, unit: 'mm3' },
        ],
        certainty: gapBeadMayHold
          ? { share: 0.6, cause: `a gap bead of ${mm(detail.widthMm)} may hold part of it` }
          : { share: 0.95, cause: 'the bead is wider than the detail' },
        why:
          `A bead of ${mm(beadWidthMm)} cannot lie inside a wall of ${mm(detail.widthMm)}: the section less its opening by a disc of one ` +
          'bead width leaves this piece, beyond what such an opening must round off at a corner of the same angle. ' +
          'Opening: mathematical morphology (Serra 1982); the limit of one bead is common practice, no source.',
        remedies: present([
          printLarger(results, detail.widthMm, beadWidthMm * 1.02),
          thicken(results, detail.widthMm, beadWidthMm * 1.02),
          narrowerBeads(results, detail.widthMm),
        ]),
      } satisfies Finding
    })
}

export const vanishes: Rule = {
  id: 'vanishes',
  about: 'A detail narrower than one bead, at least one bead long or present in three layers running.',
  look,
  measure: (results, spot) => {
    const [from, to] = layersBetween(results, spot.fromMm, spot.toMm)
    let lost = 0
    for (const detail of results.vanishing) {
      if (detail.toLayer < from || detail.fromLayer > to || !isAt(spot, detail.at[0], detail.at[1])) continue
      lost += detail.volumeMm3
    }
    return { label: 'plastic lost', value: lost, unit: 'mm3' }
  },
}
