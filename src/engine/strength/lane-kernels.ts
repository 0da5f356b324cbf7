// The inner loops of the full field for four loads at once, as WebAssembly: each load is a lane.
//
// Single precision holds the four loads of an unknown in one vector (48 bytes a node); double precision holds two loads in one, so the
// same loop runs once for each pair. The product with the cubes is brickProduct's, operation for operation.

import {
  type Code,
  clear,
  f32x4,
  f64x2,
  get,
  i32,
  type LaneKind,
  set,
  v128,
  type WasmFunction,
  whilst,
} from '../kernel/index.ts'

/** Bytes of a node: three directions of 16 bytes. */
export const NODE_BYTES = 48
/** Words of a run of cells: addresses of its four rows of nodes less their vectors' start, and how many cells. */
const RUN_WORDS = 5

/** y = K u over runs of cells. Parameters: u, y, bytes of y, runs, end of runs, per cell (share, kind's constants). */
const brick = (name: string, { add, sub, mul, spread }: LaneKind, numberBytes: number): WasmFunction => {
  const [U, Y, SIZE, RUN, END, CELL] = [0, 1, 2, 3, 4, 5]
  const row = [6, 7, 8, 9]
  const out = [10, 11, 12, 13]
  const [LEFT, CONSTANTS] = [14, 15]
  const V = 16
  // Modes of the left face, what it takes over, modes of the right face: 1, z, y, yz of each direction.
  const left = (a: number, m: number): number => V + 4 * a + m
  const kept = (a: number, m: number): number => V + 12 + 4 * a + m
  const right = (a: number, m: number): number => V + 24 + 4 * a + m
  const [S, T, D, E, W] = [V + 36, V + 37, V + 38, V + 39, V + 40]
  const F = V + 41
  const CELL_BYTES = numberBytes + 4
  const face = (a: number, offset: number, to: (a: number, m: number) => number): Code => {
    const u = (r: number): Code => v128.load(get(row[r]), 16 * a + offset)
    return [
      set(S, add(u(0), u(1))),
      set(T, add(u(2), u(3))),
      set(D, sub(u(1), u(0))),
      set(E, sub(u(3), u(2))),
      set(to(a, 0), add(get(S), get(T))),
      set(to(a, 1), sub(get(T), get(S))),
      set(to(a, 2), add(get(D), get(E))),
      set(to(a, 3), sub(get(E), get(D))),
    ]
  }
  const give = (a: number, p: readonly Code[]): Code => {
    const to = (r: number, value: Code): Code =>
      v128.store(get(out[r]), add(v128.load(get(out[r]), 16 * a), value), 16 * a)
    return [
      set(S, sub(p[0], p[1])),
      set(T, add(p[0], p[1])),
      set(D, sub(p[2], p[3])),
      set(E, add(p[2], p[3])),
      to(0, sub(get(S), get(D))),
      to(1, add(get(S), get(D))),
      to(2, sub(get(T), get(E))),
      to(3, add(get(T), get(E))),
    ]
  }
  const [X, Yd, Z] = [0, 1, 2]
  const [ONE, MZ, MY, MW] = [0, 1, 2, 3]
  const g = (k: number): Code => spread(get(CONSTANTS), numberBytes * k)
  const w = (value: Code): Code => mul(get(W), value)
  const R = (a: number, m: number): Code => get(right(a, m))
  const L = (a: number, m: number): Code => get(left(a, m))
  // Forces of the modes, in locals from F on.
  const force: Record<string, number> = {}
  let next = F
  const local = (word: string): number => {
    force[word] ??= next++
    return force[word]
  }
  const let_ = (word: string, value: Code): Code => set(local(word), value)
  const q = (word: string): Code => get(local(word))
  const modes: Code = [
    let_('ux', sub(R(X, ONE), L(X, ONE))),
    let_('vy', add(R(Yd, MY), L(Yd, MY))),
    let_('wz', add(R(Z, MZ), L(Z, MZ))),
    let_('fxx', w(add(add(mul(g(0), q('ux')), mul(g(3), q('vy'))), mul(g(5), q('wz'))))),
    let_('fyy', w(add(add(mul(g(3), q('ux')), mul(g(1), q('vy'))), mul(g(4), q('wz'))))),
    let_('fzz', w(add(add(mul(g(5), q('ux')), mul(g(4), q('vy'))), mul(g(2), q('wz'))))),
    let_('sxy', w(mul(g(6), add(add(R(X, MY), L(X, MY)), sub(R(Yd, ONE), L(Yd, ONE)))))),
    let_('syz', w(mul(g(7), add(add(R(Yd, MZ), L(Yd, MZ)), add(R(Z, MY), L(Z, MY)))))),
    let_('sxz', w(mul(g(8), add(add(R(X, MZ), L(X, MZ)), sub(R(Z, ONE), L(Z, ONE)))))),
    let_('uxy', sub(R(X, MY), L(X, MY))),
    let_('uxz', sub(R(X, MZ), L(X, MZ))),
    let_('uyz', add(R(X, MW), L(X, MW))),
    let_('vxy', sub(R(Yd, MY), L(Yd, MY))),
    let_('vxz', sub(R(Yd, MZ), L(Yd, MZ))),
    let_('vyz', add(R(Yd, MW), L(Yd, MW))),
    let_('wxy', sub(R(Z, MY), L(Z, MY))),
    let_('wxz', sub(R(Z, MZ), L(Z, MZ))),
    let_('wyz', add(R(Z, MW), L(Z, MW))),
    let_('tx', w(mul(g(18), add(q('vxz'), q('wxy'))))),
    let_('ty', w(mul(g(19), add(q('uyz'), q('wxy'))))),
    let_('tz', w(mul(g(20), add(q('uyz'), q('vxz'))))),
    let_('fuxy', w(add(mul(g(12), q('uxy')), mul(g(14), q('wyz'))))),
    let_('fwyz', w(add(mul(g(14), q('uxy')), mul(g(13), q('wyz'))))),
    let_('fuxz', w(add(mul(g(15), q('uxz')), mul(g(17), q('vyz'))))),
    let_('fvyz', w(add(mul(g(17), q('uxz')), mul(g(16), q('vyz'))))),
    let_('fvxy', w(add(mul(g(9), q('vxy')), mul(g(11), q('wxz'))))),
    let_('fwxz', w(add(mul(g(11), q('vxy')), mul(g(10), q('wxz'))))),
    let_('fuyz', add(q('ty'), q('tz'))),
    let_('fvxz', add(q('tx'), q('tz'))),
    let_('fwxy', add(q('tx'), q('ty'))),
    let_('fu3', w(mul(g(21), sub(R(X, MW), L(X, MW))))),
    let_('fv3', w(mul(g(22), sub(R(Yd, MW), L(Yd, MW))))),
    let_('fw3', w(mul(g(23), sub(R(Z, MW), L(Z, MW))))),
  ]
  // Per direction and mode: even part (same on both faces) and odd part (changes sign); null where there is none.
  const parts: readonly (readonly (readonly [string | null, string | null])[])[] = [
    [
      [null, 'fxx'],
      ['sxz', 'fuxz'],
      ['sxy', 'fuxy'],
      ['fuyz', 'fu3'],
    ],
    [
      [null, 'sxy'],
      ['syz', 'fvxz'],
      ['fyy', 'fvxy'],
      ['fvyz', 'fv3'],
    ],
    [
      [null, 'sxz'],
      ['fzz', 'fwxz'],
      ['syz', 'fwxy'],
      ['fwyz', 'fw3'],
    ],
  ]
  const hand: Code[] = []
  for (let a = 0; a < 3; a++) {
    const p = parts[a].map(([even, odd], m): Code => {
      const base = even ? add(get(kept(a, m)), q(even)) : get(kept(a, m))
      return odd ? sub(base, q(odd)) : base
    })
    // The values are needed before they are replaced: into locals first.
    const before = [0, 1, 2, 3].map((m) => local(`p${m}`))
    hand.push(
      p.map((value, m) => set(before[m], value)),
      parts[a].map(([even, odd], m) =>
        set(kept(a, m), even && odd ? add(q(even), q(odd)) : q((even ?? odd) as string)),
      ),
      give(
        a,
        before.map((l) => get(l)),
      ),
    )
  }
  const each = [0, 1, 2]
  const modesOfFace = [0, 1, 2, 3]
  const step = (l: number, bytes: number): Code => set(l, i32.add(get(l), i32.of(bytes)))
  const cell: Code = [
    set(W, spread(get(CELL), 0)),
    set(CONSTANTS, i32.load(get(CELL), numberBytes)),
    each.map((a) => face(a, NODE_BYTES, right)),
    modes,
    hand,
    each.map((a) => modesOfFace.map((m) => set(left(a, m), get(right(a, m))))),
    row.map((l) => step(l, NODE_BYTES)),
    out.map((l) => step(l, NODE_BYTES)),
    step(CELL, CELL_BYTES),
    set(LEFT, i32.sub(get(LEFT), i32.of(1))),
  ]
  const body: Code = [
    clear(get(Y), get(SIZE)),
    whilst(i32.less(get(RUN), get(END)), [
      row.map((l, r) => set(l, i32.add(get(U), i32.load(get(RUN), 4 * r)))),
      out.map((l, r) => set(l, i32.add(get(Y), i32.load(get(RUN), 4 * r)))),
      set(LEFT, i32.load(get(RUN), 16)),
      each.map((a) => face(a, 0, left)),
      each.map((a) => modesOfFace.map((m) => set(kept(a, m), v128.zero))),
      whilst(get(LEFT), cell),
      each.map((a) =>
        give(
          a,
          modesOfFace.map((m) => get(kept(a, m))),
        ),
      ),
      step(RUN, 4 * RUN_WORDS),
    ]),
  ]
  return { name, nParameters: 6, nWhole: 10, nVectors: next - V, body }
}

