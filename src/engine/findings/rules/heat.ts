// What heat brings: beads laid on soft plastic, layers that come too soon, a nozzle that lingers, weak bonds, a bed that keeps layers soft.

import { finiteMean } from '../../kernel/index.ts'
import type { HeatLook, PrintResults, RoomResults } from '../results.ts'
import { findingId, layersBetween, mm, present, type Rule, remedy, type Spot, whereInWords } from '../rule.ts'
import type { Evidence, Finding, Remedy } from '../types.ts'

/** Runs of layers this far apart are one place; shorter runs than these are not told, mm. */
const SAME_PLACE_MM = 0.6
const SHORTEST_MM = 0.25
/** Pieces of neighbouring layers this near in plan are the same limb, mm. */
const SAME_LIMB_MM = 3
/** Places that are told. */
const MOST_PLACES = 4
/** Standing soft depth over width from which a post gives way under the nozzle. No source: a stub softer than it is wide cannot stand. */
const GIVES_WAY = 1
/** Bond, share of an ordinary bar's, below which it is told. From memory: half the strength across layers is common in poor prints. */
const WEAK_BOND = 0.45
/** Heat of the nozzle beside the beads' own from which it lingers, and width of posts that this matters for, mm. From memory. */
const LINGERS_SHARE = 0.3
const POST_MM = 4
/** Figures together on a bed, at most, as a remedy. */
const MOST_TOGETHER = 6
/** Least nozzle temperature that a remedy proposes, as part of the present one. */
const STEP_C = 5

/** Temperature of the plastic that each layer's hottest piece is laid on, deg C: by the detailed calculation where there is one. */
export const landingC = ({ quick, full }: HeatLook): Float64Array => full?.layers.belowPieceC ?? quick.topC

/** Bond with the layer below as a share of an ordinary printed bar's, at most 1; null without the detailed calculation. */
export const bondShares = ({ full }: HeatLook): Float64Array | null =>
  full ? full.layers.healing.map((h) => Math.min(1, h / full.ordinaryHealing)) : null

interface Run {
  readonly from: number
  readonly to: number
  /** Layer where it is worst. */
  readonly worst: number
}

/** Runs of layers that meet a condition, those close to each other joined. */
const runsOf = (
  { layers }: RoomResults,
  n: number,
  meets: (layer: number) => boolean,
  size: (layer: number) => number,
  at: (layer: number) => readonly [number, number] = () => [0, 0],
  shortestMm = SHORTEST_MM,
): Run[] => {
  const runs: Run[] = []
  for (let k = 0; k < n; k++) {
    if (!meets(k)) continue
    const [x, y] = at(k)
    // The same limb goes on: near in height and in plan.
    const i = runs.findLastIndex(({ to }) => {
      const [lastX, lastY] = at(to)
      return layers.faceZ[k] - layers.faceZ[to + 1] <= SAME_PLACE_MM && Math.hypot(x - lastX, y - lastY) <= SAME_LIMB_MM
    })
    if (i < 0) runs.push({ from: k, to: k, worst: k })
    else runs[i] = { from: runs[i].from, to: k, worst: size(k) > size(runs[i].worst) ? k : runs[i].worst }
  }
  return runs.filter(({ from, to }) => layers.faceZ[to + 1] - layers.faceZ[from] >= shortestMm)
}

const mostOver = (values: ArrayLike<number>, from: number, to: number): number => {
  let most = Number.NaN
  for (let k = from; k <= to; k++) if (!(values[k] <= most) && Number.isFinite(values[k])) most = values[k]
  return most
}

/** Middle of the piece that decides in a layer. */
const pieceAt = ({ quick, full }: HeatLook, layer: number): [number, number] => {
  const from = full?.layers.belowPieceAt ?? quick.decidingAt
  const [x, y] = [from[2 * layer], from[2 * layer + 1]]
  return Number.isFinite(x) && Number.isFinite(y) ? [x, y] : [0, 0]
}
const pieceWidthMm = ({ quick, full }: HeatLook, layer: number): number =>
  full?.layers.belowPieceWidthMm[layer] ?? quick.decidingWidthMm[layer]

