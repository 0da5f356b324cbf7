// What the strength room says of the figure as a whole, as rows of name and words: how it stands, holds, bends and carries itself.

import type { Examination } from '../engine/examine/index.ts'
import { numberWords } from './words.ts'

/** Towards which side, seen from the front (the figure looks towards -y). */
const sideWords = ([x, y]: readonly [number, number]): string => {
  if (Math.abs(x) > 2 * Math.abs(y)) return x < 0 ? 'to the left' : 'to the right'
  if (Math.abs(y) > 2 * Math.abs(x)) return y < 0 ? 'forwards' : 'backwards'
  return `${y < 0 ? 'forwards' : 'backwards'} and ${x < 0 ? 'to the left' : 'to the right'}`
}

/** Where most of something lies: its layer, -1 where there is none. */
const greatest = (values: Float64Array): number => {
  let at = -1
  for (let k = 0; k < values.length; k++) if (values[k] > 0 && (at < 0 || values[k] > values[at])) at = k
  return at
}

/** Rows for the report and the sheet; none where strength was not looked at. */
export const strengthRows = ({ strength, layers }: Examination): readonly (readonly [string, string])[] => {
  if (!strength) return []
  const { standing, bed, ownWeightUse, layerGiveMmPerN, weakPlaces } = strength
  const soft = greatest(layerGiveMmPerN)
  const slender = weakPlaces.reduce((least, { bucklesAtN }) => Math.min(least, bucklesAtN), Infinity)
  const bends =
    soft < 0
      ? null
      : `${numberWords(layerGiveMmPerN[soft])} mm aside for each newton at ${numberWords(layers.cutZ[soft])} mm, before what joins it above is there`
  return [
    [
      'stands',
      `tips over at ${numberWords(standing.tipDegrees)}°, ${sideWords(standing.towards)}; ${numberWords(1000 * standing.pushAtTopN)} mN at the top are enough`,
    ],
    [
      'on the bed',
      `pushed at its top the first layer lets go at ${numberWords(bed.pryAtTopN.value)} N (${numberWords(bed.pryAtTopN.low)} to ${numberWords(bed.pryAtTopN.high)}, from memory)${bed.limbBreaksFirst ? '; a limb breaks before, so lift it by the base' : ''}`,
    ],
    ...(bends ? [['bends most', bends] as const] : []),
    ...(slender < Infinity
      ? [['buckles', `the most slender of its weak limbs at ${numberWords(slender)} N along it`] as const]
      : []),
    ['own weight', `uses ${numberWords(100 * ownWeightUse)} % of the strength: weight alone breaks nothing`],
  ]
}
