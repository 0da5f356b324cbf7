// Keeps the last results of each room by a key of what they depend on, so that nothing is computed twice.

/** How much is kept. */
export interface KeptLimits {
  /** Results of each room. */
  readonly most: number
  /** Results of a room named here, where others count. */
  readonly mostOf?: Readonly<Record<string, number>>
  /** Bytes of typed arrays over all rooms: beyond them the result goes that was used longest ago. The newest always stays. */
  readonly mostBytes?: number
}

interface KeptResult {
  readonly value: unknown
  readonly buffers: ReadonlySet<ArrayBufferLike>
}

/** Buffers of all typed arrays within a value. Long lists are looked at by their first entry: lists are of one kind. */
const buffersIn = (value: unknown, into: Set<ArrayBufferLike> = new Set()): Set<ArrayBufferLike> => {
  if (ArrayBuffer.isView(value)) into.add(value.buffer)
  else if (Array.isArray(value)) {
    if (typeof value[0] === 'object') for (const entry of value) buffersIn(entry, into)
  } else if (typeof value === 'object' && value !== null)
    for (const entry of Object.values(value)) buffersIn(entry, into)
  return into
}

/** A small store: the least recently used result goes first. */
export class Kept {
  /** By room, and by key within it: room and key as one word, in the order in which they were last used. */
  private readonly results = new Map<string, KeptResult>()
  private readonly counts = new Map<string, number>()
  private readonly holders = new Map<ArrayBufferLike, number>()
  private readonly limits: KeptLimits
  /** How often a result was found here, by room: for tests of what is computed again. */
  readonly hits = new Map<string, number>()
  readonly misses = new Map<string, number>()
  /** Bytes of the typed arrays kept; an array that several results share counts once. 0 where no limit is set. */
  bytes = 0

  constructor(limits: number | KeptLimits) {
    this.limits = typeof limits === 'number' ? { most: limits } : limits
  }

  /** The kept result of a room for this key, or a new one, which is kept. */
  async get<T>(room: string, key: string, make: () => Promise<T> | T): Promise<T> {
    const place = `${room}\n${key}`
    const found = this.results.get(place)
    if (found) {
      this.results.delete(place)
      this.results.set(place, found)
      this.hits.set(room, (this.hits.get(room) ?? 0) + 1)
      return found.value as T
    }
    this.misses.set(room, (this.misses.get(room) ?? 0) + 1)
    const value = await make()
    this.keep(room, place, value)
    return value
  }

  private keep(room: string, place: string, value: unknown): void {
    const { most, mostOf, mostBytes } = this.limits
    // Another call may have made the same meanwhile.
    this.drop(place)
    const buffers = mostBytes === undefined ? new Set<ArrayBufferLike>() : buffersIn(value)
    this.results.set(place, { value, buffers })
    this.counts.set(room, (this.counts.get(room) ?? 0) + 1)
    for (const buffer of buffers) {
      const holders = this.holders.get(buffer) ?? 0
      if (holders === 0) this.bytes += buffer.byteLength
      this.holders.set(buffer, holders + 1)
    }
    const mostHere = mostOf?.[room] ?? most
    for (const other of this.results.keys()) {
      if ((this.counts.get(room) as number) <= mostHere) break
      if (other.startsWith(`${room}\n`) && other !== place) this.drop(other)
    }
    for (const other of this.results.keys()) {
      if (this.bytes <= (mostBytes ?? Infinity)) break
      if (other !== place) this.drop(other)
    }
  }

  private drop(place: string): void {
    const gone = this.results.get(place)
    if (!gone) return
    this.results.delete(place)
    const room = place.slice(0, place.indexOf('\n'))
    this.counts.set(room, (this.counts.get(room) as number) - 1)
    for (const buffer of gone.buffers) {
      const holders = (this.holders.get(buffer) as number) - 1
      if (holders > 0) this.holders.set(buffer, holders)
      else {
        this.holders.delete(buffer)
        this.bytes -= buffer.byteLength
      }
    }
  }

  /** Gives all memory back. */
  clear(): void {
    for (const place of [...this.results.keys()]) this.drop(place)
  }
}
