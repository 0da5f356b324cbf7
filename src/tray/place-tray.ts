// Shares pieces out over beds: real plan outlines with gaps between them, the middle of each bed first.
//
// Three layouts are tried for every bed and the one with most pieces kept: pieces one by one at the lowest free spot, largest first; rows of
// the outline that all pieces fit into; and, where all are alike, rows of the outline itself with the gaps filled up afterwards.

import type { PolygonKit, Polygons } from '../engine/kernel/index.ts'
import { fillBed, type ShapeStore, shapeStore } from './fill-bed.ts'
import { leastGap } from './gaps.ts'
import { grownRoom, layDiscRows, layRows, type RowLayout, reachOf } from './rows.ts'
import type { BedRoom, TrayPlace } from './types.ts'

/** Pieces of one bed. */
export interface BedLoad {
  readonly places: readonly TrayPlace[]
  readonly layout: string
  readonly leastGapMm: number
}

/** Moves all pieces so that they stand about the middle of the bed. */
const centred = (places: readonly TrayPlace[], outlines: readonly Polygons[], bed: BedRoom): TrayPlace[] => {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const { figure, x, y, turn } of places) {
    const [c, s] = [Math.cos(turn), Math.sin(turn)]
    const { points } = outlines[figure]
    for (let i = 0; i < points.length; i += 2) {
      const px = x + c * points[i] - s * points[i + 1]
      const py = y + s * points[i] + c * points[i + 1]
      x0 = Math.min(x0, px)
      x1 = Math.max(x1, px)
      y0 = Math.min(y0, py)
      y1 = Math.max(y1, py)
    }
  }
  const dx = bed.xMm / 2 - (x0 + x1) / 2
  const dy = bed.yMm / 2 - (y0 + y1) / 2
  return places.map((place) => ({ ...place, x: place.x + dx, y: place.y + dy }))
}

/** The bed load with most of the wanted pieces. */
const loadBed = (
  wanted: readonly number[],
  outlines: readonly Polygons[],
  bed: BedRoom,
  shapes: ShapeStore,
  kit: PolygonKit,
): { places: TrayPlace[]; left: number[]; layout: string } => {
  // The smallest part of the bed that holds all of them: short ways for the nozzle.
  const area = wanted.reduce((sum, figure) => sum + shapes(figure, 0).areaMm2, 0)
  const { width, depth } = grownRoom(bed)
  const least = Math.sqrt(area / Math.max(width * depth, 1e-9))
  for (let share = Math.max(0.1, least); share < 1; share *= 1.05) {
    const part = { ...bed, xMm: bed.xMm - (1 - share) * width, yMm: bed.yMm - (1 - share) * depth }
    const near = fillBed(wanted, [], part, shapes)
    if (near.left.length === 0) return { ...near, layout: 'close together about the middle' }
  }
  const one = fillBed(wanted, [], bed, shapes)
  if (one.left.length === 0) return { ...one, layout: 'each at the next free spot' }
  const figures = [...new Set(wanted)]
  const options = [{ ...one, layout: 'each at the next free spot' }]
  const inRows = ({ places, layout }: RowLayout, words: string): void => {
    const standing = places.slice(0, wanted.length).map((place, i) => ({ ...place, figure: wanted[i] }))
    const rest = wanted.slice(standing.length)
    const filled = fillBed(rest, standing, bed, shapes)
    options.push({
      places: filled.places,
      left: filled.left.map((i) => i + standing.length),
      layout: `${layout}${words}${filled.places.length > standing.length ? ', the rest in between' : ''}`,
    })
  }
  if (figures.length === 1) inRows(layRows(outlines[figures[0]], bed, kit), '')
  const reach = Math.max(...figures.map((figure) => reachOf(outlines[figure])))
  inRows(layDiscRows(reach, bed), ' of the disc that all turn within')
  return options.reduce((best, option) => (option.places.length > best.places.length ? option : best))
}

/**
 * Shares all pieces out over as many beds as they need.
 * @param copies how many of each outline
 * @param mostPlates beds at most; pieces beyond are left over
 */
export const placeTray = (
  outlines: readonly Polygons[],
  copies: readonly number[],
  bed: BedRoom,
  kit: PolygonKit,
  mostPlates = 1000,
): { readonly loads: readonly BedLoad[]; readonly leftOver: readonly number[] } => {
  const shapes = shapeStore(outlines, bed.gapMm, kit)
  let wanted: number[] = []
  const byArea = outlines
    .map((_, figure) => figure)
    .sort((a, b) => shapes(b, 0).areaMm2 - shapes(a, 0).areaMm2 || a - b)
  for (const figure of byArea) for (let k = 0; k < copies[figure]; k++) wanted.push(figure)
  const loads: BedLoad[] = []
  while (wanted.length > 0 && loads.length < mostPlates) {
    const { places, left, layout } = loadBed(wanted, outlines, bed, shapes, kit)
    if (places.length === 0) break
    const standing = centred(places, outlines, bed)
    loads.push({ places: standing, layout, leastGapMm: leastGap(standing, outlines) })
    wanted = left.map((i) => wanted[i])
  }
  return { loads, leftOver: wanted }
}

/** As many of one outline as one bed takes. */
export const mostOnBed = (outline: Polygons, bed: BedRoom, kit: PolygonKit): BedLoad => {
  const room = (bed.xMm - 2 * bed.marginMm + bed.gapMm) * (bed.yMm - 2 * bed.marginMm + bed.gapMm)
  const shapes = shapeStore([outline], bed.gapMm, kit)
  const bound = Math.ceil(room / Math.max(shapes(0, 0).areaMm2, 1e-6)) + 1
  const { loads } = placeTray([outline], [bound], bed, kit, 1)
  return loads[0] ?? { places: [], layout: 'it does not fit the bed', leastGapMm: Infinity }
}
