// Which cells a step moves: a band of layers, with a weight for each.
//
// The figure is moved in bands, each with its own length of step: short near the nozzle, long below. The bands overlap: a cell in the overlap
// is moved by both, each with a part of its conduction and losses, and the parts add up to one. So heat passes from band to band without
// a border, nothing is counted twice and nothing is lost, whatever the steps are. (A sharp border that exchanges heat once a long step
// acts as 0.8 mm of added plastic at 1 s; with stale neighbours instead it loses energy.)

import type { HeatField } from './field.ts'

/** First and last cell with plastic of each row, final; index z * nY + y; last < first where a row stays empty. */
export interface RowReach {
  readonly first: Int32Array
  readonly last: Int32Array
}

export interface Zone {
  /** Layers from..to, inclusive. */
  from: number
  to: number
  /** Share of a cell's exchange that this band moves, by layer, and of the face above the cell; length nZ. */
  readonly cell: Float64Array
  readonly face: Float64Array
  readonly reach: RowReach
}

/** Rows of cells that ever hold plastic. @param fill final, in the order of the field */
export const rowReach = (fill: ArrayLike<number>, nX: number, nY: number, nZ: number): RowReach => {
  const first = new Int32Array(nY * nZ).fill(nX)
  const last = new Int32Array(nY * nZ).fill(-1)
  for (let r = 0; r < nY * nZ; r++)
    for (let x = 0; x < nX; x++) {
      if (fill[r * nX + x] === 0) continue
      if (first[r] === nX) first[r] = x
      last[r] = x
    }
  return { first, last }
}

/** Rows of cells that ever hold plastic, packed one after the other: the place of each row's first cell; length nY * nZ + 1. */
export const packedRows = ({ first, last }: RowReach): Uint32Array => {
  const start = new Uint32Array(first.length + 1)
  for (let r = 0; r < first.length; r++) start[r + 1] = start[r] + Math.max(0, last[r] - first[r] + 1)
  return start
}

export const createZone = (field: HeatField, reach: RowReach): Zone => ({
  from: 0,
  to: -1,
  cell: new Float64Array(field.nZ),
  face: new Float64Array(field.nZ),
  reach,
})

/** A band that holds everything between two layers with full weight. */
export const wholeZone = (field: HeatField, reach: RowReach, from = 0, to = field.nZ - 1): Zone => {
  const zone = createZone(field, reach)
  setZone(zone, from, to, () => 1)
  return zone
}

/** Sets the band's layers and weights. @param weight by layer, 0-1 */
export const setZone = (zone: Zone, from: number, to: number, weight: (z: number) => number): void => {
  zone.from = from
  zone.to = to
  for (let z = from; z <= to; z++) zone.cell[z] = weight(z)
  for (let z = from; z <= to; z++) zone.face[z] = z < to ? (zone.cell[z] + zone.cell[z + 1]) / 2 : 0
}
