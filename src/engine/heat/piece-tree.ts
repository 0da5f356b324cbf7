// Heat between the pieces of layers: every piece one node, joined to what it rests on. One implicit step is one walk down and one up.
//
// Each piece hands to the piece it shares most area with; further joints (a trunk on two legs) are few and are settled by repeating.

import type { Pieces } from './find-pieces.ts'

export interface PieceTree {
  /** Piece it mainly rests on, -1 for none, and the conductance of that joint, W/K. */
  readonly parent: Int32Array
  readonly joint: Float64Array
  /** Further joints: upper piece, lower piece, W/K. */
  readonly extra: readonly (readonly [number, number, number])[]
}

/** @param layerMm heights @param conductivity W/(mm K) */
export const pieceTree = (pieces: Pieces, layerMm: ArrayLike<number>, conductivity: number): PieceTree => {
  const { n, layerStart, belowStart, below, sharedMm2 } = pieces
  const parent = new Int32Array(n).fill(-1)
  const joint = new Float64Array(n)
  const extra: [number, number, number][] = []
  for (let layer = 1; layer + 1 < layerStart.length; layer++) {
    const over = (layerMm[layer] + layerMm[layer - 1]) / 2
    for (let i = layerStart[layer]; i < layerStart[layer + 1]; i++) {
      let best = -1
      for (let k = belowStart[i]; k < belowStart[i + 1]; k++) if (best < 0 || sharedMm2[k] > sharedMm2[best]) best = k
      for (let k = belowStart[i]; k < belowStart[i + 1]; k++) {
        const w = (conductivity * sharedMm2[k]) / over
        if (k === best) {
          parent[i] = below[k]
          joint[i] = w
        } else extra.push([i, below[k], w])
      }
    }
  }
  return { parent, joint, extra }
}

/** State of the pieces; arrays of length n. */
export interface PieceState {
  /** deg C. */
  readonly celsius: Float64Array
  /** J/K. */
  readonly capacity: Float64Array
  /** To the air and to the bed, W/K. */
  readonly loss: Float64Array
  readonly bed: Float64Array
  /** Heat from the heater block, W. */
  readonly source: Float64Array
  readonly diagonal: Float64Array
  readonly right: Float64Array
  readonly guess: Float64Array
}

/** First further joint whose upper piece is at or above a piece. */
const firstFrom = (extra: PieceTree['extra'], piece: number): number => {
  let lo = 0
  let hi = extra.length
  while (lo < hi) {
    const mid = (lo + hi) >> 1
    if (extra[mid][0] < piece) lo = mid + 1
    else hi = mid
  }
  return lo
}

/** Moves pieces from..to-1 by dt seconds; pieces below `from` keep their temperature. */
export const stepPieces = (
  tree: PieceTree,
  state: PieceState,
  from: number,
  to: number,
  dt: number,
  airC: number,
  bedC: number,
): void => {
  const { parent, joint, extra } = tree
  const { celsius, capacity, loss, bed, source, diagonal, right, guess } = state
  // Further joints with both ends at hand; the list is in rising order of the upper piece.
  const first = firstFrom(extra, from)
  const last = firstFrom(extra, to)
  const rounds = last > first ? 3 : 1
  for (let i = from; i < to; i++) guess[i] = celsius[i]
  for (let round = 0; round < rounds; round++) {
    for (let i = from; i < to; i++) {
      diagonal[i] = capacity[i] / dt + loss[i] + bed[i]
      right[i] = (capacity[i] / dt) * celsius[i] + loss[i] * airC + bed[i] * bedC + source[i]
    }
    for (let k = first; k < last; k++) {
      const [a, b, w] = extra[k]
      diagonal[a] += w
      right[a] += w * (b >= from ? guess[b] : celsius[b])
      if (b < from) continue
      diagonal[b] += w
      right[b] += w * guess[a]
    }
    for (let i = to - 1; i >= from; i--) {
      const p = parent[i]
      if (p < 0) continue
      const w = joint[i]
      diagonal[i] += w
      if (p < from) right[i] += w * celsius[p]
      else {
        diagonal[p] += w - (w * w) / diagonal[i]
        right[p] += (w * right[i]) / diagonal[i]
      }
    }
    for (let i = from; i < to; i++) {
      const p = parent[i]
      guess[i] = (right[i] + (p >= from ? joint[i] * guess[p] : 0)) / diagonal[i]
    }
  }
  for (let i = from; i < to; i++) celsius[i] = guess[i]
}