const next = (l: number, bytes: number): Code => set(l, i32.add(get(l), i32.of(bytes)))
const upTo = (at: number, end: number): Code => i32.less(get(at), get(end))

/** y = A x, blocks of 3x3. Parameters: x, y, row ends (bytes into columns), rows' end, columns (bytes into x), values. */
const blocks = (): WasmFunction => {
  const { add, mul, spread } = f32x4
  const [X, Y, ENDS, LAST, COLUMN, VALUE] = [0, 1, 2, 3, 4, 5]
  const [STOP, FROM, FIRST] = [6, 7, 8]
  const sum = [9, 10, 11]
  const [P, Q, R] = [12, 13, 14]
  const value = (k: number): Code => spread(get(VALUE), 4 * k)
  return {
    name: 'blocks',
    nParameters: 6,
    nWhole: 3,
    nVectors: 6,
    body: [
      set(FIRST, get(COLUMN)),
      whilst(upTo(ENDS, LAST), [
        set(STOP, i32.add(get(FIRST), i32.load(get(ENDS)))),
        sum.map((l) => set(l, v128.zero)),
        whilst(upTo(COLUMN, STOP), [
          set(FROM, i32.add(get(X), i32.load(get(COLUMN)))),
          set(P, v128.load(get(FROM))),
          set(Q, v128.load(get(FROM), 16)),
          set(R, v128.load(get(FROM), 32)),
          sum.map((l, r) =>
            set(
              l,
              add(
                add(get(l), mul(value(3 * r), get(P))),
                add(mul(value(3 * r + 1), get(Q)), mul(value(3 * r + 2), get(R))),
              ),
            ),
          ),
          next(COLUMN, 4),
          next(VALUE, 36),
        ]),
        sum.map((l, r) => v128.store(get(Y), get(l), 16 * r)),
        next(Y, NODE_BYTES),
        next(ENDS, 4),
      ]),
    ],
  }
}

