// Multigrid over a body of cells, as a preconditioner: Galerkin coarse levels, Chebyshev smoothing, exact solution on the coarsest.
//
// Coarse stiffness is P^T K P, summed cell by cell: on the first level from eight ready projections of one cube's stiffness, from
// there on by projecting the coarse cells' own. W cycle below the first level. Averaging stiffness instead took 107-119 iterations
// against 17-26; ordinary coarse nodes (limbs glued together) 35-38.

import { breathe, type Task } from '../kernel/index.ts'
import { addCell, type BlockMatrix, blockProduct, blocksOfCells } from './block-matrix.ts'
import { brickMatrices, brickProduct, type CellMesh } from './brick.ts'
import { type CoarseLevel, coarsen, type LevelCells } from './coarse-levels.ts'
import { blockEnvelope, type Envelope, narrowOrder } from './envelope.ts'

/** Most nodes of the coarsest level: solved exactly. */
const COARSEST_NODES = 1500
/** Chebyshev range as shares of the greatest eigenvalue; from 0.1 it took 30 iterations on a figure, from 0.2 and 0.25 25 and 26. */
export const RANGE = [0.2, 1.1] as const

interface Level {
  readonly n: number
  readonly product: (x: Float64Array, y: Float64Array) => void
  readonly inverseDiagonal: Float64Array
  greatest: number
  readonly x: Float64Array
  readonly b: Float64Array
  readonly r: Float64Array
  readonly p: Float64Array
}

/** A preconditioner ready for use. */
export interface Multigrid {
  readonly mesh: CellMesh
  /** 1 where an unknown is held; length 3*nNodes. */
  readonly held: Uint8Array
  /** z = M^-1 r; r is left as it is, held unknowns of z are 0. */
  readonly apply: (r: Float64Array, z: Float64Array) => void
  /** Nodes per level, finest first. */
  readonly levelNodes: readonly number[]
  readonly bytes: number
  /** What the levels are made of, for solving elsewhere. */
  readonly parts: MultigridParts
}

/** Levels as data. */
interface MultigridParts {
  /** How each level's values come from the next coarser one's. */
  readonly coarse: readonly CoarseLevel[]
  /** Stiffness of the coarser levels; the finest has the cells' product. */
  readonly matrices: readonly BlockMatrix[]
  /** Per level: 1 over the diagonal, 0 where held, and greatest eigenvalue of diagonal^-1 K; the coarsest has none. */
  readonly inverseDiagonals: readonly Float64Array[]
  readonly greatest: readonly number[]
  /** Factor of the coarsest level, and each node's place in its order. */
  readonly envelope: Envelope
  readonly position: Uint32Array
}

/** Weights of a child's corners on its parent's, 8x8, per child. */
const childWeights: readonly Float64Array[] = Array.from({ length: 8 }, (_, child) => {
  const q = new Float64Array(64)
  for (let corner = 0; corner < 8; corner++)
    for (let to = 0; to < 8; to++) {
      let w = 1
      for (let a = 0; a < 3; a++) {
        const at = (((child >> a) & 1) + ((corner >> a) & 1)) / 2
        w *= (to >> a) & 1 ? at : 1 - at
      }
      q[8 * corner + to] = w
    }
  return q
})

const scratch = new Float32Array(576)

/** out += share * Q^T K Q for a child's 24x24 matrix. */
const project = (k: Float32Array, child: number, share: number, out: Float32Array, at: number): void => {
  const q = childWeights[child]
  scratch.fill(0)
  // scratch = K Q.
  for (let j = 0; j < 8; j++)
    for (let to = 0; to < 8; to++) {
      const w = q[8 * j + to]
      if (w === 0) continue
      for (let row = 0; row < 24; row++) {
        const o = 24 * row
        scratch[o + 3 * to] += w * k[o + 3 * j]
        scratch[o + 3 * to + 1] += w * k[o + 3 * j + 1]
        scratch[o + 3 * to + 2] += w * k[o + 3 * j + 2]
      }
    }
  for (let i = 0; i < 8; i++)
    for (let to = 0; to < 8; to++) {
      const w = share * q[8 * i + to]
      if (w === 0) continue
      for (let r = 0; r < 3; r++) {
        const o = 24 * (3 * i + r)
        const d = at + 24 * (3 * to + r)
        for (let c = 0; c < 24; c++) out[d + c] += w * scratch[o + c]
      }
    }
}

