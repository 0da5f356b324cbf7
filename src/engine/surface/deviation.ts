// How far the printed surface stands from the sculpt at each vertex of its mesh: layers as slabs with half-round sides.
//
// A vertex inside the slabs is covered by plastic as deep as the nearest way out, sideways in its layer or up or down over layers that do
// not hold it; outside it lacks as much as the nearest way in. Sideways the slab recedes above and below its middle by the bead's round
// side, t/2 - sqrt(t2/4 - dz2). Droop of hanging beads is added to undersides. Where only steps are at work this stays within a layer.
// Limits: ways along the axes only, so up to 1.4 times the straight distance in a corner; thin details that no bead fills are taken from
// the opened outlines of their layers; shrinkage and curl are not in it.

import { breathe, layerAtHeight, nearestResult, type Polygons, SegmentGrid, type Task } from '../kernel/index.ts'
import type { Mesh } from '../mesh/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { type Hanging, RUN_COLUMNS, RUN_ROW } from './types.ts'

/** Layers up and down in which a way out or in is looked for, and farthest distance told, mm. */
const WAY_LAYERS = 3
const FARTHEST_MM = 3

/** Order of the vertices by height, with the layer of each. */
const byLayer = (mesh: Mesh, faceZ: Float64Array): { start: Uint32Array; order: Uint32Array } => {
  const nLayers = faceZ.length - 1
  const n = mesh.positions.length / 3
  const layer = new Uint32Array(n)
  const start = new Uint32Array(nLayers + 1)
  for (let v = 0; v < n; v++) {
    const k = layerAtHeight(faceZ, mesh.positions[3 * v + 2])
    layer[v] = k
    start[k + 1]++
  }
  for (let k = 0; k < nLayers; k++) start[k + 1] += start[k]
  const fill = start.slice()
  const order = new Uint32Array(n)
  for (let v = 0; v < n; v++) order[fill[layer[v]]++] = v
  return { start, order }
}

/** Printed outlines of a layer where they differ from the cut ones, null where they do not. */
export type PrintedOutline = (layer: number) => Polygons | null

/** Signed deviation per vertex, mm. */
export const vertexDeviation = async (
  mesh: Mesh,
  layers: LayerStack,
  printed: PrintedOutline,
  hanging: Hanging | null,
  task?: Task,
): Promise<Float32Array> => {
  const { positions } = mesh
  const { faceZ, cutZ, nLayers } = layers
  const deviation = new Float32Array(positions.length / 3)
  const { start, order } = byLayer(mesh, faceZ)
  const found = nearestResult()
  const grids: (SegmentGrid | null)[] = new Array(nLayers).fill(null)
  const gridOf = (layer: number): SegmentGrid => {
    const known = grids[layer]
    if (known) return known
    const other = printed(layer)
    const grid = other
      ? new SegmentGrid(other.points, other.loopStart)
      : new SegmentGrid(
          layers.points,
          layers.loopStart.subarray(layers.layerStart[layer], layers.layerStart[layer + 1] + 1),
        )
    grids[layer] = grid
    return grid
  }
  /** Distance inside a layer's outline, negative outside. */
  const insideOf = (layer: number, x: number, y: number): number => {
    const grid = gridOf(layer)
    grid.nearest(x, y, FARTHEST_MM, found)
    // Nothing near: well inside or far outside. The side of a nearer search cannot be told, so a wider one is made.
    if (found.segment < 0) grid.nearest(x, y, 1e6, found)
    if (found.segment < 0) return -FARTHEST_MM
    const away = Math.min(FARTHEST_MM, Math.sqrt(found.d2))
    return grid.isSolidSide(x, y, found) ? away : -away
  }
  for (let layer = 0; layer < nLayers; layer++) {
    if (layer % 8 === 0) {
      task?.onProgress?.(layer / nLayers, 'holding the print against the sculpt')
      await breathe(task)
    }
    if (layer > WAY_LAYERS) grids[layer - WAY_LAYERS - 1] = null
    const half = (faceZ[layer + 1] - faceZ[layer]) / 2
    for (let i = start[layer]; i < start[layer + 1]; i++) {
      const v = order[i]
      const x = positions[3 * v]
      const y = positions[3 * v + 1]
      const z = Math.min(Math.max(positions[3 * v + 2], faceZ[layer]), faceZ[layer + 1])
      const dz = Math.min(half, Math.abs(z - cutZ[layer]))
      const recess = half - Math.sqrt(Math.max(0, half * half - dz * dz))
      const sideways = insideOf(layer, x, y) - recess
      const isIn = sideways >= 0
      let least = Math.abs(sideways)
      // Up, then down: the first layer that has no plastic here (or, from outside, the first that has).
      for (let k = layer + 1; k <= Math.min(nLayers, layer + WAY_LAYERS); k++) {
        const way = faceZ[k] - z
        if (way >= least) break
        if (k === nLayers ? isIn : insideOf(k, x, y) >= 0 !== isIn) {
          least = way
          break
        }
      }
      for (let k = layer - 1; k >= Math.max(-1, layer - WAY_LAYERS); k--) {
        const way = z - faceZ[k + 1]
        if (way >= least) break
        if (k < 0 ? isIn : insideOf(k, x, y) >= 0 !== isIn) {
          least = way
          break
        }
      }
      deviation[v] = isIn ? least : -least
    }
  }
  if (hanging) addDroop(deviation, mesh, layers, hanging, start, order)
  return deviation
}

/** Adds the droop of hanging beads to the vertices under them. */
const addDroop = (
  deviation: Float32Array,
  { positions }: Mesh,
  { faceZ }: LayerStack,
  { runs, nRuns, runStart, runPoints }: Hanging,
  start: Uint32Array,
  order: Uint32Array,
): void => {
  const REACH2 = 0.3 ** 2
  for (let r = 0; r < nRuns; r++) {
    if (!(runs[r * RUN_COLUMNS + RUN_ROW.sagMm] > 0.002)) continue
    const layer = runs[r * RUN_COLUMNS + RUN_ROW.layer]
    const from = layer > 0 ? start[layer - 1] : 0
    for (let i = from; i < start[layer + 1]; i++) {
      const v = order[i]
      if (Math.abs(positions[3 * v + 2] - faceZ[layer]) > 0.06) continue
      for (let p = runStart[r]; p < runStart[r + 1]; p++) {
        const d2 = (positions[3 * v] - runPoints[3 * p]) ** 2 + (positions[3 * v + 1] - runPoints[3 * p + 1]) ** 2
        if (d2 <= REACH2 && runPoints[3 * p + 2] > deviation[v]) deviation[v] = runPoints[3 * p + 2]
      }
    }
  }
}