const placeOf = (results: RoomResults, heat: HeatLook, { from, to, worst }: Run): Finding['place'] => {
  const { layers } = results
  const [x, y] = pieceAt(heat, worst)
  const width = pieceWidthMm(heat, worst)
  return {
    fromMm: layers.faceZ[from],
    toMm: layers.faceZ[to + 1],
    point: [x, y, layers.cutZ[worst]],
    areaMm2: Number.isFinite(width) ? (Math.PI * width ** 2) / 4 : 0,
    fromLayer: from,
    toLayer: to,
  }
}

/** What is measured before and after a remedy: the mean landing temperature of the place. */
const landingAt = (results: RoomResults, spot: Spot) => {
  const [from, to] = layersBetween(results, spot.fromMm, spot.toMm)
  return {
    label: 'laid on plastic of',
    value: results.heat ? finiteMean(landingC(results.heat), from, to) : Number.NaN,
    unit: '°C',
  }
}

/** Remedies for plastic that has too little time to set. @param missing times the interval would have to be longer */
const cooling = (results: RoomResults, print: PrintResults, run: Run, missing: number): Remedy[] => {
  const { recipe } = print
  const { nTogether } = results.settings
  const { quick } = results.heat as HeatLook
  const needed = Math.ceil(print.timeline.layerRealS[run.worst] + quick.pauseS[run.worst])
  const together = Math.min(MOST_TOGETHER, Math.max(nTogether + 1, Math.ceil(nTogether * missing)))
  const faster = Math.min(60, Math.round(recipe.outerShellSpeedMmPerS * 1.5))
  const slower = Math.round(recipe.outerShellSpeedMmPerS / 2)
  // A layer that is slowed down instead leaves a piece that begins and ends layers as little time as before.
  const least = recipe.leastSpeedMmPerS
  const also = [
    ...(recipe.waitForLayerTime ? [] : [{ what: 'waitForLayerTime', from: 0, to: 1 }]),
    ...(least < recipe.outerShellSpeedMmPerS
      ? [{ what: 'leastSpeedMmPerS', from: least, to: recipe.outerShellSpeedMmPerS }]
      : []),
  ]
  const layerS = Math.max(needed, recipe.leastLayerTimeS)
  return present([
    layerS <= 120 && (also.length > 0 || layerS > recipe.leastLayerTimeS)
      ? {
          id: 'layer-time',
          label: `give each layer ${layerS} s by waiting away from the figure, not by slowing down`,
          change: { what: 'leastLayerTimeS', from: recipe.leastLayerTimeS, to: layerS, also },
          effect: null,
        }
      : null,
    together > nTogether
      ? remedy('together', `print ${together} of them side by side`, 'nTogether', nTogether, together)
      : null,
    recipe.fanShare < 1 ? remedy('fan', 'run the fan at full', 'fanShare', recipe.fanShare, 1) : null,
    remedy(
      'cooler',
      `lower the nozzle by ${STEP_C} °C to ${recipe.nozzleC - STEP_C} °C`,
      'nozzleC',
      recipe.nozzleC,
      recipe.nozzleC - STEP_C,
    ),
    faster > recipe.outerShellSpeedMmPerS
      ? remedy(
          'faster',
          `lay the outer shell at ${faster} mm/s`,
          'outerShellSpeedMmPerS',
          recipe.outerShellSpeedMmPerS,
          faster,
        )
      : null,
    slower >= 5
      ? remedy(
          'slower',
          `lay the outer shell at ${slower} mm/s`,
          'outerShellSpeedMmPerS',
          recipe.outerShellSpeedMmPerS,
          slower,
        )
      : null,
  ])
}

