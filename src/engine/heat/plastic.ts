// Enthalpy of the plastic: cp over temperature summed up once, and read back as temperature from enthalpy.
//
// The solver carries enthalpy, not temperature: with cp that changes, only that keeps energy. The way back is a table of straight pieces
// of equal enthalpy, so that temperature and cp fit each other exactly within a piece.

/** Temperature and cp over specific enthalpy, from the lowest to the highest temperature. */
export interface EnthalpyTable {
  readonly fromC: number
  readonly toC: number
  /** J/g per piece. */
  readonly stepJPerG: number
  readonly perStep: number
  readonly nPieces: number
  /** deg C at the start of each piece, length nPieces+1. */
  readonly celsius: Float64Array
  /** J/(g K) of each piece. */
  readonly heatCapacity: Float64Array
}

const FROM_C = -60
const TO_C = 420

/** cp at a temperature, J/(kg K): straight between the points, constant beyond them. */
export const heatCapacityAt = (series: readonly (readonly [number, number])[], celsius: number): number => {
  const n = series.length
  if (celsius <= series[0][0]) return series[0][1]
  for (let i = 1; i < n; i++) {
    const [t1, c1] = series[i]
    if (celsius > t1) continue
    const [t0, c0] = series[i - 1]
    return t1 > t0 ? c0 + ((c1 - c0) * (celsius - t0)) / (t1 - t0) : c1
  }
  return series[n - 1][1]
}

/** Makes the table from a card's cp series. */
export const enthalpyTable = (series: readonly (readonly [number, number])[], nPieces = 2048): EnthalpyTable => {
  // Summed in steps of 0.02 K by the middle value: exact on straight pieces, and a step of cp lands within 0.02 K.
  const fine = 0.02
  const n = Math.round((TO_C - FROM_C) / fine)
  const sum = new Float64Array(n + 1)
  for (let i = 0; i < n; i++) sum[i + 1] = sum[i] + heatCapacityAt(series, FROM_C + (i + 0.5) * fine) * fine * 1e-3
  const stepJPerG = sum[n] / nPieces
  const celsius = new Float64Array(nPieces + 1)
  let j = 0
  for (let i = 0; i <= nPieces; i++) {
    const e = i * stepJPerG
    while (j < n - 1 && sum[j + 1] < e) j++
    celsius[i] = FROM_C + (j + (e - sum[j]) / (sum[j + 1] - sum[j])) * fine
  }
  const heatCapacity = new Float64Array(nPieces)
  for (let i = 0; i < nPieces; i++) heatCapacity[i] = stepJPerG / (celsius[i + 1] - celsius[i])
  return { fromC: FROM_C, toC: TO_C, stepJPerG, perStep: 1 / stepJPerG, nPieces, celsius, heatCapacity }
}

/** Specific enthalpy, J/g above the table's start. */
export const enthalpyAt = (table: EnthalpyTable, celsius: number): number => {
  const { celsius: starts, nPieces, stepJPerG } = table
  const t = Math.min(Math.max(celsius, starts[0]), starts[nPieces])
  let lo = 0
  let hi = nPieces - 1
  while (lo < hi) {
    const mid = (lo + hi + 1) >> 1
    if (starts[mid] <= t) lo = mid
    else hi = mid - 1
  }
  return (lo + (t - starts[lo]) / (starts[lo + 1] - starts[lo])) * stepJPerG
}

/** Temperature at a specific enthalpy, deg C. */
export const temperatureAt = (table: EnthalpyTable, jPerG: number): number => {
  const x = jPerG * table.perStep
  const i = x <= 0 ? 0 : x >= table.nPieces ? table.nPieces - 1 : x | 0
  return table.celsius[i] + ((x - i) * table.stepJPerG) / table.heatCapacity[i]
}

/** Mean cp between two temperatures, J/(kg K). */
export const meanHeatCapacity = (table: EnthalpyTable, fromC: number, toC: number): number =>
  ((enthalpyAt(table, toC) - enthalpyAt(table, fromC)) / (toC - fromC)) * 1000
