// Chance of a good print against one setting, as a probit curve whose threshold and spread are not known: posterior on a grid.
//
// Model: good with chance lapse + (1 - 2 lapse) F, F = normal share of the distance to the threshold over the spread; a window is the
// product of a lower and an upper threshold. Rows of one coupon that stand together are not independent: their counts are weighed down.
// Source: Bayes; Kontsevich & Tyler, Vision Res. 39:2729-2737 (1999) for the grid and the lapse. Limit: what lies off the grid is cut.

import { normalShare } from '../engine/strength/index.ts'

/** How success goes with the setting: more of it helps, harms, or there is a range that works. */
export type SuccessShape = 'rising' | 'falling' | 'window'

/** So many good of so many tried at a level. */
export interface LevelCount {
  readonly level: number
  readonly good: number
  readonly tried: number
}

/** All curves that are thought possible, with their weights (sum 1). Flat columns of one length. */
export interface SuccessModel {
  readonly kind: 'success-model'
  readonly shape: SuccessShape
  /** Chance that a print goes wrong (or right) whatever the setting. */
  readonly lapse: number
  /** Threshold; upper threshold of a window (NaN otherwise); spread. Units of the setting. */
  readonly threshold: Float64Array
  readonly upper: Float64Array
  readonly spread: Float64Array
  readonly weight: Float64Array
  /** Distance of neighbouring thresholds. */
  readonly gridStep: number
}

export interface SuccessPrior {
  readonly shape: SuccessShape
  /** Thresholds are looked for from here to there, in steps of gridStep. */
  readonly from: number
  readonly to: number
  readonly gridStep: number
  /** Spreads held possible, equal weights. */
  readonly spreads: readonly number[]
  /** Where card and engine expect the threshold, and how far that may be off (one deviation); null for no opinion. */
  readonly expected?: { readonly at: number; readonly deviation: number } | null
  /** The same for the upper threshold of a window. */
  readonly expectedUpper?: { readonly at: number; readonly deviation: number } | null
  readonly lapse?: number
}

/** Chance of the unexpected. From memory: published users of such curves scale them to 0.025-0.975. */
export const LAPSE = 0.025

/** How alike pieces of one row are, 0-1: eight posts of one row say less than eight rows. No source. */
export const ALIKE = 0.3

/** The model before anything was printed. */
export const successPrior = (prior: SuccessPrior): SuccessModel => {
  const { shape, from, to, gridStep, spreads, expected, expectedUpper, lapse = LAPSE } = prior
  const n = Math.round((to - from) / gridStep) + 1
  const at = (i: number): number => from + i * gridStep
  const belief = (x: number, opinion: { at: number; deviation: number } | null | undefined): number =>
    opinion ? Math.exp(-0.5 * ((x - opinion.at) / opinion.deviation) ** 2) : 1
  const threshold: number[] = []
  const upper: number[] = []
  const spread: number[] = []
  const weight: number[] = []
  for (const s of spreads)
    for (let i = 0; i < n; i++)
      if (shape === 'window')
        for (let j = i; j < n; j++) {
          threshold.push(at(i))
          upper.push(at(j))
          spread.push(s)
          weight.push(belief(at(i), expected) * belief(at(j), expectedUpper))
        }
      else {
        threshold.push(at(i))
        upper.push(Number.NaN)
        spread.push(s)
        weight.push(belief(at(i), expected))
      }
  const sum = weight.reduce((all, w) => all + w, 0)
  return {
    kind: 'success-model',
    shape,
    lapse,
    threshold: Float64Array.from(threshold),
    upper: Float64Array.from(upper),
    spread: Float64Array.from(spread),
    weight: Float64Array.from(weight, (w) => w / sum),
    gridStep,
  }
}

/** Chances that were worked out for these curves, by level: models that learned share them. */
const worked = new WeakMap<Float64Array, Map<number, Float64Array>>()

/** Chance of a good print at a level for every curve of the model. Shared: not to be written to. */
export const chancesAt = (model: SuccessModel, level: number): Float64Array => {
  const byLevel = worked.get(model.threshold) ?? new Map<number, Float64Array>()
  const known = byLevel.get(level)
  if (known) return known
  const chances = workOut(model, level)
  worked.set(model.threshold, byLevel.set(level, chances))
  return chances
}

