// Stress and share of strength used in a vibrating body of cells: at chosen cells through time, everywhere at one instant.
//
// As in the full field: the plastic's own stress at the middle of a cell plus the cell's gradient out to where the plastic ends, cells at
// least half full. In infill the stress of the beads counts: that of the medium over the share that bears it. Cells within a contact's
// own reach are left out: there the floor presses, and the contact law has the say.

import type { CellMesh } from './brick.ts'
import { cellStress, surfaceShare } from './field-stress.ts'
import { infillShares, type StrengthMaterial } from './material.ts'

/** Limits of each cell, MPa: pull in the layer, pull across layers, shear between layers; 0 in the first where a cell is left out. */
export type CellLimits = Float64Array

/** Shear limit between layers over strength across them, as in the angle table of the material. */
const SHEAR_OF_ACROSS = 25 / 26
/** What counts as filled enough to tell a stress. */
export const WELL_FILLED = 0.5

/** Limits of all cells. */
export const cellLimits = (
  mesh: CellMesh,
  material: StrengthMaterial,
  infillShare: number,
  weldAt: (z: number) => number,
): CellLimits => {
  const out = new Float64Array(3 * mesh.nCells)
  const infill = infillShares(Math.max(infillShare, 0.02))
  for (let c = 0; c < mesh.nCells; c++) {
    if (mesh.share[c] < WELL_FILLED) continue
    const weld = weldAt(mesh.origin[2] + mesh.cellMm * (mesh.cellAt[3 * c + 2] + 0.5))
    const core = mesh.kindOf[c] > 0
    const across = material.acrossStrengthMPa * weld * (core ? infill.across : 1)
    out[3 * c] = material.alongStrengthMPa * (core ? infill.within : 1)
    out[3 * c + 1] = across
    out[3 * c + 2] = across * SHEAR_OF_ACROSS
  }
  return out
}

/** Numbers kept of a cell's stress: six at the middle, nine of the gradient. */
const N_STRESS = 15

/** What one cell uses. */
export interface CellUse {
  /** Greatest share of strength, in the layer and across layers. */
  inLayer: number
  across: number
  /** Greatest pull in the layer and across layers, MPa. */
  inLayerMPa: number
  acrossMPa: number
}

/** Use at the worst corner of a cell from its 15 numbers. */
export const useAt = (
  s: ArrayLike<number>,
  o: number,
  limits: CellLimits,
  cell: number,
  share: number,
  out: CellUse,
): number => {
  const along = limits[3 * cell]
  const z = limits[3 * cell + 1]
  const shear2 = limits[3 * cell + 2] ** 2
  const r = surfaceShare(share)
  const slide = (s[o + 4] ** 2 + s[o + 5] ** 2) / shear2
  const xy2 = s[o + 3] ** 2
  out.inLayer = 0
  out.across = 0
  for (let corner = 0; corner < 8; corner++) {
    const x = corner & 1 ? r : -r
    const y = corner & 2 ? r : -r
    const w = corner & 4 ? r : -r
    const xx = s[o] + y * s[o + 7] + w * s[o + 8]
    const yy = s[o + 1] + x * s[o + 9] + w * s[o + 11]
    const zz = s[o + 2] + x * s[o + 12] + y * s[o + 13]
    const half = (xx - yy) / 2
    const most = (xx + yy) / 2 + Math.sqrt(half * half + xy2)
    if (most / along > out.inLayer) {
      out.inLayer = most / along
      out.inLayerMPa = most
    }
    const pull = zz > 0 ? zz / z : 0
    const between = Math.sqrt(pull * pull + slide)
    if (between > out.across) {
      out.across = between
      out.acrossMPa = zz
    }
  }
  return Math.max(out.inLayer, out.across)
}

const newUse = (): CellUse => ({ inLayer: 0, across: 0, inLayerMPa: 0, acrossMPa: 0 })

/** Numbers of chosen cells, 15 each, under one displacement. */
const stressOf = (mesh: CellMesh, u: Float64Array, cells: Int32Array): Float64Array => {
  const { middle, gradient } = cellStress(mesh, u)
  const out = new Float64Array(N_STRESS * cells.length)
  cells.forEach((c, i) => {
    for (let k = 0; k < 6; k++) out[N_STRESS * i + k] = middle[6 * c + k]
    for (let k = 0; k < 9; k++) out[N_STRESS * i + 6 + k] = gradient[9 * c + k]
  })
  return out
}

