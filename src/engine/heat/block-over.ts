// Radiation of the heater block onto the free tops near the nozzle, step after step.
//
// Only columns whose top lies in the band near the nozzle are kept in a list, made anew for each layer; what share of its sky a top gives to
// the block depends on whole cells of distance and is worked out once. Going through all columns instead took a fifth of a run.

import { type HeatField, warm } from './field.ts'
import type { Surroundings } from './surroundings.ts'

/** Tops farther below the nozzle than this feel no block, mm. */
const BLOCK_REACH_MM = 4

export interface BlockOver {
  /** Highest layer laid so far in each column, -1 for none; written by `lay` alone. */
  readonly top: Int32Array
  /** Notes plastic in a column. */
  readonly lay: (column: number, layer: number) => void
  /** Begins a layer. @param fromLayer tops below this one are left out */
  readonly begin: (layer: number, fromLayer: number) => void
  /** Warms the tops for dt seconds. @param column where the nozzle is @returns J */
  readonly warmTops: (column: number, nozzleC: number, dt: number) => number
}

/** @param topZ height of each layer's top, mm */
export const blockOver = (field: HeatField, around: Surroundings, topZ: ArrayLike<number>): BlockOver => {
  const { nX, nY, cellMm, celsius, fill } = field
  const nColumns = nX * nY
  const top = new Int32Array(nColumns).fill(-1)
  const list = new Int32Array(nColumns)
  const isListed = new Uint8Array(nColumns)
  let n = 0
  const share = new Float64Array(nColumns)
  for (let y = 0; y < nY; y++)
    for (let x = 0; x < nX; x++) share[y * nX + x] = around.tip * around.seesBlock(Math.hypot(x, y) * cellMm)
  const xOf = Int32Array.from(top, (_, column) => column % nX)
  const yOf = Int32Array.from(top, (_, column) => Math.floor(column / nX))
  const enlist = (column: number): void => {
    isListed[column] = 1
    list[n++] = column
  }
  return {
    top,
    lay: (column, layer) => {
      if (layer > top[column]) top[column] = layer
      if (isListed[column] === 0) enlist(column)
    },
    begin: (layer, fromLayer) => {
      n = 0
      isListed.fill(0)
      for (let column = 0; column < nColumns; column++) {
        const z = top[column]
        if (z >= 0 && z >= fromLayer && topZ[layer] - topZ[z] <= BLOCK_REACH_MM) enlist(column)
      }
    },
    warmTops: (column, nozzleC, dt) => {
      const x = xOf[column]
      const y = yOf[column]
      const per = dt * cellMm * cellMm
      let joules = 0
      for (let k = 0; k < n; k++) {
        const at = list[k]
        const z = top[at]
        const cell = z * nColumns + at
        const over = nozzleC - celsius[cell]
        if (!(over > 0)) continue
        const f = fill[cell]
        const heat = share[Math.abs(yOf[at] - y) * nX + Math.abs(xOf[at] - x)] * (f < 1 ? f : 1) * per * over
        warm(field, cell, z, heat)
        joules += heat
      }
      return joules
    },
  }
}