/** Smoothing of all unknowns. `first`: x = p = f d b; otherwise p = g p + f d (b - r), x += p. Factors f, g stand in memory. */
const smoothing = (name: string, first: boolean): WasmFunction => {
  const { add, sub, mul, spread } = f32x4
  const [X, P, B, R, D, END, FACTORS] = [0, 1, 2, 3, 4, 5, 6]
  const [F, G, V] = [7, 8, 9]
  return {
    name,
    nParameters: 7,
    nWhole: 0,
    nVectors: 3,
    body: [
      set(F, spread(get(FACTORS))),
      set(G, spread(get(FACTORS), 4)),
      whilst(upTo(X, END), [
        first
          ? [
              set(V, mul(mul(get(F), spread(get(D))), v128.load(get(B)))),
              v128.store(get(X), get(V)),
              v128.store(get(P), get(V)),
            ]
          : [
              set(
                V,
                add(
                  mul(get(G), v128.load(get(P))),
                  mul(mul(get(F), spread(get(D))), sub(v128.load(get(B)), v128.load(get(R)))),
                ),
              ),
              v128.store(get(P), get(V)),
              v128.store(get(X), add(v128.load(get(X)), get(V))),
            ],
        [X, P, B, R].map((l) => next(l, 16)),
        next(D, 4),
      ]),
    ],
  }
}

