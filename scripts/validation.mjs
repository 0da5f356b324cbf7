// Writes docs/validation.md from the rows that the outside checks leave behind.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'

/** Four significant digits, plain where that is short; rounding noise is not worth a changed line. */
export const fourDigits = (value) => {
  if (typeof value !== 'number' || !Number.isFinite(value)) return String(value)
  if (value === 0) return '0'
  const size = Math.abs(value)
  const text = size >= 1e5 || size < 1e-3 ? value.toExponential(3) : value.toPrecision(4)
  return text.includes('e') ? text.replace(/\.?0+e/, 'e') : text.includes('.') ? text.replace(/\.?0+$/, '') : text
}

/** An error smaller than this is rounding noise and is written as such, so that the file stays the same everywhere. */
const NOISE = 1e-9

const cell = (text) => String(text).replace(/\|/g, '\\|').replace(/\s+/g, ' ').trim()
const byText = (a, b) => (a < b ? -1 : a > b ? 1 : 0)

/** The whole file as text. `rows` are those of tests/validation.ts with `error`, or `notRun` and a reason. */
export const validationText = (rows) => {
  const last = new Map()
  for (const row of rows) last.set([row.room, row.model, row.case, row.source].join('\n'), row)
  const sorted = [...last.entries()].sort(([a], [b]) => byText(a, b)).map(([, row]) => row)
  const lines = sorted.map((row) => {
    const head = [row.room, row.model, row.case, row.source].map(cell)
    if (row.notRun !== undefined) return `| ${head.join(' | ')} | | not run here: ${cell(row.notRun)} | | |`
    const unit = row.unit ? ` ${row.unit}` : ''
    // A relative error is a share and is told in per cent; an absolute one has the unit of the value.
    const tell = (value) => (row.relative ? `${fourDigits(value * 100)} %` : `${fourDigits(value)}${unit}`)
    const error = row.error < NOISE ? (row.error === 0 ? '0' : '< 1e-9') : tell(row.error)
    // "Not" is written out: a failing row must not look like the others.
    const verdict = row.error <= row.allowed ? error : `**${error}, too much**`
    const relation = row.relation ? `${row.relation} ` : ''
    const values = [relation + fourDigits(row.expected), fourDigits(row.got)].map((value) => value + unit)
    return `| ${head.join(' | ')} | ${values.join(' | ')} | ${verdict} | ${tell(row.allowed)} |`
  })
  const nRun = sorted.filter((row) => row.notRun === undefined).length
  return `# Validation

Written by \`npm test\`: one row for each check against the world outside this project. ${nRun} checks ran, ${sorted.length - nRun} did not.
Numbers are rounded to four digits, and errors below 1e-9 are rounding noise.

| room | model | case | source | expected | got | error | allowed |
|---|---|---|---|---|---|---|---|
${lines.join('\n')}
`
}

/** Reads the rows of a folder of .jsonl files and writes the table. Returns a sentence about it. */
export const writeValidation = (folder, file) => {
  const rows = readdirSync(folder)
    .filter((name) => name.endsWith('.jsonl'))
    .flatMap((name) => readFileSync(join(folder, name), 'utf8').split('\n').filter(Boolean).map(JSON.parse))
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, validationText(rows))
  return `docs/validation.md: ${rows.length} rows`
}
