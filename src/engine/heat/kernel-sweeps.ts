// The sweeps of a step in WebAssembly: upwards with the losses, along y, and along x in four rows at once.
//
// The same operations as in step-field.ts, in single precision. Conductances towards the cell before are worked out anew, not kept: then
// nothing needs to be cleared between rows of different lengths.

import { type Code, f32x4, f64x2, get, i32, set, v128, type WasmFunction, whilst } from '../kernel/index.ts'
import {
  downTo,
  inRow,
  LAYER,
  LOST,
  layerRecord,
  NUMBER,
  overVectors,
  type Places,
  RADIATED,
  rowAddress,
  upTo,
} from './kernel-layout.ts'

const { add, sub, mul, div, lesser } = f32x4

/** Upwards in all columns of layers FROM..END-1 and back down, with what is lost, in sums of double precision. */
export const upwards = (at: Places, explicit: boolean): WasmFunction => {
  const [FROM, END] = [0, 1]
  const [Y, Z, R, N, X, I, P, Q, L] = Array.from({ length: 9 }, (_, k) => 2 + k)
  const [
    up,
    upBelow,
    out,
    aside,
    air,
    bedW,
    bed,
    one,
    f,
    on,
    back,
    l,
    rhs,
    m,
    t,
    lost,
    radiated,
    lostAll,
    radiatedAll,
  ] = Array.from({ length: 19 }, (_, k) => 11 + k)
  const flow = (cell: number): Code =>
    mul(lesser(v128.load(get(P), at.fill + cell), get(f)), sub(v128.load(get(P), at.celsius + cell), get(t)))
  const number = (k: number): Code => f32x4.spread(i32.of(at.numbers), 4 * k)
  const ofLayer = (k: number): Code => f32x4.spread(get(L), at.layers + 4 * k)
  /** Place of the row in the room for the sweep; one row is free before the first. */
  const here = i32.add(i32.mul(i32.sub(i32.add(get(Z), i32.of(1)), get(FROM)), i32.of(at.row)), get(X))
  const widen = (sum: number, of: number): Code =>
    set(sum, f64x2.add(get(sum), f64x2.add(v128.promoteLow(get(of)), v128.promoteHigh(get(of)))))
  const rowUp: Code = [
    set(L, layerRecord(Z)),
    set(up, ofLayer(LAYER.up)),
    set(upBelow, ofLayer(LAYER.upBelow)),
    set(out, ofLayer(LAYER.out)),
    set(aside, ofLayer(LAYER.aside)),
    set(bedW, ofLayer(LAYER.bedW)),
    set(P, rowAddress(at, R, X)),
    set(Q, here),
    overVectors(I, N, [
      set(f, v128.load(get(P), at.fill)),
      set(on, mul(get(up), lesser(get(f), v128.load(get(P), at.fill + at.layer)))),
      set(back, mul(get(upBelow), lesser(get(f), v128.load(get(P), at.fill - at.layer)))),
      set(l, mul(get(out), v128.load(get(P), at.loss))),
      set(m, v128.load(get(P), at.capacity)),
      set(
        rhs,
        add(
          add(mul(get(m), v128.load(get(P), at.work)), mul(get(l), get(air))),
          mul(get(back), v128.load(get(Q), at.d - at.row)),
        ),
      ),
      explicit
        ? [
            set(t, v128.load(get(P), at.celsius)),
            set(rhs, add(get(rhs), mul(get(aside), add(add(flow(4), flow(-4)), add(flow(at.row), flow(-at.row)))))),
          ]
        : [],
      // Heat from the bed, where there is one.
      set(t, mul(get(bedW), get(f))),
      set(rhs, add(get(rhs), mul(get(t), get(bed)))),
      set(
        m,
        div(
          get(one),
          add(
            add(add(get(m), get(on)), add(get(l), get(t))),
            mul(get(back), sub(get(one), v128.load(get(Q), at.c - at.row))),
          ),
        ),
      ),
      v128.store(get(Q), mul(get(on), get(m)), at.c),
      v128.store(get(Q), mul(get(rhs), get(m)), at.d),
      set(P, i32.add(get(P), i32.of(16))),
      set(Q, i32.add(get(Q), i32.of(16))),
    ]),
  ]
  const rowDown: Code = [
    set(up, f32x4.spread(layerRecord(Z), at.layers + 4 * LAYER.share)),
    set(P, rowAddress(at, R, X)),
    set(Q, here),
    overVectors(I, N, [
      set(t, add(v128.load(get(Q), at.d), mul(v128.load(get(Q), at.c), v128.load(get(P), at.work + at.layer)))),
      v128.store(get(P), get(t), at.work),
      set(t, mul(get(up), sub(get(t), get(air)))),
      set(lost, add(get(lost), mul(v128.load(get(P), at.loss), get(t)))),
      set(radiated, add(get(radiated), mul(v128.load(get(P), at.radiation), get(t)))),
      set(P, i32.add(get(P), i32.of(16))),
      set(Q, i32.add(get(Q), i32.of(16))),
    ]),
  ]
  return {
    name: explicit ? 'upwardsAside' : 'upwards',
    nParameters: 2,
    nWhole: 9,
    nVectors: 19,
    body: [
      set(air, number(NUMBER.air)),
      set(bed, number(NUMBER.bed)),
      set(one, number(NUMBER.one)),
      upTo(Y, i32.of(1), i32.of(at.nY - 1), [
        upTo(Z, get(FROM), get(END), inRow(at, Z, Y, R, N, X, rowUp)),
        set(lost, v128.zero),
        set(radiated, v128.zero),
        downTo(Z, get(FROM), get(END), inRow(at, Z, Y, R, N, X, rowDown)),
        widen(lostAll, lost),
        widen(radiatedAll, radiated),
      ]),
      v128.store(i32.of(at.numbers), get(lostAll), LOST),
      v128.store(i32.of(at.numbers), get(radiatedAll), RADIATED),
    ],
  }
}

