// The cube of eight nodes with incompatible modes, as a product of stiffness and displacement over all cells of a regular grid.
//
// Corner values become modes (1, x, y, z, xy, xz, yz, xyz) by sums and differences; in that basis the stiffness of a cube of
// orthotropic plastic is almost diagonal. The modes 1 - x2, 1 - y2, 1 - z2 (Wilson et al. 1973; Taylor, Beresford & Wilson 1976) are
// taken out beforehand: they free bending of parasitic shear and leave plane-stress stiffness in it. The y-z half of the sums belongs
// to the face between two cells in a row and is made once for both. A cell filled in part has its stiffness scaled by its share.

import type { Stiffness } from './material.ts'

/** Numbers of the kernel for one kind of plastic, cube side 1 mm: multiply by the side. */
const N_CONSTANTS = 27

/** Condensed constants of one kind of plastic: see brickProduct for their order. */
const brickConstants = ({ normal, shear }: Stiffness, cellMm: number): Float64Array => {
  const [dxx, dyy, dzz, dxy, dyz, dxz] = normal
  const [gxy, gyz, gxz] = shear
  const scale = cellMm / 2 / 64
  const linear = 8 * scale
  const bilinear = (8 / 3) * scale
  const trilinear = (8 / 9) * scale
  // In the strains that go with x the extension along x is free: plane stress in y, z. And so on round.
  const x = [dyy - (dxy * dxy) / dxx, dzz - (dxz * dxz) / dxx, dyz - (dxy * dxz) / dxx]
  const y = [dxx - (dxy * dxy) / dyy, dzz - (dyz * dyz) / dyy, dxz - (dxy * dyz) / dyy]
  const z = [dxx - (dxz * dxz) / dzz, dyy - (dyz * dyz) / dzz, dxy - (dxz * dyz) / dzz]
  return Float64Array.from([
    ...[dxx, dyy, dzz, dxy, dyz, dxz, gxy, gyz, gxz].map((v) => v * linear),
    ...x.map((v) => v * bilinear),
    ...y.map((v) => v * bilinear),
    ...z.map((v) => v * bilinear),
    ...[gyz, gxz, gxy].map((v) => v * bilinear),
    ...[dxx + gxy + gxz, dyy + gxy + gyz, dzz + gxz + gyz].map((v) => v * trilinear),
    0,
    0,
    0,
  ])
}

/** Cells and nodes of a body on a regular grid. Both are numbered with x fastest, so nodes n and n + 1 of a cell are x-neighbours. */
export interface CellMesh {
  readonly kind: 'cell-mesh'
  readonly origin: readonly [number, number, number]
  readonly cellMm: number
  readonly nCells: number
  readonly nNodes: number
  /** Grid coordinates of each cell, xyz. */
  readonly cellAt: Int32Array
  /** Nodes at the low x corners of each cell: (y, z), (y+1, z), (y, z+1), (y+1, z+1); the high x ones are one more. */
  readonly cellNode: Int32Array
  /** Stiffness share of each cell (how much of it is filled), and its kind of plastic. */
  readonly share: Float64Array
  readonly kindOf: Uint8Array
  /** Constants of each kind, N_CONSTANTS each. */
  readonly constants: Float64Array
  /** Stiffness of each kind, for stresses. */
  readonly stiffness: readonly Stiffness[]
  /** Grid coordinates of each node, xyz. */
  readonly nodeAt: Int32Array
}

/** Puts the kinds' constants in a row. */
export const constantsOf = (kinds: readonly Stiffness[], cellMm: number): Float64Array => {
  const all = new Float64Array(N_CONSTANTS * kinds.length)
  kinds.forEach((k, i) => {
    all.set(brickConstants(k, cellMm), N_CONSTANTS * i)
  })
  return all
}

