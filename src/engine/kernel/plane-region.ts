// A region kept inside the polygon library, for chains of steps whose results in between are not read.

import type { OffsetJoin, PolygonKit, Polygons } from './polygons.ts'
import { NO_POLYGONS } from './polygons.ts'

/** A region of the plane. Every region must be freed once, by the scope that made it. */
export interface PlaneRegion {
  /** Its loops, outer ones counter-clockwise, holes clockwise. */
  loops(): Polygons
  areaMm2(): number
  isEmpty(): boolean
  /** Minkowski sum with, or erosion by, a disc of |distance| mm. */
  offset(distance: number, join: OffsetJoin, arcErrorMm: number): PlaneRegion
  without(other: PlaneRegion): PlaneRegion
  within(other: PlaneRegion): PlaneRegion
  /** Points fewer, none of the old ones farther from the new outline than the tolerance, mm. */
  thinned(toleranceMm: number): PlaneRegion
}

/** Makes regions and frees all of them when the work is done. */
export type RegionScope = <T>(work: (region: (polygons: Polygons) => PlaneRegion) => T) => T

const areaOfLoops = ({ loopStart, points }: Polygons): number => {
  let twice = 0
  for (let j = 0; j + 1 < loopStart.length; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      twice += points[2 * i] * points[2 * k + 1] - points[2 * k] * points[2 * i + 1]
    }
  }
  return twice / 2
}

/** The same interface over a kit that has no regions of its own (a second library in a test): copies at every step. */
const copiedRegion = (kit: PolygonKit, polygons: Polygons): PlaneRegion => ({
  loops: () => polygons,
  areaMm2: () => areaOfLoops(polygons),
  isEmpty: () => polygons.loopStart.length < 2,
  offset: (distance, join, arcErrorMm) => copiedRegion(kit, kit.offset(polygons, distance, join, arcErrorMm)),
  without: (other) => copiedRegion(kit, kit.difference(polygons, other.loops())),
  within: (other) => copiedRegion(kit, kit.intersection(polygons, other.loops())),
  thinned: () => copiedRegion(kit, polygons),
})

/** The scope a kit brings, or one that copies. */
export const regionScopeOf = (kit: PolygonKit): RegionScope =>
  kit.regions ??
  ((work) => work((polygons) => copiedRegion(kit, polygons.loopStart.length < 2 ? NO_POLYGONS : polygons)))
