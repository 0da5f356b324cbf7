// Settings in the order of the file, in growing columns.

import { CODE_EVENTS, type CodeEventKind, type CodeEvents } from './types.ts'

const KIND_INDEX = Object.fromEntries(CODE_EVENTS.map((kind, i) => [kind, i])) as Record<CodeEventKind, number>
/** A file with more settings than this keeps the last ones only in part: real files have a few for each layer. */
const MOST_EVENTS = 4_000_000

export class EventList {
  n = 0
  #kind = new Uint8Array(256)
  #move = new Uint32Array(256)
  #line = new Uint32Array(256)
  #value = new Float64Array(256)

  /** False when the list is full. */
  add(kind: CodeEventKind, move: number, line: number, value: number): boolean {
    if (this.n === MOST_EVENTS) return false
    if (this.n === this.#kind.length) {
      const size = 2 * this.n
      const grow = <T extends Uint8Array | Uint32Array | Float64Array>(old: T, next: T): T => {
        next.set(old as never)
        return next
      }
      this.#kind = grow(this.#kind, new Uint8Array(size))
      this.#move = grow(this.#move, new Uint32Array(size))
      this.#line = grow(this.#line, new Uint32Array(size))
      this.#value = grow(this.#value, new Float64Array(size))
    }
    this.#kind[this.n] = KIND_INDEX[kind]
    this.#move[this.n] = move
    this.#line[this.n] = line
    this.#value[this.n++] = value
    return true
  }

  /** Changes all values of one kind, once its unit is known. */
  mapKind(kind: CodeEventKind, change: (value: number) => number): void {
    for (let i = 0; i < this.n; i++) if (this.#kind[i] === KIND_INDEX[kind]) this.#value[i] = change(this.#value[i])
  }

  finish(): CodeEvents {
    const { n } = this
    return {
      n,
      kind: this.#kind.slice(0, n),
      move: this.#move.slice(0, n),
      line: this.#line.slice(0, n),
      value: this.#value.slice(0, n),
    }
  }
}
