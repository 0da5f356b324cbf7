// Warmth as a load: forces that free expansion would need, and the stress that is left when they have acted.
//
// Temperature is taken as linear in each cell. Expansion that varies along its own axis is free in a cell with bending modes; across it
// the cell bends, so that a strip with a straight course of temperature bends without stress.

import { brickMatrices, type CellMesh } from './brick.ts'
import type { CellStress } from './field-stress.ts'

/** Temperature above the stress-free one at a place, degC; mm. */
export type Temperature = (x: number, y: number, z: number) => number

/** Mean and the change over half a cell along x, y, z. */
const inCell = (mesh: CellMesh, c: number, temperatureAt: Temperature, out: Float64Array): void => {
  const { origin, cellMm, cellAt } = mesh
  const [x, y, z] = [0, 1, 2].map((a) => origin[a] + cellMm * (cellAt[3 * c + a] + 0.5))
  const half = cellMm / 2
  out[0] = temperatureAt(x, y, z)
  out[1] = (temperatureAt(x + half, y, z) - temperatureAt(x - half, y, z)) / 2
  out[2] = (temperatureAt(x, y + half, z) - temperatureAt(x, y - half, z)) / 2
  out[3] = (temperatureAt(x, y, z + half) - temperatureAt(x, y, z - half)) / 2
}

/**
 * Nodal forces of expansion, N, xyz per node.
 * @param expansionPerC linear, the same in all directions, 1/degC
 */
export const thermalForces = (mesh: CellMesh, expansionPerC: number, temperatureAt: Temperature): Float64Array => {
  const f = new Float64Array(3 * mesh.nNodes)
  const stiffness = brickMatrices(mesh.constants)
  const t = new Float64Array(4)
  const u = new Float64Array(24)
  for (let c = 0; c < mesh.nCells; c++) {
    inCell(mesh, c, temperatureAt, t)
    // The cell's own expansion as corner movements: a strain times half a side.
    const s = (expansionPerC * mesh.cellMm) / 2
    for (let k = 0; k < 8; k++) {
      const x = k & 1 ? 1 : -1
      const y = (k >> 1) & 1 ? 1 : -1
      const z = k >> 2 ? 1 : -1
      u[3 * k] = s * x * (t[0] + t[2] * y + t[3] * z)
      u[3 * k + 1] = s * y * (t[0] + t[1] * x + t[3] * z)
      u[3 * k + 2] = s * z * (t[0] + t[1] * x + t[2] * y)
    }
    const matrix = stiffness[mesh.kindOf[c]]
    for (let i = 0; i < 24; i++) {
      let sum = 0
      for (let j = 0; j < 24; j++) sum += matrix[24 * i + j] * u[j]
      const corner = Math.floor(i / 3)
      f[3 * (mesh.cellNode[4 * c + (corner >> 1)] + (corner & 1)) + (i % 3)] += mesh.share[c] * sum
    }
  }
  return f
}

/** Stress that is left: that of the movement less that of free expansion. */
export const lessExpansion = (
  mesh: CellMesh,
  stress: CellStress,
  expansionPerC: number,
  temperatureAt: Temperature,
): CellStress => {
  const middle = stress.middle.slice()
  const gradient = stress.gradient.slice()
  const t = new Float64Array(4)
  for (let c = 0; c < mesh.nCells; c++) {
    inCell(mesh, c, temperatureAt, t)
    const [dxx, dyy, dzz, dxy, dyz, dxz] = mesh.stiffness[mesh.kindOf[c]].normal
    const strain = t.map((v) => v * expansionPerC)
    middle[6 * c] -= (dxx + dxy + dxz) * strain[0]
    middle[6 * c + 1] -= (dxy + dyy + dyz) * strain[0]
    middle[6 * c + 2] -= (dxz + dyz + dzz) * strain[0]
    // Plane stress across the axis along which it varies, as in the stress of bending.
    const g = 9 * c
    const yz = dyz - (dxy * dxz) / dxx
    const xz = dxz - (dxy * dyz) / dyy
    const xy = dxy - (dxz * dyz) / dzz
    gradient[g + 3] -= (dyy - (dxy * dxy) / dxx + yz) * strain[1]
    gradient[g + 6] -= (dzz - (dxz * dxz) / dxx + yz) * strain[1]
    gradient[g + 1] -= (dxx - (dxy * dxy) / dyy + xz) * strain[2]
    gradient[g + 7] -= (dzz - (dyz * dyz) / dyy + xz) * strain[2]
    gradient[g + 2] -= (dxx - (dxz * dxz) / dzz + xy) * strain[3]
    gradient[g + 5] -= (dyy - (dyz * dyz) / dzz + xy) * strain[3]
  }
  return { middle, gradient }
}
