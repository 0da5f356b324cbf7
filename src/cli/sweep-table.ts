// The table of a sweep: one row a pair, figures under one another, 80 columns.

import { durationWords } from '../guide/index.ts'
import { WIDTH, wrap } from './help.ts'
import type { SweepLine } from './sweep-journal.ts'
import { tame } from './terminal.ts'
import type { TrialReport } from './trial-work.ts'

const COLUMNS: readonly (readonly [string, number, (report: TrialReport) => string])[] = [
  ['fails', 7, ({ numbers }) => String(numbers.fails)],
  ['marks', 7, ({ numbers }) => String(numbers.findings.marks)],
  ['falls', 7, ({ numbers }) => `${Math.round(10 * numbers.fallsBroken)}/10`],
  ['half from', 11, ({ numbers }) => `${numbers.halfBreakM.toFixed(2)} m`],
  ['mm3 off', 9, ({ numbers }) => numbers.shapeMm3.toFixed(1)],
  ['time', 11, ({ numbers }) => durationWords(numbers.printS)],
  ['plastic', 9, ({ numbers }) => `${numbers.massG.toFixed(2)} g`],
]
const NAME = WIDTH - COLUMNS.reduce((sum, [, width]) => sum + width, 0)

const cut = (text: string, width: number): string => (text.length > width ? `${text.slice(0, width - 1)}…` : text)

/** The table in letters, with what its columns mean. */
export const sweepTable = (lines: readonly SweepLine[]): string => {
  const head = `${''.padEnd(NAME)}${COLUMNS.map(([name, width]) => name.padStart(width)).join('')}`
  const rows: string[] = []
  let figure = ''
  for (const { fileName, recipeName, report } of lines) {
    if (fileName !== figure) rows.push('', cut(tame(fileName), WIDTH))
    figure = fileName
    const name = cut(`  ${tame(recipeName)}`, NAME - 1).padEnd(NAME)
    rows.push(
      report
        ? `${name}${COLUMNS.map(([, width, value]) => value(report).padStart(width)).join('')}`
        : `${name} could not be examined`,
    )
  }
  const meaning =
    'fails: places that fail while printing; marks: findings that will show; falls: of ten from a table that break something; ' +
    'half from: height from which half of all falls do; mm3 off: volume out of place. Models, not prints.'
  return `${[head, ...rows, '', ...wrap(meaning)].join('\n')}\n`
}