/** Stress of chosen cells by mode, ready for sums over time. */
export interface WatchedCells {
  readonly cells: Int32Array
  /** Per mode 15 numbers a cell, for unit amplitude, MPa. */
  readonly byMode: readonly Float64Array[]
}

/** Cells a block across from which one is watched. */
const BLOCK_CELLS = 6

/**
 * Chooses cells to watch: of each block of cells the one that uses most when all modes are started by the same impulse (amplitudes as 1
 * over frequency, root of the sum of squares), and the worst few of all.
 */
export const watchCells = (
  mesh: CellMesh,
  shapes: readonly Float64Array[],
  omega: Float64Array,
  limits: CellLimits,
): WatchedCells => {
  const { nCells, cellAt, share } = mesh
  const square = new Float64Array(nCells)
  const use = newUse()
  const one = new Float64Array(N_STRESS)
  shapes.forEach((u, k) => {
    const { middle, gradient } = cellStress(mesh, u)
    const amplitude = 1 / omega[k]
    for (let c = 0; c < nCells; c++) {
      if (limits[3 * c] === 0) continue
      let most = 0
      for (const sign of [amplitude, -amplitude]) {
        for (let i = 0; i < 6; i++) one[i] = sign * middle[6 * c + i]
        for (let i = 0; i < 9; i++) one[6 + i] = sign * gradient[9 * c + i]
        most = Math.max(most, useAt(one, 0, limits, c, share[c], use))
      }
      square[c] += most * most
    }
  })
  const best = new Map<number, number>()
  for (let c = 0; c < nCells; c++) {
    if (limits[3 * c] === 0) continue
    const key = [0, 1, 2].reduce((s, a) => s * 1024 + Math.floor(cellAt[3 * c + a] / BLOCK_CELLS), 0)
    const old = best.get(key)
    if (old === undefined || square[c] > square[old]) best.set(key, c)
  }
  const cells = Int32Array.from(best.values()).sort((a, b) => square[b] - square[a])
  // A block that answers a twentieth as much as the worst never leads.
  const worst = square[cells[0]] ?? 0
  const kept = cells.filter((c) => square[c] > worst / 400)
  return { cells: kept, byMode: shapes.map((u) => stressOf(mesh, u, kept)) }
}

/** Adds a displacement that is not a mode (a static correction). */
export const watchedStress = (mesh: CellMesh, watched: WatchedCells, u: Float64Array): Float64Array =>
  stressOf(mesh, u, watched.cells)

/** A contact under way, for leaving out what lies right at it. */
export interface Touching {
  readonly at: readonly [number, number, number]
  readonly reachMm: number
}

const besideContact = (mesh: CellMesh, c: number, touching: readonly Touching[]): boolean => {
  const { origin, cellMm, cellAt } = mesh
  for (const { at, reachMm } of touching) {
    const x = origin[0] + cellMm * (cellAt[3 * c] + 0.5) - at[0]
    const y = origin[1] + cellMm * (cellAt[3 * c + 1] + 0.5) - at[1]
    const z = origin[2] + cellMm * (cellAt[3 * c + 2] + 0.5) - at[2]
    if (x * x + y * y + z * z < reachMm * reachMm) return true
  }
  return false
}

const sum = new Float64Array(4096 * N_STRESS)

/** Greatest use among watched cells for amplitudes of modes and of static corrections. */
export const watchedUse = (
  mesh: CellMesh,
  { cells, byMode }: WatchedCells,
  amplitude: Float64Array,
  corrections: readonly { readonly stress: Float64Array; readonly amount: number }[],
  touching: readonly Touching[],
  limits: CellLimits,
): number => {
  const n = N_STRESS * Math.min(cells.length, 4096)
  sum.fill(0, 0, n)
  for (let k = 0; k < byMode.length; k++) {
    const a = amplitude[k]
    const s = byMode[k]
    for (let i = 0; i < n; i++) sum[i] += a * s[i]
  }
  for (const { stress, amount } of corrections) for (let i = 0; i < n; i++) sum[i] += amount * stress[i]
  const use = newUse()
  let worst = 0
  for (let i = 0; i < n / N_STRESS; i++) {
    const c = cells[i]
    const u = useAt(sum, N_STRESS * i, limits, c, mesh.share[c], use)
    if (u > worst && !besideContact(mesh, c, touching)) worst = u
  }
  return worst
}

