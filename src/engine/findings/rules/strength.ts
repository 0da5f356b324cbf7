// What breaks: limbs that snap under a light hand, and falls off the table.

import type { QuickStrength, WeakPlace } from '../../strength/index.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layerAt, mm, present, type Rule, whereInWords } from '../rule.ts'
import type { Finding, Remedy } from '../types.ts'

/** Force below which a limb does not outlive a club evening, N; and below which it is told at all. From memory. */
const SNAPS_N = 0.5
const TOLD_N = 1.5
/** Weak places that are told. */
const MOST_PLACES = 4

const HANDS: Readonly<Record<WeakPlace['load'], string>> = {
  push: 'a push',
  pull: 'a pull',
  twist: 'a twist',
  pinch: 'a pinch',
}

/** What else would help there, in words with numbers: what no setting of this sheet can do. */
const otherHelp = (strength: QuickStrength, index: number): string => {
  const own = strength.remedies.find((r) => r.weakPlace === index)?.remedies ?? []
  const told = own
    .filter((r) => r.id === 'pin' || r.id === 'stance')
    .sort((a, b) => b.forceAfterN - a.forceAfterN)
    .slice(0, 2)
    .map((r) => `${r.label}: ${r.forceBeforeN.toFixed(2)} to ${r.forceAfterN.toFixed(2)} N`)
  return told.length > 0 ? ` Also computed: ${told.join('; ')}.` : ''
}

const thickerAt = (results: RoomResults, strength: QuickStrength, index: number): Remedy | null => {
  const own = strength.remedies.find((r) => r.weakPlace === index)?.remedies.filter((r) => r.id === 'thicker') ?? []
  const best = own.find((r) => r.forceAfterN >= SNAPS_N) ?? own[own.length - 1]
  if (!best) return null
  const from = results.settings.thickenMm
  return {
    id: 'thicker',
    label: `thicken the sculpt here by ${best.amount.toFixed(2)} mm`,
    change: { what: 'thickenMm', from, to: from + best.amount },
    effect: {
      resolves: best.forceAfterN >= SNAPS_N,
      label: 'force that breaks it',
      before: best.forceBeforeN,
      after: best.forceAfterN,
      unit: 'N',
      brings: [],
    },
  }
}

export const snaps: Rule = {
  id: 'snaps',
  about: 'Limbs that break under a light hand, with force and travel.',
  look: (results) => {
    const { strength, layers } = results
    if (!strength) return []
    return strength.weakPlaces
      .map((place, index) => ({ place, index }))
      .filter(({ place }) => place.forceN.value < TOLD_N)
      .slice(0, MOST_PLACES)
      .map(({ place, index }): Finding => {
        const [x, y, z] = place.at
        const layer = layerAt(results, z)
        return {
          id: findingId('snaps', z, x, y),
          rule: 'snaps',
          severity: place.forceN.value < SNAPS_N ? 'breaks' : 'note',
          title:
            `${HANDS[place.load]} of ${place.forceN.value.toFixed(2)} N snaps the limb at ${mm(z, 1)}, ${whereInWords(results, x, y)}, after ${mm(place.travelMm.value, 1)} of travel`.replace(
              /^a/,
              'A',
            ),
          place: {
            fromMm: layers.faceZ[layer],
            toMm: layers.faceZ[layer + 1],
            point: [x, y, z],
            areaMm2: (Math.PI * place.thickMm ** 2) / 4,
            fromLayer: layer,
            toLayer: layer,
          },
          evidence: [
            { label: 'force', value: place.forceN.value, unit: 'N', limit: SNAPS_N },
            { label: 'weakest of 20 prints', value: place.forceN.low, unit: 'N' },
            { label: 'strongest of 20', value: place.forceN.high, unit: 'N' },
            { label: 'travel by then', value: place.travelMm.value, unit: 'mm' },
            { label: 'thickness there', value: place.thickMm, unit: 'mm' },
            { label: 'lever', value: place.leverMm, unit: 'mm' },
            { label: 'first to break in', value: place.dropShare * 100, unit: '% of falls' },
          ],
          certainty: {
            share: 0.7,
            cause: 'strength scatters from print to print, and bonds between layers are taken as full',
          },
          why:
            `What makes it weak: ${place.causes.join(', ')}. Limbs as beams of their true sections, stress against the plastic's limit along or across layers ` +
            `(Tsai-Hill), large bending by the elastica (Timoshenko and Gere).${otherHelp(strength, index)}`,
          remedies: present([thickerAt(results, strength, index)]),
        }
      })
  },
}

export const breaksInFalls: Rule = {
  id: 'breaks-in-falls',
  about: 'How many of ten falls from a table break something, and what breaks first.',
  look: (results) => {
    const { strength, layers } = results
    if (!strength) return []
    const { drop, frame } = strength
    const ofTen = (share: number): number => Math.round(share * 10)
    if (ofTen(drop.breakShare.value) < 1) return []
    let first = 0
    for (let s = 1; s < drop.firstToBreak.length; s++) if (drop.firstToBreak[s] > drop.firstToBreak[first]) first = s
    const [x, y, z] = frame.at.subarray(3 * first, 3 * first + 3)
    const layer = layerAt(results, z)
    return [
      {
        id: 'breaks-in-falls',
        rule: 'breaks-in-falls',
        severity: drop.breakShare.value >= 0.5 ? 'breaks' : 'note',
        title: `It breaks in ${ofTen(drop.breakShare.value)} of 10 falls from ${drop.heightM} m, most often at ${mm(z, 1)}, ${whereInWords(results, x, y)}`,
        place: {
          fromMm: layers.faceZ[layer],
          toMm: layers.faceZ[layer + 1],
          point: [x, y, z],
          areaMm2: 0,
          fromLayer: layer,
          toLayer: layer,
        },
        evidence: [
          { label: 'falls that break it', value: drop.breakShare.value * 10, unit: 'of 10' },
          { label: 'at least', value: drop.breakShare.low * 10, unit: 'of 10' },
          { label: 'at most', value: drop.breakShare.high * 10, unit: 'of 10' },
          { label: 'half of all falls break it from', value: drop.halfBreakHeightM, unit: 'm' },
          { label: 'energy of the fall', value: drop.energyMJ, unit: 'mJ' },
        ],
        certainty: {
          share: 0.55,
          cause: 'a hard floor, no rebound, brittle corners: rather too many breaks than too few',
        },
        why: "The floor stops the base dead and the limbs swing on: stress at a limb's root is that of a sudden change of speed (modal sum, 4 rho c v for a rod). Attitudes are spread evenly over the sphere. Contact by Hertz (Johnson, Contact Mechanics).",
        remedies: [],
      },
    ]
  },
}
