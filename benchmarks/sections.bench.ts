// Cutting a mesh of one million triangles into 0.1 mm layers, beside importing and cutting it with a general boolean library.

import Module from 'manifold-3d'
import { edgeNeighbours, prepareMesh } from '../src/engine/mesh/index.ts'
import { cutHeights, cutLayers, relateLayers, traceLoops } from '../src/engine/sections/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { type BenchRow, least } from './least.ts'

/** A knobbly ring that stands upright, about 35 mm tall: 2*nRound*nTube triangles. */
export const knobblyRing = (
  nTriangles: number,
): { positions: Float64Array; triangles: Uint32Array; height: number } => {
  const nTube = Math.round(Math.sqrt(nTriangles / 4))
  const nRound = Math.round(nTriangles / 2 / nTube)
  const positions = new Float64Array(3 * nRound * nTube)
  const triangles = new Uint32Array(6 * nRound * nTube)
  let low = Infinity
  let high = -Infinity
  for (let i = 0; i < nRound; i++) {
    for (let j = 0; j < nTube; j++) {
      const a = (2 * Math.PI * i) / nRound
      const b = (2 * Math.PI * j) / nTube
      const r = 5 * (1 + 0.06 * Math.sin(9 * a) * Math.sin(5 * b))
      const k = i * nTube + j
      const z = (11.5 + r * Math.cos(b)) * Math.sin(a)
      positions.set([(11.5 + r * Math.cos(b)) * Math.cos(a), r * Math.sin(b), z], 3 * k)
      low = Math.min(low, z)
      high = Math.max(high, z)
      const right = ((i + 1) % nRound) * nTube
      const up = (j + 1) % nTube
      triangles.set([k, right + j, right + up, k, right + up, i * nTube + up], 6 * k)
    }
  }
  // Single precision, as files hold it, so that both sides get the same numbers.
  for (let i = 0; i < positions.length; i++) positions[i] = Math.fround(i % 3 === 2 ? positions[i] - low : positions[i])
  return { positions, triangles, height: high - low }
}

const sections = async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const library = await Module()
  library.setup()
  const { positions, triangles, height } = knobblyRing(1_000_000)
  const { mesh } = prepareMesh(positions, triangles)
  const { cutZ } = cutHeights(height, 0.1, 0.1)
  const heights = { layerHeightMm: 0.1, firstLayerHeightMm: 0.1 }
  const single = Float32Array.from(mesh.positions)

  const theirs = await least(3, () => {
    const solid = new library.Manifold(
      new library.Mesh({ numProp: 3, vertProperties: single, triVerts: mesh.triangles }),
    )
    for (const z of cutZ) {
      const slice = solid.slice(z)
      slice.toPolygons()
      slice.delete()
    }
    solid.delete()
  })
  const raw = await least(5, () => {
    traceLoops(mesh, edgeNeighbours(mesh), cutZ)
  })
  const nested = await least(5, () => cutLayers(mesh, height, heights, kit))
  const stack = await cutLayers(mesh, height, heights, kit)
  const related = await least(3, () => relateLayers(stack, { allowanceMm: 0.2 }, kit))
  const prepared = await least(3, () => {
    prepareMesh(positions, triangles)
  })
  const row = (subject: string, oursS: number, note: string): BenchRow => ({
    subject,
    against: 'manifold-3d 3.5.4: import and slice',
    oursS,
    theirsS: theirs,
    note,
  })
  const size = `${(mesh.triangles.length / 3e6).toFixed(2)} M triangles, ${cutZ.length} layers of 0.1 mm`
  return [
    row('raw closed loops of all layers, neighbours included', raw, `${size}; goal 0.25`),
    row('the same with simplifying, winding and nesting', nested, `${size}; goal 0.5`),
    row('what rests on what, all layers', related, size),
    row('making a sound mesh: weld, orient, shells, holes', prepared, size),
  ]
}

export default sections
