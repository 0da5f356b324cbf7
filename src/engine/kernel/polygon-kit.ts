// Adapter from the polygon part of manifold-3d (handed in as an instance) to the engine's PolygonKit.

import type { PlaneRegion } from './plane-region.ts'
import type { OffsetJoin, PolygonKit, Polygons } from './polygons.ts'
import { NO_POLYGONS } from './polygons.ts'

type Ring = [number, number][]

/** The few members of the library's plane region that the adapter calls. */
interface Region {
  toPolygons(): Ring[]
  offset(delta: number, joinType?: 'Square' | 'Round' | 'Miter', miterLimit?: number, circularSegments?: number): Region
  simplify(epsilon: number): Region
  numContour(): number
  numVert(): number
  area(): number
  isEmpty(): boolean
  delete(): void
}

/** A region held for a scope. */
interface HeldRegion extends PlaneRegion {
  readonly region: Region
}

const NOWHERE: Ring[] = [
  [
    [0, 0],
    [0, 0],
    [0, 0],
  ],
]

/** The part of a loaded manifold-3d module that the adapter needs. */
export interface RegionLibrary {
  readonly CrossSection: {
    ofPolygons(rings: Ring[], rule?: 'EvenOdd' | 'NonZero' | 'Positive' | 'Negative'): Region
    difference(a: Region, b: Region): Region
    intersection(a: Region, b: Region): Region
  }
}

/** Number of chords of a full circle whose sagitta stays within the arc error. */
export const chordsOfCircle = (radiusMm: number, arcErrorMm: number): number =>
  radiusMm <= arcErrorMm ? 8 : Math.max(8, Math.ceil(Math.PI / Math.acos(1 - arcErrorMm / radiusMm)))

const ringsOf = (polygons: Polygons): Ring[] => {
  const { loopStart, points } = polygons
  const rings: Ring[] = []
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const from = loopStart[j]
    const to = loopStart[j + 1]
    if (to - from < 3) continue
    const ring: Ring = new Array(to - from)
    for (let i = from; i < to; i++) ring[i - from] = [points[2 * i], points[2 * i + 1]]
    rings.push(ring)
  }
  return rings
}

const polygonsOf = (rings: Ring[]): Polygons => {
  if (rings.length === 0) return NO_POLYGONS
  let n = 0
  for (const ring of rings) n += ring.length
  const loopStart = new Uint32Array(rings.length + 1)
  const points = new Float64Array(2 * n)
  let at = 0
  rings.forEach((ring, j) => {
    for (const [x, y] of ring) {
      points[2 * at] = x
      points[2 * at + 1] = y
      at++
    }
    loopStart[j + 1] = at
  })
  return { loopStart, points }
}

/** Wraps a loaded manifold-3d module as the engine's polygon library. Regions are freed as soon as their loops are read. */
export const polygonKit = ({ CrossSection }: RegionLibrary): PolygonKit => {
  const taken = (region: Region): Polygons => {
    const polygons = polygonsOf(region.toPolygons())
    region.delete()
    return polygons
  }
  const isEmpty = (polygons: Polygons): boolean => polygons.points.length < 6
  const united = (polygons: Polygons, rule: 'Positive' | 'NonZero'): Polygons =>
    // The library does not take an empty list.
    isEmpty(polygons) ? NO_POLYGONS : taken(CrossSection.ofPolygons(ringsOf(polygons), rule))
  const pairwise = (how: 'difference' | 'intersection') => (a: Polygons, b: Polygons) => {
    if (isEmpty(a)) return NO_POLYGONS
    if (isEmpty(b)) return how === 'intersection' ? NO_POLYGONS : united(a, 'Positive')
    const left = CrossSection.ofPolygons(ringsOf(a), 'Positive')
    const right = CrossSection.ofPolygons(ringsOf(b), 'Positive')
    const result = CrossSection[how](left, right)
    left.delete()
    right.delete()
    return taken(result)
  }
  return {
    union: (polygons, rule) => united(polygons, rule === 'positive' ? 'Positive' : 'NonZero'),
    difference: pairwise('difference'),
    intersection: pairwise('intersection'),
    offset: (polygons, distance, join: OffsetJoin, arcErrorMm) => {
      if (isEmpty(polygons)) return NO_POLYGONS
      const region = CrossSection.ofPolygons(ringsOf(polygons), 'Positive')
      const chords = chordsOfCircle(Math.abs(distance), arcErrorMm)
      const grown = region.offset(distance, join === 'round' ? 'Round' : 'Miter', 2, chords)
      region.delete()
      return taken(grown)
    },
    lostByOpening: (polygons, erodeMm, dilateMm, arcErrorMm) => {
      const region = CrossSection.ofPolygons(ringsOf(polygons), 'Positive')
      const eroded = region.offset(-erodeMm, 'Round', 2, chordsOfCircle(erodeMm, arcErrorMm))
      const opened = eroded.offset(dilateMm, 'Round', 2, chordsOfCircle(dilateMm, arcErrorMm))
      const lost = CrossSection.difference(region, opened)
      region.delete()
      eroded.delete()
      opened.delete()
      return taken(lost)
    },
    regions: (work) => {
      const held: Region[] = []
      const kept = (region: Region): HeldRegion => {
        held.push(region)
        return {
          region,
          loops: () => polygonsOf(region.toPolygons()),
          areaMm2: () => region.area(),
          isEmpty: () => region.isEmpty(),
          offset: (distance, join, arcErrorMm) =>
            kept(
              region.offset(
                distance,
                join === 'round' ? 'Round' : 'Miter',
                2,
                chordsOfCircle(Math.abs(distance), arcErrorMm),
              ),
            ),
          without: (other) => kept(CrossSection.difference(region, (other as HeldRegion).region)),
          within: (other) => kept(CrossSection.intersection(region, (other as HeldRegion).region)),
          thinned: (toleranceMm) => {
            const thin = region.simplify(toleranceMm)
            if (thin.numContour() === 1 && thin.numVert() >= 3) return kept(thin)
            // Loops thinned to a line of two points would grow into blobs in the next inward offset: leave them out.
            const rings = thin.toPolygons().filter((ring) => ring.length >= 3)
            thin.delete()
            return kept(CrossSection.ofPolygons(rings.length > 0 ? rings : NOWHERE, 'Positive'))
          },
        }
      }
      try {
        return work((polygons) =>
          // The library does not take an empty list: a triangle without width stands for nothing.
          kept(CrossSection.ofPolygons(isEmpty(polygons) ? NOWHERE : ringsOf(polygons), 'Positive')),
        )
      } finally {
        for (const region of held) region.delete()
      }
    },
  }
}
