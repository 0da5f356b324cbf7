// Volume rates against what heat can reach: the filament's core must get warm while it stays in the melt zone.
//
// Model: a round bar with its surface at the nozzle's temperature; its core is warm when alpha t / R2 >= 0.2. The dwell is the melt
// zone's volume over the rate, so the limit is 5 pi alpha L: it does not depend on the filament's diameter.
// Limits: no shear heating, no contact resistance; feed traction sets its own limit, which the printer card names.

import { type BeadPlan, filamentArea } from '../beads/index.ts'
import type { Timeline } from '../timing/index.ts'
import type { MeltLimit } from './types.ts'

/** Fourier number at which the core of a round bar is warm. */
const WARM_CORE = 0.2

/** Highest rate at which the core still gets warm, mm3/s. @param diffusivity alpha = k / (rho c), mm2/s */
export const conductionLimit = (meltZoneMm: number, diffusivity: number): number =>
  (Math.PI * diffusivity * meltZoneMm) / WARM_CORE

/** Diffusivity from conductivity W/(m K), density g/cm3 and heat capacity J/(kg K), mm2/s. */
export const diffusivityOf = (
  conductivityWPerMK: number,
  densityGPerCm3: number,
  heatCapacityJPerKgK: number,
): number => (conductivityWPerMK / (densityGPerCm3 * 1000 * heatCapacityJPerKgK)) * 1e6

export interface MeltLimitOptions {
  readonly filamentMm: number
  readonly meltZoneMm: number
  /** mm2/s. */
  readonly diffusivity: number
  /** The card's own limit, mm3/s. */
  readonly cardMm3PerS: number
}

/** Holds every bead's rate against both limits. @param timeline greatest rates really reached, where known; else set speeds */
export const meltLimit = (plan: BeadPlan, timeline: Timeline | null, options: MeltLimitOptions): MeltLimit => {
  const { filamentMm, meltZoneMm, diffusivity, cardMm3PerS } = options
  const conductionMm3PerS = conductionLimit(meltZoneMm, diffusivity)
  const limit = Math.min(conductionMm3PerS, cardMm3PerS)
  const zone = filamentArea(filamentMm) * meltZoneMm
  const rate = new Float32Array(plan.nBeads)
  const dwell = new Float32Array(plan.nBeads)
  const layerMost = new Float64Array(plan.nLayers)
  let nBeadsOver = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      let length = 0
      for (let i = plan.beadStart[b] + 1; i < plan.beadStart[b + 1]; i++)
        length += Math.hypot(
          plan.points[3 * i] - plan.points[3 * i - 3],
          plan.points[3 * i + 1] - plan.points[3 * i - 2],
        )
      if (length > 1e-6) rate[b] = timeline ? timeline.mostFlow[b] : (plan.volume[b] / length) * plan.speed[b]
      else rate[b] = plan.dwell[b] > 0 ? plan.volume[b] / plan.dwell[b] : 0
      dwell[b] = rate[b] > 0 ? zone / rate[b] : Infinity
      if (rate[b] > limit) nBeadsOver++
      if (rate[b] > layerMost[layer]) layerMost[layer] = rate[b]
    }
  }
  return {
    kind: 'melt-limit',
    conductionMm3PerS,
    cardMm3PerS,
    rateMm3PerS: rate,
    dwellS: dwell,
    layerMost,
    layerShare: layerMost.map((r) => r / limit),
    nBeadsOver,
  }
}
