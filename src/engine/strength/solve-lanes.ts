// Four loads solved together: conjugate gradients in double precision, multigrid before them in single precision, in WebAssembly.
//
// The same method as solveField, whose answers it must give; it shares the levels. Each load is a lane of the vectors, so cells,
// stiffness and transfers are read once for all four. The correction comes from single precision, so the next direction is made
// from the change of the residual (Polak and Ribiere), which allows for a preconditioner that is not quite the same each time.

import { breathe, type StartWasm, type Task, type WasmExports, wasmProgram } from '../kernel/index.ts'
import type { CellMesh } from './brick.ts'
import { laneFunctions, NODE_BYTES, ROW_BYTES } from './lane-kernels.ts'
import { heldIndices, type Multigrid, RANGE } from './multigrid.ts'
import type { SolvedField } from './solve-field.ts'

/** Loads that are solved together. */
export const N_LANES = 4
const N_CONSTANTS = 27
const PAGE = 65_536
/** More than this is not asked of one memory, bytes. */
const MOST_BYTES = 2 ** 31 - PAGE

type Run = (...words: number[]) => void
type Loops = Readonly<Record<string, Run>>

/** Movement of every node under each load so far, while the solution goes on. */
type LanePreview = (moves: readonly Float64Array[], iterations: number) => void

/** A memory full of levels, ready to solve. */
export interface LaneSolver {
  readonly bytes: number
  /**
   * Solves K u = f for up to four loads; held unknowns stay where they are.
   * @param forces N, xyz per node
   * @param preview called once after a few iterations, with movements that are about right
   */
  readonly solve: (
    forces: readonly Float64Array[],
    tolerance?: number,
    most?: number,
    task?: Task,
    preview?: LanePreview,
  ) => Promise<SolvedField[]>
}

/** Iterations after which movements at the loads are within a tenth, mostly a hundredth. */
const PREVIEW_AFTER = 5

/** Hands out places in memory before there is one, in lines of 64 bytes. */
const plan = () => {
  let end = 0
  return {
    take: (nBytes: number): number => {
      const at = end
      end += 64 * Math.ceil(nBytes / 64)
      return at
    },
    end: () => end,
  }
}

/** Runs of cells in a row: their first four nodes (bytes) and how many. */
const runsOf = ({ nCells, cellNode }: CellMesh): Int32Array => {
  const words: number[] = []
  let c = 0
  while (c < nCells) {
    const first = c
    do c++
    while (c < nCells && [0, 1, 2, 3].every((k) => cellNode[4 * c + k] - cellNode[4 * first + k] === c - first))
    for (let k = 0; k < 4; k++) words.push(NODE_BYTES * cellNode[4 * first + k])
    words.push(c - first)
  }
  return Int32Array.from(words)
}

interface LaneLevel {
  readonly nNodes: number
  readonly x: number
  readonly b: number
  readonly r: number
  readonly p: number
  readonly diagonal: number
  readonly greatest: number
  readonly product: () => void
  /** Bytes of one vector. */
  readonly size: number
  readonly ends: number
  readonly entries: number
}