/** Eight corners of each cell of the fine mesh. */
const fineLevel = ({ nCells, nNodes, cellAt, cellNode }: CellMesh): LevelCells => {
  const node = new Int32Array(8 * nCells)
  for (let c = 0; c < nCells; c++)
    for (let k = 0; k < 4; k++) {
      node[8 * c + 2 * k] = cellNode[4 * c + k]
      node[8 * c + 2 * k + 1] = cellNode[4 * c + k] + 1
    }
  return { nCells, nNodes, at: cellAt, node }
}

const levelOf = (n: number, product: Level['product'], diagonal: Float64Array): Level => {
  const inverseDiagonal = diagonal.map((d) => (d > 0 ? 1 / d : 0))
  return {
    n,
    product,
    inverseDiagonal,
    greatest: 1,
    x: new Float64Array(n),
    b: new Float64Array(n),
    r: new Float64Array(n),
    p: new Float64Array(n),
  }
}

/** Greatest eigenvalue of D^-1 K by a few power steps from a rough start. */
const greatestOf = (level: Level, steps: number): number => {
  const { n, product, inverseDiagonal, x, r } = level
  for (let i = 0; i < n; i++) x[i] = inverseDiagonal[i] > 0 ? (((i * 7919) % 1009) / 1009 - 0.5) * 2 : 0
  let value = 1
  for (let k = 0; k < steps; k++) {
    product(x, r)
    let dot = 0
    let norm = 0
    for (let i = 0; i < n; i++) {
      r[i] *= inverseDiagonal[i]
      dot += r[i] * r[i]
      norm += x[i] * x[i]
    }
    value = Math.sqrt(dot / Math.max(norm, 1e-300))
    const f = 1 / Math.sqrt(Math.max(dot, 1e-300))
    for (let i = 0; i < n; i++) x[i] = r[i] * f
  }
  return value
}

/** Chebyshev steps on K x = b; `zero` when x starts at 0 (one product less). */
const smooth = (level: Level, degree: number, zero: boolean): void => {
  const { n, product, inverseDiagonal, greatest, x, b, r, p } = level
  const low = RANGE[0] * greatest
  const high = RANGE[1] * greatest
  const theta = (high + low) / 2
  const delta = (high - low) / 2
  let rho = delta / theta
  const first = 1 / theta
  if (zero) {
    for (let i = 0; i < n; i++) x[i] = first * inverseDiagonal[i] * b[i]
    if (degree > 1) p.set(x)
  } else {
    product(x, r)
    if (degree > 1) for (let i = 0; i < n; i++) p[i] = first * inverseDiagonal[i] * (b[i] - r[i])
    if (degree > 1) for (let i = 0; i < n; i++) x[i] += p[i]
    else for (let i = 0; i < n; i++) x[i] += first * inverseDiagonal[i] * (b[i] - r[i])
  }
  for (let k = 1; k < degree; k++) {
    product(x, r)
    const next = 1 / ((2 * theta) / delta - rho)
    const f = (2 * next) / delta
    const g = next * rho
    for (let i = 0; i < n; i++) {
      p[i] = g * p[i] + f * inverseDiagonal[i] * (b[i] - r[i])
      x[i] += p[i]
    }
    rho = next
  }
}

/** Numbers of the held unknowns. */
export const heldIndices = (held: Uint8Array): number[] => {
  const list: number[] = []
  for (let i = 0; i < held.length; i++) if (held[i]) list.push(i)
  return list
}

