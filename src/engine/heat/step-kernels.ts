// The inner loops of a step of the field in WebAssembly: four cells of a row at a time, the field's arrays in its memory.
//
// The same operations as in step-field.ts, in single precision where cells are moved; enthalpy stays double, so that heat is kept.
// Rows begin at multiples of four cells, so a row may be rounded outwards to whole vectors: empty cells come through unchanged.

import {
  type Code,
  f32x4,
  f64,
  get,
  i32,
  type StartWasm,
  set,
  v128,
  type WasmFunction,
  wasmProgram,
  when,
  whilst,
} from '../kernel/index.ts'
import type { EnthalpyTable } from './plastic.ts'

const PAGE = 65_536
/** More than this is not asked of one memory, bytes. */
const MOST_BYTES = 2 ** 30
/** Numbers that change from row to row: single precision, then four lanes each of heat lost and radiated. */
const [UP, OUT, ASIDE, AIR, BED_W, BED, SHARE] = [0, 4, 8, 12, 16, 20, 24]
const [LOST, RADIATED] = [32, 48]
const PARAMETER_BYTES = 64

/** Where the arrays lie, bytes. */
interface Places {
  readonly work: number
  readonly celsius: number
  readonly fill: number
  readonly capacity: number
  readonly loss: number
  readonly radiation: number
  readonly enthalpy: number
  readonly c: number
  readonly d: number
  readonly g: number
  readonly starts: number
  readonly heatCapacity: number
  readonly parameters: number
}

const { add, sub, mul, div, min } = f32x4

/** Loop over vectors: I runs from 0 to N in steps of 16. */
const overVectors = (I: number, N: number, body: Code): Code => [
  set(I, i32.of(0)),
  whilst(i32.less(get(I), get(N)), [body, set(I, i32.add(get(I), i32.of(16)))]),
]

/** Elimination upwards over one row. Parameters: row, here and before in c and d, g, bytes of the row, bytes to the layer above, bytes of a row. */
const upwards = (at: Places, explicit: boolean): WasmFunction => {
  const [ROW, HERE, BEFORE, G, N, ABOVE, STRIDE] = [0, 1, 2, 3, 4, 5, 6]
  const [I, P, Q] = [7, 8, 9]
  const V = 10
  const [up, out, aside, air, bedW, bed, f, on, back, l, rhs, m, t] = Array.from({ length: 13 }, (_, k) => V + k)
  const spread = (place: number): Code => f32x4.spread(i32.of(at.parameters), place)
  const flow = (place: Code, offset: number): Code =>
    mul(min(v128.load(place, at.fill + offset), get(f)), sub(v128.load(place, at.celsius + offset), get(t)))
  return {
    name: explicit ? 'upwardsAside' : 'upwards',
    nParameters: 7,
    nWhole: 3,
    nVectors: 13,
    body: [
      set(up, spread(UP)),
      set(out, spread(OUT)),
      set(aside, spread(ASIDE)),
      set(air, spread(AIR)),
      set(bedW, spread(BED_W)),
      set(bed, spread(BED)),
      overVectors(I, N, [
        set(P, i32.add(get(ROW), get(I))),
        set(Q, i32.add(get(BEFORE), get(I))),
        set(f, v128.load(get(P), at.fill)),
        set(on, mul(get(up), min(get(f), v128.load(i32.add(get(P), get(ABOVE)), at.fill)))),
        set(back, v128.load(i32.add(get(G), get(I)), at.g)),
        set(l, mul(get(out), v128.load(get(P), at.loss))),
        set(m, v128.load(get(P), at.capacity)),
        set(
          rhs,
          add(
            add(mul(get(m), v128.load(get(P), at.work)), mul(get(l), get(air))),
            mul(get(back), v128.load(get(Q), at.d)),
          ),
        ),
        explicit
          ? [
              set(t, v128.load(get(P), at.celsius)),
              set(
                rhs,
                add(
                  get(rhs),
                  mul(
                    get(aside),
                    add(
                      add(flow(get(P), 4), flow(i32.sub(get(P), i32.of(4)), 0)),
                      add(flow(i32.add(get(P), get(STRIDE)), 0), flow(i32.sub(get(P), get(STRIDE)), 0)),
                    ),
                  ),
                ),
              ),
            ]
          : [],
        // Heat from the bed, where there is one.
        set(t, mul(get(bedW), get(f))),
        set(rhs, add(get(rhs), mul(get(t), get(bed)))),
        set(
          m,
          div(
            f32x4.spread(i32.of(at.parameters), 28),
            add(
              add(add(get(m), get(on)), add(get(l), get(t))),
              mul(get(back), sub(f32x4.spread(i32.of(at.parameters), 28), v128.load(get(Q), at.c))),
            ),
          ),
        ),
        set(Q, i32.add(get(HERE), get(I))),
        v128.store(get(Q), mul(get(on), get(m)), at.c),
        v128.store(get(Q), mul(get(rhs), get(m)), at.d),
        v128.store(i32.add(get(G), get(I)), get(on), at.g),
      ]),
    ],
  }
}

