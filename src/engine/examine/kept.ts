// Keeps the last few results of each room by a key of what they depend on, so that nothing is computed twice.

/** A small store: the least recently used result goes first. */
export class Kept {
  private readonly rooms = new Map<string, Map<string, unknown>>()
  private readonly most: number
  /** How often a result was found here, by room: for tests of what is computed again. */
  readonly hits = new Map<string, number>()
  readonly misses = new Map<string, number>()

  constructor(most: number) {
    this.most = most
  }

  /** The kept result of a room for this key, or a new one, which is kept. */
  async get<T>(room: string, key: string, make: () => Promise<T> | T): Promise<T> {
    let results = this.rooms.get(room)
    if (!results) {
      results = new Map()
      this.rooms.set(room, results)
    }
    if (results.has(key)) {
      const value = results.get(key) as T
      results.delete(key)
      results.set(key, value)
      this.hits.set(room, (this.hits.get(room) ?? 0) + 1)
      return value
    }
    this.misses.set(room, (this.misses.get(room) ?? 0) + 1)
    const value = await make()
    results.set(key, value)
    if (results.size > this.most) results.delete(results.keys().next().value as string)
    return value
  }

  /** Gives all memory back. */
  clear(): void {
    this.rooms.clear()
  }
}