/** Along y in layer Z: all columns are eliminated side by side. */
export const alongY = (at: Places): WasmFunction => {
  const Z = 0
  const [Y, R, N, X, I, P, Q] = Array.from({ length: 7 }, (_, k) => 1 + k)
  const [w, one, f, on, back, cap, m] = Array.from({ length: 7 }, (_, k) => 8 + k)
  const here = i32.add(i32.mul(get(Y), i32.of(at.row)), get(X))
  const onwards: Code = [set(P, i32.add(get(P), i32.of(16))), set(Q, i32.add(get(Q), i32.of(16)))]
  const begin: Code = [set(P, rowAddress(at, R, X)), set(Q, here)]
  return {
    name: 'alongY',
    nParameters: 1,
    nWhole: 7,
    nVectors: 7,
    body: [
      set(w, f32x4.spread(layerRecord(Z), at.layers + 4 * LAYER.aside)),
      set(one, f32x4.spread(i32.of(at.numbers), 4 * NUMBER.one)),
      upTo(
        Y,
        i32.of(1),
        i32.of(at.nY - 1),
        inRow(at, Z, Y, R, N, X, [
          begin,
          overVectors(I, N, [
            set(f, v128.load(get(P), at.fill)),
            set(on, mul(get(w), lesser(get(f), v128.load(get(P), at.fill + at.row)))),
            set(back, mul(get(w), lesser(get(f), v128.load(get(P), at.fill - at.row)))),
            set(cap, v128.load(get(P), at.capacity)),
            set(
              m,
              div(
                get(one),
                add(add(get(cap), get(on)), mul(get(back), sub(get(one), v128.load(get(Q), at.c - at.row)))),
              ),
            ),
            set(cap, add(mul(get(cap), v128.load(get(P), at.work)), mul(get(back), v128.load(get(Q), at.d - at.row)))),
            v128.store(get(Q), mul(get(on), get(m)), at.c),
            v128.store(get(Q), mul(get(cap), get(m)), at.d),
            onwards,
          ]),
        ]),
      ),
      downTo(
        Y,
        i32.of(1),
        i32.of(at.nY - 1),
        inRow(at, Z, Y, R, N, X, [
          begin,
          overVectors(I, N, [
            v128.store(
              get(P),
              add(v128.load(get(Q), at.d), mul(v128.load(get(Q), at.c), v128.load(get(P), at.work + at.row))),
              at.work,
            ),
            onwards,
          ]),
        ]),
      ),
    ],
  }
}

