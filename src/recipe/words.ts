// Words for fields and values, shared by messages, comparison and tables.

import type { Field } from './field.ts'

/** A number as people write it: no exponent within reason, no rounding noise. */
export const numberWords = (value: number): string => String(Number(value.toPrecision(7)))

const withUnit = (text: string, unit: string): string =>
  unit === '' || unit === 'share, 0-1' ? text : `${text} ${unit}`

/** What is accepted, e.g. "0.03 to 0.4 mm" or "bowden or direct". */
export const rangeWords = (field: Field): string => {
  switch (field.kind) {
    case 'number':
      return withUnit(`${numberWords(field.least)} to ${numberWords(field.most)}`, field.unit)
    case 'series':
      return `pairs of deg C and a value, ${withUnit(`${numberWords(field.least)} to ${numberWords(field.most)}`, field.unit)}`
    case 'choice':
      return field.choices.join(' or ')
    case 'flag':
      return 'true or false'
    case 'text':
      return 'text of 1 to 200 characters'
  }
}

/** A value with its unit, e.g. "0.1 mm", "50 %", "on". */
export const valueWords = (field: Field, value: unknown): string => {
  if (field.kind === 'number' && typeof value === 'number')
    return field.unit === 'share, 0-1' ? `${numberWords(value * 100)} %` : withUnit(numberWords(value), field.unit)
  if (field.kind === 'flag') return value ? 'on' : 'off'
  if (field.kind === 'series' && Array.isArray(value))
    return value.map(([atC, y]) => `${withUnit(numberWords(y), field.unit)} at ${numberWords(atC)} deg C`).join(', ')
  return String(value)
}

/** What was found in a file, quoted and cut short for a message. */
export const foundWords = (value: unknown): string => {
  const text = JSON.stringify(value) ?? 'nothing'
  const cut = text.length > 60 ? `${text.slice(0, 57)}...` : text
  return typeof value === 'string' ? `the text ${cut}` : cut
}
