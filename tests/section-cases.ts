// Cuts of test solids, and sums over a layer stack, for tests of the sections room.

import type { PolygonKit } from '../src/engine/kernel/index.ts'
import { prepareMesh } from '../src/engine/mesh/index.ts'
import { type CutOptions, cutLayers, type LayerStack } from '../src/engine/sections/index.ts'
import type { Solid } from './solids.ts'

/** The solid moved so that it stands on z = 0, as triangle lists. */
export const standing = ({
  positions,
  triangles,
}: Solid): { positions: Float64Array; triangles: Uint32Array; height: number } => {
  let low = Infinity
  let high = -Infinity
  for (let i = 2; i < positions.length; i += 3) {
    low = Math.min(low, positions[i])
    high = Math.max(high, positions[i])
  }
  const out = Float64Array.from(positions)
  for (let i = 2; i < out.length; i += 3) out[i] -= low
  return { positions: out, triangles: Uint32Array.from(triangles), height: high - low }
}

/** Prepares, stands and cuts a solid. */
export const cutSolid = async (solid: Solid, options: Partial<CutOptions>, kit: PolygonKit): Promise<LayerStack> => {
  const { positions, triangles, height } = standing(solid)
  const { mesh } = prepareMesh(positions, triangles)
  return cutLayers(mesh, height, { layerHeightMm: 0.1, firstLayerHeightMm: 0.1, ...options }, kit)
}

/** Area of all islands of a layer, mm2. */
export const layerArea = (stack: LayerStack, layer: number): number => {
  let area = 0
  for (let i = stack.islandStart[layer]; i < stack.islandStart[layer + 1]; i++) area += stack.islandArea[i]
  return area
}

/** Sum of area times height, mm3. */
export const stackVolume = (stack: LayerStack): number => {
  let volume = 0
  for (let k = 0; k < stack.nLayers; k++) volume += layerArea(stack, k) * (stack.faceZ[k + 1] - stack.faceZ[k])
  return volume
}
