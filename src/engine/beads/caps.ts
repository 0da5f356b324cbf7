// Where the inside must be solid because the figure ends above or below within the cap thickness.
//
// The part of the inside that has plastic in every layer within the cap thickness needs no cap. Intersections over a sliding run
// of layers are kept as running ones from both ends of blocks (three intersections a layer, whatever the thickness).

import type { PolygonKit, Polygons } from '../kernel/index.ts'
import { NO_POLYGONS, regionScopeOf } from '../kernel/index.ts'
import { nLoopsOf } from './loops.ts'
import { ARC_ERROR } from './shells.ts'

/** First and last layer whose end would be nearer to layer i than the cap thickness; -1 or nLayers when the figure itself ends there. */
export const capReach = (faceZ: Float64Array, layer: number, capThicknessMm: number): [number, number] => {
  const nLayers = faceZ.length - 1
  const reach = capThicknessMm - 1e-6
  let low = layer
  // Were the layer under `low` missing, the figure would end at faceZ[low].
  while (low > -1 && faceZ[layer] - faceZ[low] < reach) low--
  let high = layer
  while (high < nLayers && faceZ[high + 1] - faceZ[layer + 1] < reach) high++
  return [low, high]
}

/** Answers: the region with plastic in all layers from..to. */
export const runningIntersections = (
  outlines: readonly Polygons[],
  blockLength: number,
  kit: PolygonKit,
): ((from: number, to: number) => Polygons) => {
  const n = outlines.length
  const block = Math.max(1, blockLength)
  const forward: (Polygons | undefined)[] = new Array(n)
  const backward: (Polygons | undefined)[] = new Array(n)
  const both = (a: Polygons, b: Polygons): Polygons =>
    nLoopsOf(a) === 0 || nLoopsOf(b) === 0 ? NO_POLYGONS : kit.intersection(a, b)
  const fromBlockStart = (i: number): Polygons => {
    forward[i] ??= i % block === 0 ? outlines[i] : both(fromBlockStart(i - 1), outlines[i])
    return forward[i] as Polygons
  }
  const toBlockEnd = (i: number): Polygons => {
    backward[i] ??= i % block === block - 1 || i === n - 1 ? outlines[i] : both(outlines[i], toBlockEnd(i + 1))
    return backward[i] as Polygons
  }
  return (from, to) => {
    const a = Math.floor(from / block)
    const b = Math.floor(to / block)
    if (b === a + 1) return both(toBlockEnd(from), fromBlockStart(to))
    if (a === b && from % block === 0) return fromBlockStart(to)
    let region = outlines[from]
    for (let i = from + 1; i <= to; i++) region = both(region, outlines[i])
    return region
  }
}

/** Splits the inside of a layer into cap and infill. @param solidThrough region with plastic in every layer of the reach */
export const splitInner = (
  inner: Polygons,
  solidThrough: Polygons,
  widthMm: number,
  kit: PolygonKit,
): { cap: Polygons; infill: Polygons } => {
  if (nLoopsOf(solidThrough) === 0) return { cap: inner, infill: NO_POLYGONS }
  return regionScopeOf(kit)((region) => {
    const inside = region(inner)
    const bare = inside.without(region(solidThrough))
    if (bare.areaMm2() < widthMm * widthMm) return { cap: NO_POLYGONS, infill: inner }
    // Slivers narrower than a third of a bead are not worth a cap; what is left gets half a bead more to be held by.
    const core = bare.offset(-widthMm / 6, 'mitre', ARC_ERROR)
    if (core.isEmpty()) return { cap: NO_POLYGONS, infill: inner }
    const cap = inside.within(core.offset(widthMm * (1 / 6 + 0.5), 'mitre', ARC_ERROR))
    const infill = inside.without(cap)
    // Infill left narrower than a bead everywhere becomes cap.
    if (infill.offset(-widthMm / 2, 'mitre', ARC_ERROR).isEmpty()) return { cap: inner, infill: NO_POLYGONS }
    return { cap: cap.loops(), infill: infill.loops() }
  })
}
