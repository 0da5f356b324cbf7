// What the print leaves inside the figure, as the strength room takes it: the same for limbs, for the whole field and for falls.

import { bondShares, type HeatLook, type PrintResults } from '../findings/index.ts'
import type { StrengthOptions } from '../strength/index.ts'
import { recipeInForce } from './settings.ts'
import type { ExamineSettings } from './types.ts'

export type PrintedBody = Pick<StrengthOptions, 'stuffing' | 'plan' | 'healing'>

/** @param heat where it was followed through every bead, bonds between layers are those computed */
export const printedBody = (
  settings: ExamineSettings,
  print: PrintResults | null,
  heat: HeatLook | null,
): PrintedBody => {
  const { nShells, beadWidthMm, layerHeightMm, capThicknessMm, infillShare } = recipeInForce(settings)
  const bond = heat && bondShares(heat)
  return {
    stuffing: { nShells, beadWidthMm, layerHeightMm, capThicknessMm, infillShare },
    plan: print?.report ?? null,
    healing: bond ? Float32Array.from(bond) : null,
  }
}
