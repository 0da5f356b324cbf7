// Which triangles meet at which edges. Half-edge h = 3*t+e runs from corner e of triangle t to corner e+1 (mod 3).
//
// Half-edges are counting-sorted by their lower vertex; within one vertex's bucket (six of them on average) the partner is
// found by looking. A hash over vertex pairs was slower on coherent meshes, because its table does not stay in the cache.

import { pairCrowded } from './crowded-edges.ts'

/** Edges of a triangle list, sorted into kinds. */
export interface EdgePairs {
  /** Half-edge across, or -1 where open or unpaired; length 3*nTriangles. Partners always run opposite ways. */
  readonly neighbours: Int32Array
  /** Half-edges whose edge has one triangle only. */
  readonly open: number[]
  /** Pairs h, g of half-edges that share an edge of exactly two triangles and run the same way: one of the two triangles is turned wrongly. */
  readonly sameWay: number[]
  /** Half-edges at edges of more than two triangles. */
  readonly crowded: number[]
  readonly nCrowdedEdges: number
}

/** A bucket longer than this is sorted instead of searched, so that a fan of any size stays n log n. */
const LONG_BUCKET = 40

/** Finds the partner of every half-edge. Triangles with a repeated corner keep -1. */
export const pairEdges = (positions: Float64Array, triangles: Uint32Array): EdgePairs => {
  const nHalves = triangles.length
  const nVertices = (positions.length / 3) | 0
  const neighbours = new Int32Array(nHalves).fill(-1)
  const end = new Uint32Array(nVertices + 1)
  for (let t = 0; t < nHalves; t += 3) {
    const a = triangles[t]
    const b = triangles[t + 1]
    const c = triangles[t + 2]
    end[Math.min(a, b)]++
    end[Math.min(b, c)]++
    end[Math.min(c, a)]++
  }
  let sum = 0
  for (let v = 0; v <= nVertices; v++) {
    const k = end[v]
    end[v] = sum
    sum += k
  }
  // After scattering, end[v] is the end of bucket v. Each entry holds the half-edge and its way: 2*h for lower to upper, 2*h+1 back.
  const entry = new Int32Array(nHalves)
  const upper = new Int32Array(nHalves)
  for (let t = 0; t < nHalves; t += 3) {
    const a = triangles[t]
    const b = triangles[t + 1]
    const c = triangles[t + 2]
    let at: number
    if (a < b) {
      at = end[a]++
      entry[at] = 2 * t
      upper[at] = b
    } else {
      at = end[b]++
      entry[at] = 2 * t + 1
      upper[at] = a
    }
    if (b < c) {
      at = end[b]++
      entry[at] = 2 * t + 2
      upper[at] = c
    } else {
      at = end[c]++
      entry[at] = 2 * t + 3
      upper[at] = b
    }
    if (c < a) {
      at = end[c]++
      entry[at] = 2 * t + 4
      upper[at] = a
    } else {
      at = end[a]++
      entry[at] = 2 * t + 5
      upper[at] = c
    }
  }
  const open: number[] = []
  const sameWay: number[] = []
  const crowded: number[] = []
  let nCrowdedEdges = 0
  const settle = (edge: number[], lower: number, higher: number): void => {
    if (lower === higher) return
    if (edge.length === 1) open.push(edge[0] >> 1)
    else if (edge.length === 2) {
      const h = edge[0] >> 1
      const g = edge[1] >> 1
      if ((edge[0] ^ edge[1]) & 1) {
        neighbours[h] = g
        neighbours[g] = h
      } else sameWay.push(h, g)
    } else {
      nCrowdedEdges++
      for (const e of edge) crowded.push(e >> 1)
      pairCrowded(positions, triangles, lower, higher, edge, neighbours)
    }
  }
  let from = 0
  for (let v = 0; v < nVertices; v++) {
    const to = end[v]
    if (to - from > LONG_BUCKET) {
      settleLongBucket(entry, upper, from, to, v, settle)
      from = to
      continue
    }
    for (let i = from; i < to; i++) {
      const w = upper[i]
      if (w < 0) continue
      let match = -1
      let more = false
      for (let j = i + 1; j < to; j++) {
        if (upper[j] !== w) continue
        if (match < 0) match = j
        else {
          more = true
          break
        }
      }
      if (!more && match >= 0 && (entry[i] ^ entry[match]) & 1 && w !== v) {
        const h = entry[i] >> 1
        const g = entry[match] >> 1
        neighbours[h] = g
        neighbours[g] = h
        upper[match] = -1
        continue
      }
      const edge: number[] = []
      for (let j = i; j < to; j++) {
        if (upper[j] !== w) continue
        edge.push(entry[j])
        upper[j] = -1
      }
      settle(edge, v, w)
    }
    from = to
  }
  return { neighbours, open, sameWay, crowded, nCrowdedEdges }
}

const settleLongBucket = (
  entry: Int32Array,
  upper: Int32Array,
  from: number,
  to: number,
  v: number,
  settle: (edge: number[], lower: number, higher: number) => void,
): void => {
  const n = to - from
  // One number orders by upper vertex and then by place; exact below 2^53.
  const order = new Float64Array(n)
  for (let i = 0; i < n; i++) order[i] = upper[from + i] * n + i
  order.sort()
  let edge: number[] = []
  let last = -1
  for (let i = 0; i < n; i++) {
    const w = Math.floor(order[i] / n)
    if (w !== last && edge.length > 0) {
      settle(edge, v, last)
      edge = []
    }
    last = w
    edge.push(entry[from + (order[i] - w * n)])
  }
  settle(edge, v, last)
}
