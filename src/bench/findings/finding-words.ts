// A finding in words: where, by which numbers, how sure, and what a remedy would do.

import {
  type Effect,
  type Evidence,
  type Finding,
  type Remedy,
  type Worth,
  worthOf,
} from '../../engine/findings/index.ts'
import { printedText, printedUnit } from '../../picture/index.ts'
import { inches, inInches } from '../units.ts'

/** Decimals by size, so that small lengths keep their meaning and large numbers stay short. */
const tidy = (value: number): string => {
  if (!Number.isFinite(value)) return '–'
  if (Number.isInteger(value)) return String(value)
  const size = Math.abs(value)
  return value.toFixed(size >= 100 ? 0 : size >= 10 ? 1 : 2)
}

const withUnit = (value: number, unit: string): string => {
  const words = unit ? `${tidy(value)} ${printedUnit(unit)}` : tidy(value)
  return unit === 'mm' && inches.value && Number.isFinite(value) ? `${words} (${inInches(value)})` : words
}

/** Height range, e.g. "22.4–24.3 mm up". */
export const whereWords = ({ place }: Finding): string => {
  const [from, to] = [place.fromMm.toFixed(1), place.toMm.toFixed(1)]
  return from === to ? `${from} mm up` : `${from}–${to} mm up`
}

export const evidenceWords = ({ label, value, unit, limit }: Evidence): string =>
  `${label} ${withUnit(value, unit)}${limit === undefined ? '' : ` (limit ${withUnit(limit, unit)})`}`

/** "sure 8 in 10" */
export const certaintyWords = (share: number): string => `sure ${Math.round(10 * share)} in 10`

/** What all walls thicker is called: as a step, and before it is one. */
export const thickerWords = (mm: number): string => `all walls ${Number(mm.toFixed(2))} mm thicker`

/** What a remedy does when it is tried: a finding speaks of one place, the step of the bench thickens all walls. */
export const remedyWords = ({ change, label }: Remedy): string => {
  if (change.what !== 'thickenMm') return printedText(label)
  return `${thickerWords(Number(change.to))} (in the sculpt, this place is enough)`
}

/** Where a remedy is made that the bench cannot try. */
export const outsideWords = ({ change }: Remedy): string =>
  change.what === 'props'
    ? 'put in with what makes your print file, which is never made here'
    : 'a change to the sculpt'

const WORTH_WORDS: Readonly<Record<Worth, string>> = {
  cures: 'cures it: ',
  trades: 'cures it, at a price: ',
  worsens: 'brings more than it cures: ',
  eases: '',
}

/** What trying it would do, as computed. */
export const effectWords = (effect: Effect): string => {
  const { label, before, after, unit, brings, minutes, windowed } = effect
  const change = `${label} ${tidy(before)} → ${withUnit(after, unit)}`
  const words = [`${WORTH_WORDS[worthOf(effect)]}${change}`]
  if (minutes !== undefined) words.push(`${tidy(Math.abs(minutes))} min ${minutes > 0 ? 'more' : 'less'}`)
  if (windowed) words.push('for a few millimetres of height')
  if (brings.length) words.push(`brings ${brings.map((rule) => rule.replaceAll('-', ' ')).join(', ')}`)
  return words.join('; ')
}
