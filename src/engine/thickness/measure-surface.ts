// How thick is the figure in space? Inscribed balls at samples spread over its surface, carried to its vertices.
//
// Model: local thickness, the diameter of the largest inscribed ball that contains the point (Hildebrand and Rueegsegger,
// Journal of Microscopy 185:67-75, 1997); a ball that holds a point of the surface touches it there (touching-ball.ts).
// Tolerance: exact for the mesh between facing walls; elsewhere the mesh is taken as true to within `roughnessMm`, so the
// facets of a round measure as the round. Limits: samples only (about `maxSamples`); triangles buried in another shell are left
// out, judged by their middles (exposed.ts); through a hole in the mesh a ball may be bounded by the far side only.

import type { Figure } from '../figure/index.ts'
import type { Task } from '../kernel/index.ts'
import { breathe, buildTriangleTree } from '../kernel/index.ts'
import { exposureOf } from './exposed.ts'
import { smoothInwardNormal, trianglesAround } from './smooth-normals.ts'
import { carryToVertices, spreadPoints } from './surface-samples.ts'
import { newBallSearch, touchingBall } from './touching-ball.ts'
import type { SurfaceThickness } from './types.ts'

/** Settings of the measurement. */
export interface SurfaceThicknessOptions {
  /** About how many points to measure, > 0. */
  readonly maxSamples?: number
  /** Distance between points below which more of them would tell nothing new, mm, > 0. */
  readonly spacingMm?: number
  /** How far the mesh may stray from the shape it stands for, mm, >= 0: facets of rounds. */
  readonly roughnessMm?: number
  /** Shifts the points; the same seed gives the same points. */
  readonly seed?: number
}

/** 0.25 mm is finer than a bead; 40 000 points cover about 2500 mm2 so, the surface of a 28 mm figure. */
export const SURFACE_THICKNESS_DEFAULTS: Required<SurfaceThicknessOptions> = Object.freeze({
  maxSamples: 40_000,
  spacingMm: 0.25,
  roughnessMm: 0.01,
  seed: 1,
})

/** Thickness over the surface of the figure. */
export const measureSurface = async (
  figure: Figure,
  options: SurfaceThicknessOptions = {},
  task?: Task,
): Promise<SurfaceThickness> => {
  const { maxSamples, spacingMm, roughnessMm, seed } = { ...SURFACE_THICKNESS_DEFAULTS, ...options }
  const { mesh } = figure
  const { positions, triangles } = mesh
  task?.onProgress?.(0, 'measuring thickness')
  await breathe(task)
  const tree = buildTriangleTree(positions, triangles)
  await breathe(task)
  const isSurface = exposureOf(mesh, tree)
  const spread = spreadPoints(tree, maxSamples, spacingMm, seed)
  const around = trianglesAround(triangles, positions.length / 3)
  const search = newBallSearch(tree, roughnessMm, isSurface)
  const n = spread.triangle.length
  const value = new Float32Array(n).fill(Number.NaN)
  const facing = new Float32Array(n)
  const normal = new Float64Array(3)
  let nKept = 0
  for (let k = 0; k < n; k++) {
    if (k % 1000 === 0) {
      task?.onProgress?.(k / n, 'measuring thickness')
      await breathe(task)
    }
    const triangle = spread.triangle[k]
    if (!isSurface(triangle)) continue
    const x = spread.points[3 * k]
    const y = spread.points[3 * k + 1]
    const z = spread.points[3 * k + 2]
    if (!smoothInwardNormal(positions, triangles, around, triangle, x, y, z, normal)) continue
    const radius = touchingBall(search, x, y, z, normal[0], normal[1], normal[2], triangle)
    if (Number.isNaN(radius)) continue
    const across = search.facingRadius < Infinity
    value[k] = 2 * (across ? search.facingRadius : radius)
    facing[k] = Math.acos(Math.max(-1, Math.min(1, across ? search.facingCos : search.contactCos)))
    nKept++
  }
  const samples = new Float32Array(3 * nKept)
  const thickness = new Float32Array(nKept)
  const keptFacing = new Float32Array(nKept)
  let at = 0
  for (let k = 0; k < n; k++) {
    if (Number.isNaN(value[k])) continue
    samples.set(spread.points.subarray(3 * k, 3 * k + 3), 3 * at)
    thickness[at] = value[k]
    keptFacing[at++] = facing[k]
  }
  const perVertex = carryToVertices(positions, triangles, spread, value, isSurface)
  task?.onProgress?.(1, 'measuring thickness')
  return { kind: 'surface-thickness', perVertex, samples, thickness, facing: keptFacing }
}
