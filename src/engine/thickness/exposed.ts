// Which triangles bound the solid, and which lie buried inside another shell.
//
// From a point just outside a triangle's middle a slanted ray counts crossings with their sign; the sum is the winding number
// there. Above zero the point lies in plastic, so the triangle is buried. Limits: a triangle that is buried in part is judged by
// its middle, and where shells touch face to face without overlapping both faces count as surface or as buried together.

import type { TriangleTree } from '../kernel/index.ts'
import { allHits } from '../kernel/index.ts'
import { facetNormal, type Mesh } from '../mesh/index.ts'

/** Distance outside the surface at which the winding number is asked for, mm. */
const OUTSIDE_MM = 1e-4
/** A hit this near a triangle's border may count twice or not at all; another ray is tried then. */
const BORDER = 1e-9
/** Slanted, so that no edge of a model built on straight axes lies along them. */
const RAYS = [
  [0.4339, 0.2711, 0.8592],
  [-0.6173, 0.5321, 0.5794],
  [0.1237, -0.8371, -0.5329],
] as const

/**
 * A question about the mesh's triangles, answered once for each that is asked for: does it bound the solid?
 * Meshes of one shell are all surface.
 */
export const exposureOf = (mesh: Mesh, tree: TriangleTree): ((triangle: number) => boolean) => {
  if (mesh.nShells < 2) return () => true
  const { positions, triangles, shellOf, nShells } = mesh
  const boxes = shellBoxes(mesh)
  const normal = new Float64Array(3)
  const known = new Uint8Array(triangles.length / 3)
  let winding = 0
  let margin = 1
  const count = (_triangle: number, _t: number, leaves: number, hitMargin: number): void => {
    winding += leaves
    if (hitMargin < margin) margin = hitMargin
  }
  const buried = (triangle: number): boolean => {
    const a = 3 * triangles[3 * triangle]
    const b = 3 * triangles[3 * triangle + 1]
    const c = 3 * triangles[3 * triangle + 2]
    facetNormal(positions, triangles, triangle, normal)
    const x = (positions[a] + positions[b] + positions[c]) / 3 + normal[0] * OUTSIDE_MM
    const y = (positions[a + 1] + positions[b + 1] + positions[c + 1]) / 3 + normal[1] * OUTSIDE_MM
    const z = (positions[a + 2] + positions[b + 2] + positions[c + 2]) / 3 + normal[2] * OUTSIDE_MM
    // Only another shell's box can hold the point: most triangles are done here.
    let near = false
    for (let s = 0; s < nShells && !near; s++) {
      if (s === shellOf[triangle]) continue
      const at = 6 * s
      near =
        x >= boxes[at] &&
        y >= boxes[at + 1] &&
        z >= boxes[at + 2] &&
        x <= boxes[at + 3] &&
        y <= boxes[at + 4] &&
        z <= boxes[at + 5]
    }
    if (!near) return false
    for (const [dx, dy, dz] of RAYS) {
      winding = 0
      margin = 1
      allHits(tree, x, y, z, dx, dy, dz, 0, count)
      if (margin > BORDER) break
    }
    return winding > 0
  }
  return (triangle) => {
    if (known[triangle] === 0) known[triangle] = buried(triangle) ? 2 : 1
    return known[triangle] === 1
  }
}

const shellBoxes = ({ positions, triangles, shellOf, nShells }: Mesh): Float64Array => {
  const boxes = new Float64Array(6 * nShells)
  for (let s = 0; s < nShells; s++) {
    boxes.fill(Infinity, 6 * s, 6 * s + 3)
    boxes.fill(-Infinity, 6 * s + 3, 6 * s + 6)
  }
  for (let i = 0; i < triangles.length; i++) {
    const at = 6 * shellOf[(i / 3) | 0]
    for (let k = 0; k < 3; k++) {
      const value = positions[3 * triangles[i] + k]
      if (value < boxes[at + k]) boxes[at + k] = value
      if (value > boxes[at + 3 + k]) boxes[at + 3 + k] = value
    }
  }
  return boxes
}