/** One step of damped diagonal smoothing: x += f d (b - r). */
const relax = (): WasmFunction => {
  const { add, sub, mul, spread } = f32x4
  const [X, B, R, D, END, FACTORS] = [0, 1, 2, 3, 4, 5]
  const F = 6
  return {
    name: 'relax',
    nParameters: 6,
    nWhole: 0,
    nVectors: 1,
    body: [
      set(F, spread(get(FACTORS))),
      whilst(upTo(X, END), [
        v128.store(
          get(X),
          add(v128.load(get(X)), mul(mul(get(F), spread(get(D))), sub(v128.load(get(B)), v128.load(get(R))))),
        ),
        [X, B, R].map((l) => next(l, 16)),
        next(D, 4),
      ]),
    ],
  }
}

/** Restriction of b - r to the coarser level's b (which is 0 before), or prolongation x += P e: rows of (address, weight). */
const transfer = (name: string, down: boolean): WasmFunction => {
  const { add, sub, mul, spread } = f32x4
  // Fine vector(s), coarse vector, row ends (bytes of entries), rows' end, entries.
  const [B, R, COARSE, ENDS, LAST, ENTRY] = [0, 1, 2, 3, 4, 5]
  const [STOP, TO, FIRST] = [6, 7, 8]
  const v = [9, 10, 11]
  const W = 12
  const entries = (body: Code): Code =>
    whilst(upTo(ENTRY, STOP), [
      set(TO, i32.add(get(COARSE), i32.load(get(ENTRY)))),
      set(W, spread(get(ENTRY), 4)),
      body,
      next(ENTRY, 8),
    ])
  return {
    name,
    nParameters: 6,
    nWhole: 3,
    nVectors: 4,
    body: [
      set(FIRST, get(ENTRY)),
      whilst(upTo(ENDS, LAST), [
        set(STOP, i32.add(get(FIRST), i32.load(get(ENDS)))),
        down
          ? [
              v.map((l, a) => set(l, sub(v128.load(get(B), 16 * a), v128.load(get(R), 16 * a)))),
              entries(
                v.map((l, a) => v128.store(get(TO), add(v128.load(get(TO), 16 * a), mul(get(W), get(l))), 16 * a)),
              ),
            ]
          : [
              v.map((l, a) => set(l, v128.load(get(B), 16 * a))),
              entries(v.map((l, a) => set(l, add(get(l), mul(get(W), v128.load(get(TO), 16 * a)))))),
              v.map((l, a) => v128.store(get(B), get(l), 16 * a)),
            ],
        next(B, NODE_BYTES),
        next(R, NODE_BYTES),
        next(ENDS, 4),
      ]),
    ],
  }
}