/** y = K u over all cells; y is overwritten. Three unknowns a node. */
export const brickProduct = (mesh: CellMesh, u: Float64Array, y: Float64Array): void => {
  const { nCells, cellNode, share, kindOf, constants } = mesh
  y.fill(0)
  let c = 0
  while (c < nCells) {
    // A run of cells in a row.
    let a0 = 3 * cellNode[4 * c]
    let a1 = 3 * cellNode[4 * c + 1]
    let a2 = 3 * cellNode[4 * c + 2]
    let a3 = 3 * cellNode[4 * c + 3]
    const first = cellNode[4 * c] - c
    const second = cellNode[4 * c + 1] - c
    const third = cellNode[4 * c + 2] - c
    const fourth = cellNode[4 * c + 3] - c
    // Left face in modes 1, y, z, yz for each direction.
    let s = u[a0] + u[a1]
    let t = u[a2] + u[a3]
    let d = u[a1] - u[a0]
    let e = u[a3] - u[a2]
    let lx1 = s + t
    let lxz = t - s
    let lxy = d + e
    let lxw = e - d
    s = u[a0 + 1] + u[a1 + 1]
    t = u[a2 + 1] + u[a3 + 1]
    d = u[a1 + 1] - u[a0 + 1]
    e = u[a3 + 1] - u[a2 + 1]
    let ly1 = s + t
    let lyz = t - s
    let lyy = d + e
    let lyw = e - d
    s = u[a0 + 2] + u[a1 + 2]
    t = u[a2 + 2] + u[a3 + 2]
    d = u[a1 + 2] - u[a0 + 2]
    e = u[a3 + 2] - u[a2 + 2]
    let lz1 = s + t
    let lzz = t - s
    let lzy = d + e
    let lzw = e - d
    // What the faces' modes hand on to the next cell's left face.
    let kx1 = 0
    let kxz = 0
    let kxy = 0
    let kxw = 0
    let ky1 = 0
    let kyz = 0
    let kyy = 0
    let kyw = 0
    let kz1 = 0
    let kzz = 0
    let kzy = 0
    let kzw = 0
    let more = true
    while (more) {
      const b0 = a0 + 3
      const b1 = a1 + 3
      const b2 = a2 + 3
      const b3 = a3 + 3
      s = u[b0] + u[b1]
      t = u[b2] + u[b3]
      d = u[b1] - u[b0]
      e = u[b3] - u[b2]
      const rx1 = s + t
      const rxz = t - s
      const rxy = d + e
      const rxw = e - d
      s = u[b0 + 1] + u[b1 + 1]
      t = u[b2 + 1] + u[b3 + 1]
      d = u[b1 + 1] - u[b0 + 1]
      e = u[b3 + 1] - u[b2 + 1]
      const ry1 = s + t
      const ryz = t - s
      const ryy = d + e
      const ryw = e - d
      s = u[b0 + 2] + u[b1 + 2]
      t = u[b2 + 2] + u[b3 + 2]
      d = u[b1 + 2] - u[b0 + 2]
      e = u[b3 + 2] - u[b2 + 2]
      const rz1 = s + t
      const rzz = t - s
      const rzy = d + e
      const rzw = e - d

      const k = 27 * kindOf[c]
      const w = share[c]
      const g = constants
      // Modes: first letter direction of movement, then the mode.
      const ux = rx1 - lx1
      const vy = ryy + lyy
      const wz = rzz + lzz
      const fxx = w * (g[k] * ux + g[k + 3] * vy + g[k + 5] * wz)
      const fyy = w * (g[k + 3] * ux + g[k + 1] * vy + g[k + 4] * wz)
      const fzz = w * (g[k + 5] * ux + g[k + 4] * vy + g[k + 2] * wz)
      const sxy = w * g[k + 6] * (rxy + lxy + ry1 - ly1)
      const syz = w * g[k + 7] * (ryz + lyz + rzy + lzy)
      const sxz = w * g[k + 8] * (rxz + lxz + rz1 - lz1)
      // Modes xy, xz, yz of each direction.
      const uxy = rxy - lxy
      const uxz = rxz - lxz
      const uyz = rxw + lxw
      const vxy = ryy - lyy
      const vxz = ryz - lyz
      const vyz = ryw + lyw
      const wxy = rzy - lzy
      const wxz = rzz - lzz
      const wyz = rzw + lzw
      const tx = w * g[k + 18] * (vxz + wxy)
      const ty = w * g[k + 19] * (uyz + wxy)
      const tz = w * g[k + 20] * (uyz + vxz)
      const fuxy = w * (g[k + 12] * uxy + g[k + 14] * wyz)
      const fwyz = w * (g[k + 14] * uxy + g[k + 13] * wyz)
      const fuxz = w * (g[k + 15] * uxz + g[k + 17] * vyz)
      const fvyz = w * (g[k + 17] * uxz + g[k + 16] * vyz)
      const fvxy = w * (g[k + 9] * vxy + g[k + 11] * wxz)
      const fwxz = w * (g[k + 11] * vxy + g[k + 10] * wxz)
      const fuyz = ty + tz
      const fvxz = tx + tz
      const fwxy = tx + ty
      const fu3 = w * g[k + 21] * (rxw - lxw)
      const fv3 = w * g[k + 22] * (ryw - lyw)
      const fw3 = w * g[k + 23] * (rzw - lzw)

      // Left face: what the last cell left there, and this cell's share; modes with x change sign from right to left.
      const px1 = kx1 - fxx
      const pxy = kxy + sxy - fuxy
      const pxz = kxz + sxz - fuxz
      const pxw = kxw + fuyz - fu3
      const py1 = ky1 - sxy
      const pyy = kyy + fyy - fvxy
      const pyz = kyz + syz - fvxz
      const pyw = kyw + fvyz - fv3
      const pz1 = kz1 - sxz
      const pzy = kzy + syz - fwxy
      const pzz = kzz + fzz - fwxz
      const pzw = kzw + fwyz - fw3
      kx1 = fxx
      kxy = sxy + fuxy
      kxz = sxz + fuxz
      kxw = fuyz + fu3
      ky1 = sxy
      kyy = fyy + fvxy
      kyz = syz + fvxz
      kyw = fvyz + fv3
      kz1 = sxz
      kzy = syz + fwxy
      kzz = fzz + fwxz
      kzw = fwyz + fw3
      s = px1 - pxz
      t = px1 + pxz
      d = pxy - pxw
      e = pxy + pxw
      y[a0] += s - d
      y[a1] += s + d
      y[a2] += t - e
      y[a3] += t + e
      s = py1 - pyz
      t = py1 + pyz
      d = pyy - pyw
      e = pyy + pyw
      y[a0 + 1] += s - d
      y[a1 + 1] += s + d
      y[a2 + 1] += t - e
      y[a3 + 1] += t + e
      s = pz1 - pzz
      t = pz1 + pzz
      d = pzy - pzw
      e = pzy + pzw
      y[a0 + 2] += s - d
      y[a1 + 2] += s + d
      y[a2 + 2] += t - e
      y[a3 + 2] += t + e

      lx1 = rx1
      lxz = rxz
      lxy = rxy
      lxw = rxw
      ly1 = ry1
      lyz = ryz
      lyy = ryy
      lyw = ryw
      lz1 = rz1
      lzz = rzz
      lzy = rzy
      lzw = rzw
      a0 = b0
      a1 = b1
      a2 = b2
      a3 = b3
      c++
      more =
        c < nCells &&
        cellNode[4 * c] - c === first &&
        cellNode[4 * c + 1] - c === second &&
        cellNode[4 * c + 2] - c === third &&
        cellNode[4 * c + 3] - c === fourth
    }
    // The last cell's right face.
    s = kx1 - kxz
    t = kx1 + kxz
    d = kxy - kxw
    e = kxy + kxw
    y[a0] += s - d
    y[a1] += s + d
    y[a2] += t - e
    y[a3] += t + e
    s = ky1 - kyz
    t = ky1 + kyz
    d = kyy - kyw
    e = kyy + kyw
    y[a0 + 1] += s - d
    y[a1 + 1] += s + d
    y[a2 + 1] += t - e
    y[a3 + 1] += t + e
    s = kz1 - kzz
    t = kz1 + kzz
    d = kzy - kzw
    e = kzy + kzw
    y[a0 + 2] += s - d
    y[a1 + 2] += s + d
    y[a2 + 2] += t - e
    y[a3 + 2] += t + e
  }
}

/** Stiffness of one full cell of each kind, 24x24, unknown 3*corner + direction, corners x fastest: from the product itself. */
export const brickMatrices = (constants: Float64Array): Float64Array[] =>
  Array.from({ length: constants.length / N_CONSTANTS }, (_, kind) => {
    const mesh = {
      nCells: 1,
      cellNode: Int32Array.of(0, 2, 4, 6),
      share: Float64Array.of(1),
      kindOf: Uint8Array.of(kind),
      constants,
    } as unknown as CellMesh
    const out = new Float64Array(576)
    const u = new Float64Array(24)
    const y = new Float64Array(24)
    for (let j = 0; j < 24; j++) {
      u.fill(0)
      u[j] = 1
      brickProduct(mesh, u, y)
      for (let i = 0; i < 24; i++) out[24 * i + j] = y[i]
    }
    return out
  })
