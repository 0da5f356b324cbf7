// What is said of a recipe, as lines for a terminal: contradictions, departures from common practice, notes.

import type { RecipeRemark, RemarkKind } from '../engine/findings/index.ts'
import { RECIPE_FIELDS } from '../recipe/index.ts'
import { wrap } from './help.ts'
import { tame } from './terminal.ts'

const HEADS: Readonly<Record<RemarkKind, string>> = {
  contradiction: 'Contradictions',
  departure: 'Departures from common practice',
  note: 'Notes',
}

const lineOf = (what: string): string => RECIPE_FIELDS[what as keyof typeof RECIPE_FIELDS]?.label ?? what

const proposed = ({ change }: RecipeRemark): string =>
  change && typeof change.to === 'number'
    ? ` Proposed: ${lineOf(change.what)} ${Number(change.to.toPrecision(4))} instead of ${Number(Number(change.from).toPrecision(4))}.`
    : ''

/** Lines for the remarks, by kind; empty when there are none. */
export const remarkLines = (remarks: readonly RecipeRemark[]): string[] =>
  (Object.keys(HEADS) as RemarkKind[]).flatMap((kind) => {
    const own = remarks.filter((remark) => remark.kind === kind)
    if (own.length === 0) return []
    return [
      '',
      `${HEADS[kind]}:`,
      ...own.flatMap((remark) => {
        const [first = '', ...rest] = wrap(tame(`${remark.title}.`), 4)
        return [`  - ${first.trimStart()}`, ...rest, ...wrap(tame(`${remark.why}${proposed(remark)}`), 6)]
      }),
    ]
  })

/** A remark as plain data. */
export const remarkData = ({ id, kind, keys, title, why, evidence, change }: RecipeRemark) => ({
  id,
  kind,
  keys,
  title,
  why,
  evidence,
  change,
})
