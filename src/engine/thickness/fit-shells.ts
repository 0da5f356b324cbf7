// How many closed shells of one bead width fit into each island, at its thinnest and at its widest place.
//
// Model: beads are stadiums (w - h) x h with half-round sides. Side by side their middles lie w apart; pressed together until
// nothing is left between them they lie w - h(1 - pi/4) apart (same area, common practice). Both are counted.
// Limits: whole beads of one width; what a bead of varying width could fill is not counted here.

import type { LayerStack } from '../sections/index.ts'
import type { OutlineThickness, ShellFit } from './types.ts'

/** Share of a bead width by which a thickness may fall short and still count: a 1.2 mm rod modelled with 24 sides is 1.19 mm across. */
export const SHORT_SHARE = 0.02

/** Distance between the middles of two shells with no void between them, mm. */
export const shellPitch = (beadWidthMm: number, layerHeightMm: number): number =>
  beadWidthMm - layerHeightMm * (1 - Math.PI / 4)

/** Beads that fit side by side across a thickness, at a pitch; a shortfall of SHORT_SHARE of a bead is let pass. */
export const beadsAcross = (thicknessMm: number, beadWidthMm: number, pitchMm: number): number => {
  const room = thicknessMm - beadWidthMm * (1 - SHORT_SHARE)
  return room >= 0 ? Math.floor(room / pitchMm + 1e-9) + 1 : 0
}

/** Closed shells across a thickness: each crosses it twice. */
const shellsAcross = (thicknessMm: number, beadWidthMm: number, pitchMm: number): number =>
  Number.isNaN(thicknessMm) ? Number.NaN : Math.floor(beadsAcross(thicknessMm, beadWidthMm, pitchMm) / 2)

/** Width left inside n closed shells, mm: the thickness less, on both sides, one bead and n - 1 pitches; never below 0. */
export const coreWithin = (thicknessMm: number, nShells: number, beadWidthMm: number, pitchMm: number): number =>
  nShells > 0 ? Math.max(0, thicknessMm - 2 * (beadWidthMm + (nShells - 1) * pitchMm)) : thicknessMm

/** Settings of the count. */
export interface ShellFitOptions {
  /** Bead width, mm, > 0. */
  readonly beadWidthMm: number
}

/** Counts the shells that fit. NaN where an island has no thickness to measure. */
export const fitShells = (
  stack: LayerStack,
  outlineThickness: OutlineThickness,
  { beadWidthMm }: ShellFitOptions,
): ShellFit => {
  const nIslands = stack.islandLoop.length
  const fit: ShellFit = {
    kind: 'shell-fit',
    beadWidthMm,
    pitch: new Float64Array(stack.nLayers),
    atThinnest: new Float32Array(nIslands),
    atWidest: new Float32Array(nIslands),
    atThinnestSideBySide: new Float32Array(nIslands),
    atWidestSideBySide: new Float32Array(nIslands),
    coreAtThinnest: new Float64Array(nIslands),
  }
  for (let layer = 0; layer < stack.nLayers; layer++) {
    const pitch = shellPitch(beadWidthMm, stack.faceZ[layer + 1] - stack.faceZ[layer])
    fit.pitch[layer] = pitch
    for (let i = stack.islandStart[layer]; i < stack.islandStart[layer + 1]; i++) {
      const thinnest = outlineThickness.islandThinnest[i]
      const widest = outlineThickness.islandWidest[i]
      fit.atThinnest[i] = shellsAcross(thinnest, beadWidthMm, pitch)
      fit.atWidest[i] = shellsAcross(widest, beadWidthMm, pitch)
      fit.atThinnestSideBySide[i] = shellsAcross(thinnest, beadWidthMm, beadWidthMm)
      fit.atWidestSideBySide[i] = shellsAcross(widest, beadWidthMm, beadWidthMm)
      fit.coreAtThinnest[i] = coreWithin(thinnest, fit.atThinnest[i], beadWidthMm, pitch)
    }
  }
  return fit
}