/** A row of the factor: its first unknown and its own, first and last value, all in bytes. */
export const ROW_BYTES = 16

/** Forward and backward substitution with an envelope's factor. Parameters: x (in place), rows, rows' end, values. */
const substitute = (): WasmFunction[] => {
  const { sub, mul, spread } = f32x4
  const [X, ROWS, END, VALUES] = [0, 1, 2, 3]
  const [K, STOP, V] = [4, 5, 6]
  const [SUM] = [7]
  const forward: Code = whilst(upTo(ROWS, END), [
    set(K, i32.add(get(X), i32.load(get(ROWS)))),
    set(STOP, i32.add(get(X), i32.load(get(ROWS), 4))),
    set(V, i32.add(get(VALUES), i32.load(get(ROWS), 8))),
    set(SUM, v128.load(get(STOP))),
    whilst(upTo(K, STOP), [set(SUM, sub(get(SUM), mul(spread(get(V)), v128.load(get(K))))), next(K, 16), next(V, 4)]),
    v128.store(get(STOP), mul(get(SUM), spread(get(V)))),
    next(ROWS, ROW_BYTES),
  ])
  const backward: Code = whilst(i32.less(get(ROWS), get(END)), [
    set(END, i32.sub(get(END), i32.of(ROW_BYTES))),
    set(K, i32.add(get(X), i32.load(get(END)))),
    set(STOP, i32.add(get(X), i32.load(get(END), 4))),
    set(V, i32.add(get(VALUES), i32.load(get(END), 8))),
    set(SUM, mul(v128.load(get(STOP)), spread(i32.add(get(VALUES), i32.load(get(END), 12))))),
    v128.store(get(STOP), get(SUM)),
    whilst(upTo(K, STOP), [
      v128.store(get(K), sub(v128.load(get(K)), mul(spread(get(V)), get(SUM)))),
      next(K, 16),
      next(V, 4),
    ]),
  ])
  return [
    { name: 'forward', nParameters: 4, nWhole: 3, nVectors: 1, body: forward },
    { name: 'backward', nParameters: 4, nWhole: 3, nVectors: 1, body: backward },
  ]
}

/** Gathers or scatters unknowns of 16 bytes in the coarsest level's order: to[k] = from[order[k]], or the other way round. */
const reorder = (name: string, gather: boolean): WasmFunction => {
  const [FROM, TO, ORDER, END] = [0, 1, 2, 3]
  return {
    name,
    nParameters: 4,
    nWhole: 0,
    nVectors: 0,
    body: whilst(upTo(ORDER, END), [
      gather
        ? [v128.store(get(TO), v128.load(i32.add(get(FROM), i32.load(get(ORDER))))), next(TO, 16)]
        : [v128.store(i32.add(get(TO), i32.load(get(ORDER))), v128.load(get(FROM))), next(FROM, 16)],
      next(ORDER, 4),
    ]),
  }
}

/** Sets listed unknowns to 0. Parameters: vector, list (bytes), list's end. */
const release = (): WasmFunction => {
  const [X, LIST, END] = [0, 1, 2]
  return {
    name: 'release',
    nParameters: 3,
    nWhole: 0,
    nVectors: 0,
    body: whilst(upTo(LIST, END), [v128.store(i32.add(get(X), i32.load(get(LIST))), v128.zero), next(LIST, 4)]),
  }
}

