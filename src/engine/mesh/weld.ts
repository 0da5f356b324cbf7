// Gives corners at exactly the same place one vertex. Open-addressing hash on the numbers' bits; no tolerance, so it can join nothing that was apart.

/** Vertices without doubles, numbered by first appearance, and where each given one went. */
export interface Welded {
  /** xyz per vertex, length 3*nVertices. */
  readonly positions: Float64Array
  /** New vertex of each given position, length nGiven. */
  readonly vertexOf: Uint32Array
}

const tableSizeFor = (n: number): number => {
  let size = 1024
  while (size < 1.6 * n) size *= 2
  return size
}

const weldSingles = (given: Float32Array): Welded => {
  const n = (given.length / 3) | 0
  const vertexOf = new Uint32Array(n)
  // +0 and -0 are the same place: adding zero makes them the same bits.
  const kept = new Float32Array(3 * n)
  const keptWords = new Int32Array(kept.buffer)
  const one = new Float32Array(3)
  const word = new Int32Array(one.buffer)
  // Grown while filling: a closed soup has six times fewer vertices than corners, and a small table stays in the cache.
  let size = tableSizeFor(n >> 3)
  let mask = size - 1
  let table = new Int32Array(size).fill(-1)
  let nKept = 0
  for (let i = 0; i < n; i++) {
    one[0] = given[3 * i] + 0
    one[1] = given[3 * i + 1] + 0
    one[2] = given[3 * i + 2] + 0
    const a = word[0]
    const b = word[1]
    const c = word[2]
    let slot = Math.imul(a, 0x9e3779b1) ^ Math.imul(b, 0x85ebca6b) ^ Math.imul(c, 0xc2b2ae35)
    slot = (slot ^ (slot >>> 15)) & mask
    for (;;) {
      const v = table[slot]
      if (v < 0) {
        table[slot] = nKept
        keptWords[3 * nKept] = a
        keptWords[3 * nKept + 1] = b
        keptWords[3 * nKept + 2] = c
        vertexOf[i] = nKept++
        break
      }
      if (keptWords[3 * v] === a && keptWords[3 * v + 1] === b && keptWords[3 * v + 2] === c) {
        vertexOf[i] = v
        break
      }
      slot = (slot + 1) & mask
    }
    if (nKept * 1.6 > size) {
      size *= 2
      mask = size - 1
      table = new Int32Array(size).fill(-1)
      for (let v = 0; v < nKept; v++) {
        let s =
          Math.imul(keptWords[3 * v], 0x9e3779b1) ^
          Math.imul(keptWords[3 * v + 1], 0x85ebca6b) ^
          Math.imul(keptWords[3 * v + 2], 0xc2b2ae35)
        s = (s ^ (s >>> 15)) & mask
        while (table[s] >= 0) s = (s + 1) & mask
        table[s] = v
      }
    }
  }
  return { positions: Float64Array.from(kept.subarray(0, 3 * nKept)), vertexOf }
}

const weldDoubles = (given: Float64Array): Welded => {
  const n = (given.length / 3) | 0
  const vertexOf = new Uint32Array(n)
  const kept = new Float64Array(3 * n)
  const one = new Float64Array(3)
  const word = new Int32Array(one.buffer)
  const size = tableSizeFor(n)
  const mask = size - 1
  const table = new Int32Array(size).fill(-1)
  let nKept = 0
  for (let i = 0; i < n; i++) {
    const x = given[3 * i] + 0
    const y = given[3 * i + 1] + 0
    const z = given[3 * i + 2] + 0
    one[0] = x
    one[1] = y
    one[2] = z
    let slot = Math.imul(word[1] ^ Math.imul(word[0], 0x27d4eb2f), 0x9e3779b1)
    slot ^= Math.imul(word[3] ^ Math.imul(word[2], 0x27d4eb2f), 0x85ebca6b)
    slot ^= Math.imul(word[5] ^ Math.imul(word[4], 0x27d4eb2f), 0xc2b2ae35)
    slot = (slot ^ (slot >>> 15)) & mask
    for (;;) {
      const v = table[slot]
      if (v < 0) {
        table[slot] = nKept
        kept[3 * nKept] = x
        kept[3 * nKept + 1] = y
        kept[3 * nKept + 2] = z
        vertexOf[i] = nKept++
        break
      }
      if (kept[3 * v] === x && kept[3 * v + 1] === y && kept[3 * v + 2] === z) {
        vertexOf[i] = v
        break
      }
      slot = (slot + 1) & mask
    }
  }
  return { positions: kept.slice(0, 3 * nKept), vertexOf }
}

/**
 * Welds exact doubles.
 * @param positions xyz per vertex; all finite
 */
export const weld = (positions: Float32Array | Float64Array): Welded =>
  positions instanceof Float32Array ? weldSingles(positions) : weldDoubles(positions)
