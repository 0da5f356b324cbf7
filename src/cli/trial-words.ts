// Words of the trial verbs: pieces, settings, levels, readings such as "195:strings=1/4".

import {
  COUPON_QUESTIONS,
  type CouponQuestion,
  LADDER_SETTINGS,
  LADDERS,
  type Ladder,
  ladderNamed,
  MEASURE_ROWS,
  MEASURES,
  type Measure,
  QUESTIONS,
  type Reading,
  type Trial,
} from '../trials/index.ts'
import { CommandTrouble } from './exit-codes.ts'

const PIECES: readonly string[] = [...COUPON_QUESTIONS, 'figure']

export const pieceFrom = (word: string): Trial['piece'] => {
  if (PIECES.includes(word)) return word as Trial['piece']
  throw new CommandTrouble(`there is no piece "${word}"; there are ${PIECES.join(', ')}`)
}
export const couponFrom = (word: string): CouponQuestion => {
  const piece = pieceFrom(word)
  if (piece !== 'figure') return piece
  throw new CommandTrouble(
    'a figure is no coupon: fettle never writes the print file of a figure; print it with your own program and record the outcome',
  )
}

/** The ladder of a word; names those that the piece can judge when it is missing or wrong. */
export const ladderFrom = (word: string | undefined, piece: Trial['piece']): Ladder => {
  const judged =
    piece === 'figure' ? LADDER_SETTINGS : LADDER_SETTINGS.filter((setting) => QUESTIONS[piece].settings[setting])
  const words = judged.map((setting) => LADDERS[setting].word).join(', ')
  if (word === undefined) throw new CommandTrouble(`name the setting to try with ${piece}: ${words}`)
  const ladder = ladderNamed(word)
  if (!ladder || !judged.includes(ladder.setting))
    throw new CommandTrouble(`${piece} cannot judge "${word}"; it judges ${words}`)
  return ladder
}

const numberFrom = (text: string, where: string): number => {
  const value = text.trim() === '' ? Number.NaN : Number(text)
  if (Number.isFinite(value)) return value
  throw new CommandTrouble(`${where}: "${text}" is no number`)
}

/** Levels as a list: "190,195,200". Shares may be written as "95%". */
export const levelsFrom = (text: string): number[] =>
  text.split(',').map((part) => {
    const value = numberFrom(part.replace(/%$/, ''), '--levels')
    return part.endsWith('%') ? value / 100 : value
  })

/** A reading: LEVEL:MEASURE=VALUE, a count as COUNT/OF, yes and no as words or 1 and 0. */
export const readingFrom = (word: string): Reading => {
  const match = /^(-?[\d.]+)(%?):([a-z]+)=([a-z\d.]+)(?:\/(\d+))?$/.exec(word)
  if (!match) throw new CommandTrouble(`"${word}" is no reading; write LEVEL:MEASURE=VALUE, e.g. 195:strings=1/4`)
  const [, levelText, percent, measureText, valueText, ofText] = match
  if (!(MEASURES as readonly string[]).includes(measureText))
    throw new CommandTrouble(`"${measureText}" is no measure; there are ${MEASURES.join(', ')}`)
  const measure = measureText as Measure
  const level = numberFrom(levelText, word) / (percent ? 100 : 1)
  const value = valueText === 'yes' ? 1 : valueText === 'no' ? 0 : numberFrom(valueText, word)
  const { counts } = MEASURE_ROWS[measure]
  if (!counts && ofText !== undefined)
    throw new CommandTrouble(`"${word}": ${measure} is measured, not counted; leave out "/${ofText}"`)
  if (counts && ofText === undefined && value > 1)
    throw new CommandTrouble(`"${word}": say how many were looked at, e.g. ${measure}=${valueText}/4`)
  return { level, measure, value, of: counts ? (ofText === undefined ? 1 : Number(ofText)) : null }
}
