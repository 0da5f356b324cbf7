// Heat in words, for report and sheet: what is soft when the nozzle comes back, by which model, how sure.

import type { Examination } from '../engine/examine/index.ts'
import { landingC } from '../engine/findings/index.ts'
import { finiteMean } from '../engine/kernel/index.ts'
import { numberWords } from './words.ts'

const range = (values: ArrayLike<number>): { least: number; most: number } | null => {
  let least = Infinity
  let most = -Infinity
  for (let k = 0; k < values.length; k++) {
    if (!Number.isFinite(values[k])) continue
    least = Math.min(least, values[k])
    most = Math.max(most, values[k])
  }
  return most >= least ? { least, most } : null
}

/** Rows for the report and the sheet; none for an examination without heat. */
export const heatRows = ({ heat, print }: Examination): readonly (readonly [string, string])[] => {
  if (!heat || !print) return []
  const { quick, full } = heat
  const { softeningFromC, softeningToC } = print.filament
  const landing = landingC(heat)
  const all = range(landing)
  if (!all) return []
  let soft = 0
  for (const c of landing) if (c >= softeningToC) soft++
  const air = quick.airSpeeds.map((speed, i) => {
    let n = 0
    for (const c of quick.topAtAirC[i]) if (c >= softeningToC) n++
    return `${n} at ${speed} m/s`
  })
  const rows: [string, string][] = [
    [
      'laid on',
      `plastic of ${numberWords(Math.round(all.least))} to ${numberWords(Math.round(all.most))} °C; ${soft} of ${landing.length} layers on plastic above ${softeningToC} °C (it softens from ${softeningFromC} °C)`,
    ],
    ['air', `taken as ${quick.airMPerS} m/s at the part with the fan full; by the layer model ${air.join(', ')}`],
  ]
  if (!full) {
    rows.push(['heat', 'by the layer model alone; --heat whole follows every bead, with re-softened depth and bonds'])
    return rows
  }
  const { energy, layers } = full
  const depth = range(layers.softDepthPieceMm)
  const bond = range(layers.healing)
  if (depth)
    rows.push([
      'softened again',
      `${numberWords(depth.least)} to ${numberWords(depth.most)} mm below the fresh bead, ${numberWords(finiteMean(layers.softDepthPieceMm))} mm on the mean`,
    ])
  if (bond) {
    const share = (v: number): number => Math.round(100 * Math.min(1, v / full.ordinaryHealing))
    rows.push([
      'bonds',
      `${share(bond.least)} to ${share(bond.most)} % of an ordinary printed bar's, ${share(finiteMean(layers.healing))} % on the mean`,
    ])
  }
  const came =
    energy.laidJ + energy.nozzleContactJ + energy.nozzleGapJ + energy.nozzleRadiationJ + Math.max(0, energy.bedJ)
  const share = (joules: number): string => numberWords(Math.round((1000 * joules) / came) / 10)
  rows.push([
    'heat',
    `${share(energy.laidJ)} % came with the beads, ${share(energy.nozzleContactJ)} % from the nozzle through them, ${share(energy.nozzleGapJ)} % through gap air, ${share(energy.nozzleRadiationJ)} % radiated, ${share(Math.max(0, energy.bedJ))} % from the bed; in and out agree to ${numberWords(Math.max(1e-4, 100 * Math.abs(energy.imbalanceShare)))} %, cells of ${full.grid.cellMm} mm`,
  ])
  return rows
}

/** Heat as data, without its fields; null when none was computed. */
export const heatFacts = ({ heat }: Examination): object | null => {
  if (!heat) return null
  const { quick, full } = heat
  return {
    quick,
    whole: full && {
      cellMm: full.grid.cellMm,
      softFromC: full.softFromC,
      softToC: full.softToC,
      energy: full.energy,
      ordinaryHealing: full.ordinaryHealing,
      layers: full.layers,
      nozzleContactShare: full.nozzleContactShare,
      nozzleGapShare: full.nozzleGapShare,
      nozzleRadiationShare: full.nozzleRadiationShare,
      assumed: full.assumed,
    },
  }
}
