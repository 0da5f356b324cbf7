// What vanishes because it is narrower than a bead? Openings of the islands that have a narrow place, followed over the layers.
//
// Model: a section S keeps dilate(erode(S, w/2), w/2), the opening with a disc of one bead width (mathematical morphology;
// Serra, Image Analysis and Mathematical Morphology, 1982); the rest is lost, less the rounding that a convex corner must lose
// (see lost-pieces.ts). A detail is told when one of its pieces is at least a bead long or when it is lost in three layers
// running; pieces of neighbouring layers belong together when they come within a quarter bead of each other.
// Tolerance: the disc is taken 1.5 % narrower than the bead, so that a post of 0.405 mm in 32 chords outlives a 0.4 mm bead;
// a reach below 3 % of a bead is noise. Limits: a piece is judged by the turning of the outline between its two cuts, so a tip
// whose sides curve towards each other counts as the straight corner between the disc's contacts would.

import type { PolygonKit, Polygons, Task } from '../kernel/index.ts'
import { breathe } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { followPieces } from './follow-pieces.ts'
import type { LostPiece } from './lost-pieces.ts'
import { lostPieces } from './lost-pieces.ts'
import { newCircleField } from './touching-circle.ts'
import type { OutlineThickness, VanishingDetail } from './types.ts'

/** Settings of the search. */
export interface VanishingOptions {
  /** Bead width, or the least bead width that the printer card allows, mm, > 0. */
  readonly beadWidthMm: number
  /** Thickness of the same stack: spares the islands that have no narrow place. Without it every island is opened. */
  readonly outlineThickness?: OutlineThickness
}

/** Share by which the disc is narrower than the bead. */
const SLACK = 0.015
/** Error of the disc's arcs as a share of the bead width. */
const ARC_ERROR = 0.005
/** Contacts seen under less than this (130 degrees) belong to a corner of 50 degrees or more, which is excused whole. */
const FACING_LEAST = (130 / 180) * Math.PI
/** Layers running in which something must be lost to be told, when no piece of it is a bead long. */
const LAYERS_RUNNING = 3

/** Details that one bead width cannot show, from the bed upwards. */
export const findVanishing = async (
  stack: LayerStack,
  { beadWidthMm, outlineThickness }: VanishingOptions,
  kit: PolygonKit,
  task?: Task,
): Promise<VanishingDetail[]> => {
  const pieces: LostPiece[] = []
  const field = newCircleField(0)
  const radius = (beadWidthMm / 2) * (1 - SLACK)
  for (let layer = 0; layer < stack.nLayers; layer++) {
    if (layer % 8 === 0) {
      task?.onProgress?.(layer / stack.nLayers, 'looking for what vanishes')
      await breathe(task)
    }
    const loops: number[] = []
    let island = -1
    let narrow = false
    for (let loop = stack.layerStart[layer]; loop < stack.layerStart[layer + 1]; loop++) {
      if (stack.loopIsland[loop] !== island) {
        island = stack.loopIsland[loop]
        narrow = !outlineThickness || isNarrow(outlineThickness, stack, layer, island, beadWidthMm)
      }
      if (narrow) loops.push(loop)
    }
    if (loops.length === 0) continue
    pieces.push(...lostPieces(loopsOf(stack, loops), layer, radius, beadWidthMm * ARC_ERROR, kit, field))
  }
  const details = followPieces(pieces, stack, beadWidthMm / 4)
  return details.filter(
    ({ lengthMm, fromLayer, toLayer }) => lengthMm >= beadWidthMm || toLayer - fromLayer + 1 >= LAYERS_RUNNING,
  )
}

const loopsOf = ({ loopStart, points }: LayerStack, loops: readonly number[]): Polygons => {
  const starts = new Uint32Array(loops.length + 1)
  loops.forEach((loop, i) => {
    starts[i + 1] = starts[i] + loopStart[loop + 1] - loopStart[loop]
  })
  const taken = new Float64Array(2 * starts[loops.length])
  loops.forEach((loop, i) => {
    taken.set(points.subarray(2 * loopStart[loop], 2 * loopStart[loop + 1]), 2 * starts[i])
  })
  return { loopStart: starts, points: taken }
}

/** Whether the island has a place narrower than a bead that is not just a corner. */
const isNarrow = (
  { sampleStart, thickness, facing, islandWidest }: OutlineThickness,
  { layerStart, loopIsland }: LayerStack,
  layer: number,
  island: number,
  beadWidthMm: number,
): boolean => {
  if (islandWidest[island] < beadWidthMm) return true
  for (let loop = layerStart[layer]; loop < layerStart[layer + 1]; loop++) {
    if (loopIsland[loop] !== island) continue
    for (let k = sampleStart[loop]; k < sampleStart[loop + 1]; k++)
      if (thickness[k] < beadWidthMm && facing[k] >= FACING_LEAST) return true
  }
  return false
}
