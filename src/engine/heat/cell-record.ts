// What each cell lives through: its temperature at landing below it, how deep the pass softened, time above softening, healing.

import { type HeatField, layerOf } from './field.ts'
import { healingSum, type PassHealing } from './healing.ts'
import { NUMBER } from './kernel-layout.ts'
import { packedRows, type RowReach, type Zone } from './zone.ts'

/**
 * Kept for the rows of cells that ever hold plastic, one row after the other: a figure fills a tenth of its box. What belongs to a cell lies
 * at `slotOf`; `peak` alone is laid out like the field.
 */
export interface CellRecord {
  /** Temperature at which a cell counts as soft, deg C. */
  readonly softC: number
  /** Slot of a row's cell less the cell, by row; and cells of a row. */
  readonly rowSlot: Int32Array
  readonly nX: number
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
  /** Rows of which any cell may be soft. */
  readonly rowSoft: Uint8Array
  /** Healing sum of the joint with the cell below. */
  readonly healing: Float32Array
  /** Temperature at the end of the cell's layer, deg C. */
  readonly endC: Float32Array
}

/** An empty record of a field, of which the loops in WebAssembly, where there are any, note the peaks and the soft rows. */
export const createRecord = ({ kernels, fill, nX }: HeatField, reach: RowReach, softC: number): CellRecord => {
  if (kernels) kernels.numbers[NUMBER.softC] = softC
  const start = packedRows(reach)
  const nCells = start[start.length - 1]
  return {
    softC,
    rowSlot: reach.first.map((x, r) => start[r] - r * nX - x),
    nX,
    peak: (kernels?.peak ?? new Float32Array(fill.length)).fill(-300),
    rowSoft: new Uint8Array(reach.first.length).fill(1),
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
  }
}

/** Where what belongs to a cell of the field lies. */
export const slotOf = ({ rowSlot, nX }: CellRecord, cell: number): number => cell + rowSlot[Math.floor(cell / nX)]

/** Depth below the top of a cell that is at or above the limit without a break: whole layers, and a share of the next by a straight line. */
const depthBelow = (
  field: HeatField,
  values: Float32Array,
  cell: number,
  limit: number,
): { mm: number; layers: number } => {
  const { fill, layerMm } = field
  const down = field.nX * field.nY
  let mm = 0
  let layers = 0
  let k = layerOf(field, cell)
  for (let i = cell; i >= 0 && fill[i] > 0; i -= down, k--) {
    const t = values[i]
    if (t < limit) {
      // Straight between the middles of this cell and the one above it.
      if (i < cell) {
        const above = values[i + down]
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

/** Notes how deep the pass that laid the cell softened what is below; call before the next landing in its column and at the end. */
export const closePass = (field: HeatField, record: CellRecord, cell: number): void => {
  const slot = slotOf(record, cell)
  if (Number.isNaN(record.belowC[slot])) return
  const { mm, layers } = depthBelow(field, record.peak, cell - field.nX * field.nY, record.softC)
  record.depthMm[slot] = mm
  record.depthLayers[slot] = layers
}

/** The same for all cells whose pass is still open. */
export const closePasses = (field: HeatField, record: CellRecord, { first, last }: RowReach): void => {
  for (let r = field.nY; r < first.length; r++)
    for (let cell = r * field.nX + first[r], end = r * field.nX + last[r]; cell <= end; cell++)
      if (Number.isNaN(record.depthMm[slotOf(record, cell)])) closePass(field, record, cell)
}

/** Notes the landing of the first plastic of a cell, just before it is put there. */
export const openPass = (field: HeatField, record: CellRecord, cell: number, healing: PassHealing | null): void => {
  const { celsius, fill } = field
  const down = field.nX * field.nY
  const under = cell - down
  if (under < 0 || fill[under] === 0) return
  closePass(field, record, under)
  const belowC = celsius[under]
  const slot = slotOf(record, cell)
  record.belowC[slot] = belowC
  record.standingMm[slot] = depthBelow(field, celsius, under, record.softC).mm
  for (let i = under; i >= 0 && fill[i] > 0 && record.peak[i] > field.airC + 1; i -= down) record.peak[i] = celsius[i]
  if (!healing) return
  for (let j = 0, i = cell; j < healing.nJoints && i >= down && fill[i - down] > 0; j++, i -= down)
    record.healing[slotOf(record, i)] += healingSum(healing, j, belowC)
}

/** Notes which cells are soft already, where a run starts from what another has kept. */
export const markSoft = (field: HeatField, record: CellRecord, nCells: number, { first, last }: RowReach): void => {
  for (let r = 0; r < first.length && r * field.nX < nCells; r++)
    for (let cell = r * field.nX + first[r], end = r * field.nX + last[r]; cell <= end; cell++)
      record.isSoft[slotOf(record, cell)] = field.celsius[cell] >= record.softC ? 1 : 0
}

/** Follows every cell of the band after a step of dt seconds. */
export const followCells = (field: HeatField, zone: Zone, record: CellRecord, dt: number): void => {
  const { celsius, fill, nX, nY, kernels } = field
  const { peak, isSoft, rowSoft, rowSlot, times, firstS, laterS, softC } = record
  const { first, last } = zone.reach
  for (let z = zone.from; z <= zone.to; z++) {
    const share = dt * zone.cell[z]
    for (let y = 1; y < nY - 1; y++) {
      const r = z * nY + y
      if (kernels) {
        // Peaks are noted; where nothing is or was soft there is nothing else to note.
        const hot = kernels.hot[r]
        if (hot === 0 && rowSoft[r] === 0) continue
        rowSoft[r] = hot
      }
      const end = r * nX + last[r]
      for (let i = r * nX + first[r]; i <= end; i++) {
        const t = celsius[i]
        if (!kernels && t > peak[i]) peak[i] = t
        const slot = i + rowSlot[r]
        if (t >= softC) {
          if (isSoft[slot] === 0) {
            if (fill[i] === 0) continue
            isSoft[slot] = 1
            if (times[slot] < 255) times[slot]++
          }
          if (times[slot] <= 1) firstS[slot] += share
          else laterS[slot] += share
        } else isSoft[slot] = 0
      }
    }
  }
}
