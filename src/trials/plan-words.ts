// Numbers of a plan in words, and why trials may end.

/** Why trials along this ladder may end. */
export type StopReason = 'works' | 'known' | 'nothing works' | 'nothing to learn'

/** A share as a whole percentage, never 0 or 100 unless it is. */
export const percentWords = (share: number): string => {
  if (share > 0 && share < 0.01) return 'under 1 %'
  if (share > 0.99 && share < 1) return 'over 99 %'
  return `${Math.round(100 * share)} %`
}
