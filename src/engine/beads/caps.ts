// Where the inside must be solid because the figure ends above or below within the cap thickness.
//
// The part of the inside that has plastic in every layer within the cap thickness needs no cap. Intersections over a sliding run
// of layers are kept as running ones from both ends of blocks (three intersections a layer, whatever the thickness).

import type { PlaneRegion, PolygonKit, Polygons, RegionScope, Task } from '../kernel/index.ts'
import { breathe, NO_POLYGONS, regionScopeOf } from '../kernel/index.ts'
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

/** Layers from..to, both included, whose common region is wanted. */
export type Run = readonly [from: number, to: number]

/** Common regions of the runs that begin in one block of layers; every run is at most a block long. */
const commonOfBlock = (
  outlines: readonly Polygons[],
  runs: readonly Run[],
  end: number,
  scope: RegionScope,
): Polygons[] =>
  scope((region) => {
    const held = new Map<number, PlaneRegion>()
    const outline = (i: number): PlaneRegion => {
      const known = held.get(i) ?? region(outlines[i])
      held.set(i, known)
      return known
    }
    // From a layer up to the block's end, and from the next block's first layer up to a layer.
    const upToEnd = new Map<number, PlaneRegion>([[end - 1, outline(end - 1)]])
    const beyondEnd = new Map<number, PlaneRegion>()
    const toEnd = (i: number): PlaneRegion => {
      const known = upToEnd.get(i) ?? outline(i).within(toEnd(i + 1))
      upToEnd.set(i, known)
      return known
    }
    const fromEnd = (i: number): PlaneRegion => {
      const known = beyondEnd.get(i) ?? (i === end ? outline(i) : fromEnd(i - 1).within(outline(i)))
      beyondEnd.set(i, known)
      return known
    }
    return runs.map(([from, to]) => {
      if (to >= end) return toEnd(from).within(fromEnd(to)).loops()
      if (to === end - 1) return toEnd(from).loops()
      let common = outline(from)
      for (let i = from + 1; i <= to; i++) common = common.within(outline(i))
      return common.loops()
    })
  })

/** The region with plastic in all layers of every run. */
export const commonRegions = async (
  outlines: readonly Polygons[],
  runs: readonly Run[],
  kit: PolygonKit,
  task?: Task,
): Promise<Polygons[]> => {
  const scope = regionScopeOf(kit)
  const block = runs.reduce((longest, [from, to]) => Math.max(longest, to - from + 1), 1)
  const common: Polygons[] = new Array(runs.length)
  const byBlock = new Map<number, number[]>()
  runs.forEach(([from], r) => {
    const b = Math.floor(from / block)
    byBlock.set(b, [...(byBlock.get(b) ?? []), r])
  })
  for (const [b, members] of byBlock) {
    const end = Math.min((b + 1) * block, outlines.length)
    const found = commonOfBlock(
      outlines,
      members.map((r) => runs[r]),
      end,
      scope,
    )
    members.forEach((r, k) => {
      common[r] = found[k]
    })
    await breathe(task)
  }
  return common
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