/** Shares of the nozzle's heat, in the three ways it comes. */
const nozzleEvidence = ({ full }: HeatLook, { from, to }: Run): Evidence[] =>
  full
    ? [
        { label: 'heat through the fresh bead', value: 100 * finiteMean(full.nozzleContactShare, from, to), unit: '%' },
        { label: 'heat through gap air', value: 100 * finiteMean(full.nozzleGapShare, from, to), unit: '%' },
        {
          label: 'radiated onto all that is below',
          value: 100 * finiteMean(full.nozzleRadiationShare, from, to),
          unit: '%',
        },
      ]
    : []

const timeEvidence = ({ quick }: HeatLook, { worst }: Run): Evidence[] => {
  const least = quick.leastAtAirS.map((row) => row[worst]).filter(Number.isFinite)
  const air = quick.airSpeeds
  return [
    { label: 'time between its layers', value: quick.intervalS[worst], unit: 's', limit: quick.leastS[worst] },
    ...(least.length > 1
      ? [
          { label: `time needed at ${air[air.length - 1]} m/s of air`, value: Math.min(...least), unit: 's' },
          { label: `time needed at ${air[0]} m/s of air`, value: Math.max(...least), unit: 's' },
        ]
      : []),
  ].filter(({ value }) => Number.isFinite(value))
}

/** How sure: does the answer hold over the range of air speeds a fan may have? */
const certaintyOf = ({ quick, full }: HeatLook, { worst }: Run, limitC: number): Finding['certainty'] => {
  const over = quick.topAtAirC.filter((row) => row[worst] >= limitC).length
  const share = quick.topAtAirC.length > 0 ? over / quick.topAtAirC.length : 0.5
  const method = full ? '' : ', and this is the layer model'
  return share > 0.99
    ? { share: full ? 0.85 : 0.7, cause: `holds for any air speed from 0.5 to 5 m/s at the part${method}` }
    : {
        share: full ? 0.6 : 0.5,
        cause: `holds for ${over} of ${quick.topAtAirC.length} air speeds from 0.5 to 5 m/s at the part; yours is taken as ${quick.airMPerS} m/s${method}`,
      }
}

const WHY =
  'Each bead arrives at the nozzle temperature and heats what it touches; heat passes on by conduction, leaves by moving air (Churchill-Bernstein, by the width of the part) and radiation, and the nozzle adds its own through the fresh bead and the gap air beside it. What counts is the time between two layers of the same piece, not the layer time alone: where a layer begins on the piece that the last one ended on, almost none passes.'

/** Layers that only the bed keeps warm are another rule's. */
const byBedAlone = (heat: HeatLook, layer: number): boolean => Number.isNaN(heat.quick.leastS[layer])

