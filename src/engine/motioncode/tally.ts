// Counts words by name with the first lines they stand on; a hostile file cannot make it grow without end.

import type { WordCount } from './types.ts'

const MOST_NAMES = 500
const MOST_LINES = 20

export class Tally {
  readonly #counts = new Map<string, { count: number; lines: number[] }>()

  add(word: string, line: number): void {
    const name = this.#counts.has(word) || this.#counts.size < MOST_NAMES ? word : 'other words'
    let entry = this.#counts.get(name)
    if (!entry) {
      entry = { count: 0, lines: [] }
      this.#counts.set(name, entry)
    }
    entry.count++
    if (entry.lines.length < MOST_LINES) entry.lines.push(line)
  }

  /** Most frequent first, then by name. */
  list(): WordCount[] {
    return [...this.#counts]
      .map(([word, { count, lines }]) => ({ word, count, lines }))
      .sort((a, b) => b.count - a.count || (a.word < b.word ? -1 : 1))
  }
}
