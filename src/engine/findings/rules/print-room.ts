// Where a print has room for plastic and where not: shells alone, surplus, gaps.

import { SURPLUS_CAUSES } from '../../melt/index.ts'
import type { PrintResults, RoomResults } from '../results.ts'
import { findingId, mm, type Rule, remedy, whereInWords } from '../rule.ts'
import type { Finding } from '../types.ts'

/** Surplus of a layer from which it shows, share of what is laid. From memory. */
const SHOWS = 0.02
/** Layers between two stretches of surplus that still count as one. */
const LAYERS_APART = 5
/** Stretches of surplus that are shown, worst first. */
const MOST_STRETCHES = 3

const whole = ({ figure, layers }: RoomResults): Finding['place'] => ({
  fromMm: 0,
  toMm: figure.max[2],
  point: [0, 0, 0],
  areaMm2: 0,
  fromLayer: 0,
  toLayer: layers.nLayers - 1,
})

/** Layers above the base: shares that are meant for the figure itself leave the base out. */
const firstAboveBase = ({ figure, layers }: RoomResults): number => {
  let k = 0
  while (k < layers.nLayers - 1 && layers.cutZ[k] < figure.soleMm) k++
  return k
}

export const shellsAlone: Rule = {
  id: 'shells-alone',
  about: 'Heights at which no infill fits, so that its share changes nothing.',
  look: (results) => {
    const { print, layers } = results
    if (!print) return []
    const { report } = print
    const first = firstAboveBase(results)
    let without = 0
    let addsG = 0
    for (let k = 0; k < layers.nLayers; k++) {
      if (k >= first && report.layerInfillArea[k] <= 0) without++
      addsG += report.layerFullInfillAddsG[k]
    }
    const share = without / Math.max(1, layers.nLayers - first)
    if (share < 0.1) return []
    return [
      {
        id: 'shells-alone',
        rule: 'shells-alone',
        severity: 'note',
        title: `No infill fits in ${Math.round(share * 100)} % of the height above the base; 100 % infill would add ${addsG.toFixed(2)} g elsewhere and nothing there`,
        place: { ...whole(results), fromMm: layers.faceZ[first], fromLayer: first },
        evidence: [
          { label: 'heights without infill', value: share * 100, unit: '%' },
          { label: 'plastic that 100 % infill would add', value: addsG, unit: 'g' },
          { label: 'plastic of the print', value: report.massG, unit: 'g' },
        ],
        certainty: {
          share: 0.9,
          cause: 'counted from planned beads; another planner may place caps a little otherwise',
        },
        why:
          `${print.recipe.nShells} shells of ${mm(print.recipe.beadWidthMm)} and caps of ${mm(print.recipe.capThicknessMm)} fill these sections alone. ` +
          'What carries load there are shells: their number, their healing and the thickness of the limb decide, not the infill share.',
        remedies: [],
      },
    ]
  },
}

/** Runs of layers whose surplus shows. */
const stretches = (print: PrintResults): [number, number][] => {
  const { laidMm3, overflowMm3, nLayers } = print.balance
  const runs: [number, number][] = []
  for (let k = 0; k < nLayers; k++) {
    if (!(laidMm3[k] > 0 && overflowMm3[k] / laidMm3[k] > SHOWS)) continue
    const last = runs[runs.length - 1]
    if (last && k - last[1] <= LAYERS_APART) last[1] = k
    else runs.push([k, k])
  }
  return runs
}

const sumOf = (values: Float64Array, from: number, to: number): number => {
  let sum = 0
  for (let k = from; k <= to; k++) sum += values[k]
  return sum
}