export const laidOnSoft: Rule = {
  id: 'laid-on-soft',
  about: 'Layers that are laid on plastic which is still, or again, above its softening band.',
  look: (results) => {
    const { heat, print, layers } = results
    if (!heat || !print) return []
    const { softeningFromC, softeningToC } = print.filament
    const landing = landingC(heat)
    const runs = runsOf(
      results,
      landing.length,
      (k) => landing[k] >= softeningToC && !byBedAlone(heat, k),
      (k) => landing[k],
      (k) => pieceAt(heat, k),
    )
    const { full, quick } = heat
    return runs
      .sort((a, b) => landing[b.worst] - landing[a.worst])
      .slice(0, MOST_PLACES)
      .map((run): Finding => {
        const { from, to, worst } = run
        const place = placeOf(results, heat, run)
        const [x, y] = place.point
        const mean = finiteMean(landing, from, to)
        const stub = full ? mostOver(full.layers.softStub, from, to) : Number.NaN
        const depth = full ? mostOver(full.layers.softDepthPieceMm, from, to) : Number.NaN
        const missing = quick.leastS[worst] / quick.intervalS[worst]
        const told = full
          ? `, and softens it ${mm(depth, 1)} deep (${Math.round(depth / (layers.faceZ[worst + 1] - layers.faceZ[worst]))} layers)`
          : ''
        return {
          id: findingId('laid-on-soft', place.fromMm, x, y),
          rule: 'laid-on-soft',
          severity: stub >= GIVES_WAY ? 'breaks' : 'marks',
          title: `From ${mm(place.fromMm, 1)} to ${mm(place.toMm, 1)}, ${whereInWords(results, x, y)}, each layer lands on soft plastic of ${mean.toFixed(0)} °C${told}`,
          place,
          evidence: [
            { label: 'layers', value: to - from + 1, unit: '' },
            { label: 'plastic under the nozzle', value: landing[worst], unit: '°C', limit: softeningFromC },
            ...(full
              ? [
                  { label: 'softened again, at most', value: depth, unit: 'mm' },
                  {
                    label: 'still soft when the nozzle comes back',
                    value: mostOver(full.layers.standingSoftMostMm, from, to),
                    unit: 'mm',
                  },
                  { label: 'soft depth over width', value: stub, unit: '', limit: GIVES_WAY },
                ]
              : []),
            { label: 'width of the part', value: pieceWidthMm(heat, worst), unit: 'mm' },
            ...timeEvidence(heat, run),
            ...nozzleEvidence(heat, run),
          ].filter(({ value }) => Number.isFinite(value)),
          certainty: certaintyOf(heat, run, softeningToC),
          why: `${WHY} Plastic gives way from ${softeningFromC} °C and is soft throughout from ${softeningToC} °C; a post softer than it is wide cannot hold its place under the nozzle, smaller depths round its edges.`,
          remedies: cooling(results, print, run, missing),
        }
      })
  },
  enough: ({ print }, value) => !!print && value < print.filament.softeningToC,
  measure: landingAt,
}

export const tooQuick: Rule = {
  id: 'too-quick',
  about: 'Layers that come back while the plastic below is within its softening band.',
  foldsNotes: true,
  look: (results) => {
    const { heat, print } = results
    if (!heat || !print) return []
    const { softeningFromC, softeningToC } = print.filament
    const landing = landingC(heat)
    const { quick } = heat
    const within = (k: number): boolean =>
      landing[k] >= softeningFromC && landing[k] < softeningToC && !byBedAlone(heat, k)
    return runsOf(
      results,
      landing.length,
      within,
      (k) => landing[k],
      (k) => pieceAt(heat, k),
      0.5,
    )
      .sort((a, b) => landing[b.worst] - landing[a.worst])
      .slice(0, MOST_PLACES)
      .map((run): Finding => {
        const { worst, from, to } = run
        const place = placeOf(results, heat, run)
        const missing = quick.leastS[worst] / quick.intervalS[worst]
        const times =
          missing > 1
            ? `: ${quick.intervalS[worst].toFixed(1)} s pass between its layers, ${quick.leastS[worst].toFixed(1)} s would do`
            : ''
        return {
          id: findingId('too-quick', place.fromMm, place.point[0], place.point[1]),
          rule: 'too-quick',
          severity: 'note',
          title: `At ${mm(place.fromMm, 1)} to ${mm(place.toMm, 1)} the plastic below is still giving, at ${finiteMean(landing, from, to).toFixed(0)} °C${times}`,
          place,
          evidence: [
            { label: 'layers', value: to - from + 1, unit: '' },
            { label: 'plastic under the nozzle', value: landing[worst], unit: '°C', limit: softeningFromC },
            { label: 'width of the part', value: pieceWidthMm(heat, worst), unit: 'mm' },
            ...timeEvidence(heat, run),
          ].filter(({ value }) => Number.isFinite(value)),
          certainty: certaintyOf(heat, run, softeningFromC),
          why: `${WHY} Between ${softeningFromC} and ${softeningToC} °C thin parts begin to give under load; edges round, nothing falls.`,
          remedies: cooling(results, print, run, missing),
        }
      })
  },
  enough: ({ print }, value) => !!print && value < print.filament.softeningFromC,
  measure: landingAt,
}

