// On the bed: how far a limb gives way to the nozzle while it is printed, and what prying the finished figure off the bed takes.

import { type LayerStack, layerArea } from '../sections/index.ts'
import { ranged } from './chance.ts'
import type { Laying } from './frame-model.ts'
import { limitsAlong } from './material.ts'
import type { BedHold, HandlingLoad, LimbFrame } from './types.ts'

/** Pull at which a first layer lets go of a cooled bed, MPa, and its scatter: from memory, differs tenfold by bed and plastic. */
const BED_MPA = 0.06
const BED_SCATTER = { strength: 0.7, model: 0 }

/**
 * Sideways give of a limb's top while it is printed, mm per newton, per layer: the limb stands alone on its foot, what joins it
 * above is not there yet. The foot counts as clamped, so this is the least it gives. NaN where only held plastic is.
 */
export const giveWhilePrinted = (frame: LimbFrame, stack: LayerStack, laying: Laying): Float64Array => {
  const give = new Float64Array(stack.nLayers).fill(Number.NaN)
  const { at, second, branches } = frame
  for (const { stations } of branches) {
    if (stations.length < 3) continue
    const up = at[3 * stations[stations.length - 1] + 2] >= at[3 * stations[0] + 2] ? stations : [...stations].reverse()
    let layer = 0
    // First and second moments of flexibility up to here, so that each station adds in one step.
    let flex = 0
    let flexS = 0
    let flexS2 = 0
    let s = 0
    for (let k = 1; k < up.length; k++) {
      const [i, j] = [up[k - 1], up[k]]
      const d = [0, 1, 2].map((c) => at[3 * j + c] - at[3 * i + c])
      const length = Math.hypot(...d)
      const n = laying.layerNormal
      const cos = (d[0] * n[0] + d[1] * n[1] + d[2] * n[2]) / Math.max(length, 1e-9)
      const { modulusMPa } = limitsAlong(laying.material, cos, 1)
      const q = 6 * j
      // Least second moment of a round section with the same stiffness the weak way.
      const least = Math.min(second[q] + second[q + 1] + second[q + 2], (2 * Math.PI * frame.thickMm[j] ** 4) / 64) / 2
      const f = length / Math.max(modulusMPa * least, 1e-9)
      const mid = s + length / 2
      flex += f
      flexS += f * mid
      flexS2 += f * mid * mid
      s += length
      const here = s * s * flex - 2 * s * flexS + flexS2
      const top = Math.max(at[3 * i + 2], at[3 * j + 2])
      const low = Math.min(at[3 * i + 2], at[3 * j + 2])
      while (layer > 0 && stack.faceZ[layer] > low) layer--
      for (; layer < stack.nLayers && stack.faceZ[layer] <= top; layer++) if (!(give[layer] >= here)) give[layer] = here
    }
  }
  return give
}

/** Prying the figure off the bed by its top: what it takes, how far the top moves, and whether a limb breaks before. */
export const bedHoldOf = (stack: LayerStack, loads: readonly HandlingLoad[], topMm: number): BedHold => {
  const areaMm2 = layerArea(stack, 0)
  const radius = Math.sqrt(areaMm2 / Math.PI)
  const holdN = ranged(BED_MPA * areaMm2, BED_SCATTER)
  // Peels from the edge: bending of the joint, stress greatest at the rim (section modulus of a disc).
  const pryN = ranged((BED_MPA * Math.PI * radius ** 3) / 4 / Math.max(topMm, 1e-9), BED_SCATTER)
  let highest: HandlingLoad | null = null
  for (const load of loads)
    if (load.kind === 'push' && load.judgedBy === 'force' && (!highest || load.at[2] > highest.at[2])) highest = load
  for (const load of highest ? [] : loads)
    if (load.kind === 'push' && (!highest || load.at[2] > highest.at[2])) highest = load
  const breakN = highest ? highest.breakForceN.value : Infinity
  const share = pryN.value / breakN
  return {
    areaMm2,
    holdN,
    pryAtTopN: pryN,
    pryTravelMm: highest ? Math.min(1, share) * highest.breakTravelMm.value : 0,
    limbBreaksFirst: share > 1,
  }
}