/** The way back down of one row, with what is lost. Parameters: row, here, bytes of the row, bytes to the layer above. */
const downwards = (at: Places): WasmFunction => {
  const [ROW, HERE, N, ABOVE] = [0, 1, 2, 3]
  const [I, P, Q] = [4, 5, 6]
  const V = 7
  const [air, share, t, lost, radiated] = Array.from({ length: 5 }, (_, k) => V + k)
  const parameters = i32.of(at.parameters)
  return {
    name: 'downwards',
    nParameters: 4,
    nWhole: 3,
    nVectors: 5,
    body: [
      set(air, f32x4.spread(parameters, AIR)),
      set(share, f32x4.spread(parameters, SHARE)),
      set(lost, v128.load(parameters, LOST)),
      set(radiated, v128.load(parameters, RADIATED)),
      overVectors(I, N, [
        set(P, i32.add(get(ROW), get(I))),
        set(Q, i32.add(get(HERE), get(I))),
        set(
          t,
          add(v128.load(get(Q), at.d), mul(v128.load(get(Q), at.c), v128.load(i32.add(get(P), get(ABOVE)), at.work))),
        ),
        v128.store(get(P), get(t), at.work),
        set(t, mul(get(share), sub(get(t), get(air)))),
        set(lost, add(get(lost), mul(v128.load(get(P), at.loss), get(t)))),
        set(radiated, add(get(radiated), mul(v128.load(get(P), at.radiation), get(t)))),
      ]),
      v128.store(parameters, get(lost), LOST),
      v128.store(parameters, get(radiated), RADIATED),
    ],
  }
}

/** Elimination along y over one row: all columns side by side. Parameters: row, here, before, g, bytes of the row, bytes to the next row. */
const alongY = (at: Places): WasmFunction => {
  const [ROW, HERE, BEFORE, G, N, NEXT] = [0, 1, 2, 3, 4, 5]
  const [I, P, Q] = [6, 7, 8]
  const V = 9
  const [w, one, on, back, cap, m] = Array.from({ length: 6 }, (_, k) => V + k)
  return {
    name: 'alongY',
    nParameters: 6,
    nWhole: 3,
    nVectors: 6,
    body: [
      set(w, f32x4.spread(i32.of(at.parameters), ASIDE)),
      set(one, f32x4.spread(i32.of(at.parameters), 28)),
      overVectors(I, N, [
        set(P, i32.add(get(ROW), get(I))),
        set(Q, i32.add(get(BEFORE), get(I))),
        set(on, mul(get(w), min(v128.load(get(P), at.fill), v128.load(i32.add(get(P), get(NEXT)), at.fill)))),
        set(back, v128.load(i32.add(get(G), get(I)), at.g)),
        set(cap, v128.load(get(P), at.capacity)),
        set(m, div(get(one), add(add(get(cap), get(on)), mul(get(back), sub(get(one), v128.load(get(Q), at.c)))))),
        set(cap, add(mul(get(cap), v128.load(get(P), at.work)), mul(get(back), v128.load(get(Q), at.d)))),
        set(Q, i32.add(get(HERE), get(I))),
        v128.store(get(Q), mul(get(on), get(m)), at.c),
        v128.store(get(Q), mul(get(cap), get(m)), at.d),
        v128.store(i32.add(get(G), get(I)), get(on), at.g),
      ]),
    ],
  }
}

/** The way back along y. Parameters: row, here, bytes of the row, bytes to the next row. */
const backAlongY = (at: Places): WasmFunction => {
  const [ROW, HERE, N, NEXT] = [0, 1, 2, 3]
  const [I, P, Q] = [4, 5, 6]
  return {
    name: 'backAlongY',
    nParameters: 4,
    nWhole: 3,
    nVectors: 0,
    body: overVectors(I, N, [
      set(P, i32.add(get(ROW), get(I))),
      set(Q, i32.add(get(HERE), get(I))),
      v128.store(
        get(P),
        add(v128.load(get(Q), at.d), mul(v128.load(get(Q), at.c), v128.load(i32.add(get(P), get(NEXT)), at.work))),
        at.work,
      ),
    ]),
  }
}

