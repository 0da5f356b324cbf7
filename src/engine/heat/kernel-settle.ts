// The end of a step in WebAssembly: heat moved goes into the enthalpy, temperature and cp are read anew, peaks are noted.
//
// Enthalpy stays double, so that heat is kept; two of its numbers make a vector. Heat and mass are single: what is rounded in the heat of one
// step is as often up as down, and a mass rounded once takes its share, 6e-8, of what a cell has gained in all, not of what has passed it.
// The table's piece of each of four cells is one vector, and
// the four of them turned give the starts, rises and cp of the four cells.

import { type Code, f32x4, f64x2, get, i32, set, v128, type WasmFunction, when } from '../kernel/index.ts'
import { inRow, LAYER, layerRecord, NUMBER, overVectors, type Places, rowAddress, upTo } from './kernel-layout.ts'
import { turn } from './kernel-sweeps.ts'

/** Layers FROM..END-1. @param nPieces of the table @param perStep pieces to a J/g */
export const settle = (at: Places): WasmFunction => {
  const [FROM, END] = [0, 1]
  const [Y, Z, R, N, X, I, P, E] = Array.from({ length: 8 }, (_, k) => 2 + k)
  const [fill, is, full, mass, tiny, soft, hot, work, celsius, cap, perStep, last, zero, low, high, kLow, kHigh] =
    Array.from({ length: 17 }, (_, k) => 10 + k)
  const [p0, p1, p2, p3, t0, t1, t2, t3, q] = Array.from({ length: 9 }, (_, k) => 27 + k)
  const piece = [p0, p1, p2, p3]
  const numbers = i32.of(at.numbers)
  /** Enthalpy of two cells: leaves their place in the table in `into`, the whole part of it in `whole`. */
  const pair = (into: number, whole: number, half: (a: Code) => Code, offset: number): Code => [
    set(into, f64x2.add(v128.load(get(E), at.enthalpy + offset), half(get(q)))),
    v128.store(get(E), get(into), at.enthalpy + offset),
    set(into, f64x2.mul(get(into), get(perStep))),
    set(whole, v128.toWhole(f64x2.greater(get(zero), f64x2.lesser(get(last), get(into))))),
    set(into, f64x2.sub(get(into), v128.fromWhole(get(whole)))),
  ]
  const ofTable = (whole: number, lane: number): Code =>
    v128.load(i32.mul(v128.wholeLane(get(whole), lane), i32.of(16)), at.pieces)
  return {
    name: 'settle',
    nParameters: 2,
    nWhole: 8,
    nVectors: 26,
    body: [
      set(soft, f32x4.spread(numbers, 4 * NUMBER.softC)),
      set(perStep, f64x2.spread(numbers, 64)),
      set(last, f64x2.spread(numbers, 72)),
      set(zero, v128.zero),
      set(tiny, f32x4.spread(numbers, 4 * NUMBER.tiny)),
      upTo(Z, get(FROM), get(END), [
        set(full, f32x4.spread(layerRecord(Z), at.layers + 4 * LAYER.fullMass)),
        upTo(
          Y,
          i32.of(1),
          i32.of(at.nY - 1),
          inRow(at, Z, Y, R, N, X, [
            set(P, rowAddress(at, R, X)),
            set(hot, v128.zero),
            overVectors(I, N, [
              set(fill, v128.load(get(P), at.fill)),
              set(is, f32x4.isMore(get(fill), get(zero))),
              when(v128.isAny(get(is)), [
                set(E, i32.add(get(P), get(P))),
                set(work, v128.load(get(P), at.work)),
                set(celsius, v128.load(get(P), at.celsius)),
                set(cap, v128.load(get(P), at.capacity)),
                set(mass, f32x4.mul(get(fill), get(full))),
                // Empty cells have moved no heat: divided by something it stays none.
                set(
                  q,
                  f32x4.div(
                    f32x4.mul(get(cap), f32x4.sub(get(work), get(celsius))),
                    f32x4.greater(get(mass), get(tiny)),
                  ),
                ),
                pair(low, kLow, v128.promoteLow, 0),
                pair(high, kHigh, v128.promoteHigh, 16),
                set(p0, ofTable(kLow, 0)),
                set(p1, ofTable(kLow, 1)),
                set(p2, ofTable(kHigh, 0)),
                set(p3, ofTable(kHigh, 1)),
                turn(piece, [t0, t1, t2, t3]),
                set(work, f32x4.add(get(p0), f32x4.mul(v128.demote(get(low), get(high)), get(p1)))),
                set(work, v128.select(get(work), get(celsius), get(is))),
                v128.store(get(P), get(work), at.celsius),
                v128.store(get(P), get(work), at.work),
                v128.store(get(P), v128.select(f32x4.mul(get(mass), get(p2)), get(cap), get(is)), at.capacity),
                v128.store(get(P), f32x4.greater(v128.load(get(P), at.peak), get(work)), at.peak),
                set(hot, v128.or(get(hot), f32x4.isAtLeast(get(work), get(soft)))),
              ]),
              set(P, i32.add(get(P), i32.of(16))),
            ]),
            i32.store(get(R), v128.isAny(get(hot)), at.hot),
          ]),
        ),
      ]),
    ],
  }
}
