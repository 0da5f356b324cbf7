// Where a known figure stands in a print file: the shift between its outlines and the file's outer shells, layer by layer.

import type { LayerStack } from '../sections/index.ts'
import { median } from './bead-layers.ts'

/** Shift from the figure's plan coordinates to the file's, mm, and how well it fits. */
export interface Placement {
  readonly dx: number
  readonly dy: number
  /** Layers that could be compared. */
  readonly nLayers: number
  /** Median difference of the outlines' extents, mm: small when it is the same figure, unturned. */
  readonly offMm: number
}

/** Extents of the plastic of a layer: minX, minY, maxX, maxY. */
export type Extents = readonly [number, number, number, number]

/** Layer of the stack that height z (of the nozzle) belongs to, -1 outside. */
export const stackLayerAt = (stack: LayerStack, topZ: number, height: number): number => {
  const middle = topZ - height / 2
  let low = 0
  let high = stack.nLayers
  while (low < high) {
    const half = (low + high) >> 1
    if (stack.faceZ[half + 1] <= middle) low = half + 1
    else high = half
  }
  return low < stack.nLayers && stack.faceZ[low] <= middle ? low : -1
}

const stackExtents = (stack: LayerStack, layer: number): Extents | null => {
  const from = stack.loopStart[stack.layerStart[layer]]
  const to = stack.loopStart[stack.layerStart[layer + 1]]
  if (from === to) return null
  let minX = Number.POSITIVE_INFINITY
  let minY = Number.POSITIVE_INFINITY
  let maxX = Number.NEGATIVE_INFINITY
  let maxY = Number.NEGATIVE_INFINITY
  for (let i = from; i < to; i++) {
    minX = Math.min(minX, stack.points[2 * i])
    maxX = Math.max(maxX, stack.points[2 * i])
    minY = Math.min(minY, stack.points[2 * i + 1])
    maxY = Math.max(maxY, stack.points[2 * i + 1])
  }
  return [minX, minY, maxX, maxY]
}

/** Finds the shift. Null when no layer can be compared. */
export const placeFigure = (
  stack: LayerStack,
  layers: readonly { readonly topZ: number; readonly height: number; readonly extents: Extents | null }[],
): Placement | null => {
  const shiftX: number[] = []
  const shiftY: number[] = []
  const sizes: number[] = []
  for (const { topZ, height, extents } of layers) {
    const layer = extents ? stackLayerAt(stack, topZ, height) : -1
    const known = layer >= 0 ? stackExtents(stack, layer) : null
    if (!known || !extents) continue
    shiftX.push((extents[0] + extents[2] - known[0] - known[2]) / 2)
    shiftY.push((extents[1] + extents[3] - known[1] - known[3]) / 2)
    sizes.push(
      Math.max(
        Math.abs(extents[2] - extents[0] - (known[2] - known[0])),
        Math.abs(extents[3] - extents[1] - (known[3] - known[1])),
      ),
    )
  }
  if (shiftX.length === 0) return null
  const dx = median(shiftX)
  const dy = median(shiftY)
  const wander = median(shiftX.map((x, i) => Math.hypot(x - dx, shiftY[i] - dy)))
  return { dx, dy, nLayers: shiftX.length, offMm: Math.max(median(sizes), wander) }
}
