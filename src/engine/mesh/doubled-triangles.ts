// Finds triangles that stand twice, and meshes that were written with a front and a back on every triangle.

import type { EdgePairs } from './edge-pairs.ts'

/**
 * Marks the triangles to drop (1), or returns null when none stands twice.
 *
 * Only triangles that meet a crowded or wrongly turned edge, or one and the same neighbour on all sides, can stand twice, so clean
 * meshes pay for one glance. Two triangles on the same corners that face opposite ways are where two solids touch, and stay;
 * unless most of the mesh is like that: then every face was written from both sides and the later one goes.
 */
export const markDoubled = (triangles: Uint32Array, pairs: EdgePairs): Uint8Array | null => {
  const n = triangles.length / 3
  const { neighbours } = pairs
  const suspect = new Uint8Array(n)
  let nSuspects = 0
  const add = (t: number): void => {
    if (suspect[t] === 0) {
      suspect[t] = 1
      nSuspects++
    }
  }
  for (const h of pairs.crowded) add((h / 3) | 0)
  for (const h of pairs.sameWay) add((h / 3) | 0)
  for (let h = 0, t = 0; t < n; t++, h += 3) {
    if (neighbours[h] >= 0 && ((neighbours[h] / 3) | 0) === ((neighbours[h + 1] / 3) | 0)) add(t)
  }
  if (nSuspects < 2) return null
  let size = 16
  while (size < 2 * nSuspects) size *= 2
  // Per group of triangles on the same three corners: the first one that faces each way, -1 for none yet.
  const even = new Int32Array(size).fill(-1)
  const odd = new Int32Array(size).fill(-1)
  const drop = new Uint8Array(n)
  const back = new Uint8Array(n)
  let nDropped = 0
  let nBacked = 0
  for (let t = 0; t < n; t++) {
    if (suspect[t] === 0) continue
    const [low, middle, high, isOdd] = sorted(triangles, t)
    let slot = Math.imul(low, 0x9e3779b1) ^ Math.imul(middle, 0x85ebca6b) ^ Math.imul(high, 0xc2b2ae35)
    slot = (slot ^ (slot >>> 15)) & (size - 1)
    for (;;) {
      const first = even[slot] >= 0 ? even[slot] : odd[slot]
      if (first < 0) break
      const [a, b, c] = sorted(triangles, first)
      if (a === low && b === middle && c === high) break
      slot = (slot + 1) & (size - 1)
    }
    const same = isOdd ? odd : even
    const other = isOdd ? even : odd
    if (same[slot] >= 0) {
      drop[t] = 1
      nDropped++
      continue
    }
    same[slot] = t
    if (other[slot] >= 0) {
      back[t] = 1
      nBacked++
    }
  }
  if (4 * nBacked > n - nDropped) {
    for (let t = 0; t < n; t++) drop[t] |= back[t]
    return drop
  }
  return nDropped > 0 ? drop : null
}

/** Corners in rising order, and whether that takes an odd number of swaps. */
const sorted = (triangles: Uint32Array, t: number): [number, number, number, boolean] => {
  let a = triangles[3 * t]
  let b = triangles[3 * t + 1]
  let c = triangles[3 * t + 2]
  let isOdd = false
  if (a > b) {
    ;[a, b] = [b, a]
    isOdd = !isOdd
  }
  if (b > c) {
    ;[b, c] = [c, b]
    isOdd = !isOdd
  }
  if (a > b) {
    ;[a, b] = [b, a]
    isOdd = !isOdd
  }
  return [a, b, c, isOdd]
}
