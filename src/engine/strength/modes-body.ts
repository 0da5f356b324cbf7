// A body that nothing holds: its cells, masses at nodes, middle, inertia, six rigid movements, and a solver for loads in balance.

import { breathe, type StartWasm, type Task } from '../kernel/index.ts'
import { brickProduct, type CellMesh } from './brick.ts'
import { cellMesh } from './cell-mesh.ts'
import type { FillGrid } from './fill-grid.ts'
import type { Stiffness } from './material.ts'
import { buildMultigrid, type Multigrid } from './multigrid.ts'
import { laneSolver, N_LANES } from './solve-lanes.ts'

/**
 * Rise of the coarsest level's diagonal. With less, rigid movement grows out of rounding in single precision and its own rounding spoils
 * the rest: on a figure of 1.1 M unknowns, to 1e-4 for three loads at once, 2e-6 had not arrived after 200 iterations, 2e-5 took 20,
 * 2e-4 21 and 2e-3 24.
 */
const FIRMNESS = 1e-4

/** A free body of cells. Units mm, N, tonnes, s. */
export interface FreeBody {
  readonly mesh: CellMesh
  readonly grid: Multigrid
  /** Mass of each unknown's node, tonnes, three the same per node. */
  readonly mass: Float64Array
  readonly massT: number
  readonly centre: readonly [number, number, number]
  /** About the middle: xx, yy, zz, xy, yz, zx (products with their minus sign), tonnes mm2. */
  readonly inertia: readonly number[]
  /** Six rigid movements, each of unit modal mass and square to the others by mass. */
  readonly rigid: readonly Float64Array[]
}

/** The grid without what does not hang together, face to face, with its greatest piece. */
export const greatestPiece = (grid: FillGrid, leastFill = 0.06): FillGrid => {
  const { nx, ny, nz, fill } = grid
  const slice = nx * ny
  const piece = new Int32Array(fill.length)
  const queue = new Int32Array(fill.length)
  let best = 0
  let bestSize = 0
  let pieces = 0
  for (let start = 0; start < fill.length; start++) {
    if (piece[start] || fill[start] < leastFill) continue
    piece[start] = ++pieces
    let n = 0
    let size = 0
    queue[n++] = start
    for (let q = 0; q < n; q++) {
      const i = queue[q]
      size += fill[i]
      const x = i % nx
      const y = Math.floor(i / nx) % ny
      const z = Math.floor(i / slice)
      const visit = (to: number): void => {
        if (piece[to] || fill[to] < leastFill) return
        piece[to] = pieces
        queue[n++] = to
      }
      if (x > 0) visit(i - 1)
      if (x < nx - 1) visit(i + 1)
      if (y > 0) visit(i - nx)
      if (y < ny - 1) visit(i + nx)
      if (z > 0) visit(i - slice)
      if (z < nz - 1) visit(i + slice)
    }
    if (size > bestSize) {
      bestSize = size
      best = pieces
    }
  }
  return { ...grid, fill: fill.map((v, i) => (piece[i] === best ? v : 0)) }
}

/** x less its share of the rigid movements, by mass. */
const withoutRigid = (rigid: readonly Float64Array[], mass: Float64Array, x: Float64Array): void => {
  for (const r of rigid) {
    let dot = 0
    for (let i = 0; i < x.length; i++) dot += mass[i] * r[i] * x[i]
    for (let i = 0; i < x.length; i++) x[i] -= dot * r[i]
  }
}

/** A load brought into balance by the inertia of the body's rigid movement: f - M R R^T f, in place. */
export const balance = ({ rigid, mass }: FreeBody, f: Float64Array): void => {
  for (const r of rigid) {
    let dot = 0
    for (let i = 0; i < f.length; i++) dot += r[i] * f[i]
    for (let i = 0; i < f.length; i++) f[i] -= dot * mass[i] * r[i]
  }
}

/** Six rigid movements about the middle, made square to each other by mass. */
const rigidMoves = (mesh: CellMesh, mass: Float64Array, centre: readonly number[]): Float64Array[] => {
  const { nNodes, nodeAt, origin, cellMm } = mesh
  const moves: Float64Array[] = []
  for (let kind = 0; kind < 6; kind++) {
    const u = new Float64Array(3 * nNodes)
    for (let n = 0; n < nNodes; n++) {
      const x = origin[0] + cellMm * nodeAt[3 * n] - centre[0]
      const y = origin[1] + cellMm * nodeAt[3 * n + 1] - centre[1]
      const z = origin[2] + cellMm * nodeAt[3 * n + 2] - centre[2]
      if (kind < 3) u[3 * n + kind] = 1
      else if (kind === 3) {
        u[3 * n + 1] = -z
        u[3 * n + 2] = y
      } else if (kind === 4) {
        u[3 * n] = z
        u[3 * n + 2] = -x
      } else {
        u[3 * n] = -y
        u[3 * n + 1] = x
      }
    }
    withoutRigid(moves, mass, u)
    withoutRigid(moves, mass, u)
    let norm = 0
    for (let i = 0; i < u.length; i++) norm += mass[i] * u[i] * u[i]
    const f = 1 / Math.sqrt(norm)
    for (let i = 0; i < u.length; i++) u[i] *= f
    moves.push(u)
  }
  return moves
}

