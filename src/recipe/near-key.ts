// "Did you mean": finds the known key that an unknown one was most likely meant to be. It is only ever suggested.

import { type Field, type FieldTable, UNIT_ENDINGS } from './field.ts'

/** Endings a person may put in place of the right unit; longest first. */
const ENDINGS = [
  ...Object.values(UNIT_ENDINGS),
  ...[
    'Um',
    'Cm',
    'Inch',
    'In',
    'Percent',
    'Pct',
    'MmPerMin',
    'MPerMin',
    'Ms',
    'Min',
    'F',
    'Kelvin',
    'GPa',
    'Pa',
    'KgPerM3',
  ],
]
  .filter((ending) => ending !== '')
  .sort((a, b) => b.length - a.length)

const stemOf = (key: string): string => {
  const ending = ENDINGS.find((end) => key.endsWith(end) && key.length > end.length)
  return (ending ? key.slice(0, -ending.length) : key).toLowerCase()
}

/** Number of single-letter edits (put in, take out, change) between two words. */
export const editsBetween = (a: string, b: string): number => {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const next = [i]
    for (let j = 1; j <= b.length; j++)
      next.push(Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1)))
    row = next
  }
  return row[b.length]
}

/** The key that differs only in its unit, or else the nearest by spelling within a third of its letters. */
export const nearKey = (
  key: string,
  table: FieldTable,
): { readonly key: string; readonly field: Field; readonly onlyUnit: boolean } | null => {
  if (key.length > 80) return null
  const sameStem = Object.keys(table).find((known) => stemOf(known) === stemOf(key))
  if (sameStem) return { key: sameStem, field: table[sameStem], onlyUnit: sameStem.toLowerCase() !== key.toLowerCase() }
  let best: string | null = null
  let fewest = Number.POSITIVE_INFINITY
  for (const known of Object.keys(table)) {
    const edits = editsBetween(key.toLowerCase(), known.toLowerCase())
    if (edits < fewest && edits <= known.length / 3) {
      fewest = edits
      best = known
    }
  }
  return best === null ? null : { key: best, field: table[best], onlyUnit: false }
}
