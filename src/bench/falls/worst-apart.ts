// The worst falls that differ from one another, and falls in words.

import type { ModalAttitude } from '../../engine/strength/index.ts'

/** Share of strength that counts: on the finer cells where they were asked, else on the coarser ones. */
export const useOf = ({ use, fine }: ModalAttitude): number => Math.max(use, fine?.use ?? 0)

/** Worst first: by the chance of breaking, then by the strength used. */
export const worstFirst = (attitudes: readonly ModalAttitude[]): ModalAttitude[] =>
  [...attitudes].sort((a, b) => b.breakChance.value - a.breakChance.value || useOf(b) - useOf(a))

/** Falls whose directions are nearer than this are alike. */
const APART = Math.cos((25 * Math.PI) / 180)

/** The worst falls of which no two are alike, at most so many. */
export const worstApart = (attitudes: readonly ModalAttitude[], most: number): ModalAttitude[] => {
  const kept: ModalAttitude[] = []
  for (const fall of worstFirst(attitudes)) {
    if (kept.length === most) break
    const isAlike = kept.some(({ down }) => down.reduce((sum, v, a) => sum + v * fall.down[a], 0) > APART)
    if (!isAlike) kept.push(fall)
  }
  return kept
}

/** How it lies in the air: the turn from standing upright, in degrees and in words. */
export const tiltWords = ({ down }: Pick<ModalAttitude, 'down'>): string => {
  const degrees = Math.round((180 / Math.PI) * Math.acos(Math.min(1, Math.max(-1, -down[2]))))
  if (degrees < 10) return 'upright'
  if (degrees < 60) return `sole first, ${degrees}° from upright`
  if (degrees <= 120) return `on its side, ${degrees}° from upright`
  if (degrees <= 170) return `head first, ${degrees}° from upright`
  return 'on its head'
}

/** Where the attitude comes from. */
export const KIND_WORDS: Readonly<Record<ModalAttitude['kind'], string>> = {
  even: 'in the air',
  rest: 'from a pose of rest',
  tip: 'falls over from standing',
}
