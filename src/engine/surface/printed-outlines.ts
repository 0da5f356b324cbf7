// Outlines as beads fill them: what a bead of full width reaches, and what gap beads fill of the rest.
//
// A shell of width w fills the opening of the section by a disc of w (Serra 1982); what is left is filled by gap beads where it is at
// least the least bead width wide, if the recipe lays them. The first layer comes out by its squeeze.
// Limits: leftovers between shells that stay empty lie inside and do not show; starts and ends of gap beads are taken as round.

import { type PolygonKit, type Polygons, regionScopeOf } from '../kernel/index.ts'
import { type LayerStack, layerPolygons } from '../sections/index.ts'

export interface PrintedWishes {
  readonly beadWidthMm: number
  readonly leastBeadWidthMm: number
  readonly gapBeads: boolean
  /** How far the first layer comes out of its outline, mm. */
  readonly squeezeMm: number
}

/** Greatest error of round corners, mm. */
const ARC_MM = 0.004
/** Share by which discs are smaller than beads, so that a wall of exactly one bead stays. */
const SLACK = 0.015

const joined = (a: Polygons, b: Polygons): Polygons => {
  const loopStart = new Uint32Array(a.loopStart.length + b.loopStart.length - 1)
  loopStart.set(a.loopStart)
  const shift = a.points.length / 2
  for (let j = 1; j < b.loopStart.length; j++) loopStart[a.loopStart.length - 1 + j] = b.loopStart[j] + shift
  const points = new Float64Array(a.points.length + b.points.length)
  points.set(a.points)
  points.set(b.points, a.points.length)
  return { loopStart, points }
}

/** Printed outlines of one layer: outer loops counter-clockwise, holes clockwise. */
export const printedOutline = (
  layers: LayerStack,
  layer: number,
  { beadWidthMm, leastBeadWidthMm, gapBeads, squeezeMm }: PrintedWishes,
  kit: PolygonKit,
): Polygons => {
  const cut = layerPolygons(layers, layer)
  if (cut.points.length === 0) return cut
  const wide = (beadWidthMm / 2) * (1 - SLACK)
  const narrow = (leastBeadWidthMm / 2) * (1 - SLACK)
  return regionScopeOf(kit)((region) => {
    const whole = region(cut)
    const opened = whole.offset(-wide, 'round', ARC_MM).offset(wide, 'round', ARC_MM).within(whole)
    let all = opened
    if (gapBeads) {
      const filled = whole
        .without(opened)
        .offset(-narrow, 'round', ARC_MM)
        // A hair wider, so that it grows together with the shells beside it.
        .offset(narrow + 2 * ARC_MM, 'round', ARC_MM)
        .within(whole)
      if (!filled.isEmpty()) all = region(kit.union(joined(opened.loops(), filled.loops()), 'positive'))
    }
    if (layer === 0 && squeezeMm > 0) all = all.offset(squeezeMm, 'round', ARC_MM)
    return all.thinned(ARC_MM).loops()
  })
}
