// Triangles that lie on the outside of the solid. Figures put together from shells that only overlap have faces deep inside each other;
// those carry no steps, need no props and must not count in sums over the surface.
//
// A face is inside when a point one layer height above its middle lies within the outlines of its layer. Limits: a face goes by its middle
// as a whole; faces nearer to another shell than that, across a gap, count as inside too.

import type { Figure } from '../figure/index.ts'
import { layerAtHeight } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'

/** Whether a point lies within the outlines of a layer: crossings to its right, odd is inside. */
const isWithin = ({ layerStart, loopStart, points }: LayerStack, layer: number, x: number, y: number): boolean => {
  let inside = false
  for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
    const end = loopStart[j + 1]
    let px = points[2 * end - 2]
    let py = points[2 * end - 1]
    for (let i = loopStart[j]; i < end; i++) {
      const qx = points[2 * i]
      const qy = points[2 * i + 1]
      if (py > y !== qy > y && x < ((px - qx) * (y - qy)) / (py - qy) + qx) inside = !inside
      px = qx
      py = qy
    }
  }
  return inside
}

/** Layer that holds a height, -1 below and above all of them. */
const layerAt = ({ faceZ, nLayers }: LayerStack, z: number): number =>
  z >= faceZ[0] && z < faceZ[nLayers] ? layerAtHeight(faceZ, z) : -1

/** Numbers of the outer triangles; undefined for a figure of one shell, where all are. */
export const outerTriangles = ({ mesh }: Pick<Figure, 'mesh'>, layers: LayerStack): Uint32Array | undefined => {
  if (mesh.nShells < 2) return undefined
  const { positions, triangles } = mesh
  const above = layers.nLayers > 1 ? layers.faceZ[2] - layers.faceZ[1] : layers.faceZ[1] - layers.faceZ[0]
  const outer: number[] = []
  for (let t = 0; t < triangles.length / 3; t++) {
    const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]]
    const u = [0, 1, 2].map((k) => positions[b + k] - positions[a + k])
    const w = [0, 1, 2].map((k) => positions[c + k] - positions[a + k])
    const n = [u[1] * w[2] - u[2] * w[1], u[2] * w[0] - u[0] * w[2], u[0] * w[1] - u[1] * w[0]]
    const size = Math.hypot(n[0], n[1], n[2])
    const [x, y, z] = [0, 1, 2].map(
      (k) => (positions[a + k] + positions[b + k] + positions[c + k]) / 3 + (size > 0 ? (above * n[k]) / size : 0),
    )
    const layer = layerAt(layers, z)
    if (layer < 0 || !isWithin(layers, layer, x, y)) outer.push(t)
  }
  return Uint32Array.from(outer)
}