/** Worst cell of a whole body under a displacement. */
export interface WorstCell extends CellUse {
  readonly cell: number
  readonly use: number
  readonly at: readonly [number, number, number]
}

/** Looks at all cells at one instant. */
export const worstCell = (
  mesh: CellMesh,
  u: Float64Array,
  limits: CellLimits,
  touching: readonly Touching[],
): WorstCell => {
  const { middle, gradient } = cellStress(mesh, u)
  const one = new Float64Array(N_STRESS)
  const use = newUse()
  let worst: WorstCell = { ...newUse(), cell: 0, use: 0, at: [0, 0, 0] }
  for (let c = 0; c < mesh.nCells; c++) {
    if (limits[3 * c] === 0) continue
    for (let i = 0; i < 6; i++) one[i] = middle[6 * c + i]
    for (let i = 0; i < 9; i++) one[6 + i] = gradient[9 * c + i]
    const here = useAt(one, 0, limits, c, mesh.share[c], use)
    if (here <= worst.use || besideContact(mesh, c, touching)) continue
    const at = [0, 1, 2].map((a) => mesh.origin[a] + mesh.cellMm * (mesh.cellAt[3 * c + a] + 0.5))
    worst = { ...use, cell: c, use: here, at: [at[0], at[1], at[2]] }
  }
  return worst
}

/** Least number of well-filled cells of a block of eight whose mean stress is told. */
const LEAST_OF_BLOCK = 6

/**
 * Worst block of two by two by two cells: mean stress of its cells and the change across it out to its surface. On cells of half a bead
 * this is the stress over a bead's width, which a sharp corner leaves finite.
 */
export const worstBlock = (
  mesh: CellMesh,
  u: Float64Array,
  limits: CellLimits,
  touching: readonly Touching[],
): WorstCell => {
  const { middle } = cellStress(mesh, u)
  const { cellAt, nCells, share, origin, cellMm } = mesh
  const key = (x: number, y: number, z: number): number => (z * 4096 + y) * 4096 + x
  const cellOf = new Map<number, number>()
  for (let c = 0; c < nCells; c++)
    if (limits[3 * c] > 0) cellOf.set(key(cellAt[3 * c], cellAt[3 * c + 1], cellAt[3 * c + 2]), c)
  const one = new Float64Array(N_STRESS)
  const half = new Float64Array(18)
  const use = newUse()
  let worst: WorstCell = { ...newUse(), cell: 0, use: 0, at: [0, 0, 0] }
  for (let c = 0; c < nCells; c++) {
    if (limits[3 * c] === 0) continue
    one.fill(0)
    half.fill(0)
    let n = 0
    let filled = 0
    const count = [0, 0, 0]
    for (let k = 0; k < 8; k++) {
      const side = [k & 1, (k >> 1) & 1, k >> 2]
      const o = cellOf.get(key(cellAt[3 * c] + side[0], cellAt[3 * c + 1] + side[1], cellAt[3 * c + 2] + side[2]))
      if (o === undefined) continue
      n++
      filled += share[o]
      for (let i = 0; i < 6; i++) one[i] += middle[6 * o + i]
      // Sums of the three normal stresses over the upper half along each axis.
      for (let a = 0; a < 3; a++)
        if (side[a]) {
          count[a]++
          for (let i = 0; i < 3; i++) half[3 * i + a] += middle[6 * o + i]
        }
    }
    if (n < LEAST_OF_BLOCK || count.some((m) => m === 0 || m === n)) continue
    for (let i = 0; i < 3; i++)
      for (let a = 0; a < 3; a++) {
        const upper = half[3 * i + a]
        one[6 + 3 * i + a] = upper / count[a] - (one[i] - upper) / (n - count[a])
      }
    for (let i = 0; i < 6; i++) one[i] /= n
    const here = useAt(one, 0, limits, c, filled / n, use)
    if (here <= worst.use || besideContact(mesh, c, touching)) continue
    const at = [0, 1, 2].map((a) => origin[a] + cellMm * (cellAt[3 * c + a] + 1))
    worst = { ...use, cell: c, use: here, at: [at[0], at[1], at[2]] }
  }
  return worst
}
