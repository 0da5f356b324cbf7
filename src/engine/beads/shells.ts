// Shells of one layer from outside in, the room between them that no whole bead fits, and what is left inside.
//
// Each level takes a strip one pitch wide off the room (the first one also the rounded flank). Closed beads are kept only where
// the room is at least two pitches wide, so that the two sides of a shell never share the same place; the rest is room for gap
// beads. Whether a level has such places is seen from lengths and areas alone: without them both change linearly with depth.

import type { PolygonKit, Polygons } from '../kernel/index.ts'
import { NO_POLYGONS, regionScopeOf } from '../kernel/index.ts'
import { lengthOf, loopLength, loopsChosen, nLoopsOf } from './loops.ts'

/** How round joins are made of chords, and how far thinned loops may stray, mm. */
export const ARC_ERROR = 0.005
const THIN = 0.004
/** Widens what counts as covered, so that chord errors leave no hair-thin leftovers, mm. */
const COVER = 0.012

export interface ShellLevel {
  /** Centre lines of the closed beads. */
  readonly loops: Polygons
  /** Room of this level that closed beads cannot fill, and the strip along its walls that flanks of beads leave free. */
  readonly gap: Polygons
  readonly gapRim: number
}

export interface LayerShells {
  readonly levels: readonly ShellLevel[]
  /** Inside of the innermost shell, wide enough for lines. */
  readonly inner: Polygons
  /** Inside of the innermost shell, too narrow for lines. */
  readonly innerGap: Polygons
}

/** Loops long enough to be laid. */
const layable = (loops: Polygons, least: number): Polygons => {
  const chosen: number[] = []
  for (let j = 0; j < nLoopsOf(loops); j++) if (loopLength(loops, j) >= least) chosen.push(j)
  return chosen.length === nLoopsOf(loops) ? loops : loopsChosen(loops, chosen)
}

/** A strip this large, in pitches squared, may be lost or bent before a level counts as having narrow places. */
const UNEVEN = 0.15

/**
 * Shells of one layer.
 * @param outline outer loops counter-clockwise, holes clockwise
 * @param pitch width of the strip one bead fills, mm
 * @param rim width along the outline that the rounded flank leaves free, mm: h(1 - pi/4)/2
 */
export const shellsOf = (
  outline: Polygons,
  nShells: number,
  pitch: number,
  rim: number,
  kit: PolygonKit,
): LayerShells =>
  regionScopeOf(kit)((region) => {
    const levels: ShellLevel[] = []
    if (nLoopsOf(outline) === 0) return { levels, inner: NO_POLYGONS, innerGap: NO_POLYGONS }
    let room = region(outline)
    let length = lengthOf(outline)
    // How fast the length falls with depth where nothing is narrow; NaN where not known.
    let fall = Number.NaN
    let edge = rim
    for (let k = 0; k < nShells && !room.isEmpty(); k++) {
      const depth = edge + pitch
      const half = edge + pitch / 2
      const next = room.offset(-depth, 'round', ARC_ERROR).thinned(THIN)
      if (next.isEmpty()) {
        levels.push({ loops: NO_POLYGONS, gap: room.loops(), gapRim: edge })
        return { levels, inner: NO_POLYGONS, innerGap: NO_POLYGONS }
      }
      const middle = room.offset(-half, 'round', ARC_ERROR).thinned(THIN)
      let loops = middle.loops()
      // Without narrow places length falls in a straight line with depth and area is its sum.
      fall = (length - lengthOf(loops)) / half
      const straight = depth * (length - (fall * depth) / 2)
      let gap = NO_POLYGONS
      if (Math.abs(room.areaMm2() - next.areaMm2() - straight) < UNEVEN * pitch * pitch) length -= fall * depth
      else {
        loops = middle.within(next.offset(pitch / 2, 'mitre', ARC_ERROR)).loops()
        gap = room.without(next.offset(depth + COVER, 'mitre', ARC_ERROR)).loops()
        length = lengthOf(next.loops())
        fall = Number.NaN
      }
      levels.push({ loops: layable(loops, pitch), gap, gapRim: edge })
      room = next
      edge = 0
    }
    if (edge > 0) room = room.offset(-edge, 'round', ARC_ERROR)
    if (room.isEmpty()) return { levels, inner: NO_POLYGONS, innerGap: NO_POLYGONS }
    const next = room.offset(-pitch, 'round', ARC_ERROR)
    if (next.isEmpty()) return { levels, inner: NO_POLYGONS, innerGap: room.loops() }
    // The same test: with the fall of the last level, area says whether all of the inside is wide enough.
    const lost = room.areaMm2() - next.areaMm2() - pitch * (length - (fall * pitch) / 2)
    if (edge === 0 && Math.abs(lost) < UNEVEN * pitch * pitch)
      return { levels, inner: room.loops(), innerGap: NO_POLYGONS }
    const wide = next.offset(pitch + COVER, 'mitre', ARC_ERROR)
    const inner = room.within(wide)
    if (room.areaMm2() - inner.areaMm2() < UNEVEN * pitch * pitch)
      return { levels, inner: room.loops(), innerGap: NO_POLYGONS }
    return { levels, inner: inner.loops(), innerGap: room.without(wide).loops() }
  })
