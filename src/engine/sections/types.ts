// The figure cut into layers: outlines of every layer, and what rests on what.

import type { Polygons } from '../kernel/index.ts'

/** Outlines of every layer, cut at the layer's middle. Loops of one layer stand together; an outer loop is followed by its holes. */
export interface LayerStack extends Polygons {
  readonly kind: 'layer-stack'
  readonly nLayers: number
  /** Heights of the layers' faces, mm; layer i lies between [i] and [i+1]; length nLayers+1. */
  readonly faceZ: Float64Array
  /** Height of the cut that stands for the layer, mm, length nLayers. */
  readonly cutZ: Float64Array
  /** Loops of layer i are layerStart[i] to layerStart[i+1]-1; length nLayers+1. */
  readonly layerStart: Uint32Array
  /** Area inside the loop, mm2, negative for holes, length nLoops. */
  readonly loopArea: Float64Array
  /** The loop right around this one in the same layer (a hole's outer loop, an island's hole), -1 for none; length nLoops. */
  readonly loopParent: Int32Array
  /** Island (outer loop and its holes) the loop belongs to, numbered through the stack, length nLoops. */
  readonly loopIsland: Uint32Array
  /** Islands of layer i are islandStart[i] to islandStart[i+1]-1; length nLayers+1. */
  readonly islandStart: Uint32Array
  /** Outer loop of each island, length nIslands. */
  readonly islandLoop: Uint32Array
  /** Area of each island less its holes, mm2, length nIslands. */
  readonly islandArea: Float64Array
  /** Greatest distance allowed between the true cut and its simplified outline, mm. */
  readonly toleranceMm: number
  /** Open seams that were bridged: layer, x, y, gap in mm per seam, length 4*nSeams. */
  readonly seams: Float64Array
  /** Layers whose loops crossed or overlapped and were resolved by winding. */
  readonly nResolvedLayers: number
}

/** What a layer's islands rest on. */
export interface LayerRelations {
  readonly kind: 'layer-relations'
  /** Area of each island that lies on plastic (or on the bed), mm2, length nIslands. */
  readonly restingArea: Float64Array
  /** 1 where an island of a layer above the first has nothing below it: it starts in mid air. */
  readonly startsInAir: Uint8Array
  /** Islands of the layer below that each island rests on, in the compressed-row manner: start, length nIslands+1, and the islands. */
  readonly belowStart: Uint32Array
  readonly below: Uint32Array
  /** Greatest reach beyond the layer below, mm, by layer: how far the plastic lies from what carries it; length nLayers. */
  readonly unsupportedMm: Float64Array
  /** Where that reach is greatest, xy per layer, mm. */
  readonly unsupportedAt: Float64Array
  /** Slope of the surface there, radians from the vertical, per layer. */
  readonly unsupportedSlope: Float64Array
  /** Unsupported area beyond the allowance, mm2, per layer. */
  readonly unsupportedArea: Float64Array
  /** Strips beyond the allowance, one row each (see STRIP_ROW), flat. */
  readonly strips: Float64Array
  readonly nStrips: number
  /** Area of the first layer on the bed, mm2. */
  readonly bedContact: number
}

/** Columns of one row of LayerRelations.strips. */
export const STRIP_ROW = {
  layer: 0,
  /** Middle of the strip, mm. */
  x: 1,
  y: 2,
  /** Greatest distance from what carries it, mm. */
  reach: 3,
  areaMm2: 4,
  /** Length along the edge that carries it, mm. */
  lengthMm: 5,
  /** Radians from the vertical. */
  slope: 6,
  /** Number of separate holds: 0 starts in air, 1 hangs out, 2 or more is a span. */
  holds: 7,
  /** Free length between the holds when it is a span, mm, else 0. */
  spanMm: 8,
  /** The island it belongs to. */
  island: 9,
} as const
/** Number of columns of a strip row. */
export const STRIP_COLUMNS = 10