/** Puts the heat moved into the enthalpy of one row, reads temperature and cp anew. Parameters: row, bytes of the row (single precision). */
const settle = (at: Places, table: EnthalpyTable): WasmFunction => {
  const [ROW, N] = [0, 1]
  const [I, P, E, K] = [2, 3, 4, 5]
  const [fill, mass, e, q, cp, t] = [6, 7, 8, 9, 10, 11]
  return {
    name: 'settle',
    nParameters: 2,
    nWhole: 4,
    nVectors: 0,
    nDoubles: 6,
    body: [
      set(I, i32.of(0)),
      whilst(i32.less(get(I), get(N)), [
        set(P, i32.add(get(ROW), get(I))),
        set(fill, f64.loadSingle(get(P), at.fill)),
        when(f64.greater(get(fill), f64.of(0)), [
          set(E, i32.add(get(P), get(P))),
          set(mass, f64.mul(get(fill), f64.load(i32.of(at.parameters), PARAMETER_BYTES))),
          set(
            e,
            f64.add(
              f64.load(get(E), at.enthalpy),
              f64.div(
                f64.mul(
                  f64.loadSingle(get(P), at.capacity),
                  f64.sub(f64.loadSingle(get(P), at.work), f64.loadSingle(get(P), at.celsius)),
                ),
                get(mass),
              ),
            ),
          ),
          f64.store(get(E), get(e), at.enthalpy),
          set(q, f64.mul(get(e), f64.of(table.perStep))),
          set(K, f64.toWhole(f64.max(f64.of(0), f64.min(get(q), f64.of(table.nPieces - 1))))),
          set(q, f64.sub(get(q), f64.fromWhole(get(K)))),
          set(K, i32.mul(get(K), i32.of(8))),
          set(cp, f64.load(get(K), at.heatCapacity)),
          set(t, f64.add(f64.load(get(K), at.starts), f64.div(f64.mul(get(q), f64.of(table.stepJPerG)), get(cp)))),
          f64.storeSingle(get(P), get(t), at.celsius),
          f64.storeSingle(get(P), get(t), at.work),
          f64.storeSingle(get(P), f64.mul(get(mass), get(cp)), at.capacity),
        ]),
        set(I, i32.add(get(I), i32.of(4))),
      ]),
    ],
  }
}

type Run = (...words: number[]) => void

/** The loops with the memory that they work on. Addresses are bytes from the start of the array they belong to. */
export interface StepKernels {
  readonly work: Float32Array
  readonly celsius: Float32Array
  readonly fill: Float32Array
  readonly capacity: Float32Array
  readonly loss: Float32Array
  readonly radiation: Float32Array
  readonly enthalpy: Float64Array
  readonly g: Float32Array
  /** Numbers of the row: see the setters in step-field.ts. */
  readonly numbers: Float32Array
  /** Mass of a full cell of the layer, g. */
  readonly fullMass: Float64Array
  readonly upwards: Run
  readonly upwardsAside: Run
  readonly downwards: Run
  readonly alongY: Run
  readonly backAlongY: Run
  readonly settle: Run
}

/** Places in `numbers`. */
export const NUMBER = {
  up: 0,
  out: 1,
  aside: 2,
  air: 3,
  bedW: 4,
  bed: 5,
  share: 6,
  one: 7,
  lost: 8,
  radiated: 12,
} as const

/**
 * Starts the loops with memory for a field.
 * @param nCells cells of the field, with its border @param nX cells of a row, a multiple of four @param nRows rows that a sweep goes through, at most
 * @returns null where WebAssembly with vectors cannot be started or the field is too large for it
 */
export const startStepKernels = async (
  start: StartWasm,
  nCells: number,
  nX: number,
  nRows: number,
  table: EnthalpyTable,
): Promise<StepKernels | null> => {
  if (nX % 4 !== 0) return null
  let end = 0
  const take = (nBytes: number): number => {
    const at = end
    end += 64 * Math.ceil(nBytes / 64)
    return at
  }
  const parameters = take(PARAMETER_BYTES + 8)
  // Loads beside the first and last cell of the field stay within memory.
  take(4 * nX)
  const cells = 4 * nCells
  const at: Places = {
    parameters,
    work: take(cells),
    celsius: take(cells),
    fill: take(cells),
    capacity: take(cells),
    loss: take(cells),
    radiation: take(cells),
    enthalpy: take(2 * cells),
    c: take(4 * nX * nRows),
    d: take(4 * nX * nRows),
    g: take(4 * nX),
    starts: take(8 * (table.nPieces + 1)),
    heatCapacity: take(8 * table.nPieces),
  }
  take(4 * nX)
  if (end > MOST_BYTES) return null
  const functions = [
    upwards(at, false),
    upwards(at, true),
    downwards(at),
    alongY(at),
    backAlongY(at),
    settle(at, table),
  ]
  const program = await start(wasmProgram(functions, Math.ceil(end / PAGE)))
  if (!program) return null
  const { buffer } = program.memory
  const single = (from: number, n = nCells): Float32Array => new Float32Array(buffer, from, n)
  new Float64Array(buffer, at.starts, table.nPieces + 1).set(table.celsius)
  new Float64Array(buffer, at.heatCapacity, table.nPieces).set(table.heatCapacity)
  const numbers = single(at.parameters, 16)
  numbers[NUMBER.one] = 1
  const run = (name: string): Run => program[name] as Run
  return {
    work: single(at.work),
    celsius: single(at.celsius),
    fill: single(at.fill),
    capacity: single(at.capacity),
    loss: single(at.loss),
    radiation: single(at.radiation),
    enthalpy: new Float64Array(buffer, at.enthalpy, nCells),
    g: single(at.g, nX),
    numbers,
    fullMass: new Float64Array(buffer, at.parameters + PARAMETER_BYTES, 1),
    upwards: run('upwards'),
    upwardsAside: run('upwardsAside'),
    downwards: run('downwards'),
    alongY: run('alongY'),
    backAlongY: run('backAlongY'),
    settle: run('settle'),
  }
}