/** Conjugate gradients in double precision beside the single-precision correction z: two pairs of lanes stand in two vectors. */
const gradients = (): WasmFunction[] => {
  const { add, sub, mul } = f64x2
  const load = (l: number, offset = 0): Code => v128.load(get(l), offset)
  // Sums z.r and z.q of each lane to OUT: 4 vectors (zr low, zr high, zq low, zq high).
  const products = (): WasmFunction => {
    const [Z, END, R0, R1, Q0, Q1, OUT] = [0, 1, 2, 3, 4, 5, 6]
    const [A, B, C, D, LOW, HIGH] = [7, 8, 9, 10, 11, 12]
    return {
      name: 'products',
      nParameters: 7,
      nWhole: 0,
      nVectors: 6,
      body: [
        whilst(upTo(Z, END), [
          set(LOW, v128.promoteLow(load(Z))),
          set(HIGH, v128.promoteHigh(load(Z))),
          set(A, add(get(A), mul(get(LOW), load(R0)))),
          set(B, add(get(B), mul(get(HIGH), load(R1)))),
          set(C, add(get(C), mul(get(LOW), load(Q0)))),
          set(D, add(get(D), mul(get(HIGH), load(Q1)))),
          [Z, R0, R1, Q0, Q1].map((l) => next(l, 16)),
        ]),
        [A, B, C, D].map((l, k) => v128.store(get(OUT), get(l), 16 * k)),
      ],
    }
  }
  // p = z + beta p of one pair.
  const direction = (name: string, half: (a: Code) => Code): WasmFunction => {
    const [Z, END, P, BETA] = [0, 1, 2, 3]
    return {
      name,
      nParameters: 4,
      nWhole: 0,
      nVectors: 0,
      body: whilst(upTo(Z, END), [
        v128.store(get(P), add(half(load(Z)), mul(load(BETA), load(P)))),
        [Z, P].map((l) => next(l, 16)),
      ]),
    }
  }
  // Sums a.b of one pair.
  const dot = (): WasmFunction => {
    const [A, END, B, OUT] = [0, 1, 2, 3]
    const S = 4
    return {
      name: 'dot',
      nParameters: 4,
      nWhole: 0,
      nVectors: 1,
      body: [
        whilst(upTo(A, END), [set(S, add(get(S), mul(load(A), load(B)))), [A, B].map((l) => next(l, 16))]),
        v128.store(get(OUT), get(S)),
      ],
    }
  }
  // x += alpha p, r -= alpha q, sums of r.r to OUT, of one pair.
  const advance = (): WasmFunction => {
    const [X, END, P, R, Q, ALPHA, OUT] = [0, 1, 2, 3, 4, 5, 6]
    const [A, S, N] = [7, 8, 9]
    return {
      name: 'advance',
      nParameters: 7,
      nWhole: 0,
      nVectors: 3,
      body: [
        set(A, load(ALPHA)),
        whilst(upTo(X, END), [
          v128.store(get(X), add(load(X), mul(get(A), load(P)))),
          set(N, sub(load(R), mul(get(A), load(Q)))),
          v128.store(get(R), get(N)),
          set(S, add(get(S), mul(get(N), get(N)))),
          [X, P, R, Q].map((l) => next(l, 16)),
        ]),
        v128.store(get(OUT), get(S)),
      ],
    }
  }
  // The residual in single precision.
  const demote = (): WasmFunction => {
    const [B, END, R0, R1] = [0, 1, 2, 3]
    return {
      name: 'demote',
      nParameters: 4,
      nWhole: 0,
      nVectors: 0,
      body: whilst(upTo(B, END), [
        v128.store(get(B), v128.demote(load(R0), load(R1))),
        [B, R0, R1].map((l) => next(l, 16)),
      ]),
    }
  }
  return [
    products(),
    direction('directionLow', v128.promoteLow),
    direction('directionHigh', v128.promoteHigh),
    dot(),
    advance(),
    demote(),
  ]
}

/** All loops. */
export const laneFunctions = (): WasmFunction[] => [
  brick('brick32', f32x4, 4),
  brick('brick64', f64x2, 8),
  blocks(),
  smoothing('start', true),
  smoothing('smooth', false),
  relax(),
  transfer('restrict', true),
  transfer('prolong', false),
  ...substitute(),
  reorder('gather', true),
  reorder('scatter', false),
  release(),
  ...gradients(),
]
