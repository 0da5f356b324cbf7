// One engine constant as the person's own outcomes tell it, and a posterior on a grid of its logarithm.

export interface Estimate {
  /** Middle of what is believed, and 5 and 95 of 100. */
  readonly value: number
  readonly low: number
  readonly high: number
  /** What the card said. */
  readonly card: number
  /** Readings it was learned from. */
  readonly nReadings: number
}

/** Values of a constant, evenly spaced in their logarithm. */
export const logGrid = (from: number, to: number, n: number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => from * (to / from) ** (i / (n - 1)))

/**
 * Posterior of a constant on a grid: prior normal in the logarithm about the card's value.
 * @param logLikelihood of all readings, per value of the grid
 */
export const estimateOnGrid = (
  grid: Float64Array,
  card: number,
  deviation: number,
  logLikelihood: Float64Array,
  nReadings: number,
): Estimate => {
  const log = Float64Array.from(grid, (value, i) => logLikelihood[i] - 0.5 * (Math.log(value / card) / deviation) ** 2)
  const most = log.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const weight = log.map((value) => Math.exp(value - most))
  const sum = weight.reduce((a, b) => a + b, 0)
  const step = Math.log(grid[1] / grid[0])
  const quantile = (share: number): number => {
    let below = 0
    for (let i = 0; i < grid.length; i++) {
      const here = weight[i] / sum
      if (below + here >= share) return grid[i] * Math.exp(step * ((share - below) / here - 0.5))
      below += here
    }
    return grid[grid.length - 1]
  }
  return { value: quantile(0.5), low: quantile(0.05), high: quantile(0.95), card, nReadings }
}
