// A step of a band by the loops in WebAssembly: the numbers of its layers are set, then each loop goes through all of its rows in one call.

import type { HeatField } from './field.ts'
import { GROUP_WORDS, LAYER, LAYER_NUMBERS, NUMBER } from './kernel-layout.ts'
import type { StepKernels } from './step-kernels.ts'
import type { Zone } from './zone.ts'

/** Moves the band by dt seconds. @param explicit sideways by plain differences, else by sweeps */
export const stepByKernels = (field: HeatField, k: StepKernels, zone: Zone, dt: number, explicit: boolean): void => {
  const { work, fill, upwards, sideways, layerMm, cellMm, density, airC, bedC, bedW, sums, nX, nY } = field
  const { from, to, cell, face, reach } = zone
  const { layers, numbers, groupStart } = k
  numbers[NUMBER.air] = airC
  numbers[NUMBER.bed] = bedC
  for (let z = from; z <= to; z++) {
    const at = LAYER_NUMBERS * z
    const out = dt * cell[z]
    layers[at + LAYER.up] = dt * face[z] * upwards[z]
    layers[at + LAYER.upBelow] = z > from ? layers[at - LAYER_NUMBERS + LAYER.up] : 0
    layers[at + LAYER.out] = out
    layers[at + LAYER.aside] = out * sideways[z]
    layers[at + LAYER.bedW] = z === 0 ? out * bedW : 0
    layers[at + LAYER.share] = cell[z]
    layers[at + LAYER.fullMass] = cellMm * cellMm * layerMm[z] * density
    sums.nUpdates += k.nMoved[z]
  }
  if (explicit) k.upwardsAside(from, to + 1)
  else {
    for (let z = from; z <= to; z++) {
      k.alongX(4 * GROUP_WORDS * groupStart[z], 4 * GROUP_WORDS * groupStart[z + 1])
      k.alongY(z)
    }
    k.upwards(from, to + 1)
  }
  if (from === 0 && bedW > 0) {
    const share = dt * cell[0] * bedW
    for (let y = 1; y < nY - 1; y++)
      for (let i = y * nX + reach.first[y], end = y * nX + reach.last[y]; i <= end; i++)
        sums.bedJ += share * fill[i] * (bedC - work[i])
  }
  const lost = k.lost[0] + k.lost[1]
  const radiated = k.lost[2] + k.lost[3]
  sums.convectedJ += dt * (lost - radiated)
  sums.radiatedJ += dt * radiated
  k.settle(from, to + 1)
}
