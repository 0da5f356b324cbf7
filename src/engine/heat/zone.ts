// Which cells a step moves: a band of layers with a weight for each, and the runs of columns that have plastic there.
//
// The figure is moved in bands, each with its own length of step: short near the nozzle, long below. The bands overlap: a cell in the overlap
// is moved by both, each with a part of its conduction and losses, and the parts add up to one. So heat passes from band to band without
// a border, nothing is counted twice and nothing is lost, whatever the steps are. (A sharp border that exchanges heat once a long step
// acts as 0.8 mm of added plastic at 1 s; with stale neighbours instead it loses energy.)

import type { HeatField } from './field.ts'

export interface Zone {
  /** Layers from..to, inclusive. */
  from: number
  to: number
  /** Share of a cell's exchange that this band moves, by layer, and of the face above the cell; length nZ. */
  readonly cell: Float64Array
  readonly face: Float64Array
  /** Runs of columns along x: row, first and last column, three numbers a run. And along y: column, first, last. */
  xRuns: Int32Array
  nXRuns: number
  yRuns: Int32Array
  nYRuns: number
  readonly reach: ColumnReach
}

export const createZone = (field: HeatField, reach: ColumnReach): Zone => ({
  from: 0,
  to: -1,
  cell: new Float64Array(field.nZ),
  face: new Float64Array(field.nZ),
  xRuns: new Int32Array(3 * field.nY * ((field.nX >> 1) + 1)),
  nXRuns: 0,
  yRuns: new Int32Array(3 * field.nX * ((field.nY >> 1) + 1)),
  nYRuns: 0,
  reach,
})

/** Lowest and highest layer with plastic in each column, final; low > high where a column stays empty. */
export interface ColumnReach {
  readonly low: Int32Array
  readonly high: Int32Array
}

/** A band that holds everything between two layers with full weight. */
export const wholeZone = (field: HeatField, reach: ColumnReach, from = 0, to = field.nZ - 1): Zone => {
  const zone = createZone(field, reach)
  setZone(field, zone, from, to, () => 1)
  return zone
}

/** Sets the band's layers, weights and runs. @param weight by layer, 0-1 */
export const setZone = (
  field: HeatField,
  zone: Zone,
  from: number,
  to: number,
  weight: (z: number) => number,
): void => {
  zone.from = from
  zone.to = to
  for (let z = from; z <= to; z++) zone.cell[z] = weight(z)
  for (let z = from; z <= to; z++) zone.face[z] = z < to ? (zone.cell[z] + zone.cell[z + 1]) / 2 : 0
  const { nX, nY } = field
  const { reach } = zone
  const has = (c: number): boolean => reach.low[c] <= to && reach.high[c] >= from
  let n = 0
  for (let y = 1; y < nY - 1; y++)
    for (let x = 1; x < nX - 1; x++) {
      if (!has(y * nX + x)) continue
      const first = x
      while (x + 1 < nX - 1 && has(y * nX + x + 1)) x++
      zone.xRuns[3 * n] = y
      zone.xRuns[3 * n + 1] = first
      zone.xRuns[3 * n++ + 2] = x
    }
  zone.nXRuns = n
  n = 0
  for (let x = 1; x < nX - 1; x++)
    for (let y = 1; y < nY - 1; y++) {
      if (!has(y * nX + x)) continue
      const first = y
      while (y + 1 < nY - 1 && has((y + 1) * nX + x)) y++
      zone.yRuns[3 * n] = x
      zone.yRuns[3 * n + 1] = first
      zone.yRuns[3 * n++ + 2] = y
    }
  zone.nYRuns = n
}