export const surplus: Rule = {
  id: 'surplus',
  about: 'Plastic laid for which there is no room, and what makes it.',
  look: (results) => {
    const { print, layers } = results
    if (!print) return []
    const { balance, thickFilament, recipe, steady } = print
    const nCauses = SURPLUS_CAUSES.length
    return stretches(print)
      .map(([from, to]) => ({ from, to, volume: sumOf(balance.overflowMm3, from, to) }))
      .sort((a, b) => b.volume - a.volume)
      .slice(0, MOST_STRETCHES)
      .filter(({ volume }) => volume > 0.05)
      .map(({ from, to, volume }): Finding => {
        const causes = new Float64Array(nCauses)
        let worst = from
        for (let k = from; k <= to; k++) {
          for (let c = 0; c < nCauses; c++) causes[c] += balance.causesMm3[k * nCauses + c]
          if (balance.heightMm[k] > balance.heightMm[worst]) worst = k
        }
        const cause = SURPLUS_CAUSES[causes.indexOf(Math.max(...causes))]
        const laid = sumOf(balance.laidMm3, from, to)
        const x = balance.heightAt[2 * worst]
        const y = balance.heightAt[2 * worst + 1]
        const share = volume / laid
        const thick =
          sumOf(thickFilament.overflowMm3, from, to) / Math.max(1e-9, sumOf(thickFilament.laidMm3, from, to))
        const wall = sumOf(balance.outAtWallMm3, from, to)
        const top = sumOf(balance.outOnTopMm3, from, to)
        return {
          id: findingId('surplus', layers.faceZ[from], x, y),
          rule: 'surplus',
          severity: share > 0.04 ? 'marks' : 'note',
          title: `${(share * 100).toFixed(1)} % of the plastic has no room from ${mm(layers.faceZ[from], 1)} to ${mm(layers.faceZ[to + 1], 1)}, mostly by ${cause}`,
          place: {
            fromMm: layers.faceZ[from],
            toMm: layers.faceZ[to + 1],
            point: [x, y, layers.cutZ[worst]],
            areaMm2: 0,
            fromLayer: from,
            toLayer: to,
          },
          evidence: [
            { label: 'surplus', value: volume, unit: 'mm3' },
            { label: 'share of what is laid', value: share * 100, unit: '%', limit: SHOWS * 100 },
            { label: 'highest it stands', value: balance.heightMm[worst], unit: 'mm' },
            { label: 'comes out at walls', value: wall, unit: 'mm3' },
            { label: 'comes out on top', value: top, unit: 'mm3' },
            {
              label: `share with filament ${mm(print.filament.diameterToleranceMm)} too thick`,
              value: thick * 100,
              unit: '%',
            },
          ],
          certainty: {
            share: 0.6,
            cause: 'how plastic yields between beads is a simple model; the true filament diameter is not known',
          },
          why:
            `Beads are weighed against the room between the outlines on a grid of half beads; by far the most of the surplus comes from ${cause}, and it leaves ` +
            `${wall >= top ? 'through the nearest wall' : 'on top'}, near ${whereInWords(results, balance.outAt[3 * worst], balance.outAt[3 * worst + 1])}.`,
          remedies:
            steady.bestShare < recipe.flowShare - 0.004
              ? [
                  remedy(
                    'flow',
                    `lower the flow to ${(steady.bestShare * 100).toFixed(1)} %`,
                    'flowShare',
                    recipe.flowShare,
                    Math.round(steady.bestShare * 1000) / 1000,
                  ),
                ]
              : [],
        }
      })
  },
  measure: ({ print, layers }, spot) => {
    let volume = 0
    if (print) {
      for (let k = 0; k < layers.nLayers; k++) {
        if (layers.cutZ[k] >= spot.fromMm && layers.cutZ[k] <= spot.toMm) volume += print.balance.overflowMm3[k]
      }
    }
    return { label: 'surplus', value: volume, unit: 'mm3' }
  },
}

export const gaps: Rule = {
  id: 'gaps',
  about: 'Too little plastic where beads should lie side by side.',
  look: (results) => {
    const { print } = results
    if (!print) return []
    const { totals } = print.balance
    const { steady, recipe } = print
    if (totals.gapShare <= 0.02) return []
    return [
      {
        id: 'gaps',
        rule: 'gaps',
        severity: totals.gapShare > 0.05 ? 'marks' : 'note',
        title: `${(totals.gapShare * 100).toFixed(1)} % of what should be solid stays empty`,
        place: whole(results),
        evidence: [
          { label: 'plastic missing', value: totals.gapMm3, unit: 'mm3' },
          { label: 'share of what should be solid', value: totals.gapShare * 100, unit: '%', limit: 2 },
          { label: 'flow', value: recipe.flowShare * 100, unit: '%' },
        ],
        certainty: { share: 0.6, cause: 'rounded beads hide a few percent; the true filament diameter is not known' },
        why: `At ${(recipe.flowShare * 100).toFixed(0)} % flow the beads do not fill the room between their neighbours everywhere. ${
          steady.exists
            ? `Between ${(steady.fromShare * 100).toFixed(1)} and ${(steady.toShare * 100).toFixed(1)} % both surplus and gaps stay within their limits.`
            : `No flow keeps both within their limits on this figure; ${(steady.bestShare * 100).toFixed(1)} % balances them.`
        }`,
        remedies:
          steady.bestShare > recipe.flowShare + 0.004
            ? [
                remedy(
                  'flow',
                  `raise the flow to ${(steady.bestShare * 100).toFixed(1)} %`,
                  'flowShare',
                  recipe.flowShare,
                  Math.round(steady.bestShare * 1000) / 1000,
                ),
              ]
            : [],
      },
    ]
  },
  measure: ({ print }) => ({ label: 'plastic missing', value: print?.balance.totals.gapMm3 ?? 0, unit: 'mm3' }),
}
