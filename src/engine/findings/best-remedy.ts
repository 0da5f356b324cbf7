// Which remedy is the better one: what it cures against what it brings.

import type { Effect, Finding, Remedy } from './types.ts'

/** From this many new findings on, a remedy costs more than it cures. */
const TOO_MANY = 3

/** How many findings a remedy brings, notes not counted. */
export const broughtBy = ({ brings, nBrings }: Effect): number => nBrings ?? brings.length

/** cures: gone, nothing new. trades: gone, but one or two others come. worsens: more come than that, or some though it stays. eases: stays, in other measure, and nothing comes. */
export type Worth = 'cures' | 'trades' | 'worsens' | 'eases'

/** What an effect is worth in a word. */
export const worthOf = (effect: Effect): Worth => {
  const n = broughtBy(effect)
  if (n >= TOO_MANY || (n > 0 && !effect.resolves)) return 'worsens'
  return effect.resolves ? (n === 0 ? 'cures' : 'trades') : 'eases'
}

const ORDER: readonly Worth[] = ['cures', 'trades', 'eases', 'worsens']

/** Rank of a remedy, least is best: by worth, then by what it brings, then one that cures. Unknown effects come last. */
export const remedyRank = (effect: Effect | null): number =>
  effect
    ? 1000 * ORDER.indexOf(worthOf(effect)) + 10 * Math.min(99, broughtBy(effect)) + (effect.resolves ? 0 : 1)
    : 1000 * ORDER.length

/** The best of a finding's remedies; the first of equals. Null when it has none. */
export const bestRemedy = ({ remedies }: Pick<Finding, 'remedies'>): Remedy | null =>
  remedies.reduce<Remedy | null>(
    (best, one) => (best && remedyRank(best.effect) <= remedyRank(one.effect) ? best : one),
    null,
  )
