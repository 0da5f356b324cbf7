// A sparse matrix of 3x3 blocks, row by row, for the coarse levels.

import type { LevelCells } from './coarse-levels.ts'

/** Row i has the blocks start[i] to start[i+1]-1; values nine to a block, row by row. */
export interface BlockMatrix {
  readonly nNodes: number
  readonly start: Uint32Array
  readonly column: Int32Array
  readonly values: Float32Array
}

/** An empty matrix with a block for every pair of nodes that share a cell. */
export const blocksOfCells = ({ nCells, nNodes, node }: LevelCells): BlockMatrix => {
  const cellStart = new Uint32Array(nNodes + 1)
  for (let i = 0; i < 8 * nCells; i++) cellStart[node[i] + 1]++
  for (let n = 0; n < nNodes; n++) cellStart[n + 1] += cellStart[n]
  const cells = new Int32Array(8 * nCells)
  const fill = cellStart.slice(0, nNodes)
  for (let i = 0; i < 8 * nCells; i++) cells[fill[node[i]]++] = i >> 3
  const mark = new Int32Array(nNodes).fill(-1)
  const start = new Uint32Array(nNodes + 1)
  let column = new Int32Array(27 * nNodes)
  let n = 0
  for (let row = 0; row < nNodes; row++) {
    const first = n
    if (n + 8 * (cellStart[row + 1] - cellStart[row]) > column.length) {
      const more = new Int32Array(2 * column.length + 512)
      more.set(column)
      column = more
    }
    for (let k = cellStart[row]; k < cellStart[row + 1]; k++)
      for (let q = 8 * cells[k]; q < 8 * cells[k] + 8; q++) {
        const to = node[q]
        if (mark[to] === row) continue
        mark[to] = row
        column[n++] = to
      }
    column.subarray(first, n).sort()
    start[row + 1] = n
  }
  column = column.slice(0, n)
  return { nNodes, start, column, values: new Float32Array(9 * n) }
}

/** Adds a cell's 24x24 matrix. */
export const addCell = (matrix: BlockMatrix, nodes: Int32Array, at: number, cell: Float32Array): void => {
  const { start, column, values } = matrix
  for (let i = 0; i < 8; i++) {
    const row = nodes[at + i]
    const from = start[row]
    const to = start[row + 1]
    for (let j = 0; j < 8; j++) {
      const want = nodes[at + j]
      let lo = from
      let hi = to - 1
      while (lo < hi) {
        const mid = (lo + hi) >> 1
        if (column[mid] < want) lo = mid + 1
        else hi = mid
      }
      const v = 9 * lo
      const e = 72 * i + 3 * j
      for (let r = 0; r < 3; r++) for (let s = 0; s < 3; s++) values[v + 3 * r + s] += cell[e + 24 * r + s]
    }
  }
}

/** y = A x. */
export const blockProduct = (
  { nNodes, start, column, values }: BlockMatrix,
  x: Float64Array,
  y: Float64Array,
): void => {
  for (let row = 0; row < nNodes; row++) {
    let a = 0
    let b = 0
    let c = 0
    for (let k = start[row], end = start[row + 1]; k < end; k++) {
      const v = 9 * k
      const o = 3 * column[k]
      const p = x[o]
      const q = x[o + 1]
      const r = x[o + 2]
      a += values[v] * p + values[v + 1] * q + values[v + 2] * r
      b += values[v + 3] * p + values[v + 4] * q + values[v + 5] * r
      c += values[v + 6] * p + values[v + 7] * q + values[v + 8] * r
    }
    y[3 * row] = a
    y[3 * row + 1] = b
    y[3 * row + 2] = c
  }
}
