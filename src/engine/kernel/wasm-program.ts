// Puts small WebAssembly programs together from operations written as functions: no compiler, no bytes kept in the source.
//
// A piece of code is a nested list of bytes; a function's operands are pieces of code that leave a value. Source: the WebAssembly core
// specification 2.0, chapter 5 (binary format). Starting the program is the caller's matter: the engine has no WebAssembly of its own.

/** Bytes of the binary format, nested as they were put together. */
export type Code = readonly (number | Code)[]

/** What a started program offers: its memory and its functions. */
export interface WasmExports {
  readonly memory: { readonly buffer: ArrayBuffer }
  readonly [name: string]: unknown
}

/** Starts a program from its bytes: handed in by whoever runs the engine. Null where it cannot be started (no vectors, no memory). */
export type StartWasm = (program: Uint8Array) => Promise<WasmExports | null>

const unsigned = (n: number): number[] => {
  const bytes: number[] = []
  let rest = n >>> 0
  do {
    const low = rest & 0x7f
    rest >>>= 7
    bytes.push(rest ? low | 0x80 : low)
  } while (rest)
  return bytes
}

const signed = (n: number): number[] => {
  const bytes: number[] = []
  let rest = n | 0
  for (;;) {
    const low = rest & 0x7f
    rest >>= 7
    if ((rest === 0 && !(low & 0x40)) || (rest === -1 && low & 0x40)) {
      bytes.push(low)
      return bytes
    }
    bytes.push(low | 0x80)
  }
}

const simd = (op: number): number[] => [0xfd, ...unsigned(op)]
const pair =
  (...op: number[]) =>
  (a: Code, b: Code): Code => [a, b, op]

/** Numbers of double precision, one at a time; memory may hold them in single precision. */
export const f64 = {
  of: (n: number): Code => [0x44, ...new Uint8Array(Float64Array.of(n).buffer)],
  load: (at: Code, offset = 0): Code => [at, 0x2b, 3, ...unsigned(offset)],
  store: (at: Code, value: Code, offset = 0): Code => [at, value, 0x39, 3, ...unsigned(offset)],
  /** From and to single precision in memory. */
  loadSingle: (at: Code, offset = 0): Code => [at, 0x2a, 2, ...unsigned(offset), 0xbb],
  storeSingle: (at: Code, value: Code, offset = 0): Code => [at, value, 0xb6, 0x38, 2, ...unsigned(offset)],
  add: pair(0xa0),
  sub: pair(0xa1),
  mul: pair(0xa2),
  div: pair(0xa3),
  min: pair(0xa4),
  max: pair(0xa5),
  greater: pair(0x64),
  /** Towards zero, as a whole number, and back. */
  toWhole: (a: Code): Code => [a, 0xfc, 2],
  fromWhole: (a: Code): Code => [a, 0xb7],
}

/** Whole numbers of 32 bits, used as addresses and counts. */
export const i32 = {
  of: (n: number): Code => [0x41, ...signed(n)],
  load: (at: Code, offset = 0): Code => [at, 0x28, 2, ...unsigned(offset)],
  store: (at: Code, value: Code, offset = 0): Code => [at, value, 0x36, 2, ...unsigned(offset)],
  add: pair(0x6a),
  sub: pair(0x6b),
  mul: pair(0x6c),
  less: pair(0x49),
  differs: pair(0x47),
}

/** Lanes of one vector: four numbers of single precision or two of double, under the same names. */
export interface LaneKind {
  readonly add: (a: Code, b: Code) => Code
  readonly sub: (a: Code, b: Code) => Code
  readonly mul: (a: Code, b: Code) => Code
  readonly div: (a: Code, b: Code) => Code
  readonly min: (a: Code, b: Code) => Code
  /** The second where it is less (more) than the first, else the first: one operation of the machine, where min takes seven. */
  readonly lesser: (a: Code, b: Code) => Code
  readonly greater: (a: Code, b: Code) => Code
  /** One number in memory, put into all lanes. */
  readonly spread: (at: Code, offset?: number) => Code
  /** All bits of a lane set where the first is more than the second, or at least it. */
  readonly isMore: (a: Code, b: Code) => Code
  readonly isAtLeast: (a: Code, b: Code) => Code
}

/** @param add first of the eight operations, which follow each other: add, sub, mul, div, min, max, lesser, greater @param isMore of the comparisons */
const lanes = (add: number, spread: number, log2: number, isMore: number): LaneKind => ({
  add: pair(...simd(add)),
  sub: pair(...simd(add + 1)),
  mul: pair(...simd(add + 2)),
  div: pair(...simd(add + 3)),
  min: pair(...simd(add + 4)),
  lesser: pair(...simd(add + 6)),
  greater: pair(...simd(add + 7)),
  isMore: pair(...simd(isMore)),
  isAtLeast: pair(...simd(isMore + 2)),
  spread: (at, offset = 0) => [at, simd(spread), log2, ...unsigned(offset)],
})
export const f32x4 = lanes(0xe4, 0x09, 2, 0x44)
export const f64x2 = lanes(0xf0, 0x0a, 3, 0x4a)

