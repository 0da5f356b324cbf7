// How the figure stands, bends and carries: gives way while printed, tips over, buckles, parts across its layers, weighs for nothing.

import { pinEffect, type QuickStrength } from '../../strength/index.ts'
import type { RoomResults } from '../results.ts'
import { findingId, layerAt, mm, type Rule, remedy, whereInWords } from '../rule.ts'
import type { Finding, Remedy } from '../types.ts'

/**
 * Sideways force of a passing nozzle, N: the melt between its end (about 0.4 mm square) and the layer is sheared at roughly 0.1 MPa.
 * Estimated, no source; curled edges that the nozzle strikes push many times harder.
 */
const NOZZLE_PUSH_N = 0.016
/** Angle of tipping over below which a figure falls at every knock, and below which it is told, degrees. From memory. */
const UNSTEADY_DEG = 10
const TOLD_DEG = 17
/** Push along a shaft that a hand gives without noticing, N. From memory. */
const LIGHT_PUSH_N = 1
/** Gain by turning a limb along the layers from which it is told. */
const TURN_GAIN = 1.3
/** Places below this force count as weak, N, as in the rule of what snaps. */
const WEAK_N = 1.5
/** Infill that stays with a lean figure, %; common practice, no source. */
const LEAN_INFILL = 0.15
/** Savings from which it is told: share of the print, and g. */
const TOLD_SHARE = 0.04
const TOLD_G = 0.1
/** Growths that are tried, mm. */
const GROWTHS = [0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1] as const

/** Least growth that brings a number below its limit, and the number then; bending goes with the fourth power of thickness. */
const thickerFor = (
  results: RoomResults,
  thickMm: number,
  value: number,
  limit: number,
  label: string,
  unit: string,
  bad: 'above' | 'below',
): Remedy | null => {
  const after = (more: number): number => value * ((thickMm + more) / thickMm) ** (bad === 'above' ? -4 : 4)
  const well = (v: number): boolean => (bad === 'above' ? v <= limit : v >= limit)
  const more = GROWTHS.find((g) => well(after(g))) ?? GROWTHS[GROWTHS.length - 1]
  const from = results.settings.thickenMm
  const plain = remedy('thicker', `thicken the sculpt here by ${more.toFixed(1)} mm`, 'thickenMm', from, from + more)
  return {
    ...plain,
    effect: { resolves: well(after(more)), label, before: value, after: after(more), unit, brings: [] },
  }
}

/** Station nearest to a height among those that give most: where the limb stands thinnest there. */
const stationAt = ({ frame }: QuickStrength, z: number): number => {
  let best = -1
  for (let s = 0; s < frame.nStations; s++) {
    if (frame.held[s] || Math.abs(frame.at[3 * s + 2] - z) > 1) continue
    if (best < 0 || frame.thickMm[s] < frame.thickMm[best]) best = s
  }
  return best
}

