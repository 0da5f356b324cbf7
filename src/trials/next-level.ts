// The level that is expected to teach most: least expected uncertainty about threshold and spread after the print.
//
// Source: Kontsevich & Tyler, Vision Res. 39:2729-2737 (1999). Several rows of one coupon are judged together: their joint information.
// What a person wants to know is which levels work, not how steep the curve is where nothing does: plans ask about that alone.

import { chancesAt, type SuccessModel } from './success-model.ts'

const binary = (p: number): number => (p <= 0 || p >= 1 ? 0 : -p * Math.log(p) - (1 - p) * Math.log1p(-p))

/** Nats that one print at a level is expected to teach: uncertainty now less expected uncertainty after it. */
export const informationAt = (model: SuccessModel, level: number): number => {
  const chances = chancesAt(model, level)
  let mean = 0
  let within = 0
  for (let i = 0; i < chances.length; i++) {
    mean += model.weight[i] * chances[i]
    within += model.weight[i] * binary(chances[i])
  }
  return Math.max(0, binary(mean) - within)
}

/** The level of a list that teaches most; the first of equals. */
export const mostTelling = (model: SuccessModel, levels: readonly number[]): { level: number; nats: number } => {
  let best = { level: levels[0], nats: Number.NEGATIVE_INFINITY }
  for (const level of levels) {
    const nats = informationAt(model, level)
    if (nats > best.nats + 1e-12) best = { level, nats }
  }
  return best
}

/** Which levels work: one number for every curve of the model, the same for curves that agree on every level. */
export const workGroups = (
  model: SuccessModel,
  levels: readonly number[],
  wanted: number,
): { readonly group: Int32Array; readonly nGroups: number } => {
  const n = model.weight.length
  const rows = levels.map((level) => chancesAt(model, level))
  const known = new Map<string, number>()
  const group = new Int32Array(n)
  for (let i = 0; i < n; i++) {
    let key = ''
    for (const row of rows) key += row[i] >= wanted ? '1' : '0'
    const found = known.get(key) ?? known.size
    known.set(key, found)
    group[i] = found
  }
  return { group, nGroups: known.size }
}

/**
 * Nats that one print at each of several levels (at most 8) is expected to teach together.
 * @param about what is to be learned: groups of curves that need not be told apart; every curve by itself when left out
 */
export const informationOfRows = (
  model: SuccessModel,
  levels: readonly number[],
  about?: { readonly group: Int32Array; readonly nGroups: number },
): number => {
  const rows = levels.map((level) => chancesAt(model, level))
  const { weight } = model
  const nOutcomes = 1 << rows.length
  const nGroups = about?.nGroups ?? 0
  const whole = new Float64Array(nOutcomes)
  const inGroup = new Float64Array(nOutcomes * nGroups)
  const groupWeight = new Float64Array(nGroups)
  let within = 0
  for (let i = 0; i < weight.length; i++) {
    if (weight[i] < 1e-12) continue
    const group = about?.group[i] ?? 0
    if (about) groupWeight[group] += weight[i]
    else for (const row of rows) within += weight[i] * binary(row[i])
    for (let outcome = 0; outcome < nOutcomes; outcome++) {
      let p = weight[i]
      for (let r = 0; r < rows.length; r++) p *= (outcome >> r) & 1 ? rows[r][i] : 1 - rows[r][i]
      whole[outcome] += p
      if (about) inGroup[outcome * nGroups + group] += p
    }
  }
  let nats = 0
  for (let outcome = 0; outcome < nOutcomes; outcome++) {
    if (whole[outcome] > 0) nats -= whole[outcome] * Math.log(whole[outcome])
    for (let group = 0; group < nGroups; group++) {
      const p = inGroup[outcome * nGroups + group]
      if (p > 0) nats += p * Math.log(p / groupWeight[group])
    }
  }
  return Math.max(0, nats - within)
}

/** The run of neighbouring levels, so many rows long, that teaches most together. */
export const mostTellingRun = (
  model: SuccessModel,
  levels: readonly number[],
  nRows: number,
  about?: { readonly group: Int32Array; readonly nGroups: number },
): { levels: readonly number[]; nats: number } => {
  const n = Math.min(nRows, levels.length)
  let best: { levels: readonly number[]; nats: number } = { levels: levels.slice(0, n), nats: -1 }
  for (let first = 0; first + n <= levels.length; first++) {
    const run = levels.slice(first, first + n)
    const nats = informationOfRows(model, run, about)
    if (nats > best.nats + 1e-12) best = { levels: run, nats }
  }
  return best
}
