// What each cell lives through: its temperature at landing below it, how deep the pass softened, time above softening, healing.

import type { HeatField } from './field.ts'
import { healingSum, type PassHealing } from './healing.ts'
import type { Zone } from './zone.ts'

export interface CellRecord {
  /** Temperature at which a cell counts as soft, deg C. */
  readonly softC: number
  /** Highest since the last landing in the column, deg C. */
  readonly peak: Float32Array
  /** Of the pass that laid the cell: temperature just under it, soft depth just then, depth it softened (mm and layers); NaN where nothing was below. */
  readonly belowC: Float32Array
  readonly standingMm: Float32Array
  readonly depthMm: Float32Array
  readonly depthLayers: Float32Array
  /** Seconds above softening until first below it; later ones; how often warmed through it again. */
  readonly firstS: Float32Array
  readonly laterS: Float32Array
  readonly times: Uint8Array
  readonly isSoft: Uint8Array
  /** Healing sum of the joint with the cell below. */
  readonly healing: Float32Array
  /** Temperature at the end of the cell's layer, deg C. */
  readonly endC: Float32Array
}

export const createRecord = (nCells: number, softC: number): CellRecord => ({
  softC,
  peak: new Float32Array(nCells).fill(-300),
  belowC: new Float32Array(nCells).fill(Number.NaN),
  standingMm: new Float32Array(nCells).fill(Number.NaN),
  depthMm: new Float32Array(nCells).fill(Number.NaN),
  depthLayers: new Float32Array(nCells).fill(Number.NaN),
  firstS: new Float32Array(nCells),
  laterS: new Float32Array(nCells),
  times: new Uint8Array(nCells),
  isSoft: new Uint8Array(nCells),
  healing: new Float32Array(nCells),
  endC: new Float32Array(nCells).fill(Number.NaN),
})

/** Depth below the top of layer z that is at or above the limit without a break: whole layers, and a share of the next by a straight line. */
const depthBelow = (
  field: HeatField,
  values: Float32Array,
  column: number,
  z: number,
  limit: number,
): { mm: number; layers: number } => {
  const { fill, layerMm } = field
  let mm = 0
  let layers = 0
  for (let k = z; k >= 0 && fill[column + k] > 0; k--) {
    const t = values[column + k]
    if (t < limit) {
      // Straight between the middles of this cell and the one above it.
      if (k < z) {
        const above = values[column + k + 1]
        const span = (layerMm[k] + layerMm[k + 1]) / 2
        const beyond = ((above - limit) / (above - t)) * span - layerMm[k + 1] / 2
        mm += beyond
        layers += beyond / (beyond > 0 ? layerMm[k] : layerMm[k + 1])
      }
      break
    }
    mm += layerMm[k]
    layers++
  }
  return { mm, layers }
}

/** Notes how deep the pass that laid the column's cell at layer z softened what is below; call before the next landing and at the end. */
export const closePass = (field: HeatField, record: CellRecord, column: number, z: number): void => {
  if (Number.isNaN(record.belowC[column + z])) return
  const { mm, layers } = depthBelow(field, record.peak, column, z - 1, record.softC)
  record.depthMm[column + z] = mm
  record.depthLayers[column + z] = layers
}

/** Notes the landing of the first plastic of the cell at layer z, just before it is put there. */
export const openPass = (
  field: HeatField,
  record: CellRecord,
  column: number,
  z: number,
  healing: PassHealing | null,
): void => {
  const { celsius, fill } = field
  if (z === 0 || fill[column + z - 1] === 0) return
  closePass(field, record, column, z - 1)
  const belowC = celsius[column + z - 1]
  record.belowC[column + z] = belowC
  record.standingMm[column + z] = depthBelow(field, celsius, column, z - 1, record.softC).mm
  for (let k = z - 1; k >= 0 && fill[column + k] > 0 && record.peak[column + k] > field.airC + 1; k--)
    record.peak[column + k] = celsius[column + k]
  if (!healing) return
  for (let j = 0; j < healing.nJoints && z - j > 0 && fill[column + z - j - 1] > 0; j++)
    record.healing[column + z - j] += healingSum(healing, j, belowC)
}

/** Follows every cell of the band after a step of dt seconds. */
export const followCells = (field: HeatField, zone: Zone, record: CellRecord, dt: number): void => {
  const { celsius, fill, nX, nZ } = field
  const { peak, isSoft, times, firstS, laterS, softC } = record
  const { from, to, cell } = zone
  const { low, high } = zone.reach
  for (let r = 0; r < zone.nXRuns; r++) {
    const y = zone.xRuns[3 * r]
    for (let x = zone.xRuns[3 * r + 1]; x <= zone.xRuns[3 * r + 2]; x++) {
      const c = y * nX + x
      const column = c * nZ
      const z0 = low[c] > from ? low[c] : from
      const z1 = high[c] < to ? high[c] : to
      for (let z = z0; z <= z1; z++) {
        const i = column + z
        const t = celsius[i]
        if (t > peak[i]) peak[i] = t
        if (t >= softC) {
          if (isSoft[i] === 0) {
            if (fill[i] === 0) continue
            isSoft[i] = 1
            if (times[i] < 255) times[i]++
          }
          if (times[i] <= 1) firstS[i] += dt * cell[z]
          else laterS[i] += dt * cell[z]
        } else isSoft[i] = 0
      }
    }
  }
}
