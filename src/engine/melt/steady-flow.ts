// The flow share at which neither surplus nor gaps are over a stated limit.

import type { BeadPlan } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { balanceOf } from './balance.ts'
import type { LaidField } from './laid-field.ts'
import type { Feed, SteadyFlow } from './types.ts'

export interface SteadyFlowOptions {
  /** Greatest surplus, as share of the volume laid. */
  readonly mostOverflowShare?: number
  /** Greatest gap, as share of the room that should be solid. */
  readonly mostGapShare?: number
  /** Flow shares looked at. */
  readonly fromShare?: number
  readonly toShare?: number
  /** How finely the flow share is found. */
  readonly stepShare?: number
}

/** Limits: a surplus of 1 % stands out as a rough top within a few layers; 2 % of gaps is what rounded beads hide. From memory. */
export const STEADY_FLOW_DEFAULTS = Object.freeze({
  mostOverflowShare: 0.01,
  mostGapShare: 0.02,
  fromShare: 0.8,
  toShare: 1.15,
  stepShare: 0.002,
})

/** Finds it by halving: surplus only grows with the flow share, gaps only fall. */
export const steadyFlow = (
  field: LaidField,
  plan: BeadPlan,
  stack: LayerStack,
  feed: Omit<Feed, 'flowShare'>,
  options: SteadyFlowOptions = {},
): SteadyFlow => {
  const { mostOverflowShare, mostGapShare, fromShare, toShare, stepShare } = { ...STEADY_FLOW_DEFAULTS, ...options }
  const known = new Map<number, { overflow: number; gap: number }>()
  const at = (flowShare: number) => {
    const found = known.get(flowShare)
    if (found) return found
    const { totals } = balanceOf(field, plan, stack, { ...feed, flowShare })
    const value = { overflow: totals.overflowShare, gap: totals.gapShare }
    known.set(flowShare, value)
    return value
  }
  /** Greatest share for which `holds` is true, when it holds from below; NaN when it holds nowhere. */
  const last = (holds: (flowShare: number) => boolean): number => {
    if (!holds(fromShare)) return Number.NaN
    if (holds(toShare)) return toShare
    let low = fromShare
    let high = toShare
    while (high - low > stepShare) {
      const middle = (low + high) / 2
      if (holds(middle)) low = middle
      else high = middle
    }
    return low
  }
  const highest = last((f) => at(f).overflow <= mostOverflowShare)
  // Gaps hold from above: the greatest share at which they are still too large is just below the lowest that serves.
  const tooLow = last((f) => at(f).gap > mostGapShare)
  const lowest = Number.isNaN(tooLow) ? fromShare : tooLow >= toShare ? Number.NaN : tooLow + stepShare
  const exists = lowest <= highest
  const best = exists
    ? (lowest + highest) / 2
    : last((f) => at(f).overflow / mostOverflowShare <= at(f).gap / mostGapShare)
  const bestShare = Number.isNaN(best) ? fromShare : best
  const there = at(bestShare)
  return {
    fromShare: lowest,
    toShare: highest,
    exists,
    bestShare,
    overflowShareThere: there.overflow,
    gapShareThere: there.gap,
  }
}
