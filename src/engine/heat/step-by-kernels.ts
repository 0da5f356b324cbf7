// The parts of a step by the loops in WebAssembly: row by row, rounded outwards to whole vectors.

import type { HeatField } from './field.ts'
import { NUMBER, type StepKernels } from './step-kernels.ts'
import type { Zone } from './zone.ts'

/** First cell of a row that is moved, and bytes to its end, in whole vectors. */
const from4 = (x: number): number => x & ~3
const bytesOf = (x0: number, x1: number): number => 4 * ((x1 | 3) - from4(x0) + 1)

/** Conductances left by the row before, cells from..to of it, count only under the cells that the present row has moved. */
const clearBeside = (g: Float32Array, from: number, to: number, x0: number, x1: number): void => {
  for (let x = from; x <= to; x++) if (x < x0 || x > x1) g[x] = 0
}

/** Implicit along y in one layer. */
export const kernelAlongY = (field: HeatField, k: StepKernels, zone: Zone, z: number, dt: number): void => {
  const { sideways, nX, nY } = field
  const { first, last } = zone.reach
  const { g, numbers } = k
  numbers[NUMBER.aside] = dt * zone.cell[z] * sideways[z]
  g.fill(0)
  let before0 = 0
  let before1 = -1
  for (let y = 1; y < nY - 1; y++) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    const x = x1 < x0 ? nX : from4(x0)
    if (x1 >= x0) {
      const here = 4 * (y * nX + x)
      k.alongY(4 * ((z * nY + y) * nX + x), here, here - 4 * nX, 4 * x, bytesOf(x0, x1), 4 * nX)
    }
    clearBeside(g, before0, before1, x, x1 | 3)
    before0 = x
    before1 = x1 < x0 ? -1 : x1 | 3
  }
  for (let y = nY - 2; y >= 1; y--) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    if (x1 < x0) continue
    const x = from4(x0)
    k.backAlongY(4 * ((z * nY + y) * nX + x), 4 * (y * nX + x), bytesOf(x0, x1), 4 * nX)
  }
}

/** Upwards in the columns of one row, with losses, and with the sideways heat where it goes by plain differences. */
export const kernelUpwards = (
  field: HeatField,
  k: StepKernels,
  zone: Zone,
  y: number,
  dt: number,
  explicit: boolean,
): void => {
  const { work, fill, upwards, sideways, airC, bedC, bedW, sums, nX, nY } = field
  const { from, to, cell, face } = zone
  const { first, last } = zone.reach
  const { g, numbers } = k
  const layer = 4 * nX * nY
  const run = explicit ? k.upwardsAside : k.upwards
  g.fill(0)
  numbers[NUMBER.air] = airC
  numbers[NUMBER.bed] = bedC
  let before0 = 0
  let before1 = -1
  for (let z = from; z <= to; z++) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    const x = x1 < x0 ? nX : from4(x0)
    if (x1 >= x0) {
      const out = dt * cell[z]
      numbers[NUMBER.up] = dt * face[z] * upwards[z]
      numbers[NUMBER.out] = out
      numbers[NUMBER.aside] = out * sideways[z]
      numbers[NUMBER.bedW] = z === 0 ? out * bedW : 0
      const here = 4 * ((z - from + 1) * nX + x)
      run(4 * ((z * nY + y) * nX + x), here, here - 4 * nX, 4 * x, bytesOf(x0, x1), z < to ? layer : 0, 4 * nX)
      sums.nUpdates += x1 - x0 + 1
    }
    clearBeside(g, before0, before1, x, x1 | 3)
    before0 = x
    before1 = x1 < x0 ? -1 : x1 | 3
  }
  numbers.fill(0, NUMBER.lost, NUMBER.lost + 8)
  for (let z = to; z >= from; z--) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    if (x1 < x0) continue
    numbers[NUMBER.share] = cell[z]
    const x = from4(x0)
    k.downwards(4 * ((z * nY + y) * nX + x), 4 * ((z - from + 1) * nX + x), bytesOf(x0, x1), z < to ? layer : 0)
    if (z > 0 || bedW === 0) continue
    const row = y * nX
    for (let i = row + x0; i <= row + x1; i++) sums.bedJ += dt * cell[0] * bedW * fill[i] * (bedC - work[i])
  }
  let lost = 0
  let radiated = 0
  for (let i = 0; i < 4; i++) {
    lost += numbers[NUMBER.lost + i]
    radiated += numbers[NUMBER.radiated + i]
  }
  sums.convectedJ += dt * (lost - radiated)
  sums.radiatedJ += dt * radiated
}

/** Enthalpy, temperature and cp of one layer after the step. */
export const kernelSettle = (field: HeatField, k: StepKernels, zone: Zone, z: number): void => {
  const { layerMm, cellMm, density, nX, nY } = field
  const { first, last } = zone.reach
  k.fullMass[0] = cellMm * cellMm * layerMm[z] * density
  for (let y = 1; y < nY - 1; y++) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    if (x1 >= x0) k.settle(4 * ((z * nY + y) * nX + x0), 4 * (x1 - x0 + 1))
  }
}