/** The eight children of a coarse cell, when they all are full cells of one kind with nothing held: their parents are all alike. */
const isWhole = (
  { share, kindOf }: CellMesh,
  holds: Uint8Array,
  first: Int32Array,
  next: Int32Array,
  parent: number,
): boolean => {
  let n = 0
  const kind = kindOf[first[parent]]
  for (let child = first[parent]; child >= 0; child = next[child]) {
    if (share[child] !== 1 || kindOf[child] !== kind || holds[child]) return false
    n++
  }
  return n === 8
}

/** Children of each coarse cell as chains: first child, and next child of the same parent. */
const chainsOf = (parentOf: Int32Array, nCoarse: number): { first: Int32Array; next: Int32Array } => {
  const first = new Int32Array(nCoarse).fill(-1)
  const next = new Int32Array(parentOf.length)
  for (let c = parentOf.length - 1; c >= 0; c--) {
    next[c] = first[parentOf[c]]
    first[parentOf[c]] = c
  }
  return { first, next }
}

/**
 * Stiffness of all coarse levels. The first level's cells are made one by one from the cubes and handed to the second at once, so that
 * only the second's and coarser ones are ever kept as a whole: an eighth of the memory.
 */
const sumStiffness = async (
  mesh: CellMesh,
  held: Uint8Array,
  fine: LevelCells,
  coarse: readonly CoarseLevel[],
  matrices: readonly BlockMatrix[],
  one: readonly Float32Array[],
  task?: Task,
): Promise<void> => {
  const { nCells, share, kindOf } = mesh
  const projected = (k: Float32Array): Float32Array[] =>
    Array.from({ length: 8 }, (_, child) => {
      const out = new Float32Array(576)
      project(k, child, 1, out, 0)
      return out
    })
  const ready = one.map(projected)
  const whole = ready.map((children) => children[0].map((_, i) => children.reduce((sum, k) => sum + k[i], 0)))
  const wholeReady = whole.map(projected)
  const holds = new Uint8Array(nCells)
  for (let i = 0; i < 8 * nCells; i++) {
    const n = 3 * fine.node[i]
    if (held[n] || held[n + 1] || held[n + 2]) holds[i >> 3] = 1
  }
  const level = coarse[0]
  const above = coarse.length > 1 ? coarse[1] : null
  let sums = new Float32Array(above ? 576 * above.nCells : 0)
  const { first, next } = chainsOf(level.parentOf, level.nCells)
  const cell = new Float32Array(576)
  const masked = new Float32Array(576)
  for (let c = 0; c < level.nCells; c++) {
    const same = isWhole(mesh, holds, first, next, c) ? kindOf[first[c]] : -1
    if (same >= 0) cell.set(whole[same])
    else {
      cell.fill(0)
      for (let child = first[c]; child >= 0; child = next[child]) {
        const s = share[child]
        if (!holds[child]) {
          const from = ready[kindOf[child]][level.childAt[child]]
          for (let i = 0; i < 576; i++) cell[i] += s * from[i]
          continue
        }
        masked.set(one[kindOf[child]])
        for (let i = 0; i < 24; i++) {
          if (!held[3 * fine.node[8 * child + Math.floor(i / 3)] + (i % 3)]) continue
          for (let j = 0; j < 24; j++) masked[24 * i + j] = masked[24 * j + i] = 0
        }
        project(masked, level.childAt[child], s, cell, 0)
      }
    }
    addCell(matrices[0], level.node, 8 * c, cell)
    if (above) {
      const at = 576 * above.parentOf[c]
      if (same >= 0) {
        const from = wholeReady[same][above.childAt[c]]
        for (let i = 0; i < 576; i++) sums[at + i] += from[i]
      } else project(cell, above.childAt[c], 1, sums, at)
    }
    if (c % 2048 === 0) await breathe(task)
  }
  task?.onProgress?.(0.6, 'coarse stiffness')
  for (let l = 1; l < coarse.length; l++) {
    const parents = l + 1 < coarse.length ? coarse[l + 1] : null
    const after = new Float32Array(parents ? 576 * parents.nCells : 0)
    for (let c = 0; c < coarse[l].nCells; c++) {
      const k = sums.subarray(576 * c, 576 * c + 576)
      addCell(matrices[l], coarse[l].node, 8 * c, k)
      if (parents) project(k, parents.childAt[c], 1, after, 576 * parents.parentOf[c])
      if (c % 2048 === 0) await breathe(task)
    }
    sums = after
    task?.onProgress?.(0.6 + (0.2 * l) / coarse.length, 'coarse stiffness')
  }
}

