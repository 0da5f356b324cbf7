// What every layer rests on: islands that start in mid air, reach beyond the layer below, spans, contact with the bed.
//
// Distances beyond the layer below are exact at points along the outlines and at the middles of air cells (nearest point on the
// outlines below); areas and which island carries which come from a raster whose cell is stated in the options.

import {
  breathe,
  type NearestOnSegments,
  nearestResult,
  type PolygonKit,
  type Polygons,
  SegmentGrid,
  type Task,
} from '../kernel/index.ts'
import { AirCells } from './air-cells.ts'
import { type RasterFrame, rasterFrame, rasterLayer, rasterRoom } from './label-raster.ts'
import { loopAreaOf } from './simplify-loop.ts'
import { type LayerRelations, type LayerStack, STRIP_COLUMNS } from './types.ts'

/** How layers are related. */
export interface RelateOptions {
  /** Reach up to which a bead counts as carried, mm: half a bead is common practice, no source. */
  readonly allowanceMm: number
  /** Least raster cell, mm. Default 0.1. */
  readonly cellMm?: number
  /** Most cells along the longer side. Default 400. */
  readonly mostCells?: number
  /** Distance between points along outlines, mm. Default 0.2. */
  readonly spacingMm?: number
}

/** Default options beyond the allowance. */
export const RELATE_DEFAULTS = Object.freeze({ cellMm: 0.1, mostCells: 400, spacingMm: 0.2 })

/** Loops of one island as polygons of their own. */
export const islandPolygons = (stack: LayerStack, island: number): Polygons => {
  const first = stack.islandLoop[island]
  let end = first + 1
  while (end < stack.loopIsland.length && stack.loopIsland[end] === island) end++
  return loopsBetween(stack, first, end)
}

/** Loops of one layer as polygons of their own. */
export const layerPolygons = (stack: LayerStack, layer: number): Polygons =>
  loopsBetween(stack, stack.layerStart[layer], stack.layerStart[layer + 1])

const loopsBetween = (stack: LayerStack, first: number, end: number): Polygons => {
  const base = stack.loopStart[first]
  const loopStart = stack.loopStart.slice(first, end + 1)
  for (let j = 0; j < loopStart.length; j++) loopStart[j] -= base
  return { loopStart, points: stack.points.subarray(2 * base, 2 * stack.loopStart[end]) }
}

const areaOf = ({ loopStart, points }: Polygons): number => {
  let area = 0
  for (let j = 0; j + 1 < loopStart.length; j++) area += loopAreaOf(points, loopStart[j], loopStart[j + 1])
  return area
}

/** Greatest reach along the outlines of one layer, exact at the points tried. */
const outlineReach = (
  stack: LayerStack,
  layer: number,
  below: SegmentGrid,
  spacingMm: number,
  found: NearestOnSegments,
): { reach: number; x: number; y: number } => {
  const { points, loopStart, layerStart } = stack
  const best = { reach: 0, x: 0, y: 0 }
  for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
    const from = loopStart[j]
    const to = loopStart[j + 1]
    for (let i = from; i < to; i++) {
      const k = i + 1 < to ? i + 1 : from
      const ax = points[2 * i]
      const ay = points[2 * i + 1]
      const dx = points[2 * k] - ax
      const dy = points[2 * k + 1] - ay
      const parts = Math.max(1, Math.ceil(Math.hypot(dx, dy) / spacingMm))
      for (let s = 0; s < parts; s++) {
        const x = ax + (s / parts) * dx
        const y = ay + (s / parts) * dy
        below.nearest(x, y, 1e6, found)
        if (found.d2 > best.reach * best.reach && !below.isSolidSide(x, y, found)) {
          best.reach = Math.sqrt(found.d2)
          best.x = x
          best.y = y
        }
      }
    }
  }
  return best
}

const extentOfLayer = (stack: LayerStack, layer: number): { size: number; x: number; y: number } => {
  let x0 = Infinity
  let y0 = Infinity
  let x1 = -Infinity
  let y1 = -Infinity
  const { points, loopStart, layerStart } = stack
  for (let i = loopStart[layerStart[layer]]; i < loopStart[layerStart[layer + 1]]; i++) {
    x0 = Math.min(x0, points[2 * i])
    x1 = Math.max(x1, points[2 * i])
    y0 = Math.min(y0, points[2 * i + 1])
    y1 = Math.max(y1, points[2 * i + 1])
  }
  return { size: Math.hypot(x1 - x0, y1 - y0), x: (x0 + x1) / 2, y: (y0 + y1) / 2 }
}

