// The inner loops of a step of the field in WebAssembly, with the memory that holds the field's arrays: four cells at a time, one call a band.
//
// Rows begin at multiples of four cells, so a row may be rounded outwards to whole vectors: empty cells come through unchanged.
// Sweeps along x go through four rows at once (see kernel-sweeps.ts): one row after the other in plain loops they took a quarter of a run.

import { type StartWasm, wasmProgram } from '../kernel/index.ts'
import { GROUP_WORDS, LAYER_NUMBERS, NUMBER, NUMBERS_BYTES, type Places } from './kernel-layout.ts'
import { settle } from './kernel-settle.ts'
import { alongX, alongY, upwards } from './kernel-sweeps.ts'
import type { EnthalpyTable } from './plastic.ts'
import type { RowReach } from './zone.ts'

const PAGE = 65_536
/** More than this is not asked of one memory, bytes. */
const MOST_BYTES = 2 ** 30

type Run = (...words: number[]) => void

/** The loops with the memory that they work on. Layers are given as from and end, the end not included. */
export interface StepKernels {
  readonly work: Float32Array
  readonly celsius: Float32Array
  readonly fill: Float32Array
  readonly capacity: Float32Array
  readonly loss: Float32Array
  readonly radiation: Float32Array
  readonly enthalpy: Float64Array
  /** Highest since the last landing in the column, deg C: kept by `settle`. */
  readonly peak: Float32Array
  /** Of each row: whether any cell was soft after the last step. */
  readonly hot: Int32Array
  /** Numbers of each layer (LAYER) and of the field (NUMBER). */
  readonly layers: Float32Array
  readonly numbers: Float32Array
  /** What `upwards` sums: lost in two lanes, radiated in two. */
  readonly lost: Float64Array
  /** First group of rows of each layer, length nZ + 1; cells moved in each layer. */
  readonly groupStart: Int32Array
  readonly nMoved: Int32Array
  readonly upwards: Run
  readonly upwardsAside: Run
  /** Groups in bytes. */
  readonly alongX: Run
  readonly alongY: Run
  readonly settle: Run
}

/** Writes down which bytes of each row are moved, and which four rows of a layer are swept together. */
const layRows = (
  { first, last }: RowReach,
  nX: number,
  nY: number,
  begin: Int32Array,
  bytes: Int32Array,
  groups: Int32Array,
): { groupStart: Int32Array; nMoved: Int32Array } => {
  const nZ = first.length / nY
  const groupStart = new Int32Array(nZ + 1)
  const nMoved = new Int32Array(nZ)
  let n = 0
  for (let z = 0; z < nZ; z++) {
    const rows: number[] = []
    for (let r = z * nY + 1; r < (z + 1) * nY - 1; r++) {
      if (last[r] < first[r]) continue
      begin[r] = 4 * (first[r] & ~3)
      bytes[r] = 4 * ((last[r] | 3) + 1) - begin[r]
      nMoved[z] += last[r] - first[r] + 1
      rows.push(r)
    }
    for (let k = 0; k < rows.length; k += 4, n++) {
      const four = rows.slice(k, k + 4)
      const from = Math.min(...four.map((r) => begin[r]))
      const to = Math.max(...four.map((r) => begin[r] + bytes[r]))
      // The empty border stands in for rows that are missing.
      for (let j = 0; j < 4; j++) groups[n * GROUP_WORDS + j] = 4 * nX * (four[j] ?? z * nY) + from
      groups[n * GROUP_WORDS + 4] = to - from
      groups[n * GROUP_WORDS + 5] = 4 * LAYER_NUMBERS * z
    }
    groupStart[z + 1] = n
  }
  return { groupStart, nMoved }
}

/**
 * Starts the loops with memory for a field.
 * @param reach rows with plastic, in the end @param nX cells of a row with its border, a multiple of four @param nY rows of a layer with theirs
 * @returns null where WebAssembly with vectors cannot be started or the field is too large for it
 */
export const startStepKernels = async (
  start: StartWasm,
  reach: RowReach,
  nX: number,
  nY: number,
  table: EnthalpyTable,
): Promise<StepKernels | null> => {
  if (nX % 4 !== 0) return null
  const nRows = reach.first.length
  const nZ = nRows / nY
  const nCells = nRows * nX
  let end = 0
  const take = (nBytes: number): number => {
    const at = end
    end += 64 * Math.ceil(nBytes / 64)
    return at
  }
  const numbers = take(NUMBERS_BYTES + 16)
  const sweep = 4 * nX * (Math.max(nZ, nY, 4) + 1)
  const cells = 4 * nCells
  // The row before the first is looked at.
  take(4 * nX)
  const room = { c: take(sweep), d: take(sweep) }
  const at: Places = {
    numbers,
    ...room,
    layers: take(4 * LAYER_NUMBERS * nZ),
    pieces: take(16 * table.nPieces),
    begin: take(4 * nRows),
    bytes: take(4 * nRows),
    hot: take(4 * nRows),
    groups: take(4 * GROUP_WORDS * (Math.ceil(nRows / 4) + nZ)),
    work: take(cells),
    celsius: take(cells),
    fill: take(cells),
    capacity: take(cells),
    loss: take(cells),
    radiation: take(cells),
    peak: take(cells),
    enthalpy: take(2 * cells),
    row: 4 * nX,
    layer: 4 * nX * nY,
    nY,
  }
  if (end > MOST_BYTES) return null
  const functions = [upwards(at, false), upwards(at, true), alongX(at), alongY(at), settle(at)]
  const program = await start(wasmProgram(functions, Math.ceil(end / PAGE)))
  if (!program) return null
  const { buffer } = program.memory
  const single = (from: number, n = nCells): Float32Array => new Float32Array(buffer, from, n)
  const whole = (from: number, n = nRows): Int32Array => new Int32Array(buffer, from, n)
  const pieces = single(at.pieces, 4 * table.nPieces)
  for (let k = 0; k < table.nPieces; k++)
    pieces.set([table.celsius[k], table.stepJPerG / table.heatCapacity[k], table.heatCapacity[k]], 4 * k)
  const ofField = single(numbers, 8)
  ofField[NUMBER.one] = 1
  ofField[NUMBER.softC] = Number.POSITIVE_INFINITY
  ofField[NUMBER.tiny] = 1e-20
  new Float64Array(buffer, numbers + NUMBERS_BYTES, 2).set([table.perStep, table.nPieces - 1])
  const groups = whole(at.groups, GROUP_WORDS * (Math.ceil(nRows / 4) + nZ))
  const { groupStart, nMoved } = layRows(reach, nX, nY, whole(at.begin), whole(at.bytes), groups)
  const run = (name: string): Run => program[name] as Run
  return {
    work: single(at.work),
    celsius: single(at.celsius),
    fill: single(at.fill),
    capacity: single(at.capacity),
    loss: single(at.loss),
    radiation: single(at.radiation),
    enthalpy: new Float64Array(buffer, at.enthalpy, nCells),
    peak: single(at.peak),
    hot: whole(at.hot),
    layers: single(at.layers, LAYER_NUMBERS * nZ),
    numbers: ofField,
    lost: new Float64Array(buffer, numbers + 32, 4),
    groupStart,
    nMoved,
    upwards: run('upwards'),
    upwardsAside: run('upwardsAside'),
    alongX: run('alongX'),
    alongY: run('alongY'),
    settle: run('settle'),
  }
}
