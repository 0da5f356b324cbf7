// The field's numbers where they are looked at: on the figure's surface, and layer by layer.

import type { CellMesh } from './brick.ts'

/** Finds cells of a mesh by their place in the grid. */
interface CellFinder {
  readonly low: readonly [number, number, number]
  readonly size: readonly [number, number, number]
  /** Cell at each place of the box that holds all cells, x fastest, -1 where there is none. */
  readonly cell: Int32Array
}

/** Places of all cells. */
const cellFinder = ({ cellAt, nCells }: CellMesh): CellFinder => {
  const low: [number, number, number] = [0, 0, 0]
  const high: [number, number, number] = [0, 0, 0]
  for (let a = 0; a < 3; a++) {
    low[a] = nCells > 0 ? Infinity : 0
    high[a] = nCells > 0 ? -Infinity : 0
    for (let c = 0; c < nCells; c++) {
      low[a] = Math.min(low[a], cellAt[3 * c + a])
      high[a] = Math.max(high[a], cellAt[3 * c + a])
    }
  }
  const size = [0, 1, 2].map((a) => high[a] - low[a] + 1) as [number, number, number]
  const cell = new Int32Array(size[0] * size[1] * size[2]).fill(-1)
  for (let c = 0; c < nCells; c++)
    cell[((cellAt[3 * c + 2] - low[2]) * size[1] + cellAt[3 * c + 1] - low[1]) * size[0] + cellAt[3 * c] - low[0]] = c
  return { low, size, cell }
}

/** Cells further than this from a vertex say nothing about it, in cells. */
const REACH = 2

/** Nearest cell at least half full to each vertex; -1 where there is none within two cells (what is held, for one). */
export const cellsOfVertices = (mesh: CellMesh, positions: ArrayLike<number>): Int32Array => {
  const { low, size, cell } = cellFinder(mesh)
  const { origin, cellMm, share } = mesh
  const n = positions.length / 3
  const found = new Int32Array(n).fill(-1)
  for (let v = 0; v < n; v++) {
    const x = (positions[3 * v] - origin[0]) / cellMm - low[0]
    const y = (positions[3 * v + 1] - origin[1]) / cellMm - low[1]
    const z = (positions[3 * v + 2] - origin[2]) / cellMm - low[2]
    const [ix, iy, iz] = [Math.floor(x), Math.floor(y), Math.floor(z)]
    let best = Infinity
    for (let dz = -REACH; dz <= REACH; dz++) {
      const k = iz + dz
      if (k < 0 || k >= size[2]) continue
      for (let dy = -REACH; dy <= REACH; dy++) {
        const j = iy + dy
        if (j < 0 || j >= size[1]) continue
        for (let dx = -REACH; dx <= REACH; dx++) {
          const i = ix + dx
          if (i < 0 || i >= size[0]) continue
          const c = cell[(k * size[1] + j) * size[0] + i]
          if (c < 0 || share[c] < 0.5) continue
          const d = (i + 0.5 - x) ** 2 + (j + 0.5 - y) ** 2 + (k + 0.5 - z) ** 2
          if (d < best) {
            best = d
            found[v] = c
          }
        }
      }
    }
  }
  return found
}

/** A number of each cell as one of each vertex; NaN where no cell is near. */
export const onVertices = (ofCell: Float32Array, cells: Int32Array): Float32Array => {
  const out = new Float32Array(cells.length)
  for (let v = 0; v < cells.length; v++) out[v] = cells[v] < 0 ? Number.NaN : ofCell[cells[v]]
  return out
}

/** Length of the movement at the middle of each cell, mm. */
export const moveOfCells = ({ nCells, cellNode }: CellMesh, move: Float32Array): Float32Array => {
  const out = new Float32Array(nCells)
  const sum = [0, 0, 0]
  for (let c = 0; c < nCells; c++) {
    sum.fill(0)
    for (let k = 0; k < 8; k++) {
      const n = cellNode[4 * c + (k >> 1)] + (k & 1)
      for (let a = 0; a < 3; a++) sum[a] += move[3 * n + a]
    }
    out[c] = Math.hypot(sum[0], sum[1], sum[2]) / 8
  }
  return out
}

/** Greatest number of the cells in each layer; NaN where a layer has no cell. */
export const overLayers = (mesh: CellMesh, ofCell: Float32Array, faceZ: Float64Array): Float64Array => {
  const { nCells, cellAt, origin, cellMm } = mesh
  const byRow = new Map<number, number>()
  for (let c = 0; c < nCells; c++) {
    const k = cellAt[3 * c + 2]
    byRow.set(k, Math.max(byRow.get(k) ?? 0, ofCell[c]))
  }
  const out = new Float64Array(faceZ.length - 1).fill(Number.NaN)
  for (let layer = 0; layer < out.length; layer++) {
    const from = Math.floor((faceZ[layer] - origin[2]) / cellMm + 1e-6)
    const to = Math.ceil((faceZ[layer + 1] - origin[2]) / cellMm - 1e-6)
    for (let k = from; k < to; k++) {
      const value = byRow.get(k)
      if (value !== undefined && !(out[layer] >= value)) out[layer] = value
    }
  }
  return out
}
