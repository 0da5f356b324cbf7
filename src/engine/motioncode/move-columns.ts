// Growing columns of moves: pages, so that growing never copies what is there; joined column by column at the end.

import type { CodeMoves } from './types.ts'

const PAGE = 65_536
type Column = Float64Array | Float32Array | Uint32Array | Uint8Array

/** Joins pages into one array and lets the pages go, so that at most one column stands twice in memory. */
const joined = <T extends Column>(pages: T[], n: number, make: (length: number) => T): T => {
  const whole = make(n)
  for (let page = 0; page < pages.length; page++) {
    const left = n - page * PAGE
    whole.set(left < PAGE ? (pages[page].subarray(0, Math.max(0, left)) as never) : (pages[page] as never), page * PAGE)
    pages[page] = make(0)
  }
  pages.length = 0
  return whole
}

/** Collects moves; 37 bytes a move. */
export class MoveColumns {
  n = 0
  #at = PAGE
  readonly #xs: Float64Array[] = []
  readonly #ys: Float64Array[] = []
  readonly #zs: Float64Array[] = []
  readonly #filaments: Float32Array[] = []
  readonly #speeds: Float32Array[] = []
  readonly #lines: Uint32Array[] = []
  readonly #flagPages: Uint8Array[] = []
  #x = new Float64Array(0)
  #y = new Float64Array(0)
  #z = new Float64Array(0)
  #filament = new Float32Array(0)
  #speed = new Float32Array(0)
  #line = new Uint32Array(0)
  #flags = new Uint8Array(0)

  push(x: number, y: number, z: number, filament: number, speed: number, line: number, flags: number): void {
    if (this.#at === PAGE) this.#turnPage()
    const at = this.#at++
    this.#x[at] = x
    this.#y[at] = y
    this.#z[at] = z
    this.#filament[at] = filament
    this.#speed[at] = speed
    this.#line[at] = line
    this.#flags[at] = flags
    this.n++
  }

  #turnPage(): void {
    this.#at = 0
    this.#x = new Float64Array(PAGE)
    this.#y = new Float64Array(PAGE)
    this.#z = new Float64Array(PAGE)
    this.#filament = new Float32Array(PAGE)
    this.#speed = new Float32Array(PAGE)
    this.#line = new Uint32Array(PAGE)
    this.#flags = new Uint8Array(PAGE)
    this.#xs.push(this.#x)
    this.#ys.push(this.#y)
    this.#zs.push(this.#z)
    this.#filaments.push(this.#filament)
    this.#speeds.push(this.#speed)
    this.#lines.push(this.#line)
    this.#flagPages.push(this.#flags)
  }

  /** The moves as whole columns. Nothing may be added afterwards. */
  finish(): CodeMoves {
    const { n } = this
    const none = new Float64Array(0)
    this.#x = none
    this.#y = none
    this.#z = none
    this.#at = PAGE
    return {
      n,
      x: joined(this.#xs, n, (length) => new Float64Array(length)),
      y: joined(this.#ys, n, (length) => new Float64Array(length)),
      z: joined(this.#zs, n, (length) => new Float64Array(length)),
      filament: joined(this.#filaments, n, (length) => new Float32Array(length)),
      speed: joined(this.#speeds, n, (length) => new Float32Array(length)),
      line: joined(this.#lines, n, (length) => new Uint32Array(length)),
      flags: joined(this.#flagPages, n, (length) => new Uint8Array(length)),
    }
  }
}
