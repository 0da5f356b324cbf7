// Turns triangles so that neighbours agree on which side is outside.

import type { EdgePairs } from './edge-pairs.ts'

/** Turns one triangle over. */
export const turnOver = (triangles: Uint32Array, t: number): void => {
  const b = triangles[3 * t + 1]
  triangles[3 * t + 1] = triangles[3 * t + 2]
  triangles[3 * t + 2] = b
}

/**
 * Makes each piece that is joined through edges of exactly two triangles agree with itself, turning the smaller part.
 * A one-sided piece (a Möbius band) cannot agree; where it does not, it stays unpaired. Works in place.
 * @returns how many triangles were turned
 */
export const orientPieces = (triangles: Uint32Array, pairs: EdgePairs): number => {
  if (pairs.sameWay.length === 0) return 0
  const n = triangles.length / 3
  const across = pairs.neighbours.slice()
  // At crowded edges the pairing rests on the turns that are in doubt here.
  for (const h of pairs.crowded) across[h] = -1
  const isSameWay = new Uint8Array(triangles.length)
  for (let i = 0; i < pairs.sameWay.length; i += 2) {
    const h = pairs.sameWay[i]
    const g = pairs.sameWay[i + 1]
    across[h] = g
    across[g] = h
    isSameWay[h] = 1
    isSameWay[g] = 1
  }
  /** 0 not seen, 1 as it is, 2 to be turned. */
  const state = new Uint8Array(n)
  const queue = new Uint32Array(n)
  let nTurned = 0
  for (let seed = 0; seed < n; seed++) {
    if (state[seed] !== 0) continue
    let head = 0
    let tail = 0
    let nMinor = 0
    queue[tail++] = seed
    state[seed] = 1
    while (head < tail) {
      const t = queue[head++]
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const g = across[h]
        if (g < 0) continue
        const u = (g / 3) | 0
        if (state[u] !== 0) continue
        state[u] = isSameWay[h] ? 3 - state[t] : state[t]
        if (state[u] === 2) nMinor++
        queue[tail++] = u
      }
    }
    const turned = 2 * nMinor > tail ? 1 : 2
    for (let i = 0; i < tail; i++) {
      if (state[queue[i]] === turned) {
        turnOver(triangles, queue[i])
        nTurned++
      }
    }
  }
  return nTurned
}