/** Rows and columns of four vectors change places. */
export const turn = (r: readonly number[], t: readonly number[]): Code => [
  set(t[0], v128.choose(get(r[0]), get(r[1]), 0, 4, 1, 5)),
  set(t[1], v128.choose(get(r[2]), get(r[3]), 0, 4, 1, 5)),
  set(t[2], v128.choose(get(r[0]), get(r[1]), 2, 6, 3, 7)),
  set(t[3], v128.choose(get(r[2]), get(r[3]), 2, 6, 3, 7)),
  set(r[0], v128.choose(get(t[0]), get(t[1]), 0, 1, 4, 5)),
  set(r[1], v128.choose(get(t[0]), get(t[1]), 2, 3, 6, 7)),
  set(r[2], v128.choose(get(t[2]), get(t[3]), 0, 1, 4, 5)),
  set(r[3], v128.choose(get(t[2]), get(t[3]), 2, 3, 6, 7)),
]

/** Along x in groups FROM..END-1 (bytes) of four rows: one row a lane, blocks of four by four cells turned on their way in and out. */
export const alongX = (at: Places): WasmFunction => {
  const [GROUP, END] = [0, 1]
  const whole = (n: number, from: number): number[] => Array.from({ length: n }, (_, k) => from + k)
  const [N, I, S] = [2, 3, 4]
  const P = whole(4, 5)
  /** What of the cells before is felt at the next: back (1 - c), in a form that waits for one division alone. */
  const held = 14
  const [w, one, back, on, m] = whole(5, 9)
  const d = 15
  const fill = whole(4, 16)
  const next = whole(4, 20)
  const cap = whole(4, 24)
  const work = whole(4, 28)
  const t = whole(4, 32)
  const load = (into: readonly number[], from: number): Code => [
    P.map((p, k) => set(into[k], v128.load(i32.add(get(p), get(I)), from))),
    turn(into, t),
  ]
  return {
    name: 'alongX',
    nParameters: 2,
    nWhole: 7,
    nVectors: 27,
    body: [
      set(one, f32x4.spread(i32.of(at.numbers), 4 * NUMBER.one)),
      whilst(i32.less(get(GROUP), get(END)), [
        P.map((p, k) => set(p, i32.load(get(GROUP), at.groups + 4 * k))),
        set(N, i32.load(get(GROUP), at.groups + 16)),
        set(w, f32x4.spread(i32.load(get(GROUP), at.groups + 20), at.layers + 4 * LAYER.aside)),
        [back, held, d].map((v) => set(v, v128.zero)),
        set(I, i32.of(0)),
        load(next, at.fill),
        whilst(i32.less(get(I), get(N)), [
          fill.map((f, k) => set(f, get(next[k]))),
          load(next, at.fill + 16),
          load(cap, at.capacity),
          load(work, at.work),
          set(S, i32.mul(get(I), i32.of(4))),
          fill.map((f, k) => [
            set(on, mul(get(w), lesser(get(f), get(k < 3 ? fill[k + 1] : next[0])))),
            set(m, div(get(one), add(add(get(cap[k]), get(on)), get(held)))),
            set(d, mul(add(mul(get(cap[k]), get(work[k])), mul(get(back), get(d))), get(m))),
            v128.store(get(S), mul(get(on), get(m)), at.c + 16 * k),
            v128.store(get(S), get(d), at.d + 16 * k),
            set(held, mul(mul(get(on), add(get(cap[k]), get(held))), get(m))),
            set(back, get(on)),
          ]),
          set(I, i32.add(get(I), i32.of(16))),
        ]),
        set(m, v128.zero),
        whilst(get(I), [
          set(I, i32.sub(get(I), i32.of(16))),
          set(S, i32.mul(get(I), i32.of(4))),
          [3, 2, 1, 0].map((k) => [
            set(m, add(v128.load(get(S), at.d + 16 * k), mul(v128.load(get(S), at.c + 16 * k), get(m)))),
            set(work[k], get(m)),
          ]),
          turn(work, t),
          P.map((p, k) => v128.store(i32.add(get(p), get(I)), get(work[k]), at.work)),
        ]),
        set(GROUP, i32.add(get(GROUP), i32.of(32))),
      ]),
    ],
  }
}