/** Heat that the nozzle hands on beside the beads' own, share of theirs, without what its block radiates. */
const lingerShare = ({ full }: HeatLook, k: number): number =>
  full ? full.nozzleContactShare[k] + full.nozzleGapShare[k] : Number.NaN

export const lingers: Rule = {
  id: 'lingers',
  about: 'A slow nozzle that heats a thin post more than its beads alone would.',
  look: (results) => {
    const { heat, print } = results
    if (!heat?.full || !print) return []
    const landing = landingC(heat)
    const { softeningFromC } = print.filament
    const runs = runsOf(
      results,
      landing.length,
      (k) => lingerShare(heat, k) >= LINGERS_SHARE && pieceWidthMm(heat, k) <= POST_MM && landing[k] >= softeningFromC,
      (k) => lingerShare(heat, k),
    )
    if (runs.length === 0) return []
    const run = runs.reduce((a, b) => (b.to - b.from > a.to - a.from ? b : a))
    const place = placeOf(results, heat, run)
    const share = finiteMean(
      heat.full.nozzleContactShare.map((_, k) => lingerShare(heat, k)),
      run.from,
      run.to,
    )
    const { recipe } = print
    const faster = Math.round(recipe.outerShellSpeedMmPerS * 1.5)
    return [
      {
        id: findingId('lingers', place.fromMm, place.point[0], place.point[1]),
        rule: 'lingers',
        severity: 'marks',
        title: `From ${mm(place.fromMm, 1)} to ${mm(place.toMm, 1)} the slow nozzle brings ${Math.round(share * 100)} % more heat than the beads carry`,
        place,
        evidence: [
          { label: 'outer shell speed', value: recipe.outerShellSpeedMmPerS, unit: 'mm/s' },
          ...nozzleEvidence(heat, run),
          { label: 'plastic under the nozzle', value: landing[run.worst], unit: '°C', limit: softeningFromC },
        ],
        certainty: { share: 0.6, cause: 'the gap between nozzle and part decides, and is not measured' },
        why: 'While the nozzle stands over a post it goes on heating it: through the fresh bead, and through the thin air beside it (conductivity over gap). Slower beads mean more of this for the same plastic. Computed with contact on the flat end of the nozzle and a gap of air around it.',
        remedies: present([
          remedy(
            'faster',
            `lay the outer shell at ${faster} mm/s`,
            'outerShellSpeedMmPerS',
            recipe.outerShellSpeedMmPerS,
            faster,
          ),
          recipe.leastSpeedMmPerS < 15
            ? remedy('least-speed', 'slow down to 15 mm/s at most', 'leastSpeedMmPerS', recipe.leastSpeedMmPerS, 15)
            : null,
          recipe.waitForLayerTime
            ? null
            : remedy('wait', 'wait away from the figure instead of slowing down', 'waitForLayerTime', 0, 1),
        ]),
      },
    ]
  },
  enough: ({ print }, value) => !!print && value < print.filament.softeningFromC,
  measure: landingAt,
}

