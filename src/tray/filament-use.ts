// Plastic by spool in grams and metres, what remains, and what plastic and power cost.

import { filamentArea } from '../engine/beads/index.ts'
import type { SpoolUse } from './types.ts'

/** Grams of a metre of filament. @param diameterMm diameter; @param densityGPerCm3 density of the solid plastic */
export const gramsPerMetre = (diameterMm: number, densityGPerCm3: number): number =>
  filamentArea(diameterMm) * densityGPerCm3

/** What one plate takes from its spool. */
export interface SpoolTake {
  readonly spool: string
  readonly massG: number
  readonly lengthM: number
}

/** Sums by spool, in the order of first use. @param onSpoolG grams on each spool at the start, where known */
export const spoolUse = (
  takes: readonly SpoolTake[],
  onSpoolG: Readonly<Record<string, number>>,
  pricePerKg: number,
): SpoolUse[] => {
  const spools = [...new Set(takes.map(({ spool }) => spool))]
  return spools.map((spool) => {
    const mine = takes.filter((take) => take.spool === spool)
    const massG = mine.reduce((sum, take) => sum + take.massG, 0)
    const known = onSpoolG[spool] ?? null
    return {
      spool,
      massG,
      lengthM: mine.reduce((sum, take) => sum + take.lengthM, 0),
      onSpoolG: known,
      leftG: known === null ? null : known - massG,
      plasticCost: (massG / 1000) * pricePerKg,
    }
  })
}

/** Cost of power. @param watts mean draw with the bed on; @param pricePerKWh price of a kilowatt hour */
export const powerCost = (hours: number, watts: number, pricePerKWh: number): { kWh: number; cost: number } => {
  const kWh = (hours * watts) / 1000
  return { kWh, cost: kWh * pricePerKWh }
}
