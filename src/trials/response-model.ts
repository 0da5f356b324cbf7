// A measured answer (grams, mm) against one or several settings: a smooth curve that is not known, and where to measure next.
//
// Model: Gaussian process on the logarithm of the answer, Matern 5/2, a length for every setting; scatter from print to print as a share.
// Lengths by greatest posterior, coordinate by coordinate. Next: greatest expected improvement.
// Sources: Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), 2.2, 4.2, 5.4; Jones, Schonlau & Welch, J. Global Optim.
// 13:455-492 (1998). Limits: a few hundred points; answers above zero.

import { normalShare } from '../engine/strength/index.ts'

/** One measurement. `at` holds one number a setting. */
export interface Measured {
  readonly at: readonly number[]
  readonly value: number
}

export interface ResponseOptions {
  /** Range of every setting: distances are counted in shares of it. */
  readonly ranges: readonly (readonly [number, number])[]
  /** Scatter of one measurement, as a share of it. Default 0.15: printed lattices crushed (1800 specimens). */
  readonly scatterShare?: number
}

export interface ResponseModel {
  readonly kind: 'response-model'
  readonly points: readonly (readonly number[])[]
  readonly lengths: readonly number[]
  readonly signal: number
  readonly middle: number
  /** Lower triangle of the factor of the covariance, rows one after the other, and the solved answers. */
  readonly factor: Float64Array
  readonly solved: Float64Array
  readonly ranges: ResponseOptions['ranges']
}

const LENGTHS = [0.1, 0.2, 0.4, 0.8, 1.6, 3.2]
const SIGNALS = [0.1, 0.3, 0.6, 1.2, 2.4]

const kernel = (a: readonly number[], b: readonly number[], lengths: readonly number[], signal: number): number => {
  let square = 0
  for (let k = 0; k < a.length; k++) square += ((a[k] - b[k]) / lengths[k]) ** 2
  const r = Math.sqrt(5 * square)
  return signal * signal * (1 + r + (r * r) / 3) * Math.exp(-r)
}

/** Factor of the covariance and the solved answers; null when it is not positive. */
const solve = (
  points: readonly (readonly number[])[],
  answers: Float64Array,
  lengths: readonly number[],
  signal: number,
  noise: number,
): { factor: Float64Array; solved: Float64Array; logLikelihood: number } | null => {
  const n = points.length
  const factor = new Float64Array(n * n)
  let logDeterminant = 0
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = kernel(points[i], points[j], lengths, signal) + (i === j ? noise * noise : 0)
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k]
      if (i === j) {
        if (!(sum > 0)) return null
        factor[i * n + i] = Math.sqrt(sum)
        logDeterminant += Math.log(sum)
      } else factor[i * n + j] = sum / factor[j * n + j]
    }
  const half = forward(factor, n, answers)
  const solved = new Float64Array(n)
  let fit = 0
  for (let i = 0; i < n; i++) fit += half[i] * half[i]
  for (let i = n - 1; i >= 0; i--) {
    let sum = half[i]
    for (let k = i + 1; k < n; k++) sum -= factor[k * n + i] * solved[k]
    solved[i] = sum / factor[i * n + i]
  }
  return { factor, solved, logLikelihood: -0.5 * (fit + logDeterminant + n * Math.log(2 * Math.PI)) }
}

const forward = (factor: Float64Array, n: number, right: Float64Array): Float64Array => {
  const out = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    let sum = right[i]
    for (let k = 0; k < i; k++) sum -= factor[i * n + k] * out[k]
    out[i] = sum / factor[i * n + i]
  }
  return out
}

/** Long lengths are a little likelier, so that few points do not make a ragged curve. */
const logPrior = (lengths: readonly number[]): number =>
  lengths.reduce((sum, length) => sum - 0.5 * (Math.log(length / 0.8) / 0.9) ** 2, 0)

const scaled = (at: readonly number[], ranges: ResponseOptions['ranges']): number[] =>
  at.map((x, k) => (x - ranges[k][0]) / Math.max(1e-12, ranges[k][1] - ranges[k][0]))

/** Fits the model to measurements; at least one, all above zero. */
export const fitResponse = (measured: readonly Measured[], options: ResponseOptions): ResponseModel => {
  const { ranges, scatterShare = 0.15 } = options
  const points = measured.map(({ at }) => scaled(at, ranges))
  const logs = measured.map(({ value }) => Math.log(Math.max(value, 1e-9)))
  const middle = logs.reduce((a, b) => a + b, 0) / logs.length
  const answers = Float64Array.from(logs, (value) => value - middle)
  const noise = Math.sqrt(Math.log1p(scatterShare * scatterShare))
  let lengths: number[] = ranges.map(() => 0.8)
  let signal = 0.6
  const judge = (tryLengths: readonly number[], trySignal: number): number =>
    (solve(points, answers, tryLengths, trySignal, noise)?.logLikelihood ?? Number.NEGATIVE_INFINITY) +
    logPrior(tryLengths)
  let best = judge(lengths, signal)
  for (let round = 0; round < 2; round++) {
    for (const other of SIGNALS) {
      const value = judge(lengths, other)
      if (value > best + 1e-9) [best, signal] = [value, other]
    }
    for (let k = 0; k < ranges.length; k++)
      for (const length of LENGTHS) {
        const tryLengths = lengths.map((own, j) => (j === k ? length : own))
        const value = judge(tryLengths, signal)
        if (value > best + 1e-9) [best, lengths] = [value, tryLengths]
      }
  }
  const { factor, solved } = solve(points, answers, lengths, signal, noise)!
  return { kind: 'response-model', points, lengths, signal, middle, factor, solved, ranges }
}

/** Logarithm of the answer at a place: mean and deviation (scatter of the next print not counted). */
const logAt = (model: ResponseModel, at: readonly number[]): { mean: number; deviation: number } => {
  const { points, lengths, signal, factor, solved, middle, ranges } = model
  const place = scaled(at, ranges)
  const across = Float64Array.from(points, (point) => kernel(point, place, lengths, signal))
  let mean = middle
  for (let i = 0; i < points.length; i++) mean += across[i] * solved[i]
  const half = forward(factor, points.length, across)
  let variance = signal * signal
  for (const h of half) variance -= h * h
  return { mean, deviation: Math.sqrt(Math.max(1e-12, variance)) }
}

/** What the next print is expected to measure: middle value and the range that holds the curve nine times of ten. */
export const responseAt = (
  model: ResponseModel,
  at: readonly number[],
): { readonly value: number; readonly low: number; readonly high: number } => {
  const { mean, deviation } = logAt(model, at)
  return {
    value: Math.exp(mean),
    low: Math.exp(mean - 1.6449 * deviation),
    high: Math.exp(mean + 1.6449 * deviation),
  }
}

/** Where a print is expected to gain most over the best curve value so far; and that gain as a share. */
export const mostPromising = (
  model: ResponseModel,
  places: readonly (readonly number[])[],
): { readonly place: number; readonly gain: number } => {
  let best = Number.NEGATIVE_INFINITY
  for (const point of model.points) {
    const at = point.map((x, k) => model.ranges[k][0] + x * (model.ranges[k][1] - model.ranges[k][0]))
    best = Math.max(best, logAt(model, at).mean)
  }
  let found = { place: 0, gain: Number.NEGATIVE_INFINITY }
  for (const [i, place] of places.entries()) {
    const { mean, deviation } = logAt(model, place)
    const z = (mean - best) / deviation
    const gain = deviation * (z * normalShare(z) + Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI))
    if (gain > found.gain) found = { place: i, gain }
  }
  return found
}