const workOut = ({ shape, lapse, threshold, upper, spread }: SuccessModel, level: number): Float64Array => {
  const out = new Float64Array(threshold.length)
  for (let i = 0; i < out.length; i++) {
    const away = (level - threshold[i]) / spread[i]
    const share =
      shape === 'falling'
        ? normalShare(-away)
        : shape === 'rising'
          ? normalShare(away)
          : normalShare(away) * normalShare((upper[i] - level) / spread[i])
    out[i] = lapse + (1 - 2 * lapse) * share
  }
  return out
}

/** n log p, and nothing for n = 0, so that a curve without lapse may rule itself out. */
const times = (n: number, p: number): number => (n > 0 ? n * Math.log(p) : 0)

/** The model after outcomes. @param alike how alike pieces counted together are, 0-1; 0 takes each as a print of its own */
export const learn = (model: SuccessModel, counts: readonly LevelCount[], alike = ALIKE): SuccessModel => {
  const n = model.weight.length
  const log = Float64Array.from(model.weight, Math.log)
  for (const { level, good, tried } of counts) {
    if (!(tried > 0)) continue
    // Design effect of a cluster: n pieces count as n / (1 + (n - 1) alike).
    const worth = 1 / (1 + (tried - 1) * alike)
    const chances = chancesAt(model, level)
    for (let i = 0; i < n; i++) log[i] += worth * (times(good, chances[i]) + times(tried - good, 1 - chances[i]))
  }
  const most = log.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const weight = log.map((value) => Math.exp(value - most))
  const sum = weight.reduce((a, b) => a + b, 0)
  return { ...model, weight: weight.map((w) => w / sum) }
}

/** A number with the range that holds it nine times of ten. */
export interface Believed {
  readonly mean: number
  readonly deviation: number
  /** 5 and 95 of 100. */
  readonly low: number
  readonly high: number
}

/** Value below which a share of the weight lies; weights of one value are spread over a cell of the given width. */
const weighedQuantile = (
  values: ArrayLike<number>,
  weights: ArrayLike<number>,
  share: number,
  cell: number,
): number => {
  const order = Array.from({ length: values.length }, (_, i) => i).sort((i, j) => values[i] - values[j])
  let below = 0
  for (let k = 0; k < order.length; ) {
    const value = values[order[k]]
    let here = 0
    while (k < order.length && values[order[k]] - value < 1e-9) here += weights[order[k++]]
    if (below + here >= share) return value + cell * ((share - below) / Math.max(here, 1e-300) - 0.5)
    below += here
  }
  return values[order[order.length - 1]] + cell / 2
}

const believedOf = (values: Float64Array, weights: Float64Array, cell: number): Believed => {
  let mean = 0
  for (let i = 0; i < values.length; i++) mean += weights[i] * values[i]
  let square = 0
  for (let i = 0; i < values.length; i++) square += weights[i] * (values[i] - mean) ** 2
  return {
    mean,
    deviation: Math.sqrt(square),
    low: weighedQuantile(values, weights, 0.05, cell),
    high: weighedQuantile(values, weights, 0.95, cell),
  }
}

/** Threshold (lower one of a window). */
export const thresholdOf = (model: SuccessModel): Believed => believedOf(model.threshold, model.weight, model.gridStep)
/** Upper threshold of a window. */
export const upperOf = (model: SuccessModel): Believed => believedOf(model.upper, model.weight, model.gridStep)

/** Chance of a good print at a level: mean over all curves, and the range of what they say. */
export const chanceAt = (model: SuccessModel, level: number): Believed =>
  believedOf(chancesAt(model, level), model.weight, 0)

/** Chance that prints at a level come out good at least so often. */
export const sureOf = (model: SuccessModel, level: number, share: number): number => {
  const chances = chancesAt(model, level)
  let sum = 0
  for (let i = 0; i < chances.length; i++) if (chances[i] >= share) sum += model.weight[i]
  return sum
}

/** Uncertainty of the model, nats. */
export const entropyOf = ({ weight }: SuccessModel): number => {
  let sum = 0
  for (const w of weight) if (w > 0) sum -= w * Math.log(w)
  return sum
}