/**
 * Builds the levels.
 * @param held 1 where an unknown of the fine mesh is held
 * @param firmness share by which the coarsest level's diagonal is raised: a body that nothing holds needs some, or its factor is noise
 */
export const buildMultigrid = async (
  mesh: CellMesh,
  held: Uint8Array,
  task?: Task,
  firmness = 0,
): Promise<Multigrid> => {
  const { nNodes, nCells, share, kindOf } = mesh
  const fine = fineLevel(mesh)
  const coarse: CoarseLevel[] = []
  for (let at: LevelCells = fine; at.nNodes > COARSEST_NODES || coarse.length === 0; at = coarse[coarse.length - 1]) {
    const next = coarsen(at)
    coarse.push(next)
    await breathe(task)
    if (next.nNodes > 0.9 * at.nNodes) break
  }
  task?.onProgress?.(0.3, 'coarser grids')
  const one = brickMatrices(mesh.constants)
  const matrices = coarse.map(blocksOfCells)
  await breathe(task)
  await sumStiffness(
    mesh,
    held,
    fine,
    coarse,
    matrices,
    one.map((k) => Float32Array.from(k)),
    task,
  )
  // Levels ready for smoothing.
  const levels: Level[] = []
  const diagonal = new Float64Array(3 * nNodes)
  for (let c = 0; c < nCells; c++) {
    const k = one[kindOf[c]]
    for (let q = 0; q < 8; q++)
      for (let a = 0; a < 3; a++) diagonal[3 * fine.node[8 * c + q] + a] += share[c] * k[25 * (3 * q + a)]
  }
  for (let i = 0; i < diagonal.length; i++) if (held[i]) diagonal[i] = 0
  const heldList = Int32Array.from(heldIndices(held))
  const fineProduct = (x: Float64Array, y: Float64Array): void => {
    brickProduct(mesh, x, y)
    for (let k = 0; k < heldList.length; k++) y[heldList[k]] = 0
  }
  levels.push(levelOf(3 * nNodes, fineProduct, diagonal))
  for (const matrix of matrices) {
    const d = new Float64Array(3 * matrix.nNodes)
    for (let row = 0; row < matrix.nNodes; row++)
      for (let k = matrix.start[row]; k < matrix.start[row + 1]; k++)
        if (matrix.column[k] === row) for (let a = 0; a < 3; a++) d[3 * row + a] = matrix.values[9 * k + 4 * a]
    levels.push(levelOf(3 * matrix.nNodes, (x, y) => blockProduct(matrix, x, y), d))
  }
  for (let l = 0; l + 1 < levels.length; l++) {
    levels[l].greatest = greatestOf(levels[l], l === 0 ? 8 : 12)
    await breathe(task)
  }
  const { solve, envelope, position } = coarsestSolver(matrices[matrices.length - 1], firmness)
  task?.onProgress?.(1, 'ready to solve')

  const restrict = (l: number): void => {
    const { start, from, weight } = coarse[l]
    const r = levels[l].r
    const b = levels[l + 1].b
    b.fill(0)
    for (let n = 0, end = start.length - 1; n < end; n++) {
      const x = r[3 * n]
      const y = r[3 * n + 1]
      const z = r[3 * n + 2]
      for (let k = start[n]; k < start[n + 1]; k++) {
        const o = 3 * from[k]
        const w = weight[k]
        b[o] += w * x
        b[o + 1] += w * y
        b[o + 2] += w * z
      }
    }
  }
  const prolong = (l: number): void => {
    const { start, from, weight } = coarse[l]
    const x = levels[l].x
    const e = levels[l + 1].x
    for (let n = 0, end = start.length - 1; n < end; n++) {
      let a = 0
      let b = 0
      let c = 0
      for (let k = start[n]; k < start[n + 1]; k++) {
        const o = 3 * from[k]
        const w = weight[k]
        a += w * e[o]
        b += w * e[o + 1]
        c += w * e[o + 2]
      }
      x[3 * n] += a
      x[3 * n + 1] += b
      x[3 * n + 2] += c
    }
    if (l === 0) for (let k = 0; k < heldList.length; k++) x[heldList[k]] = 0
  }
  const cycle = (l: number, zero: boolean): void => {
    const level = levels[l]
    if (l === levels.length - 1) {
      solve(level.b, level.x)
      return
    }
    const degree = l === 0 ? 1 : 2
    smooth(level, degree, zero)
    level.product(level.x, level.r)
    for (let i = 0; i < level.n; i++) level.r[i] = level.b[i] - level.r[i]
    restrict(l)
    const below = levels[l + 1]
    below.x.fill(0)
    cycle(l + 1, true)
    // W from the second coarse level on; the coarsest is exact, once is enough.
    if (l >= 1 && l + 2 < levels.length) cycle(l + 1, false)
    prolong(l)
    smooth(level, degree, false)
  }
  let bytes = 8 * envelope.values.length
  for (const m of matrices) bytes += m.values.byteLength + m.column.byteLength
  for (const c of coarse) bytes += c.from.byteLength + c.weight.byteLength + c.start.byteLength + c.node.byteLength
  for (const l of levels) bytes += 5 * l.x.byteLength
  return {
    mesh,
    held,
    levelNodes: levels.map((l) => l.n / 3),
    bytes,
    parts: {
      coarse,
      matrices,
      inverseDiagonals: levels.map((l) => l.inverseDiagonal),
      greatest: levels.map((l) => l.greatest),
      envelope,
      position,
    },
    apply: (r, z) => {
      levels[0].b.set(r)
      cycle(0, true)
      z.set(levels[0].x)
    },
  }
}