export const bendsWhilePrinted: Rule = {
  id: 'bends-while-printed',
  about: 'Tall thin limbs that give way to the nozzle by more than half a bead while they are printed.',
  look: (results) => {
    const { strength, layers, settings } = results
    if (!strength) return []
    const limit = settings.beadWidthMm / 2
    const give = strength.layerGiveMmPerN
    let worst = -1
    let lowest = -1
    for (let k = 0; k < give.length; k++) {
      if (!(give[k] * NOZZLE_PUSH_N > limit)) continue
      if (lowest < 0) lowest = k
      if (worst < 0 || give[k] > give[worst]) worst = k
    }
    if (worst < 0) return []
    const bend = give[worst] * NOZZLE_PUSH_N
    const station = stationAt(strength, layers.cutZ[worst])
    const [x, y] = station < 0 ? [0, 0] : [strength.frame.at[3 * station], strength.frame.at[3 * station + 1]]
    const thick = station < 0 ? Number.NaN : strength.frame.thickMm[station]
    return [
      {
        id: findingId('bends-while-printed', layers.faceZ[lowest], x, y),
        rule: 'bends-while-printed',
        severity: 'marks',
        title: `From ${mm(layers.faceZ[lowest], 1)} up a limb gives way to the nozzle while it is printed, by ${mm(bend)} at ${mm(layers.faceZ[worst], 1)}, ${whereInWords(results, x, y)}`,
        place: {
          fromMm: layers.faceZ[lowest],
          toMm: layers.faceZ[worst + 1],
          point: [x, y, layers.cutZ[worst]],
          areaMm2: Number.isNaN(thick) ? 0 : (Math.PI * thick ** 2) / 4,
          fromLayer: lowest,
          toLayer: worst,
        },
        evidence: [
          { label: 'gives way by', value: bend, unit: 'mm', limit },
          { label: 'give', value: give[worst], unit: 'mm/N' },
          { label: 'push of a passing nozzle', value: NOZZLE_PUSH_N, unit: 'N' },
        ],
        certainty: {
          share: 0.5,
          cause: 'the push of a nozzle is an estimate without a source, and a foot that gives is not counted',
        },
        why: 'The limb stands alone on its foot, what joins it above is not there yet: a beam of its true sections, pushed at its top as the layer is laid. More than half a bead aside and the next bead no longer lands on the last one.',
        remedies: Number.isNaN(thick)
          ? []
          : ([thickerFor(results, thick, bend, limit, 'gives way by', 'mm', 'above')].filter(Boolean) as Remedy[]),
      },
    ]
  },
}

export const tipsOver: Rule = {
  id: 'tips-over',
  about: 'Figures that a small slope or a light push at the top tips over.',
  look: (results) => {
    const { strength, layers, figure } = results
    if (!strength) return []
    const { tipDegrees, towards, pushAtTopN, massG, centre } = strength.standing
    if (tipDegrees >= TOLD_DEG) return []
    const arm = centre[2] * Math.tan((Math.max(tipDegrees, 0) * Math.PI) / 180)
    const wider = centre[2] * Math.tan((TOLD_DEG * Math.PI) / 180) - arm
    // Weight in the base that brings the middle of the mass down far enough with the base as wide as it is.
    const wanted = arm / Math.tan((TOLD_DEG * Math.PI) / 180)
    const baseMm = figure.soleMm / 2
    const ballastG = wanted > baseMm && arm > 0 ? (massG * (centre[2] - wanted)) / (wanted - baseMm) : Number.NaN
    const way = whereInWords(results, towards[0] * figure.max[0], towards[1] * figure.max[1])
    return [
      {
        id: 'tips-over',
        rule: 'tips-over',
        severity: tipDegrees < UNSTEADY_DEG ? 'breaks' : 'note',
        title: `It tips over at ${tipDegrees.toFixed(0)} degrees, towards the ${way}: ${(1000 * pushAtTopN).toFixed(1)} mN at the top are enough`,
        place: {
          fromMm: 0,
          toMm: layers.faceZ[1],
          point: [arm * towards[0], arm * towards[1], 0],
          areaMm2: 0,
          fromLayer: 0,
          toLayer: 0,
        },
        evidence: [
          { label: 'tips over at', value: tipDegrees, unit: 'degrees', limit: TOLD_DEG },
          { label: 'push at the top', value: 1000 * pushAtTopN, unit: 'mN' },
          { label: 'middle of the mass above the bed', value: centre[2], unit: 'mm' },
          { label: 'base wider on that side for a sure stand', value: wider, unit: 'mm' },
          ...(Number.isNaN(ballastG) ? [] : [{ label: 'or weight in the base', value: ballastG, unit: 'g' }]),
        ],
        certainty: { share: 0.85, cause: 'a base that curls stands on fewer points than its outline has' },
        why: 'Angle from the middle of the mass to the nearest edge of what touches the bed (hull of the first layer). Nothing that the recipe sets changes it: a wider base, another stance or weight in the base does.',
        remedies: [],
      },
    ]
  },
}