/** Everything that one layer adds to the relations. */
interface Gathered {
  readonly restingCells: Uint32Array
  readonly cells: Uint32Array
  /** Island and island below, packed as island * nIslands + below. */
  readonly pairs: Set<number>
  readonly strips: number[]
}

/** Groups air cells beyond the allowance into strips and writes a row for each; returns the area of all. */
const gatherStrips = (
  layer: number,
  layerHeightMm: number,
  frame: RasterFrame,
  air: AirCells,
  beyond: Float32Array,
  now: Int32Array,
  below: Int32Array,
  allowanceMm: number,
  rows: number[],
): { area: number; peak: number; peakCell: number } => {
  const { nx, cell, x0, y0 } = frame
  let area = 0
  let peakOfAll = 0
  let peakCellOfAll = -1
  const stack: number[] = []
  for (let u = 0; u < air.n; u++) {
    const seed = air.list[u]
    if (!(beyond[seed] > allowanceMm)) continue
    let n = 0
    let sx = 0
    let sy = 0
    let peak = 0
    let peakCell = seed
    stack.push(seed)
    let reachHere = beyond[seed]
    beyond[seed] = -reachHere
    while (stack.length > 0) {
      const c = stack.pop() as number
      reachHere = -beyond[c]
      n++
      sx += c % nx
      sy += (c / nx) | 0
      if (reachHere > peak) {
        peak = reachHere
        peakCell = c
      }
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const other = c + dy * nx + dx
          if (now[other] === now[c] && beyond[other] > allowanceMm) {
            beyond[other] = -beyond[other]
            stack.push(other)
          }
        }
      }
    }
    const carried = air.carrier[peakCell] >= 0
    const { holds, spanMm } = carried ? air.holdsAround(peakCell, now, below) : { holds: 0, spanMm: 0 }
    const stripArea = n * cell * cell
    area += stripArea
    if (peak > peakOfAll) {
      peakOfAll = peak
      peakCellOfAll = peakCell
    }
    rows.push(
      layer,
      x0 + (sx / n + 0.5) * cell,
      y0 + (sy / n + 0.5) * cell,
      peak,
      stripArea,
      stripArea / Math.max(peak - allowanceMm, cell),
      Math.atan2(peak, layerHeightMm),
      holds,
      spanMm,
      now[seed] - 1,
    )
  }
  return { area, peak: peakOfAll, peakCell: peakCellOfAll }
}

/** Counts carried cells, notes who carries whom, and lists the air cells of one layer. */
const sortCells = (now: Int32Array, below: Int32Array, nIslands: number, air: AirCells, gathered: Gathered): void => {
  air.n = 0
  let lastPair = -1
  for (let c = 0; c < now.length; c++) {
    const island = now[c]
    if (island === 0) continue
    gathered.cells[island - 1]++
    const under = below[c]
    if (under === 0) {
      air.list[air.n++] = c
      continue
    }
    gathered.restingCells[island - 1]++
    const pair = (island - 1) * nIslands + (under - 1)
    if (pair !== lastPair) {
      gathered.pairs.add(pair)
      lastPair = pair
    }
  }
}

