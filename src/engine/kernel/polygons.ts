// Flat polygons in the plane, and the door to a polygon library that is handed in.

import type { RegionScope } from './plane-region.ts'

/** Closed loops in the compressed-row manner. Solid lies left of the walk: outer loops turn counter-clockwise, holes clockwise. */
export interface Polygons {
  /** Loop j owns points loopStart[j] to loopStart[j+1]-1; length nLoops+1. */
  readonly loopStart: Uint32Array
  /** Points, mm, xy per point, length 2*nPoints. The last point joins the first without being repeated. */
  readonly points: Float64Array
}

/** How the corners of an offset are made. */
export type OffsetJoin = 'round' | 'mitre'

/** What the engine needs from a general polygon library. Results are simple loops, outer ones counter-clockwise, holes clockwise. */
export interface PolygonKit {
  /** Region where the winding number is above zero ("positive") or not zero ("nonzero"). */
  readonly union: (polygons: Polygons, rule: 'positive' | 'nonzero') => Polygons
  readonly difference: (a: Polygons, b: Polygons) => Polygons
  readonly intersection: (a: Polygons, b: Polygons) => Polygons
  /**
   * Minkowski sum with (distance > 0) or erosion by (distance < 0) a disc of |distance| mm.
   * @param arcErrorMm greatest distance between a true arc and the chords that stand for it
   */
  readonly offset: (polygons: Polygons, distance: number, join: OffsetJoin, arcErrorMm: number) => Polygons
  /**
   * What is left of the region when it is eroded by a disc of `erodeMm`, dilated again by one of `dilateMm`, and taken from
   * itself: offset, offset and difference in one call, three times as fast as apart because nothing is copied in between.
   */
  readonly lostByOpening: (polygons: Polygons, erodeMm: number, dilateMm: number, arcErrorMm: number) => Polygons
  /** Regions kept inside the library for longer chains of steps; use it through regionScopeOf, which does without. */
  readonly regions?: RegionScope
}

/** No loops at all. */
export const NO_POLYGONS: Polygons = { loopStart: new Uint32Array(1), points: new Float64Array(0) }
