// Where the arrays of a field lie in the memory of its loops in WebAssembly, and the loops over rows that they share.
//
// Addresses of cells are bytes from the start of an array; an array's own place is a constant offset. Neighbours above, below and beside are
// other constant offsets: where there is none the load falls into another array, and its value is multiplied by a conductance of 0.

import { type Code, get, i32, set, when, whilst } from '../kernel/index.ts'

/** Where things lie, bytes. */
export interface Places {
  readonly work: number
  readonly celsius: number
  readonly fill: number
  readonly capacity: number
  readonly loss: number
  readonly radiation: number
  readonly enthalpy: number
  readonly peak: number
  /** Room for the sweeps. */
  readonly c: number
  readonly d: number
  /** Start, rise, cp and 0 of each piece of the enthalpy table, single precision. */
  readonly pieces: number
  /** Of each row: where its first vector lies in it, how many bytes are moved, and whether any cell is soft. */
  readonly begin: number
  readonly bytes: number
  readonly hot: number
  /** Numbers of a layer, of the field, and results. */
  readonly layers: number
  readonly numbers: number
  /** Four rows each that are swept along x together. */
  readonly groups: number
  /** Bytes of a row and of a layer; rows of a layer. */
  readonly row: number
  readonly layer: number
  readonly nY: number
}

/** Numbers of a layer, places in a record of LAYER_BYTES. */
export const LAYER = { up: 0, upBelow: 1, out: 2, aside: 3, bedW: 4, share: 5, fullMass: 6 } as const
export const LAYER_NUMBERS = 8
/** Numbers of the field. */
export const NUMBER = { air: 0, bed: 1, one: 2, softC: 3, tiny: 4 } as const
/** Results: two lanes each of double precision, bytes from `numbers`. */
export const LOST = 32
export const RADIATED = 48
export const NUMBERS_BYTES = 64
/** Of a group: four rows, bytes to move, its layer's record. */
export const GROUP_WORDS = 8

/** Runs I from 0 to N in steps of 16 bytes. */
export const overVectors = (I: number, N: number, body: Code): Code => [
  set(I, i32.of(0)),
  whilst(i32.less(get(I), get(N)), [body, set(I, i32.add(get(I), i32.of(16)))]),
]

/** Runs I over from..to-1. */
export const upTo = (I: number, from: Code, to: Code, body: Code): Code => [
  set(I, from),
  whilst(i32.less(get(I), to), [body, set(I, i32.add(get(I), i32.of(1)))]),
]
/** Runs I over to-1 down to from. */
export const downTo = (I: number, from: Code, to: Code, body: Code): Code => [
  set(I, to),
  whilst(i32.less(from, get(I)), [set(I, i32.sub(get(I), i32.of(1))), body]),
]

/** Does the body for row Y of layer Z where plastic ever lies in it. Sets R (4 times the row), N (bytes), X (bytes into the row). */
export const inRow = (at: Places, Z: number, Y: number, R: number, N: number, X: number, body: Code): Code => [
  set(R, i32.mul(i32.of(4), i32.add(i32.mul(get(Z), i32.of(at.nY)), get(Y)))),
  set(N, i32.load(get(R), at.bytes)),
  set(X, i32.load(get(R), at.begin)),
  when(get(N), body),
]
/** Address of the row's first cell that is moved. */
export const rowAddress = (at: Places, R: number, X: number): Code =>
  i32.add(i32.mul(get(R), i32.of(at.row / 4)), get(X))
/** Address of a layer's record. */
export const layerRecord = (Z: number): Code => i32.mul(get(Z), i32.of(4 * LAYER_NUMBERS))
