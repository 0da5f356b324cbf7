// Which stances no other beats: as good in everything and better in something, within the grain of each measure.

import { STANCE_COLUMNS, STANCE_ROW } from './types.ts'

/** Values to be small, one array per question: force and hold go in with their sign turned, on scales where a step is worth telling. */
const questionsOf = (rows: Float64Array, at: number, layerHeightMm: number): number[] => {
  const value = (column: number): number => rows[at + column]
  const step = (x: number, grain: number): number => Math.round(x / grain)
  return [
    // A tenth more force, a twentieth more time: less is not worth a turn.
    -step(Math.log(Math.max(value(STANCE_ROW.leastForce), 1e-3)), 0.1),
    step(Math.log(1 + value(STANCE_ROW.propRoom) / 50), 0.2),
    step((value(STANCE_ROW.headStepUm) || 0) / (1000 * layerHeightMm), 0.03),
    step(Math.log(Math.max(value(STANCE_ROW.minutes), 1e-3)), 0.05),
    -step(Math.min(1, value(STANCE_ROW.pry)), 0.1),
  ]
}

/** 1 for every row that no other row beats; of equal rows the first counts. */
export const markUnbeaten = (rows: Float64Array, layerHeightMm: number): Uint8Array => {
  const n = rows.length / STANCE_COLUMNS
  const questions = Array.from({ length: n }, (_, i) => questionsOf(rows, STANCE_COLUMNS * i, layerHeightMm))
  const unbeaten = new Uint8Array(n).fill(1)
  // In order of their sums a row can be beaten only by one before it.
  const order = questions.map((q, i) => ({ i, sum: q.reduce((a, b) => a + b, 0) }))
  order.sort((a, b) => a.sum - b.sum || a.i - b.i)
  const kept: number[] = []
  for (const { i } of order) {
    const q = questions[i]
    const isBeaten = kept.some((k) => questions[k].every((v, c) => v <= q[c]))
    if (isBeaten) unbeaten[i] = 0
    else kept.push(i)
  }
  return unbeaten
}
