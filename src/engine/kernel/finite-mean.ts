// Mean of what is known: rooms leave NaN where there is no answer.

/** Mean of the finite values from..to, both included; NaN where there is none. */
export const finiteMean = (values: ArrayLike<number>, from = 0, to = values.length - 1): number => {
  let sum = 0
  let n = 0
  for (let k = from; k <= to; k++)
    if (Number.isFinite(values[k])) {
      sum += values[k]
      n++
    }
  return n > 0 ? sum / n : Number.NaN
}