/** Puts the levels of a grid into a memory of their own; null where that cannot be had. */
export const laneSolver = async (grid: Multigrid, start: StartWasm): Promise<LaneSolver | null> => {
  const { mesh, held, parts, levelNodes } = grid
  const { coarse, matrices, inverseDiagonals, greatest, envelope, position } = parts
  const { nCells, nNodes } = mesh
  const { take, end } = plan()
  const nKinds = mesh.constants.length / N_CONSTANTS
  const scratch = take(512)
  const constants32 = take(4 * mesh.constants.length)
  const constants64 = take(8 * mesh.constants.length)
  const cells32 = take(8 * nCells)
  const cells64 = take(12 * nCells)
  const runs = runsOf(mesh)
  const runAt = take(runs.byteLength)
  const heldList = Int32Array.from(heldIndices(held), (i) => 16 * i)
  const heldAt = take(heldList.byteLength)
  const at = levelNodes.map((n, l) => ({
    x: take(NODE_BYTES * n),
    b: take(NODE_BYTES * n),
    r: take(NODE_BYTES * n),
    p: l === 0 ? 0 : take(NODE_BYTES * n),
    diagonal: take(12 * n),
    ends: take(4 * n),
    entries: take(l < coarse.length ? 8 * coarse[l].from.length : 0),
  }))
  const blocksAt = matrices.slice(0, -1).map((m) => ({
    ends: take(4 * m.nNodes),
    columns: take(4 * m.column.length),
    values: take(4 * m.values.length),
  }))
  const rows = take(ROW_BYTES * envelope.n)
  const factor = take(4 * envelope.values.length)
  const order = take(4 * envelope.n)
  const sorted = take(16 * envelope.n)
  const doubles = [0, 1].map(() => ({
    x: take(NODE_BYTES * nNodes),
    r: take(NODE_BYTES * nNodes),
    p: take(NODE_BYTES * nNodes),
    q: take(NODE_BYTES * nNodes),
  }))
  if (end() > MOST_BYTES) return null
  const exported: WasmExports | null = await start(wasmProgram(laneFunctions(), Math.ceil(end() / PAGE)))
  if (!exported) return null
  const loops = exported as unknown as Loops
  const { buffer } = exported.memory
  const f32 = new Float32Array(buffer)
  const f64 = new Float64Array(buffer, 0, Math.floor(buffer.byteLength / 8))
  const words = new Int32Array(buffer)
  const bytes = new DataView(buffer)

  f32.set(mesh.constants, constants32 / 4)
  f64.set(mesh.constants, constants64 / 8)
  for (let c = 0; c < nCells; c++) {
    const kind = N_CONSTANTS * Math.min(mesh.kindOf[c], nKinds - 1)
    f32[cells32 / 4 + 2 * c] = mesh.share[c]
    words[cells32 / 4 + 2 * c + 1] = constants32 + 4 * kind
    bytes.setFloat64(cells64 + 12 * c, mesh.share[c], true)
    bytes.setInt32(cells64 + 12 * c + 8, constants64 + 8 * kind, true)
  }
  words.set(runs, runAt / 4)
  words.set(heldList, heldAt / 4)
  levelNodes.forEach((n, l) => {
    if (l < inverseDiagonals.length) f32.set(inverseDiagonals[l], at[l].diagonal / 4)
    if (l >= coarse.length) return
    const { start: from, from: node, weight } = coarse[l]
    for (let i = 0; i < n; i++) words[at[l].ends / 4 + i] = 8 * from[i + 1]
    for (let k = 0, o = at[l].entries / 4; k < node.length; k++, o += 2) {
      words[o] = NODE_BYTES * node[k]
      f32[o + 1] = weight[k]
    }
  })
  blocksAt.forEach(({ ends, columns, values }, i) => {
    const m = matrices[i]
    for (let row = 0; row < m.nNodes; row++) words[ends / 4 + row] = 4 * m.start[row + 1]
    for (let k = 0; k < m.column.length; k++) words[columns / 4 + k] = NODE_BYTES * m.column[k]
    f32.set(m.values, values / 4)
  })
  for (let i = 0; i < envelope.n; i++) {
    const o = (rows + ROW_BYTES * i) / 4
    words[o] = 16 * envelope.first[i]
    words[o + 1] = 16 * i
    words[o + 2] = 4 * (envelope.rowEnd[i] - (i - envelope.first[i]))
    words[o + 3] = 4 * envelope.rowEnd[i]
  }
  f32.set(envelope.values, factor / 4)
  for (let n = 0; n < position.length; n++)
    for (let a = 0; a < 3; a++) words[order / 4 + 3 * position[n] + a] = 16 * (3 * n + a)

  const runEnd = runAt + runs.byteLength
  const letGo = (vector: number): void => loops.release(vector, heldAt, heldAt + heldList.byteLength)
  const levels = levelNodes.map((n, l): LaneLevel => {
    const { x, b, r, p, diagonal, ends, entries } = at[l]
    const size = NODE_BYTES * n
    const product =
      l === 0
        ? () => {
            loops.brick32(x, r, size, runAt, runEnd, cells32)
            letGo(r)
          }
        : () => {
            const o = blocksAt[l - 1]
            loops.blocks(x, r, o.ends, o.ends + 4 * n, o.columns, o.values)
          }
    return { nNodes: n, x, b, r, p, diagonal, greatest: greatest[l], product, size, ends, entries }
  })
  const last = levels.length - 1
  const factors = (f: number, g: number): number => {
    f32[scratch / 4] = f
    f32[scratch / 4 + 1] = g
    return scratch
  }
  const smooth = (l: number, zero: boolean): void => {
    const level = levels[l]
    const { x, b, r, p, diagonal, size } = level
    const low = RANGE[0] * level.greatest
    const high = RANGE[1] * level.greatest
    const theta = (high + low) / 2
    if (l === 0) {
      if (zero) loops.start(x, x, b, r, diagonal, x + size, factors(1 / theta, 0))
      else {
        level.product()
        loops.relax(x, b, r, diagonal, x + size, factors(1 / theta, 0))
      }
      return
    }
    // Chebyshev of degree two.
    const delta = (high - low) / 2
    const rho = delta / theta
    if (zero) loops.start(x, p, b, r, diagonal, x + size, factors(1 / theta, 0))
    else {
      level.product()
      loops.smooth(x, p, b, r, diagonal, x + size, factors(1 / theta, 0))
    }
    const next = 1 / ((2 * theta) / delta - rho)
    level.product()
    loops.smooth(x, p, b, r, diagonal, x + size, factors((2 * next) / delta, next * rho))
  }
  const cycle = (l: number, zero: boolean): void => {
    const level = levels[l]
    if (l === last) {
      loops.gather(level.b, sorted, order, order + 4 * envelope.n)
      loops.forward(sorted, rows, rows + ROW_BYTES * envelope.n, factor)
      loops.backward(sorted, rows, rows + ROW_BYTES * envelope.n, factor)
      loops.scatter(sorted, level.x, order, order + 4 * envelope.n)
      return
    }
    smooth(l, zero)
    level.product()
    const below = levels[l + 1]
    f32.fill(0, below.b / 4, (below.b + below.size) / 4)
    f32.fill(0, below.x / 4, (below.x + below.size) / 4)
    const endsEnd = level.ends + 4 * level.nNodes
    loops.restrict(level.b, level.r, below.b, level.ends, endsEnd, level.entries)
    cycle(l + 1, true)
    if (l >= 1 && l + 2 < levels.length) cycle(l + 1, false)
    loops.prolong(level.x, level.r, below.x, level.ends, endsEnd, level.entries)
    if (l === 0) letGo(level.x)
    smooth(l, false)
  }

  const size = NODE_BYTES * nNodes
  const sums = scratch + 64
  const solve: LaneSolver['solve'] = async (forces, tolerance = 1e-6, most = 300, task, preview) => {
    const pairs = doubles.slice(0, forces.length > 2 ? 2 : 1)
    // With two loads or fewer the second pair stands for the first, and its sums are not looked at.
    const [low, high] = [doubles[0], doubles[pairs.length - 1]]
    const n = 3 * nNodes
    const loads = forces.map((force, lane) => {
      const { r } = doubles[lane >> 1]
      let sum = 0
      for (let i = 0; i < n; i++) {
        const f = held[i] ? 0 : force[i]
        f64[r / 8 + 2 * i + (lane & 1)] = f
        sum += f * f
      }
      return Math.sqrt(sum)
    })
    for (const { x, r, p, q } of pairs) {
      for (const v of [x, p, q]) f64.fill(0, v / 8, (v + size) / 8)
      if (forces.length % 2 === 1 && r === pairs[pairs.length - 1].r)
        for (let i = 0; i < n; i++) f64[r / 8 + 2 * i + 1] = 0
    }
    const residual: number[] = loads.map((load) => (load > 0 ? 1 : 0))
    const done = loads.map(() => 0)
    const rz = [0, 0, 0, 0]
    const alpha = [0, 0, 0, 0]
    const fine = levels[0]
    const move = (): Float64Array[] =>
      forces.map((_, lane) => {
        const x = doubles[lane >> 1].x / 8 + (lane & 1)
        const out = new Float64Array(n)
        for (let i = 0; i < n; i++) out[i] = f64[x + 2 * i]
        return out
      })
    let iterations = 0
    while (residual.some((r) => r > tolerance) && iterations < most) {
      loops.demote(fine.b, fine.b + size, low.r, high.r)
      cycle(0, true)
      await breathe(task)
      loops.products(fine.x, fine.x + size, low.r, high.r, low.q, high.q, sums)
      for (let lane = 0; lane < N_LANES; lane++) {
        const next = f64[sums / 8 + lane]
        const changed = -alpha[lane] * f64[sums / 8 + 4 + lane]
        const beta = iterations > 0 && rz[lane] > 0 ? Math.max(0, changed / rz[lane]) : 0
        rz[lane] = next
        f64[scratch / 8 + 2 + lane] = beta
      }
      loops.directionLow(fine.x, fine.x + size, low.p, scratch + 16)
      if (high !== low) loops.directionHigh(fine.x, fine.x + size, high.p, scratch + 32)
      pairs.forEach(({ x, r, p, q }, k) => {
        loops.brick64(p, q, size, runAt, runEnd, cells64)
        letGo(q)
        loops.dot(p, p + size, q, sums)
        for (let i = 0; i < 2; i++) {
          const pq = f64[sums / 8 + i]
          const lane = 2 * k + i
          // A lane that has arrived stays where it is.
          alpha[lane] = pq > 0 && lane < loads.length && residual[lane] > tolerance / 100 ? rz[lane] / pq : 0
          f64[scratch / 8 + 2 + i] = alpha[lane]
        }
        loops.advance(x, x + size, p, r, q, scratch + 16, sums)
        for (let i = 0; i < 2; i++) {
          const lane = 2 * k + i
          if (lane >= loads.length || loads[lane] === 0) continue
          if (residual[lane] > tolerance) done[lane] = iterations + 1
          residual[lane] = Math.sqrt(f64[sums / 8 + i]) / loads[lane]
        }
      })
      iterations++
      if (iterations === PREVIEW_AFTER) preview?.(move(), iterations)
      const worst = Math.max(...residual)
      task?.onProgress?.(Math.max(0, Math.min(0.99, Math.log(worst) / Math.log(tolerance))), 'solving the full field')
      await breathe(task)
    }
    return move().map((moved, lane) => {
      let work = 0
      for (let i = 0; i < n; i++) work += held[i] ? 0 : moved[i] * forces[lane][i]
      return {
        move: moved,
        iterations: done[lane],
        residual: residual[lane],
        energyMJ: work / 2,
        converged: residual[lane] <= tolerance,
      }
    })
  }
  return { bytes: buffer.byteLength, solve }
}
