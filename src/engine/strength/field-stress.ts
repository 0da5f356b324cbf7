// Stress in cells from displacements: at the middle, and over the cell by the modes that bending leaves free.
//
// Reported stress is that of the plastic: a cell filled in part carries less force, not less stress. The surface stress is the middle's
// plus the cell's own gradient out to where the plastic ends (surfaceShare), in cells at least half full: exact for bending, first
// order elsewhere.

import type { CellMesh } from './brick.ts'

/** Six numbers a cell: xx, yy, zz, xy, yz, zx, MPa. */
export interface CellStress {
  readonly middle: Float64Array
  /** Gradients of the three normal stresses over half a cell along x, y, z: 9 per cell (xx by x, y, z; yy ...; zz ...), MPa. */
  readonly gradient: Float64Array
}

const modes = new Float64Array(24)

/** Modes of one cell's displacement: 8 per direction (1, x, y, z, xy, xz, yz, xyz), over half a cell. */
const cellModes = ({ cellNode }: CellMesh, c: number, u: Float64Array): void => {
  const n0 = 3 * cellNode[4 * c]
  const n1 = 3 * cellNode[4 * c + 1]
  const n2 = 3 * cellNode[4 * c + 2]
  const n3 = 3 * cellNode[4 * c + 3]
  for (let a = 0; a < 3; a++) {
    // Sums and differences along x, then y, then z.
    const s0 = u[n0 + 3 + a] + u[n0 + a]
    const s1 = u[n1 + 3 + a] + u[n1 + a]
    const s2 = u[n2 + 3 + a] + u[n2 + a]
    const s3 = u[n3 + 3 + a] + u[n3 + a]
    const d0 = u[n0 + 3 + a] - u[n0 + a]
    const d1 = u[n1 + 3 + a] - u[n1 + a]
    const d2 = u[n2 + 3 + a] - u[n2 + a]
    const d3 = u[n3 + 3 + a] - u[n3 + a]
    const m = 8 * a
    modes[m] = (s0 + s1 + s2 + s3) / 8
    modes[m + 1] = (d0 + d1 + d2 + d3) / 8
    modes[m + 2] = (s1 - s0 + s3 - s2) / 8
    modes[m + 3] = (s2 + s3 - s0 - s1) / 8
    modes[m + 4] = (d1 - d0 + d3 - d2) / 8
    modes[m + 5] = (d2 + d3 - d0 - d1) / 8
    modes[m + 6] = (s3 - s2 - s1 + s0) / 8
    modes[m + 7] = (d3 - d2 - d1 + d0) / 8
  }
}

/** Stresses of all cells. */
export const cellStress = (mesh: CellMesh, u: Float64Array): CellStress => {
  const { nCells, kindOf, stiffness, cellMm } = mesh
  const middle = new Float64Array(6 * nCells)
  const gradient = new Float64Array(9 * nCells)
  const perMm = 2 / cellMm
  for (let c = 0; c < nCells; c++) {
    cellModes(mesh, c, u)
    const { normal, shear } = stiffness[kindOf[c]]
    const [dxx, dyy, dzz, dxy, dyz, dxz] = normal
    const ex = modes[1] * perMm
    const ey = modes[8 + 2] * perMm
    const ez = modes[16 + 3] * perMm
    const o = 6 * c
    middle[o] = dxx * ex + dxy * ey + dxz * ez
    middle[o + 1] = dxy * ex + dyy * ey + dyz * ez
    middle[o + 2] = dxz * ex + dyz * ey + dzz * ez
    middle[o + 3] = shear[0] * perMm * (modes[2] + modes[8 + 1])
    middle[o + 4] = shear[1] * perMm * (modes[8 + 3] + modes[16 + 2])
    middle[o + 5] = shear[2] * perMm * (modes[3] + modes[16 + 1])
    const g = 9 * c
    // Along x the stretch in x is free of stress by the incompatible mode; the other two are in plane stress.
    const vx = modes[8 + 4] * perMm
    const wx = modes[16 + 5] * perMm
    gradient[g + 3] = (dyy - (dxy * dxy) / dxx) * vx + (dyz - (dxy * dxz) / dxx) * wx
    gradient[g + 6] = (dyz - (dxy * dxz) / dxx) * vx + (dzz - (dxz * dxz) / dxx) * wx
    const uy = modes[4] * perMm
    const wy = modes[16 + 6] * perMm
    gradient[g + 1] = (dxx - (dxy * dxy) / dyy) * uy + (dxz - (dxy * dyz) / dyy) * wy
    gradient[g + 7] = (dxz - (dxy * dyz) / dyy) * uy + (dzz - (dyz * dyz) / dyy) * wy
    const uz = modes[5] * perMm
    const vz = modes[8 + 6] * perMm
    gradient[g + 2] = (dxx - (dxz * dxz) / dzz) * uz + (dxy - (dxz * dyz) / dzz) * vz
    gradient[g + 5] = (dxy - (dxz * dyz) / dzz) * uz + (dyy - (dyz * dyz) / dzz) * vz
  }
  return { middle, gradient }
}

/** How far out of the middle the plastic of a cell ends, over half a cell: 0 in a cell half full, 1 in a full one. */
export const surfaceShare = (share: number): number => Math.max(0, Math.min(1, 2 * share - 1))

/** Greatest principal stress of a symmetric tensor xx, yy, zz, xy, yz, zx. */
export const greatestPrincipal = (xx: number, yy: number, zz: number, xy: number, yz: number, zx: number): number => {
  const q = (xx + yy + zz) / 3
  const p2 = (xx - q) ** 2 + (yy - q) ** 2 + (zz - q) ** 2 + 2 * (xy * xy + yz * yz + zx * zx)
  if (p2 < 1e-24) return q
  const p = Math.sqrt(p2 / 6)
  const [a, b, c, d, e, f] = [(xx - q) / p, (yy - q) / p, (zz - q) / p, xy / p, yz / p, zx / p]
  const det = a * (b * c - e * e) - d * (d * c - e * f) + f * (d * e - b * f)
  return q + 2 * p * Math.cos(Math.acos(Math.max(-1, Math.min(1, det / 2))) / 3)
}

/**
 * Shares of strength used: in the layer by the greatest principal stress, between layers by pull and shear together (a push closes
 * them). Written to out[0] and out[1].
 */
export const strengthUse = (
  xx: number,
  yy: number,
  zz: number,
  xy: number,
  yz: number,
  zx: number,
  alongMPa: number,
  acrossMPa: number,
  shearMPa: number,
  out: Float64Array,
): void => {
  const half = (xx - yy) / 2
  out[0] = ((xx + yy) / 2 + Math.sqrt(half * half + xy * xy)) / alongMPa
  const pull = zz > 0 ? zz / acrossMPa : 0
  out[1] = Math.sqrt(pull * pull + (yz * yz + zx * zx) / (shearMPa * shearMPa))
}
