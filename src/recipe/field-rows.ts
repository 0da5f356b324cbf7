// The tables of fields as rows for documents, help texts and forms on screen.

import type { FieldTable } from './field.ts'
import { rangeWords, valueWords } from './words.ts'

/** One field in words. */
export interface FieldRow {
  readonly key: string
  readonly group: string
  readonly label: string
  readonly unit: string
  readonly accepted: string
  readonly start: string
  readonly meaning: string
  readonly source: string
}

/** Every field of a table, in its order. */
export const fieldRows = (fields: FieldTable): FieldRow[] =>
  Object.entries(fields).map(([key, field]) => ({
    key,
    group: field.group,
    label: field.label,
    unit: field.kind === 'number' || field.kind === 'series' ? field.unit : '',
    accepted: rangeWords(field),
    start: valueWords(field, field.start),
    meaning: field.meaning,
    source: field.source,
  }))

/** The values of one form as rows of label and words, in the order of its table. */
export const valueRows = (fields: FieldTable, values: Readonly<Record<string, unknown>>): [string, string][] =>
  Object.entries(fields).map(([key, field]) => [field.label, valueWords(field, values[key])])

const cell = (text: string): string => text.replaceAll('|', '\\|')

/** The same as a Markdown table. */
export const fieldsMarkdown = (fields: FieldTable): string =>
  [
    '| key | starting value | accepted | meaning | source |',
    '|---|---|---|---|---|',
    ...fieldRows(fields).map(
      (row) => `| \`${row.key}\` | ${[row.start, row.accepted, row.meaning, row.source].map(cell).join(' | ')} |`,
    ),
  ].join('\n')
