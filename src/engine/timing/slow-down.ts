// Least layer time: finds the share of the set speed at which a layer takes long enough, and sets it.

import type { LaidChain } from './lay-chain.ts'

/** How a layer was slowed: share of the set speed kept, and seconds still missing at the least speed. */
export interface SlowedLayer {
  readonly share: number
  readonly missingS: number
}

/**
 * Slows the beads fromBead..toBead-1 (never their travels) by one common share until the layer lasts leastS, no bead below leastSpeed.
 * Time falls as the share rises, so the share is bracketed and found by regula falsi in 1/share (time is nearly linear in it).
 */
export const slowLayer = (
  laid: LaidChain,
  fromBead: number,
  toBead: number,
  leastS: number,
  leastSpeed: number,
): SlowedLayer => {
  const { chain, travelAt, beadAt } = laid
  const from = travelAt[fromBead]
  const to = travelAt[toBead]
  const typed = chain.speed.slice(from, to)
  const isWait = (i: number): boolean => typed[i - from] === 0
  const setSpeeds = (share: number): void => {
    for (let b = fromBead; b < toBead; b++)
      for (let i = beadAt[b]; i < travelAt[b + 1]; i++)
        if (!isWait(i)) {
          const set = typed[i - from]
          chain.speed[i] = Math.min(set, Math.max(leastSpeed, set * share))
        }
  }
  const timeAt = (share: number): number => {
    setSpeeds(share)
    chain.solve(from, to)
    return chain.total(from, to)
  }
  let fastest = 0
  for (let b = fromBead; b < toBead; b++)
    for (let i = beadAt[b]; i < travelAt[b + 1]; i++) fastest = Math.max(fastest, typed[i - from])
  const atFull = timeAt(1)
  if (atFull >= leastS || fastest <= 0) return { share: 1, missingS: Math.max(0, leastS - atFull) }
  const leastShare = Math.min(1, leastSpeed / fastest)
  const atLeast = timeAt(leastShare)
  if (atLeast <= leastS) return { share: leastShare, missingS: leastS - atLeast }
  let lowG = 1
  let lowT = atFull
  let highG = 1 / leastShare
  let highT = atLeast
  for (let turn = 0; turn < 30; turn++) {
    const straight = lowG + ((leastS - lowT) * (highG - lowG)) / (highT - lowT)
    // Every third step halves the bracket, so that a bent curve cannot hold one end fast.
    const g = turn % 3 === 2 ? (lowG + highG) / 2 : straight
    const t = timeAt(1 / g)
    if (t < leastS) {
      lowG = g
      lowT = t
    } else {
      highG = g
      highT = t
      if (t < leastS * 1.0005) break
    }
  }
  setSpeeds(1 / highG)
  return { share: 1 / highG, missingS: 0 }
}
