// Strength across layers from rods that were snapped: the card's value as a prior, the person's grams as data.
//
// Model: stress at the root M / W, M = force times lever, W = pi d3 / 32; logarithms of the strength are normal with unknown middle and
// scatter, prior normal-inverse-gamma, posterior Student's t. Source: Gelman et al., Bayesian Data Analysis, 3.3 (conjugate normal model).
// Limits: solid round rods; the tip's bend shortens the lever a little; what was stretched before it snapped counts as strong.

import { betaShare } from '../share-interval.ts'
import type { Estimate } from './estimate.ts'

const GRAVITY = 9.80665

/** Stress at the root of a rod pressed at its tip, MPa. @param grams reading of the scale */
export const snapStressMPa = (grams: number, leverMm: number, diameterMm: number): number =>
  ((grams / 1000) * GRAVITY * leverMm) / ((Math.PI * diameterMm ** 3) / 32)

/** What is believed of middle and scatter of logarithms. */
export interface NormalBelief {
  readonly middle: number
  /** Worth of the belief about the middle, in readings. */
  readonly readings: number
  /** Inverse gamma of the variance. */
  readonly shape: number
  readonly scale: number
}

/** Card value off by a third, one deviation; scatter from rod to rod 15 of 100, as crushed printed lattices show. */
const CARD_DEVIATION = 0.35
const SCATTER = 0.15
const SCATTER_SHAPE = 3

/** The belief before any rod was snapped. */
export const cardBelief = (cardMPa: number): NormalBelief => ({
  middle: Math.log(cardMPa),
  readings: (SCATTER / CARD_DEVIATION) ** 2,
  shape: SCATTER_SHAPE,
  scale: (SCATTER_SHAPE - 1) * SCATTER * SCATTER,
})

/** The belief after readings (logarithms). */
export const learnNormal = (belief: NormalBelief, logs: readonly number[]): NormalBelief => {
  const n = logs.length
  if (n === 0) return belief
  const mean = logs.reduce((a, b) => a + b, 0) / n
  const squares = logs.reduce((sum, x) => sum + (x - mean) ** 2, 0)
  const { middle, readings, shape, scale } = belief
  return {
    middle: (readings * middle + n * mean) / (readings + n),
    readings: readings + n,
    shape: shape + n / 2,
    scale: scale + squares / 2 + (readings * n * (mean - middle) ** 2) / (2 * (readings + n)),
  }
}

/** Value below which a share of Student's t with so many degrees of freedom lies; share above a half. */
const tQuantile = (share: number, freedom: number): number => {
  let low = 0
  let high = 1e3
  for (let k = 0; k < 100; k++) {
    const t = (low + high) / 2
    const above = 0.5 * betaShare(freedom / (freedom + t * t), freedom / 2, 0.5)
    if (1 - above < share) low = t
    else high = t
  }
  return (low + high) / 2
}

/** Middle strength and the range that holds it nine times of ten. */
export const believedStrength = ({ middle, readings, shape, scale }: NormalBelief) => {
  const half = tQuantile(0.95, 2 * shape) * Math.sqrt(scale / (shape * readings))
  return { value: Math.exp(middle), low: Math.exp(middle - half), high: Math.exp(middle + half) }
}

/** One snapped rod. */
export interface SnappedRod {
  readonly grams: number
  readonly leverMm: number
  readonly diameterMm: number
}

/** Strength across layers from rods; null without any. */
export const estimateWeldStrength = (rods: readonly SnappedRod[], cardMPa: number): Estimate | null => {
  if (rods.length === 0) return null
  const logs = rods.map(({ grams, leverMm, diameterMm }) => Math.log(snapStressMPa(grams, leverMm, diameterMm)))
  return { ...believedStrength(learnNormal(cardBelief(cardMPa), logs)), card: cardMPa, nReadings: rods.length }
}