/**
 * Makes a free body of the grid's greatest piece.
 * @param kinds stiffness of solid plastic, and of infill where there is any
 * @param infillShare mass of infill over that of solid plastic
 */
export const freeBody = async (
  grid: FillGrid,
  kinds: readonly Stiffness[],
  densityGPerCm3: number,
  infillShare: number,
  task?: Task,
): Promise<FreeBody> => {
  const whole = greatestPiece(grid)
  // Cells are flooded from the lowest row that has any.
  const first = whole.fill.findIndex((v) => v >= 0.06)
  const row = Math.floor(Math.max(first, 0) / (grid.nx * grid.ny))
  const mesh = cellMesh(whole, grid.origin[2] + row * grid.cellMm, kinds)
  await breathe(task)
  const { nNodes, nCells, cellNode, share, kindOf, nodeAt, origin, cellMm } = mesh
  const nodeMass = new Float64Array(nNodes)
  const solid = densityGPerCm3 * 1e-9 * cellMm ** 3
  for (let c = 0; c < nCells; c++) {
    const m = (solid * share[c] * (kindOf[c] ? infillShare : 1)) / 8
    for (let k = 0; k < 4; k++) {
      nodeMass[cellNode[4 * c + k]] += m
      nodeMass[cellNode[4 * c + k] + 1] += m
    }
  }
  let massT = 0
  const centre: [number, number, number] = [0, 0, 0]
  for (let n = 0; n < nNodes; n++) {
    massT += nodeMass[n]
    for (let a = 0; a < 3; a++) centre[a] += nodeMass[n] * (origin[a] + cellMm * nodeAt[3 * n + a])
  }
  for (let a = 0; a < 3; a++) centre[a] /= massT
  const inertia = [0, 0, 0, 0, 0, 0]
  for (let n = 0; n < nNodes; n++) {
    const [x, y, z] = [0, 1, 2].map((a) => origin[a] + cellMm * nodeAt[3 * n + a] - centre[a])
    const m = nodeMass[n]
    inertia[0] += m * (y * y + z * z)
    inertia[1] += m * (z * z + x * x)
    inertia[2] += m * (x * x + y * y)
    inertia[3] -= m * x * y
    inertia[4] -= m * y * z
    inertia[5] -= m * z * x
  }
  const levels = await buildMultigrid(mesh, new Uint8Array(3 * nNodes), task, FIRMNESS)
  const mass = new Float64Array(3 * nNodes)
  for (let n = 0; n < nNodes; n++) mass.fill(nodeMass[n], 3 * n, 3 * n + 3)
  return { mesh, grid: levels, mass, massT, centre, inertia, rigid: rigidMoves(mesh, mass, centre) }
}

/** Solves for several loads on a free body at once; loads must be in balance. */
export type FreeSolver = (loads: readonly Float64Array[], tolerance: number, task?: Task) => Promise<Float64Array[]>

/**
 * Conjugate gradients with multigrid before them, for loads in balance: their rigid part never enters, and what the preconditioner adds
 * of it is taken out at the end.
 * @param start starts WebAssembly, where there is any: four loads at once
 */
export const freeSolver = async (body: FreeBody, start?: StartWasm): Promise<FreeSolver> => {
  const { mesh, grid, mass, rigid } = body
  const lanes = start ? await laneSolver(grid, start) : null
  if (lanes)
    return async (loads, tolerance, task) => {
      const answers: Float64Array[] = []
      for (let k = 0; k < loads.length; k += N_LANES)
        for (const { move } of await lanes.solve(loads.slice(k, k + N_LANES), tolerance, 200, task)) {
          withoutRigid(rigid, mass, move)
          answers.push(move)
        }
      return answers
    }
  const n = 3 * mesh.nNodes
  const r = new Float64Array(n)
  const z = new Float64Array(n)
  const p = new Float64Array(n)
  const q = new Float64Array(n)
  return async (loads, tolerance, task) => {
    const answers: Float64Array[] = []
    for (const load of loads) {
      const x = new Float64Array(n)
      r.set(load)
      p.fill(0)
      let size = 0
      for (let i = 0; i < n; i++) size += r[i] * r[i]
      let norm = size
      let rz = 0
      for (let k = 0; k < 200 && norm > tolerance * tolerance * size; k++) {
        grid.apply(r, z)
        let next = 0
        for (let i = 0; i < n; i++) next += r[i] * z[i]
        const beta = k === 0 ? 0 : next / rz
        rz = next
        for (let i = 0; i < n; i++) p[i] = z[i] + beta * p[i]
        brickProduct(mesh, p, q)
        let pq = 0
        for (let i = 0; i < n; i++) pq += p[i] * q[i]
        if (!(pq > 0)) break
        const alpha = rz / pq
        norm = 0
        for (let i = 0; i < n; i++) {
          x[i] += alpha * p[i]
          r[i] -= alpha * q[i]
          norm += r[i] * r[i]
        }
        await breathe(task)
      }
      withoutRigid(rigid, mass, x)
      answers.push(x)
    }
    return answers
  }
}

/** Takes rigid movement out of a displacement, in place. */
export const dropRigid = ({ rigid, mass }: FreeBody, x: Float64Array): void => withoutRigid(rigid, mass, x)
