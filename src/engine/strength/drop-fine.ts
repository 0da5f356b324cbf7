// A fall's worst instant on a finer grid, and the frequencies there.
//
// Forces of the contacts and the inertia of everything that is being slowed down are put on the finer grid as one load in balance (the
// acceleration of the coarser grid's modes, carried over; the rigid part follows from balance itself), and solved once.

import type { Task } from '../kernel/index.ts'
import type { CellMesh } from './brick.ts'
import { patchAt, pushPatch } from './drop-patch.ts'
import type { Triple } from './drop-places.ts'
import { type CellLimits, type Touching, type WorstCell, worstBlock, worstCell } from './drop-stress.ts'
import { balance, type FreeBody, type FreeSolver } from './modes-body.ts'
import { type FreeModes, refineModes } from './modes-free.ts'

/** Rounds after which the lowest frequencies of a figure no longer change by a thousandth. */
const REFINE_ROUNDS = 1

/** Where each finer node lies in the coarser mesh: its eight nodes (or the nearest ones) with weights. */
export interface CarryOver {
  readonly node: Int32Array
  readonly weight: Float32Array
}

/** Nodes of one mesh within cells of another of the same body; nodes outside all cells take the nearest cell within two. */
export const carryOver = (from: CellMesh, to: CellMesh): CarryOver => {
  const key = (x: number, y: number, z: number): number => (Math.min(x, y, z) < 0 ? -1 : (z * 4096 + y) * 4096 + x)
  const cellOf = new Map<number, number>()
  for (let c = 0; c < from.nCells; c++)
    cellOf.set(key(from.cellAt[3 * c], from.cellAt[3 * c + 1], from.cellAt[3 * c + 2]), c)
  const node = new Int32Array(8 * to.nNodes)
  const weight = new Float32Array(8 * to.nNodes)
  for (let n = 0; n < to.nNodes; n++) {
    const p = [0, 1, 2].map((a) => (to.origin[a] + to.cellMm * to.nodeAt[3 * n + a] - from.origin[a]) / from.cellMm)
    const base = p.map((v) => Math.floor(v))
    let cell = cellOf.get(key(base[0], base[1], base[2])) ?? -1
    let best = cell < 0 ? Infinity : 0
    for (let k = 0; k < 125 && best > 0; k++) {
      const at = [base[0] - 2 + (k % 5), base[1] - 2 + (Math.floor(k / 5) % 5), base[2] - 2 + Math.floor(k / 25)]
      if (Math.min(...at) < 0) continue
      const c = cellOf.get(key(at[0], at[1], at[2]))
      if (c === undefined) continue
      let d = 0
      for (let a = 0; a < 3; a++) d += Math.max(0, at[a] - p[a], p[a] - at[a] - 1) ** 2
      if (d < best) {
        best = d
        cell = c
      }
    }
    if (cell < 0) continue
    // Outside, the cell's own linear course goes on.
    const t = p.map((v, a) => v - from.cellAt[3 * cell + a])
    for (let k = 0; k < 8; k++) {
      node[8 * n + k] = from.cellNode[4 * cell + (k >> 1)] + (k & 1)
      weight[8 * n + k] = (k & 1 ? t[0] : 1 - t[0]) * ((k >> 1) & 1 ? t[1] : 1 - t[1]) * (k >> 2 ? t[2] : 1 - t[2])
    }
  }
  return { node, weight }
}

/** Values of one mesh on another. */
export const carried = ({ node, weight }: CarryOver, u: Float64Array): Float64Array => {
  const out = new Float64Array((3 * node.length) / 8)
  for (let i = 0; i < node.length; i++) {
    const o = 3 * (i >> 3)
    const f = 3 * node[i]
    for (let a = 0; a < 3; a++) out[o + a] += weight[i] * u[f + a]
  }
  return out
}

/** A worst instant of a fall. */
export interface Instant {
  readonly down: Triple
  /** Contacts with their forces, N. */
  readonly contacts: readonly { readonly at: Triple; readonly forceN: number }[]
  /** Acceleration of each mode, mm/s2 of amplitude. */
  readonly acceleration: Float64Array
}

/** What an instant uses on the finer grid. */
export interface FineUse {
  /** Greatest over all finer cells: next to a sharp corner it grows with every refinement. */
  readonly peak: WorstCell
  /** Greatest over blocks of eight finer cells: to be compared with the coarser grid's own. */
  readonly even: WorstCell
}

/** Stress at some instants on the finer body, solved together. */
export const fineInstants = async (
  fine: FreeBody,
  coarse: FreeBody,
  modes: FreeModes,
  instants: readonly Instant[],
  limits: CellLimits,
  reachMm: number,
  solve: FreeSolver,
  task?: Task,
): Promise<FineUse[]> => {
  const over = carryOver(coarse.mesh, fine.mesh)
  const loads = instants.map(({ acceleration, contacts, down }) => {
    const slowing = new Float64Array(coarse.mass.length)
    modes.shapes.forEach((shape, k) => {
      const a = acceleration[k]
      for (let i = 0; i < slowing.length; i++) slowing[i] += a * shape[i]
    })
    const f = carried(over, slowing)
    for (let i = 0; i < f.length; i++) f[i] *= -fine.mass[i]
    for (const { at, forceN } of contacts)
      pushPatch(patchAt(fine, at), [-down[0] * forceN, -down[1] * forceN, -down[2] * forceN], f)
    balance(fine, f)
    return f
  })
  const moves = await solve(loads, 1e-4, task)
  return moves.map((move, i) => {
    const touching: Touching[] = instants[i].contacts.map(({ at }) => ({ at, reachMm }))
    return {
      peak: worstCell(fine.mesh, move, limits, touching),
      even: worstBlock(fine.mesh, move, limits, touching),
    }
  })
}

/** Frequencies of the lowest modes on the finer body, Hz. */
export const fineFrequencies = async (
  fine: FreeBody,
  coarse: FreeBody,
  modes: FreeModes,
  nModes: number,
  solve: FreeSolver,
  task?: Task,
): Promise<Float64Array> => {
  const over = carryOver(coarse.mesh, fine.mesh)
  // Two more than asked for, so that the last one has neighbours above.
  const starts = modes.shapes.slice(0, Math.min(modes.nModes, nModes + 2)).map((s) => carried(over, s))
  const found = await refineModes(fine, starts, nModes, REFINE_ROUNDS, solve, task)
  return found.omega.map((w) => w / (2 * Math.PI))
}
