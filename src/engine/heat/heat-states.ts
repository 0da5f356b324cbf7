// States of a run: temperatures kept every few millimetres of height, so that a window of another run can start from there.

import type { HeatField } from './field.ts'
import type { HeatGrid, HeatState, HeatStates } from './types.ts'
import { packedRows, type RowReach } from './zone.ts'

/** Height between two states, mm. */
const EVERY_MM = 1.5

/** Keeps states while a run goes on. Call `at` before each layer. */
export const keepStates = (field: HeatField, reach: RowReach, grid: HeatGrid, topZ: ArrayLike<number>) => {
  const start = packedRows(reach)
  const states: HeatState[] = []
  let lastZ = 0
  const at = (layer: number): void => {
    if (layer === 0 || topZ[layer - 1] - lastZ < EVERY_MM) return
    lastZ = topZ[layer - 1]
    const rows = layer * field.nY
    const celsius = new Float32Array(start[rows])
    for (let r = 0; r < rows; r++)
      for (let x = reach.first[r], to = start[r]; x <= reach.last[r]; x++)
        celsius[to++] = field.celsius[r * field.nX + x]
    states.push({ nLayers: layer, topZ: lastZ, celsius })
  }
  const kept: HeatStates = {
    grid,
    layerTopZ: Float64Array.from(topZ),
    first: reach.first,
    last: reach.last,
    rowStart: start,
    states,
  }
  return { at, states: kept }
}

/** The last state at or below a height; null when there is none. */
export const stateBelow = ({ states }: HeatStates, z: number): HeatState | null => {
  let found: HeatState | null = null
  for (const state of states) if (state.topZ <= z + 1e-9) found = state
  return found
}

/**
 * Temperature of a state at a place, from the nearest cell of the nearest row with plastic within two cells; NaN where there was none.
 * @param z height, mm
 */
export const celsiusOf = (kept: HeatStates, state: HeatState, x: number, y: number, z: number): number => {
  const { grid, layerTopZ, first, last, rowStart } = kept
  const nY = grid.nY + 2
  let layer = 0
  while (layer < state.nLayers - 1 && layerTopZ[layer] < z - 1e-9) layer++
  const cx = Math.floor((x - grid.x0) / grid.cellMm) + 1
  const cy = Math.floor((y - grid.y0) / grid.cellMm) + 1
  for (const aside of [0, 1, -1, 2, -2]) {
    const row = layer * nY + cy + aside
    if (cy + aside < 0 || cy + aside >= nY || last[row] < first[row]) continue
    const near = Math.min(last[row], Math.max(first[row], cx))
    if (Math.abs(near - cx) > 2) continue
    return state.celsius[rowStart[row] + near - first[row]]
  }
  return Number.NaN
}