export const weakBond: Rule = {
  id: 'weak-bond',
  about: 'Layers whose bond with the one below heals less than in an ordinary printed bar.',
  look: (results) => {
    const { heat, print } = results
    const bond = heat && bondShares(heat)
    if (!heat?.full || !bond || !print) return []
    const runs = runsOf(
      results,
      bond.length,
      (k) => bond[k] < WEAK_BOND,
      (k) => -bond[k],
      undefined,
      0.5,
    )
    if (runs.length === 0) return []
    const run = runs.reduce((a, b) => (bond[b.worst] < bond[a.worst] ? b : a))
    const total = runs.reduce((sum, { from, to }) => sum + to - from + 1, 0)
    const place = placeOf(results, heat, run)
    const { recipe } = print
    return [
      {
        id: findingId('weak-bond', place.fromMm, place.point[0], place.point[1]),
        rule: 'weak-bond',
        severity: 'note',
        title: `Layers bond with ${Math.round(100 * finiteMean(bond, run.from, run.to))} % of an ordinary bar's strength from ${mm(place.fromMm, 1)} to ${mm(place.toMm, 1)}`,
        place,
        evidence: [
          { label: 'layers below the limit in all', value: total, unit: '' },
          { label: 'weakest bond', value: 100 * bond[run.worst], unit: '%', limit: 100 * WEAK_BOND },
          { label: 'plastic under the nozzle', value: landingC(heat)[run.worst], unit: '°C' },
          { label: 'layer time', value: print.timeline.layerRealS[run.worst], unit: 's' },
        ],
        certainty: {
          share: 0.4,
          cause:
            'constants of the melt are from memory, and tests disagree on whether the bond or the groove beside it decides',
        },
        why: 'Chains cross the joint while it is above the glass transition: the sum of dt / a_T over the joint’s own temperature, to the power 1/4 (Wool and O’Connor 1981), held against the same sum for an ordinary upright bar with 0.2 mm layers. A strong fan and long layers leave less time.',
        remedies: present([
          recipe.fanShare > 0.5
            ? remedy('fan', 'run the fan at half', 'fanShare', recipe.fanShare, recipe.fanShare / 2)
            : null,
          remedy(
            'hotter',
            `raise the nozzle by ${STEP_C} °C to ${recipe.nozzleC + STEP_C} °C`,
            'nozzleC',
            recipe.nozzleC,
            recipe.nozzleC + STEP_C,
          ),
        ]),
      },
    ]
  },
  enough: (_results, value) => value >= 100 * WEAK_BOND,
  measure: (results, spot) => {
    const [from, to] = layersBetween(results, spot.fromMm, spot.toMm)
    const bond = results.heat && bondShares(results.heat)
    return { label: 'bond', value: bond ? 100 * finiteMean(bond, from, to) : Number.NaN, unit: '%' }
  },
}

/** Height that the bed alone keeps soft, mm. */
const softByBedMm = ({ heat, layers }: RoomResults): number => {
  if (!heat) return 0
  let top = 0
  for (let k = 0; k < heat.quick.nLayers && k < layers.nLayers && byBedAlone(heat, k); k++) top = layers.faceZ[k + 1]
  return top
}

export const softByBed: Rule = {
  id: 'soft-by-bed',
  about: 'First layers that a bed above the softening temperature keeps soft.',
  look: (results) => {
    const { heat, print } = results
    if (!heat || !print || print.recipe.bedC < print.filament.softeningFromC) return []
    const top = softByBedMm(results)
    if (!(top > 0)) return []
    const { bedC } = print.recipe
    const { softeningFromC, softeningToC } = print.filament
    const to = Math.floor((softeningFromC - 3) / 5) * 5
    return [
      {
        id: 'soft-by-bed',
        rule: 'soft-by-bed',
        severity: 'note',
        title: `The bed at ${bedC} °C keeps the lowest ${mm(top, 1)} within the softening band of ${softeningFromC} to ${softeningToC} °C`,
        place: {
          fromMm: 0,
          toMm: top,
          point: [0, 0, 0],
          areaMm2: 0,
          fromLayer: 0,
          toLayer: layersBetween(results, 0, top)[1],
        },
        evidence: [
          { label: 'bed', value: bedC, unit: '°C', limit: softeningFromC },
          { label: 'height kept soft', value: top, unit: 'mm' },
          { label: 'layers', value: layersBetween(results, 0, top)[1] + 1, unit: '' },
        ],
        certainty: { share: 0.7, cause: "the bed's contact with the plastic is not measured" },
        why: `No wait helps there: the bed holds these layers above ${softeningFromC} °C until it cools. That helps them to hold; a wide base does not mind, thin feet may spread. Decay with height as in a fin (Incropera, 3.6).`,
        remedies: to > 0 ? [remedy('bed', `set the bed to ${to} °C`, 'bedC', bedC, to)] : [],
      },
    ]
  },
  enough: (_results, value) => value === 0,
  measure: (results) => ({ label: 'height kept soft', value: softByBedMm(results), unit: 'mm' }),
}