export const buckles: Rule = {
  id: 'buckles',
  about: 'Slender shafts that buckle when they are pressed along their length before they break across it.',
  foldsNotes: true,
  look: (results) => {
    const { strength, layers } = results
    if (!strength) return []
    const seen = new Set<number>()
    return strength.weakPlaces.flatMap((place): Finding[] => {
      const { bucklesAtN, at, thickMm, branch } = place
      if (!(bucklesAtN < LIGHT_PUSH_N) || seen.has(branch)) return []
      seen.add(branch)
      const [x, y, z] = at
      const layer = layerAt(results, z)
      const { lengthMm, slenderness } = strength.frame.branches[branch]
      return [
        {
          id: findingId('buckles', z, x, y),
          rule: 'buckles',
          severity: 'note',
          title: `Pressed along its length with ${bucklesAtN.toFixed(2)} N the shaft at ${mm(z, 1)}, ${whereInWords(results, x, y)}, buckles aside`,
          place: {
            fromMm: layers.faceZ[layer],
            toMm: layers.faceZ[layer + 1],
            point: [x, y, z],
            areaMm2: (Math.PI * thickMm ** 2) / 4,
            fromLayer: layer,
            toLayer: layer,
          },
          evidence: [
            { label: 'buckles at', value: bucklesAtN, unit: 'N', limit: LIGHT_PUSH_N },
            { label: 'length', value: lengthMm, unit: 'mm' },
            { label: 'length over least radius of gyration', value: slenderness, unit: '' },
          ],
          certainty: {
            share: 0.7,
            cause: 'how firmly its ends are held is taken as clamped below, and free or hinged above',
          },
          why: `Euler's load of a straight shaft, ends as they hang on the figure (Timoshenko and Gere, ch. 2).`,
          remedies: [thickerFor(results, thickMm, bucklesAtN, LIGHT_PUSH_N, 'buckles at', 'N', 'below')].filter(
            Boolean,
          ) as Remedy[],
        },
      ]
    })
  },
}

export const weakAcross: Rule = {
  id: 'weak-across-layers',
  about: 'Weak limbs whose layers lie square to them, and what turning them along the layers would bring.',
  look: (results) => {
    const { strength, layers, settings } = results
    if (!strength) return []
    const gains = strength.weakPlaces.flatMap((place, index) => {
      if (place.forceN.value >= WEAK_N || !place.causes.includes('across layers')) return []
      const own = strength.remedies.find((r) => r.weakPlace === index)?.remedies ?? []
      const turned = own.filter((r) => r.id === 'stance').sort((a, b) => b.forceAfterN - a.forceAfterN)[0]
      if (!turned || turned.forceAfterN < TURN_GAIN * turned.forceBeforeN) return []
      return [{ place, turned }]
    })
    if (gains.length === 0) return []
    const { place, turned } = gains[0]
    const [x, y, z] = place.at
    const layer = layerAt(results, z)
    // The limb's direction and the plastic's limit do not depend on the pin: only its share of the section does.
    const wire = [0.8, 0.5].find((d) => d <= place.thickMm - 0.8)
    const pinned = wire ? pinEffect(place.thickMm, wire, 2500, 25).force * place.forceN.value : Number.NaN
    return [
      {
        id: findingId('weak-across-layers', z, x, y),
        rule: 'weak-across-layers',
        severity: 'note',
        title: `${gains.length === 1 ? 'A weak limb stands' : `${gains.length} weak limbs stand`} across the layers: laid along them, the one at ${mm(z, 1)} would take ${turned.forceAfterN.toFixed(2)} N and not ${turned.forceBeforeN.toFixed(2)} N`,
        place: {
          fromMm: layers.faceZ[layer],
          toMm: layers.faceZ[layer + 1],
          point: [x, y, z],
          areaMm2: (Math.PI * place.thickMm ** 2) / 4,
          fromLayer: layer,
          toLayer: layer,
        },
        evidence: [
          { label: 'force as it stands', value: turned.forceBeforeN, unit: 'N' },
          { label: `force when turned by ${turned.amount} degrees`, value: turned.forceAfterN, unit: 'N' },
          { label: 'travel as it stands', value: turned.travelBeforeMm, unit: 'mm' },
          { label: 'travel when turned', value: turned.travelAfterMm, unit: 'mm' },
          ...(Number.isNaN(pinned) ? [] : [{ label: `force with a ${wire} mm pin instead`, value: pinned, unit: 'N' }]),
        ],
        certainty: {
          share: 0.65,
          cause: 'strength across layers scatters most of all, and turning brings props and steps elsewhere',
        },
        why: `Strength at an angle to the layers by Tsai-Hill, from the card's limits along and across; now turned ${settings.stanceDeg.join(', ')} degrees. The whole figure turns with the limb: the other findings have to be looked at again in the new stance.`,
        remedies: [],
      },
    ]
  },
}

