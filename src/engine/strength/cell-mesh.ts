// Cells of a filled grid that take part in the full field: those filled enough and joined, face to face, to what is held.

import { type CellMesh, constantsOf } from './brick.ts'
import type { FillGrid } from './fill-grid.ts'
import type { Stiffness } from './material.ts'

/** Cells filled less than this are left out. */
const LEAST_FILL = 0.06

/**
 * Mesh of a grid above a height; the cells below it are left out, their upper nodes are held.
 * @param holdBelowMm nodes at or below it are held
 * @param kinds stiffness of solid plastic, and of infill where there is any
 */
export const cellMesh = (grid: FillGrid, holdBelowMm: number, kinds: readonly Stiffness[]): CellMesh => {
  const { nx, ny, nz, fill, core, origin, cellMm } = grid
  const slice = nx * ny
  const bottom = Math.max(0, Math.min(nz - 1, Math.round((holdBelowMm - origin[2]) / cellMm)))
  const live = new Uint8Array(nx * ny * nz)
  // Flood by faces from the held layer upwards.
  const queue: number[] = []
  for (let i = bottom * slice; i < (bottom + 1) * slice; i++)
    if (fill[i] >= LEAST_FILL) {
      live[i] = 1
      queue.push(i)
    }
  for (let q = 0; q < queue.length; q++) {
    const i = queue[q]
    for (const to of [i + 1, i - 1, i + nx, i - nx, i + slice, i - slice]) {
      if (to < bottom * slice || to >= live.length || live[to] || fill[to] < LEAST_FILL) continue
      live[to] = 1
      queue.push(to)
    }
  }
  const nCells = queue.length
  const mx = nx + 1
  const my = ny + 1
  const nodeOf = new Int32Array(mx * my * (nz + 1)).fill(-1)
  for (let i = bottom * slice; i < live.length; i++) {
    if (!live[i]) continue
    const x = i % nx
    const y = Math.floor(i / nx) % ny
    const z = Math.floor(i / slice)
    const at = (z * my + y) * mx + x
    for (const n of [at, at + mx, at + mx * my, at + mx * my + mx]) nodeOf[n] = nodeOf[n + 1] = 0
  }
  let nNodes = 0
  for (let n = 0; n < nodeOf.length; n++) if (nodeOf[n] === 0) nodeOf[n] = nNodes++
  const nodeAt = new Int32Array(3 * nNodes)
  for (let n = 0; n < nodeOf.length; n++) {
    const id = nodeOf[n]
    if (id < 0) continue
    nodeAt[3 * id] = n % mx
    nodeAt[3 * id + 1] = Math.floor(n / mx) % my
    nodeAt[3 * id + 2] = Math.floor(n / (mx * my))
  }
  const cellAt = new Int32Array(3 * nCells)
  const cellNode = new Int32Array(4 * nCells)
  const share = new Float64Array(nCells)
  const kindOf = new Uint8Array(nCells)
  let c = 0
  for (let i = bottom * slice; i < live.length; i++) {
    if (!live[i]) continue
    const x = i % nx
    const y = Math.floor(i / nx) % ny
    const z = Math.floor(i / slice)
    const at = (z * my + y) * mx + x
    cellAt[3 * c] = x
    cellAt[3 * c + 1] = y
    cellAt[3 * c + 2] = z
    cellNode[4 * c] = nodeOf[at]
    cellNode[4 * c + 1] = nodeOf[at + mx]
    cellNode[4 * c + 2] = nodeOf[at + mx * my]
    cellNode[4 * c + 3] = nodeOf[at + mx * my + mx]
    share[c] = Math.min(1, fill[i])
    kindOf[c] = kinds.length > 1 ? core[i] : 0
    c++
  }
  return {
    kind: 'cell-mesh',
    origin,
    cellMm,
    nCells,
    nNodes,
    cellAt,
    cellNode,
    share,
    kindOf,
    constants: constantsOf(kinds, cellMm),
    stiffness: kinds,
    nodeAt,
  }
}
