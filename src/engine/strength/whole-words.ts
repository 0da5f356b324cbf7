// What the full field says of a load, beside what the quick look said, in words.

import type { FieldAnswer } from './full-field.ts'

/** What the quick look said about a load of one newton. */
export interface QuickSays {
  readonly forceN: number
  readonly travelMm: number
  readonly at: readonly [number, number, number]
  /** True when it counted large bending, which the full field does not. */
  readonly bendsFar: boolean
}

/** Numbers beside the answer. */
export interface Beside {
  readonly travelError: number
  readonly forceError: number
  readonly coarserMm: number
  /** Leading swing, and share of strength that the quick look has used, for a fall. */
  readonly hertz: number
  readonly quickUse: number
}

/** Places nearer than this are the same, mm. */
const SAME_MM = 3
/** Forces nearer than this are the same, as a share. */
const SAME_SHARE = 0.25

const near = (v: number): string => (v >= 100 ? v.toFixed(0) : v >= 1 ? v.toPrecision(3) : v.toPrecision(2))
const percent = (share: number): string => `${Math.round(100 * share)} %`
const where = (at: readonly number[]): string => `${at[2].toFixed(1)} mm`

/** How the two differ and why they may. */
const differenceWords = (answer: FieldAnswer, quick: QuickSays): string => {
  const apart = Math.hypot(...answer.greatestAt.map((v, a) => v - quick.at[a]))
  const ratio = answer.breakForceN / quick.forceN
  const place = apart <= SAME_MM ? 'the same place' : `${near(apart)} mm away`
  const force =
    Math.abs(ratio - 1) <= SAME_SHARE
      ? 'about the same force'
      : ratio > 1
        ? `${percent(ratio - 1)} more force`
        : `${percent(1 - ratio)} less force`
  const why: string[] = []
  if (quick.bendsFar) why.push('the limb bends far, which only the quick look counts')
  if (ratio < 1 - SAME_SHARE) why.push('in a corner or fork the field is higher than a beam knows')
  else if (ratio > 1 + SAME_SHARE && !quick.bendsFar)
    why.push('the limb is shorter and stouter than a beam, or its neighbours help to carry')
  return `The quick look: ${near(quick.forceN)} N at ${where(quick.at)}, ${near(quick.travelMm)} mm of travel; here ${place}, ${force}${why.length > 0 ? ` (${why.join('; ')})` : ''}.`
}

/** One or two sentences. */
export const compareWords = (
  kind: 'push' | 'pull' | 'weight' | 'fall',
  name: string,
  answer: FieldAnswer,
  quick: QuickSays | null,
  { travelError, forceError, coarserMm, hertz, quickUse }: Beside,
): string => {
  const gives = answer.between ? 'layers part' : 'beads tear'
  const begin = name.charAt(0).toUpperCase() + name.slice(1)
  if (kind === 'weight')
    return `${begin} uses ${(100 * answer.greatestUse).toPrecision(2)} % of the strength, most at ${where(answer.greatestAt)}: nothing to speak of.`
  if (kind === 'fall')
    return `${begin}: the swings it starts use ${percent(answer.greatestUse)} of the strength at ${where(answer.greatestAt)} (${gives}), most of it at ${near(hertz)} Hz. The quick look: ${percent(quickUse)}.`
  const error = Number.isNaN(forceError)
    ? ''
    : ` Against a grid of ${near(coarserMm)} mm: error of the force up to ${percent(forceError)}, of the travel up to ${percent(travelError)}.`
  const straight = answer.linear ? '' : ' (drawn on beyond what is linear)'
  return `${begin} breaks it at ${near(answer.breakForceN)} N and ${near(answer.breakTravelMm)} mm of travel${straight}, at ${where(answer.greatestAt)}: ${gives}.${error}${quick ? ` ${differenceWords(answer, quick)}` : ''}`
}