/** Plastic in the infill, g. */
const infillG = ({ print, layers }: RoomResults): number => {
  if (!print) return 0
  let volume = 0
  for (let k = 0; k < layers.nLayers; k++)
    volume += print.report.layerInfillArea[k] * (layers.faceZ[k + 1] - layers.faceZ[k])
  return (volume * print.recipe.infillShare * print.filament.densityGPerCm3) / 1000
}

export const heavierForNothing: Rule = {
  id: 'heavier-for-nothing',
  about: 'Infill that lies where nothing breaks: plastic and time, but no strength.',
  look: (results) => {
    const { strength, print } = results
    if (!strength || !print || print.recipe.infillShare <= LEAN_INFILL || strength.weakPlaces.length === 0) return []
    if (strength.weakPlaces.some(({ causes }) => causes.includes('infill inside'))) return []
    // Where shells alone fill every weak place, one more shell changes nothing there either.
    const helped = strength.remedies.some(({ remedies }) =>
      remedies.some((r) => r.id === 'more shells' && r.forceAfterN > 1.02 * r.forceBeforeN),
    )
    if (helped) return []
    const now = infillG(results)
    const saved = now * (1 - LEAN_INFILL / print.recipe.infillShare)
    if (saved < TOLD_G || saved < TOLD_SHARE * print.report.massG) return []
    const percent = Math.round(100 * print.recipe.infillShare)
    return [
      {
        id: 'heavier-for-nothing',
        rule: 'heavier-for-nothing',
        severity: 'costs',
        title: `${percent} % infill adds ${saved.toFixed(2)} g over ${100 * LEAN_INFILL} %, and no strength: the ${strength.weakPlaces.length} weakest places have none inside`,
        place: {
          fromMm: 0,
          toMm: results.figure.max[2],
          point: [0, 0, 0],
          areaMm2: 0,
          fromLayer: 0,
          toLayer: results.layers.nLayers - 1,
        },
        evidence: [
          { label: 'plastic in the infill', value: now, unit: 'g' },
          { label: `saved at ${100 * LEAN_INFILL} %`, value: saved, unit: 'g' },
          { label: 'plastic of the print', value: print.report.massG, unit: 'g' },
          { label: 'energy of the fall', value: strength.drop.energyMJ, unit: 'mJ' },
        ],
        certainty: { share: 0.75, cause: 'caps over little infill may sag, and a heavy base stands more firmly' },
        why: 'Weak places are as thin as the shells that fill them, so the infill lies in the base and the body; in a fall it is only more mass to stop.',
        remedies: [
          remedy('lean', `Lay ${100 * LEAN_INFILL} % infill`, 'infillShare', print.recipe.infillShare, LEAN_INFILL),
        ],
      },
    ]
  },
  measure: (results) => ({
    label: 'plastic of the print',
    value: results.print?.report.massG ?? Number.NaN,
    unit: 'g',
  }),
}
