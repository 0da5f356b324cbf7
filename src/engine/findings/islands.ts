// Small questions about islands that several rules ask.

import { isInsideLoop } from '../sections/index.ts'
import type { RoomResults } from './results.ts'
import type { Spot } from './rule.ts'

/** Extent of an island: middle and half of its longer side, mm. */
export const islandExtent = (results: RoomResults, island: number): { x: number; y: number; half: number } => {
  const { points, loopStart, islandLoop } = results.layers
  const loop = islandLoop[island]
  let x0 = Infinity
  let y0 = Infinity
  let x1 = -Infinity
  let y1 = -Infinity
  for (let i = loopStart[loop]; i < loopStart[loop + 1]; i++) {
    x0 = Math.min(x0, points[2 * i])
    x1 = Math.max(x1, points[2 * i])
    y0 = Math.min(y0, points[2 * i + 1])
    y1 = Math.max(y1, points[2 * i + 1])
  }
  return { x: (x0 + x1) / 2, y: (y0 + y1) / 2, half: Math.max(x1 - x0, y1 - y0) / 2 }
}

/** The island of a layer that covers (x, y), or else the one whose outline comes nearest; -1 when none lies within `within` mm. */
export const islandNear = (results: RoomResults, layer: number, x: number, y: number, within: number): number => {
  const { points, loopStart, islandLoop, islandStart } = results.layers
  let best = -1
  let bestDistance = within
  for (let island = islandStart[layer]; island < islandStart[layer + 1]; island++) {
    const loop = islandLoop[island]
    if (isInsideLoop(points, loopStart[loop], loopStart[loop + 1], x, y)) return island
    for (let i = loopStart[loop]; i < loopStart[loop + 1]; i++) {
      const d = Math.hypot(points[2 * i] - x, points[2 * i + 1] - y)
      if (d < bestDistance) {
        bestDistance = d
        best = island
      }
    }
  }
  return best
}

/** True when a point lies within the spot's circle. */
export const isAt = (spot: Spot, x: number, y: number): boolean => Math.hypot(x - spot.x, y - spot.y) <= spot.radiusMm

/** Layer of every island. */
export const layerOfIslands = (results: RoomResults): Uint32Array => {
  const { islandStart, nLayers, islandLoop } = results.layers
  const layer = new Uint32Array(islandLoop.length)
  for (let k = 0; k < nLayers; k++) layer.fill(k, islandStart[k], islandStart[k + 1])
  return layer
}
