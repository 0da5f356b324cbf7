// Displacements of a body of cells under loads: conjugate gradients with multigrid before them.

import { breathe, type Task } from '../kernel/index.ts'
import { brickProduct } from './brick.ts'
import { heldIndices, type Multigrid } from './multigrid.ts'

/** One solved load. */
export interface SolvedField {
  /** Displacement, mm, xyz per node. */
  readonly move: Float64Array
  readonly iterations: number
  /** Residual over load, both as Euclidean norms. */
  readonly residual: number
  /** Work of the load, N mm. */
  readonly energyMJ: number
  readonly converged: boolean
}

/**
 * Solves K u = f with held unknowns at given values.
 * @param force N, xyz per node; entries of held unknowns do not count
 * @param given displacement of held unknowns, mm; all 0 when left out
 * @param tolerance residual over load at which to stop
 */
export const solveField = async (
  grid: Multigrid,
  force: Float64Array,
  given?: Float64Array,
  tolerance = 1e-6,
  most = 300,
  task?: Task,
): Promise<SolvedField> => {
  const { mesh, held, apply } = grid
  const n = 3 * mesh.nNodes
  const x = new Float64Array(n)
  const r = new Float64Array(n)
  const z = new Float64Array(n)
  const p = new Float64Array(n)
  const q = new Float64Array(n)
  if (given) {
    for (let i = 0; i < n; i++) if (held[i]) x[i] = given[i]
    brickProduct(mesh, x, q)
  }
  const heldList = Int32Array.from(heldIndices(held))
  let load = 0
  for (let i = 0; i < n; i++) {
    r[i] = held[i] ? 0 : force[i] - q[i]
    load += r[i] * r[i]
  }
  load = Math.sqrt(load)
  let rz = 0
  let residual = load > 0 ? 1 : 0
  let iterations = 0
  while (load > 0 && residual > tolerance && iterations < most) {
    apply(r, z)
    let next = 0
    for (let i = 0; i < n; i++) next += r[i] * z[i]
    const beta = iterations === 0 ? 0 : next / rz
    rz = next
    for (let i = 0; i < n; i++) p[i] = z[i] + beta * p[i]
    brickProduct(mesh, p, q)
    for (let k = 0; k < heldList.length; k++) q[heldList[k]] = 0
    let pq = 0
    for (let i = 0; i < n; i++) pq += p[i] * q[i]
    if (!(pq > 0)) break
    const alpha = rz / pq
    let norm = 0
    for (let i = 0; i < n; i++) {
      x[i] += alpha * p[i]
      r[i] -= alpha * q[i]
      norm += r[i] * r[i]
    }
    residual = Math.sqrt(norm) / load
    iterations++
    task?.onProgress?.(Math.min(0.99, Math.log(residual) / Math.log(tolerance)), 'solving the full field')
    await breathe(task)
  }
  brickProduct(mesh, x, q)
  let work = 0
  for (let i = 0; i < n; i++) work += x[i] * q[i]
  return { move: x, iterations, residual, energyMJ: work / 2, converged: residual <= tolerance }
}