/** Relations of all layers of a stack, each with the one below it. The first layer lies on the bed when it starts at z = 0. */
export const relateLayers = async (
  stack: LayerStack,
  options: RelateOptions,
  kit: PolygonKit,
  task?: Task,
): Promise<LayerRelations> => {
  const { allowanceMm, cellMm, mostCells, spacingMm } = { ...RELATE_DEFAULTS, ...options }
  const { nLayers, islandStart, islandArea, layerStart, faceZ } = stack
  const nIslands = islandArea.length
  const frame = rasterFrame(stack, cellMm, mostCells)
  const size = frame.nx * frame.ny
  let below = new Int32Array(size)
  let now = new Int32Array(size)
  const beyond = new Float32Array(size)
  const room = rasterRoom()
  const air = new AirCells(frame)
  const found = nearestResult()
  const gathered: Gathered = {
    restingCells: new Uint32Array(nIslands),
    cells: new Uint32Array(nIslands),
    pairs: new Set(),
    strips: [],
  }
  const startsInAir = new Uint8Array(nIslands)
  const restingArea = new Float64Array(nIslands)
  const unsupportedMm = new Float64Array(nLayers)
  const unsupportedAt = new Float64Array(2 * nLayers)
  const unsupportedSlope = new Float64Array(nLayers)
  const unsupportedArea = new Float64Array(nLayers)
  let bedContact = 0
  let gridBelow = new SegmentGrid(stack.points, [])

  for (let layer = 0; layer < nLayers; layer++) {
    if (layer % 8 === 0) {
      task?.onProgress?.(layer / nLayers, 'looking what rests on what')
      await breathe(task)
    }
    rasterLayer(stack, layer, frame, now, room)
    if (layer === 0) {
      for (let island = islandStart[0]; island < islandStart[1]; island++) {
        restingArea[island] = islandArea[island]
        if (faceZ[0] === 0) bedContact += islandArea[island]
      }
    } else {
      sortCells(now, below, nIslands, air, gathered)
      for (let island = islandStart[layer]; island < islandStart[layer + 1]; island++) {
        if (gathered.restingCells[island] > 0) {
          restingArea[island] = (islandArea[island] * gathered.restingCells[island]) / gathered.cells[island]
          continue
        }
        // No cell of it is carried: settle it exactly.
        restingArea[island] = areaOf(kit.intersection(islandPolygons(stack, island), layerPolygons(stack, layer - 1)))
        if (restingArea[island] < 1e-6) {
          restingArea[island] = 0
          startsInAir[island] = 1
        }
      }
      air.spread(now, below)
      const outline =
        layerStart[layer] === layerStart[layer + 1]
          ? { reach: 0, x: 0, y: 0 }
          : gridBelow.empty
            ? { ...extentOfLayer(stack, layer), reach: extentOfLayer(stack, layer).size }
            : outlineReach(stack, layer, gridBelow, spacingMm, found)
      // Cells near the allowance or beyond it get their exact distance; the rest cannot matter.
      const worthALook = Math.max(0, allowanceMm / frame.cell - 1.5) ** 2
      for (let u = 0; u < air.n; u++) {
        const c = air.list[u]
        beyond[c] = 0
        if (air.carrier[c] >= 0 && air.d2[c] < worthALook) continue
        const x = frame.x0 + ((c % frame.nx) + 0.5) * frame.cell
        const y = frame.y0 + (((c / frame.nx) | 0) + 0.5) * frame.cell
        gridBelow.nearest(x, y, 1e6, found)
        beyond[c] = found.segment < 0 ? outline.reach : Math.sqrt(found.d2)
      }
      const layerHeightMm = faceZ[layer + 1] - faceZ[layer]
      const strips = gatherStrips(layer, layerHeightMm, frame, air, beyond, now, below, allowanceMm, gathered.strips)
      const fromCells = strips.peak > outline.reach && strips.peakCell >= 0
      const reach = Math.max(outline.reach, strips.peak)
      unsupportedMm[layer] = reach
      unsupportedAt[2 * layer] = fromCells ? frame.x0 + ((strips.peakCell % frame.nx) + 0.5) * frame.cell : outline.x
      unsupportedAt[2 * layer + 1] = fromCells
        ? frame.y0 + (((strips.peakCell / frame.nx) | 0) + 0.5) * frame.cell
        : outline.y
      unsupportedSlope[layer] = Math.atan2(reach, layerHeightMm)
      unsupportedArea[layer] = strips.area
      for (let u = 0; u < air.n; u++) beyond[air.list[u]] = 0
    }
    gridBelow = new SegmentGrid(stack.points, stack.loopStart.subarray(layerStart[layer], layerStart[layer + 1] + 1))
    const swap = below
    below = now
    now = swap
  }
  task?.onProgress?.(1, 'looking what rests on what')

  const sorted = Float64Array.from(gathered.pairs).sort()
  const belowStart = new Uint32Array(nIslands + 1)
  const belowList = new Uint32Array(sorted.length)
  sorted.forEach((pair, at) => {
    belowStart[Math.floor(pair / nIslands) + 1]++
    belowList[at] = pair % nIslands
  })
  for (let island = 0; island < nIslands; island++) belowStart[island + 1] += belowStart[island]
  return {
    kind: 'layer-relations',
    restingArea,
    startsInAir,
    belowStart,
    below: belowList,
    unsupportedMm,
    unsupportedAt,
    unsupportedSlope,
    unsupportedArea,
    strips: Float64Array.from(gathered.strips),
    nStrips: gathered.strips.length / STRIP_COLUMNS,
    bedContact,
  }
}
