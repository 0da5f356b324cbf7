// Details narrower than a bead, which no bead can hold.

import type { VanishingDetail } from '../../thickness/index.ts'
import { isAt } from '../islands.ts'
import { narrowerBeads, printLarger, thicken } from '../remedies.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layersBetween, MOST_OF_A_RULE, mm, present, type Rule, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

const WHAT = { island: 'A whole piece', tip: 'A thin end', neck: 'A thin link' } as const

/** Losses below this are shown together: the plastic of a bead 0.4 by 0.1 mm over 2 mm, or two layers high. Ours. */
const SMALL_LOSS_MM3 = 0.08
const SMALL_HEIGHT_LAYERS = 3

const isSmall = (detail: VanishingDetail): boolean =>
  detail.volumeMm3 < SMALL_LOSS_MM3 || detail.toLayer - detail.fromLayer + 1 < SMALL_HEIGHT_LAYERS

const why = (results: RoomResults, widthMm: number): string =>
  `A bead of ${mm(results.settings.beadWidthMm)} cannot lie inside a wall of ${mm(widthMm)}: the section less its opening by a disc of one ` +
  'bead width leaves this piece, beyond what such an opening must round off at a corner of the same angle. ' +
  'Opening: mathematical morphology (Serra 1982); the limit of one bead is common practice, no source.'

const certaintyOf = (results: RoomResults, widthMm: number): Finding['certainty'] => {
  const { beadWidthMm, leastBeadWidthMm } = results.settings
  return widthMm >= leastBeadWidthMm && leastBeadWidthMm < beadWidthMm
    ? { share: 0.6, cause: `a gap bead of ${mm(widthMm)} may hold part of it` }
    : { share: 0.95, cause: 'the bead is wider than the detail' }
}

const placeOf = (results: RoomResults, detail: VanishingDetail): Finding['place'] => {
  const fromMm = results.layers.faceZ[detail.fromLayer]
  const toMm = results.layers.faceZ[detail.toLayer + 1]
  return {
    fromMm,
    toMm,
    point: detail.at,
    areaMm2: detail.volumeMm3 / Math.max(toMm - fromMm, 1e-9),
    fromLayer: detail.fromLayer,
    toLayer: detail.toLayer,
  }
}

const look = (results: RoomResults): Finding[] => {
  const { beadWidthMm } = results.settings
  return results.vanishing
    .filter((detail) => !isSmall(detail))
    .sort((a, b) => b.volumeMm3 - a.volumeMm3)
    .slice(0, MOST_OF_A_RULE)
    .map((detail) => {
      const place = placeOf(results, detail)
      const { fromMm, toMm } = place
      const [x, y] = detail.at
      return {
        id: findingId('vanishes', fromMm, x, y),
        rule: 'vanishes',
        severity: detail.kind === 'tip' && detail.lengthMm < 2 * beadWidthMm ? 'marks' : 'breaks',
        title: `${WHAT[detail.kind]} vanishes from ${mm(fromMm, 1)} to ${mm(toMm, 1)}, ${whereInWords(results, x, y)}`,
        place,
        evidence: [
          { label: 'width', value: detail.widthMm, unit: 'mm', limit: beadWidthMm },
          { label: 'length in the layer', value: detail.lengthMm, unit: 'mm' },
          { label: 'height', value: toMm - fromMm, unit: 'mm' },
          { label: 'plastic lost', value: detail.volumeMm3, unit: 'mm3' },
        ],
        certainty: certaintyOf(results, detail.widthMm),
        why: why(results, detail.widthMm),
        remedies: present([
          printLarger(results, detail.widthMm, beadWidthMm * 1.02),
          thicken(results, detail.widthMm, beadWidthMm * 1.02),
          narrowerBeads(results, detail.widthMm),
        ]),
      } satisfies Finding
    })
}

/** All small losses as one finding, placed at the largest. */
const lookForSmall = (results: RoomResults): Finding[] => {
  const small = results.vanishing.filter(isSmall).sort((a, b) => b.volumeMm3 - a.volumeMm3)
  if (small.length === 0) return []
  const largest = small[0]
  const place = placeOf(results, largest)
  const [x, y] = largest.at
  const where = `at ${mm(place.fromMm, 1)}, ${whereInWords(results, x, y)}`
  return [
    {
      id: findingId('small-details', place.fromMm, x, y),
      rule: 'small-details',
      severity: 'note',
      title:
        small.length === 1
          ? `A small detail vanishes ${where}`
          : `${small.length} small details vanish, the largest ${where}`,
      place,
      evidence: [
        { label: 'small details lost', value: small.length, unit: '' },
        { label: 'width of the largest', value: largest.widthMm, unit: 'mm', limit: results.settings.beadWidthMm },
        { label: 'plastic lost by all', value: small.reduce((sum, d) => sum + d.volumeMm3, 0), unit: 'mm3' },
      ],
      certainty: certaintyOf(results, largest.widthMm),
      why: why(results, largest.widthMm),
      remedies: [],
    },
  ]
}

export const vanishes: Rule = {
  id: 'vanishes',
  about: 'A detail narrower than one bead over three layers or more, at least one bead long.',
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

export const smallDetails: Rule = {
  id: 'small-details',
  about:
    'Details narrower than one bead that are small: fewer than three layers high, or less plastic than a bead of 2 mm.',
  look: lookForSmall,
}
