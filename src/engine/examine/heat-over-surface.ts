// Heat laid over the figure: for every vertex of its mesh the values of the nearest bead of its layer.

import type { HeatLook, PrintResults } from '../findings/index.ts'
import type { Mesh } from '../mesh/index.ts'

/** One value per vertex, NaN where nothing is known: deg C of the plastic the bead landed on, mm softened again, bond as a share of an ordinary bar's. */
export interface SurfaceHeat {
  readonly landingC: Float32Array
  readonly softDepthMm: Float32Array
  readonly bondShare: Float32Array
}

/** Farther from any bead than this a vertex has no value, mm. */
const REACH_MM = 1.5

/** Null without the detailed calculation. */
export const heatOverSurface = ({ full }: HeatLook, { plan }: PrintResults, mesh: Mesh): SurfaceHeat | null => {
  if (!full) return null
  const n = mesh.positions.length / 3
  const blank = (): Float32Array => new Float32Array(n).fill(Number.NaN)
  const landingC = blank()
  const softDepthMm = blank()
  const bondShare = blank()
  const { layerTopZ, layerStart, beadStart, points, nLayers } = plan
  const { beads, ordinaryHealing } = full
  for (let v = 0; v < n; v++) {
    const [x, y, z] = [mesh.positions[3 * v], mesh.positions[3 * v + 1], mesh.positions[3 * v + 2]]
    let lo = 0
    let hi = nLayers - 1
    while (lo < hi) {
      const mid = (lo + hi) >> 1
      if (layerTopZ[mid] >= z - 1e-9) hi = mid
      else lo = mid + 1
    }
    let nearest = REACH_MM * REACH_MM
    let bead = -1
    for (let b = layerStart[lo]; b < layerStart[lo + 1]; b++)
      for (let p = beadStart[b]; p < beadStart[b + 1]; p++) {
        const dx = points[3 * p] - x
        const dy = points[3 * p + 1] - y
        const d = dx * dx + dy * dy
        if (d < nearest) {
          nearest = d
          bead = b
        }
      }
    if (bead < 0) continue
    landingC[v] = beads.belowC[bead]
    softDepthMm[v] = beads.softDepthMm[bead]
    bondShare[v] = Math.min(1, beads.healing[bead] / ordinaryHealing)
  }
  return { landingC, softDepthMm, bondShare }
}
