// Bumps are no limbs: free branches shorter than they are thick are taken back into what carries them.

import type { LimbGraph } from './limb-graph.ts'

/** What is left of the pieces. */
export interface PrunedLimbs {
  /** Station of each piece: its own, or that of the piece it was taken into; length nPieces. */
  readonly stationOf: Int32Array
  /** Piece each station is made about. */
  readonly pieces: readonly number[]
  /** Neighbours of each station. */
  readonly neighbours: readonly (readonly number[])[]
}

/** Takes short free branches away, again and again until none is left. */
export const pruneLimbs = (graph: LimbGraph): PrunedLimbs => {
  const { nPieces, neighbours, volume, frontMm, atHold } = graph
  const links = neighbours.map((list) => new Set(list))
  const into = Int32Array.from({ length: nPieces }, (_, i) => i)
  const gone = new Uint8Array(nPieces)
  const thick = (i: number): number => 2 * Math.sqrt(volume[i] / frontMm / Math.PI)
  for (let changed = true; changed; ) {
    changed = false
    // Shortest branches first, so that a bump never takes the limb it sits on with it.
    const ends: { chain: number[]; root: number; lengthMm: number }[] = []
    for (let end = 0; end < nPieces; end++) {
      if (gone[end] || links[end].size !== 1 || atHold[end]) continue
      const chain = [end]
      let before = -1
      let at = end
      for (;;) {
        const next = [...links[at]].find((k) => k !== before)
        if (next === undefined) break
        before = at
        at = next
        if (links[at].size !== 2 || atHold[at]) break
        chain.push(at)
      }
      if (at === end || links[at].size < 3) continue
      ends.push({ chain, root: at, lengthMm: chain.length * frontMm })
    }
    ends.sort((a, b) => a.lengthMm - b.lengthMm)
    for (const { chain, root, lengthMm } of ends) {
      if (links[root].size < 3 || gone[root]) continue
      const width = Math.max(...chain.map(thick))
      if (lengthMm >= Math.max(2 * frontMm, 0.75 * width)) continue
      for (const piece of chain) {
        gone[piece] = 1
        into[piece] = root
      }
      links[root].delete(chain[chain.length - 1])
      changed = true
    }
  }
  const pieces: number[] = []
  const stationOfRoot = new Int32Array(nPieces).fill(-1)
  // A piece joined to nothing and to no hold is a crumb of the wave's first step.
  for (let i = 0; i < nPieces; i++) {
    if (gone[i]) continue
    stationOfRoot[i] = pieces.length
    pieces.push(i)
  }
  const stationOf = new Int32Array(nPieces)
  for (let i = 0; i < nPieces; i++) {
    let root = i
    while (into[root] !== root) root = into[root]
    stationOf[i] = stationOfRoot[root]
  }
  return {
    stationOf,
    pieces,
    neighbours: pieces.map((piece) => [...links[piece]].filter((k) => !gone[k]).map((k) => stationOfRoot[k])),
  }
}
