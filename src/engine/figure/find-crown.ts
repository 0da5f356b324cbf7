// Guesses where the head ends and where the eyes are.

import type { AreaByHeight } from './area-by-height.ts'

/** Eye line as a share of sole to crown for a standing adult (body measures, from memory). */
export const EYE_SHARE = 0.936

/** A head's section is at least this share of height squared: 2.1 mm across on a figure of 30 mm, where a spear has 1.2. */
const HEAD_AREA = 0.004
/** A head keeps that section over at least this share of the height (a whole head is about 0.13). */
const HEAD_LENGTH = 0.05
/** What reaches less than this share above the crown is hair, not a thing held up. */
const NOTICEABLE = 0.03

export interface Crown {
  /** Height of the crown above the lowest point, unit of the areas. */
  readonly height: number
  /** True when something thin reaches well above it. */
  readonly isOvertopped: boolean
}

/**
 * The highest place below which the section is as large as a head's. A thin thing held up (spear, pole, blade) is left out; a wide
 * one (umbrella, banner, broad hat) cannot be told from a head this way.
 * @param sole height of the soles above the lowest point
 */
export const findCrown = ({ from, to, step, area }: AreaByHeight, sole: number): Crown => {
  const top = to - from
  const lowest = Math.max(0, Math.ceil(sole / step))
  let crown = top
  // The threshold depends on the height that is sought: from the top it settles in a few rounds.
  for (let round = 0; round < 4; round++) {
    const least = HEAD_AREA * (crown - sole) ** 2
    const nLong = Math.max(1, Math.round((HEAD_LENGTH * (crown - sole)) / step))
    let found = -1
    let run = 0
    for (let k = area.length - 1; k >= lowest && found < 0; k--) {
      run = area[k] >= least ? run + 1 : 0
      if (run >= nLong) found = k + run
    }
    if (found < 0) return { height: top, isOvertopped: false }
    const next = Math.min(top, found * step)
    if (Math.abs(next - crown) < step / 2) break
    crown = next
  }
  const isOvertopped = top - crown > NOTICEABLE * (crown - sole)
  // The round top of a head falls below the threshold a little before its end.
  return isOvertopped ? { height: crown, isOvertopped } : { height: top, isOvertopped }
}

/** Where a neck is looked for, as shares of sole to crown. */
const NECK_RANGE = [0.7, 0.92] as const
/** A neck's section is at most this share of the largest one of the shoulders below and of the head above. */
const NECK_TO_SHOULDERS = 0.5
const NECK_TO_HEAD = 0.8
/** A neck's section may grow to this many times its least towards the chin. */
const SAME_NECK = 1.15
/** From chin to crown in shares of sole to chin: 0.15 on a bare head (chin at 0.87 of the height); more tells a hat, much more no person. */
const HAT_FROM = 0.19
const HAT_TO = 0.32
/** Eyes above the chin, as a share of sole to chin: 0.076 on a person, less on figures with large heads, whose chins sit low. */
const EYES_OVER_NECK = 1.05

/**
 * Height of the upper end of the neck above the lowest point, when the head above it is so long that it must
 * wear something; null for a bare head or when no neck can be told.
 */
export const neckUnderHat = ({ step, area }: AreaByHeight, sole: number, crown: number): number | null => {
  const span = crown - sole
  const levelAt = (share: number): number =>
    Math.min(area.length - 1, Math.max(0, Math.round((sole + share * span) / step)))
  const [from, to] = [levelAt(NECK_RANGE[0]), levelAt(NECK_RANGE[1])]
  let neck = from
  for (let k = from; k <= to; k++) if (area[k] < area[neck]) neck = k
  // A neck may be as narrow over some length; its upper end is under the chin.
  const least = area[neck]
  while (neck < to && area[neck + 1] <= SAME_NECK * least) neck++
  const most = (a: number, b: number): number =>
    area.subarray(a, b + 1).reduce((high, value) => Math.max(high, value), 0)
  const shoulders = most(Math.max(0, neck - Math.round((0.2 * span) / step)), neck)
  const head = most(neck, levelAt(1))
  if (least > NECK_TO_SHOULDERS * shoulders || least > NECK_TO_HEAD * head) return null
  const height = (neck + 0.5) * step
  const share = (crown - height) / (height - sole)
  return share > HAT_FROM && share < HAT_TO ? height : null
}

/** Eye line above the soles for a neck at this height above the soles. */
export const eyesOverNeck = (neckOverSole: number): number => EYES_OVER_NECK * neckOverSole