/** Vectors of 16 bytes. */
export const v128 = {
  load: (at: Code, offset = 0): Code => [at, simd(0), 4, ...unsigned(offset)],
  store: (at: Code, value: Code, offset = 0): Code => [at, value, simd(11), 4, ...unsigned(offset)],
  zero: [simd(12), new Array<number>(16).fill(0)] as Code,
  /** Lower two single numbers as two doubles. */
  promoteLow: (a: Code): Code => [a, simd(0x5f)],
  /** Upper two. */
  promoteHigh: (a: Code): Code => [
    a,
    a,
    simd(0x0d),
    [8, 9, 10, 11, 12, 13, 14, 15, 8, 9, 10, 11, 12, 13, 14, 15],
    simd(0x5f),
  ],
  /** Two pairs of doubles as four single numbers. */
  demote: (low: Code, high: Code): Code => [
    [low, simd(0x5e)],
    [high, simd(0x5e)],
    simd(0x0d),
    [0, 1, 2, 3, 4, 5, 6, 7, 16, 17, 18, 19, 20, 21, 22, 23],
  ],
  /** Four lanes chosen from two vectors: 0 to 3 of the first, 4 to 7 of the second. */
  choose: (a: Code, b: Code, ...from: number[]): Code => [
    a,
    b,
    simd(0x0d),
    from.flatMap((lane) => [4 * lane, 4 * lane + 1, 4 * lane + 2, 4 * lane + 3]),
  ],
  or: pair(...simd(0x50)),
  /** The first where the bits of the mask are set, else the second. */
  select: (a: Code, b: Code, mask: Code): Code => [a, b, mask, simd(0x52)],
  /** 1 when any bit is set. */
  isAny: (a: Code): Code => [a, simd(0x53)],
  /** Two doubles as whole numbers in the lower two lanes, cut towards zero, and back. */
  toWhole: (a: Code): Code => [a, simd(0xfc)],
  fromWhole: (a: Code): Code => [a, simd(0xfe)],
  /** A lane as a whole number. */
  wholeLane: (a: Code, lane: number): Code => [a, simd(0x1b), lane],
}

export const get = (local: number): Code => [0x20, ...unsigned(local)]
export const set = (local: number, value: Code): Code => [value, 0x21, ...unsigned(local)]

/** Repeats while the condition holds; it is looked at first. */
export const whilst = (condition: Code, body: Code): Code => [
  [0x02, 0x40, 0x03, 0x40],
  [condition, 0x45, 0x0d, 1],
  body,
  [0x0c, 0, 0x0b, 0x0b],
]

/** Does the body when the condition holds. */
export const when = (condition: Code, body: Code): Code => [condition, 0x04, 0x40, body, 0x0b]

/** Fills bytes with 0. */
export const clear = (at: Code, nBytes: Code): Code => [at, i32.of(0), nBytes, 0xfc, 0x0b, 0]

/** A function of 32-bit parameters without a result. */
export interface WasmFunction {
  readonly name: string
  readonly nParameters: number
  /** Locals beside the parameters: addresses first, then vectors, then doubles. */
  readonly nWhole: number
  readonly nVectors: number
  readonly nDoubles?: number
  readonly body: Code
}

const flat = (code: Code, out: number[] = []): number[] => {
  for (const part of code) {
    if (typeof part === 'number') out.push(part)
    else flat(part, out)
  }
  return out
}
const counted = (bytes: readonly number[]): number[] => [...unsigned(bytes.length), ...bytes]
const section = (id: number, entries: readonly (readonly number[])[]): number[] => [
  id,
  ...counted([...unsigned(entries.length), ...entries.flat()]),
]
const text = (word: string): number[] => counted([...new TextEncoder().encode(word)])

/**
 * The program's bytes.
 * @param pages memory, in pages of 65 536 bytes; it never grows
 */
export const wasmProgram = (functions: readonly WasmFunction[], pages: number): Uint8Array => {
  const types = functions.map((f) => [0x60, ...counted(new Array<number>(f.nParameters).fill(0x7f)), 0])
  const code = functions.map((f) => {
    const locals = [
      ...(f.nWhole > 0 ? [[...unsigned(f.nWhole), 0x7f]] : []),
      ...(f.nVectors > 0 ? [[...unsigned(f.nVectors), 0x7b]] : []),
      ...(f.nDoubles ? [[...unsigned(f.nDoubles), 0x7c]] : []),
    ]
    return counted([...unsigned(locals.length), ...locals.flat(), ...flat(f.body), 0x0b])
  })
  return Uint8Array.from([
    ...[0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
    ...section(1, types),
    ...section(
      3,
      functions.map((_, i) => unsigned(i)),
    ),
    ...section(5, [[1, ...unsigned(pages), ...unsigned(pages)]]),
    ...section(7, [[...text('memory'), 2, 0], ...functions.map((f, i) => [...text(f.name), 0, ...unsigned(i)])]),
    ...section(10, code),
  ])
}
