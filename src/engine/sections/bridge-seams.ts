// Joins the open chains of one layer end to start, nearest first, and says where and how wide the gaps were.

/** One chain of a layer, as a list of xy points. */
export interface OpenChain {
  readonly points: Float64Array
}

/** What became of the open chains of one layer. */
export interface BridgedChains {
  /** Closed loops, xy per point. */
  readonly loops: readonly Float64Array[]
  /** x, y, gap mm for every bridged gap. */
  readonly gaps: readonly (readonly [number, number, number])[]
  /** Length in mm of chains left out because their gap is too wide to be a seam. */
  readonly lostMm: number
}

/** Chains of one layer that are considered; joining takes their number to the third power at worst. */
const MOST_CHAINS = 200

const lengthOf = (p: Float64Array): number => {
  let length = 0
  for (let i = 2; i < p.length; i += 2) length += Math.hypot(p[i] - p[i - 2], p[i + 1] - p[i - 1])
  return length
}

/**
 * Bridges gaps no wider than `widestMm`, or than a quarter of the chain that they close.
 * Greedy by gap width: the narrowest gap is joined first, so that seams close before anything jumps across a wide hole.
 */
export const bridgeSeams = (chains: readonly OpenChain[], widestMm: number): BridgedChains => {
  const gaps: [number, number, number][] = []
  const loops: Float64Array[] = []
  let lostMm = 0
  let alive: Float64Array[] = chains.map((chain) => chain.points)
  if (alive.length > MOST_CHAINS) {
    // Torn to shreds: keep the longest pieces, so that a hostile file costs bounded time.
    alive = alive.sort((a, b) => b.length - a.length)
    for (const p of alive.slice(MOST_CHAINS)) lostMm += lengthOf(p)
    alive = alive.slice(0, MOST_CHAINS)
  }
  while (alive.length > 0) {
    let best = Infinity
    let fromChain = 0
    let toChain = 0
    for (let a = 0; a < alive.length; a++) {
      const p = alive[a]
      const ex = p[p.length - 2]
      const ey = p[p.length - 1]
      for (let b = 0; b < alive.length; b++) {
        const gap = Math.hypot(alive[b][0] - ex, alive[b][1] - ey)
        if (gap < best) {
          best = gap
          fromChain = a
          toChain = b
        }
      }
    }
    const a = alive[fromChain]
    const allowed = Math.max(widestMm, 0.25 * (lengthOf(a) + (fromChain === toChain ? 0 : lengthOf(alive[toChain]))))
    if (best > allowed) {
      for (const p of alive) lostMm += lengthOf(p)
      break
    }
    if (best > 1e-9) gaps.push([a[a.length - 2], a[a.length - 1], best])
    if (fromChain === toChain) {
      loops.push(a)
      alive = alive.filter((_, i) => i !== fromChain)
    } else {
      const b = alive[toChain]
      const joined = new Float64Array(a.length + b.length)
      joined.set(a)
      joined.set(b, a.length)
      alive = alive.filter((_, i) => i !== fromChain && i !== toChain)
      alive.push(joined)
    }
  }
  return { loops, gaps, lostMm }
}
