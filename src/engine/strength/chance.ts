// Chance of breaking from a load, a strength and how far both scatter.

import type { Ranged } from './types.ts'

/** Scatter of what is computed, as standard deviations of logarithms. */
export interface Scatter {
  /** Of strength from print to print. */
  readonly strength: number
  /** Of the model: beams, mean limits, landing. */
  readonly model: number
}

/**
 * Scatter when nothing better is known. Strength: 15 of 100, repeat scatter of crushed printed lattices (1800 specimens, crossed
 * barrels); single bars scatter less (47.4 +- 1.1 MPa of three). Model: a quarter, from memory of beam models against tests.
 */
export const SCATTER_DEFAULTS: Scatter = Object.freeze({ strength: 0.15, model: 0.25 })

/** Normal distribution function: W. J. Cody's rational form is not needed; series and continued fraction to 1e-12. */
export const normalShare = (x: number): number => {
  if (x < -8) return 0
  if (x > 8) return 1
  const z = Math.abs(x)
  let upper: number
  if (z < 3) {
    let term = z
    let sum = z
    for (let k = 1; k < 120 && term > 1e-17; k++) {
      term *= (z * z) / (2 * k + 1)
      sum += term
    }
    upper = 0.5 - (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI)
  } else {
    let f = 0
    for (let k = 60; k > 0; k--) f = k / (z + f)
    upper = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI) / (z + f)
  }
  return x < 0 ? upper : 1 - upper
}

/** 5 and 95 of 100 of a normal distribution, in deviations. */
const FIVE = 1.6449

/** A value with the range its scatter gives it. */
export const ranged = (value: number, { strength, model }: Scatter): Ranged => {
  const f = Math.exp(FIVE * Math.hypot(strength, model))
  return { value, low: value / f, high: value * f }
}

/**
 * Chance that a load uses up more than the strength, when `use` is the share used with middle strength and middle model.
 * The range is what the model's own error leaves open: the same with its error at 5 and 95 of 100.
 */
export const breakChance = (use: number, scatter: Scatter): Ranged => {
  if (!(use > 0)) return { value: 0, low: 0, high: 0 }
  const x = Math.log(use)
  const both = Math.hypot(scatter.strength, scatter.model)
  const value = normalShare(x / both)
  // Far out in the tails the two scatters together reach further than the model's error alone: the range always holds the value.
  return {
    value,
    low: Math.min(value, normalShare((x - FIVE * scatter.model) / scatter.strength)),
    high: Math.max(value, normalShare((x + FIVE * scatter.model) / scatter.strength)),
  }
}
