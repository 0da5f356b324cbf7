// Checks against the world outside the project: each one is asserted and leaves a row for docs/validation.md.

import { appendFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect } from 'vitest'

/** One row of the validation table. */
export interface OutsideCheck {
  /** Room or part that is checked. */
  readonly room: string
  /** Model or function under test, in words. */
  readonly model: string
  /** The case: shape, load, file. */
  readonly case: string
  /** Standard, handbook, paper, library with version; or "common practice, no source"; or "from memory". */
  readonly source: string
  readonly expected: number
  readonly got: number
  /** Greatest allowed error: absolute, or relative to |expected| when `relative` is true. */
  readonly allowed: number
  readonly relative?: boolean
  /** For facts of the trade that are inequalities: got must be at least or at most the expected value. */
  readonly relation?: 'at least' | 'at most'
  readonly unit?: string
}

/** Folder where rows wait to be written into the table; made empty before each test run. */
export const ROWS_FOLDER = join(process.cwd(), '.cache', 'validation')

/** Asserts the check and records its row. A failing check is recorded too. */
export const checkOutside = (row: OutsideCheck): void => {
  mkdirSync(ROWS_FOLDER, { recursive: true })
  const off = row.got - row.expected
  const wrong =
    row.relation === 'at least' ? Math.max(0, -off) : row.relation === 'at most' ? Math.max(0, off) : Math.abs(off)
  const error = row.relative ? wrong / Math.abs(row.expected) : wrong
  appendFileSync(join(ROWS_FOLDER, `${row.room}.jsonl`), `${JSON.stringify({ ...row, error })}\n`)
  expect(error, `${row.model}: ${row.case}: expected ${row.expected}, got ${row.got}`).toBeLessThanOrEqual(row.allowed)
}

/** Records that a check could not run here (its data set is absent), and says so in the table. */
export const notRunHere = (row: Pick<OutsideCheck, 'room' | 'model' | 'case' | 'source'>, why: string): void => {
  mkdirSync(ROWS_FOLDER, { recursive: true })
  appendFileSync(join(ROWS_FOLDER, `${row.room}.jsonl`), `${JSON.stringify({ ...row, notRun: why })}\n`)
}