/** Exact solution on the coarsest level. */
const coarsestSolver = (
  matrix: BlockMatrix,
  firmness: number,
): { solve: (b: Float64Array, x: Float64Array) => void; envelope: Envelope; position: Uint32Array } => {
  const graph = { start: matrix.start, list: Uint32Array.from(matrix.column) }
  const position = narrowOrder(graph)
  const envelope = blockEnvelope(graph, position, 3)
  for (let row = 0; row < matrix.nNodes; row++)
    for (let k = matrix.start[row]; k < matrix.start[row + 1]; k++) {
      const i = 3 * position[row]
      const j = 3 * position[matrix.column[k]]
      if (j > i) continue
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) if (j + b <= i + a) envelope.add(i + a, j + b, matrix.values[9 * k + 3 * a + b])
    }
  if (firmness > 0) for (let i = 0; i < envelope.n; i++) envelope.values[envelope.rowEnd[i]] *= 1 + firmness
  envelope.factor()
  const y = new Float64Array(3 * matrix.nNodes)
  return {
    envelope,
    position,
    solve: (b, x) => {
      for (let n = 0; n < matrix.nNodes; n++) for (let a = 0; a < 3; a++) y[3 * position[n] + a] = b[3 * n + a]
      envelope.solve(y)
      for (let n = 0; n < matrix.nNodes; n++) for (let a = 0; a < 3; a++) x[3 * n + a] = y[3 * position[n] + a]
    },
  }
}
