// One layer's islands as labels on a grid of cells: which island covers the middle of each cell.

import type { LayerStack } from './types.ts'

/** A grid common to all layers of a stack. */
export interface RasterFrame {
  /** Lower corner of cell (0, 0), mm. */
  readonly x0: number
  readonly y0: number
  /** Side of a cell, mm. */
  readonly cell: number
  readonly nx: number
  readonly ny: number
}

/** A frame with one empty cell all round the stack. */
export const rasterFrame = (stack: LayerStack, leastCellMm: number, mostCells: number): RasterFrame => {
  const { points } = stack
  let x0 = Infinity
  let y0 = Infinity
  let x1 = -Infinity
  let y1 = -Infinity
  for (let i = 0; i < points.length; i += 2) {
    if (points[i] < x0) x0 = points[i]
    if (points[i] > x1) x1 = points[i]
    if (points[i + 1] < y0) y0 = points[i + 1]
    if (points[i + 1] > y1) y1 = points[i + 1]
  }
  if (!(x1 >= x0)) return { x0: 0, y0: 0, cell: leastCellMm, nx: 3, ny: 3 }
  const cell = Math.max(leastCellMm, Math.max(x1 - x0, y1 - y0) / mostCells)
  return {
    x0: x0 - 1.5 * cell,
    y0: y0 - 1.5 * cell,
    cell,
    nx: Math.ceil((x1 - x0) / cell) + 4,
    ny: Math.ceil((y1 - y0) / cell) + 4,
  }
}

/** Scratch lists reused from layer to layer. */
export interface RasterRoom {
  rowCount: Uint32Array
  x: Float64Array
  island: Int32Array
}

export const rasterRoom = (): RasterRoom => ({
  rowCount: new Uint32Array(0),
  x: new Float64Array(0),
  island: new Int32Array(0),
})

/**
 * Writes island number + 1 into every cell whose middle lies in solid, 0 elsewhere.
 * @param labels length nx*ny, overwritten
 */
export const rasterLayer = (
  stack: LayerStack,
  layer: number,
  frame: RasterFrame,
  labels: Int32Array,
  room: RasterRoom,
): void => {
  const { points, loopStart, layerStart, loopIsland } = stack
  const { x0, y0, cell, nx, ny } = frame
  labels.fill(0)
  if (room.rowCount.length < ny + 1) room.rowCount = new Uint32Array(ny + 1)
  const rowCount = room.rowCount
  rowCount.fill(0)
  // Rows whose middle line (y0 + (r + 0.5) cell) an edge crosses, half open so that shared corners count once.
  const rowsOf = (ya: number, yb: number): [number, number] => {
    const lo = Math.min(ya, yb)
    const hi = Math.max(ya, yb)
    return [Math.ceil((lo - y0) / cell - 0.5), Math.ceil((hi - y0) / cell - 0.5)]
  }
  for (let pass = 0; pass < 2; pass++) {
    if (pass === 1) {
      let total = 0
      for (let r = 0; r <= ny; r++) {
        const n = rowCount[r]
        rowCount[r] = total
        total += n
      }
      if (room.x.length < total) {
        room.x = new Float64Array(2 * total)
        room.island = new Int32Array(2 * total)
      }
    }
    for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
      const from = loopStart[j]
      const to = loopStart[j + 1]
      for (let i = from; i < to; i++) {
        const k = i + 1 < to ? i + 1 : from
        const ya = points[2 * i + 1]
        const yb = points[2 * k + 1]
        if (ya === yb) continue
        const [r0, r1] = rowsOf(ya, yb)
        if (pass === 0) {
          for (let r = r0; r < r1; r++) rowCount[r]++
        } else {
          const xa = points[2 * i]
          const slope = (points[2 * k] - xa) / (yb - ya)
          for (let r = r0; r < r1; r++) {
            const at = rowCount[r]++
            room.x[at] = xa + slope * (y0 + (r + 0.5) * cell - ya)
            room.island[at] = loopIsland[j]
          }
        }
      }
    }
  }
  // rowCount[r] is now the end of row r.
  let from = 0
  for (let r = 0; r < ny; r++) {
    const to = rowCount[r]
    // Rows hold a handful of crossings: insertion sort.
    for (let a = from + 1; a < to; a++) {
      const x = room.x[a]
      const island = room.island[a]
      let b = a - 1
      while (b >= from && room.x[b] > x) {
        room.x[b + 1] = room.x[b]
        room.island[b + 1] = room.island[b]
        b--
      }
      room.x[b + 1] = x
      room.island[b + 1] = island
    }
    for (let a = from; a + 1 < to; a += 2) {
      const c0 = Math.max(0, Math.ceil((room.x[a] - x0) / cell - 0.5))
      const c1 = Math.min(nx, Math.ceil((room.x[a + 1] - x0) / cell - 0.5))
      if (c1 > c0) labels.fill(room.island[a] + 1, r * nx + c0, r * nx + c1)
    }
    from = to
  }
}
