// A quantity along the outlines of one layer, as the section draws it.

import type { AlongOutline } from '../../picture/index.ts'
import type { SheetParts } from '../messages.ts'

/** Samples of an outline stand closer than this; a longer step leads to the next outline, mm. */
const JOIN_MM = 0.8

/** Local thickness along the outlines of a layer, on the scale that the figure has; null until it is measured. */
export const thicknessAlong = (
  { layers, outlineThickness }: SheetParts,
  layer: number,
  { from, to }: { readonly from: number; readonly to: number },
): AlongOutline | null => {
  if (!layers || !outlineThickness) return null
  const { sampleStart, samples, thickness } = outlineThickness
  const first = sampleStart[layers.layerStart[layer]]
  const end = sampleStart[layers.layerStart[layer + 1]]
  return {
    points: samples.subarray(2 * first, 2 * end),
    values: thickness.subarray(first, end),
    from,
    to,
    joinMm: JOIN_MM,
  }
}
