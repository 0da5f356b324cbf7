// The cheap look: plastic and time of a recipe from areas and outlines alone, without laying a bead.
//
// Model: shells as parallel curves of a disc of the same area and outline (length P (1 - d P / 2A) at depth d), caps where a layer is
// larger than those within a cap's thickness, infill as its share; each move loses what coming up to speed over a typical run costs;
// short layers are slowed. Limits: no travels, no gap beads; it ranks recipes and is set right by the few that are really laid.

import { beadArea, pitchOf } from '../engine/beads/index.ts'
import type { LayerStack } from '../engine/sections/index.ts'
import type { Recipe } from '../recipe/index.ts'

/** Shortest run between two corners, mm, and share of an outline that is one run: a few real corners, soft curves between. From memory. */
const LEAST_RUN_MM = 1
const RUN_SHARE = 1 / 3

/** Areas and outlines of a figure's islands, layer by layer. */
export interface OutlineSums {
  readonly nLayers: number
  readonly heightMm: Float64Array
  /** Islands of layer k are layerStart[k] to layerStart[k+1]-1. */
  readonly layerStart: Uint32Array
  /** mm2, mm (holes included). */
  readonly area: Float64Array
  readonly outline: Float64Array
  /** Area of each layer, mm2. */
  readonly layerArea: Float64Array
}

/** Sums of a stack. */
export const outlineSums = (layers: LayerStack): OutlineSums => {
  const { nLayers, faceZ, islandStart, islandArea, layerStart, loopStart, loopIsland, points } = layers
  const outline = new Float64Array(islandArea.length)
  const layerArea = new Float64Array(nLayers)
  for (let k = 0; k < nLayers; k++) {
    for (let i = islandStart[k]; i < islandStart[k + 1]; i++) layerArea[k] += islandArea[i]
    for (let loop = layerStart[k]; loop < layerStart[k + 1]; loop++) {
      let length = 0
      for (let p = loopStart[loop], q = loopStart[loop + 1] - 1; p < loopStart[loop + 1]; q = p++)
        length += Math.hypot(points[2 * p] - points[2 * q], points[2 * p + 1] - points[2 * q + 1])
      outline[loopIsland[loop]] += length
    }
  }
  const heightMm = Float64Array.from({ length: nLayers }, (_, k) => faceZ[k + 1] - faceZ[k])
  return { nLayers, heightMm, layerStart: islandStart, area: islandArea, outline, layerArea }
}

/** Share of each layer's inside that is cap: what larger is than the smallest layer within a cap's thickness above or below. */
const capShares = ({ nLayers, heightMm, layerArea }: OutlineSums, capThicknessMm: number): Float64Array => {
  const shares = new Float64Array(nLayers)
  for (let k = 0; k < nLayers; k++) {
    let least = layerArea[k]
    for (const step of [-1, 1]) {
      let depth = 0
      for (let j = k + step; depth < capThicknessMm; j += step) {
        least = Math.min(least, layerArea[j] ?? 0)
        if (j < 0 || j >= nLayers) break
        depth += heightMm[j]
      }
    }
    shares[k] = layerArea[k] > 0 ? 1 - least / layerArea[k] : 0
  }
  return shares
}

/** Estimates for one stance, with the caps kept by thickness. */
export const estimator = (
  sums: OutlineSums,
  densityGPerCm3: number,
): ((recipe: Recipe) => { readonly printS: number; readonly massG: number }) => {
  const caps = new Map<number, Float64Array>()
  return (recipe) => {
    const { layerHeightMm: h, beadWidthMm, nShells, infillShare, flowShare, accelerationMmPerS2 } = recipe
    const { speedMmPerS, outerShellSpeedMmPerS, leastLayerTimeS, leastSpeedMmPerS, waitForLayerTime } = recipe
    const pitch = pitchOf(beadWidthMm, h)
    const bead = beadArea(beadWidthMm, h)
    let cap = caps.get(recipe.capThicknessMm)
    if (!cap) {
      cap = capShares(sums, recipe.capThicknessMm)
      caps.set(recipe.capThicknessMm, cap)
    }
    /** Time a millimetre costs at a set speed on runs of a length, s: coming up to speed and down again at each end. */
    const perMm = (speed: number, runMm: number): number => {
      const reach = Math.min(speed, Math.sqrt(accelerationMmPerS2 * runMm))
      return 1 / reach + (reach < speed ? 1 / reach : reach / (accelerationMmPerS2 * runMm))
    }
    let printS = 0
    let volume = 0
    for (let k = 0; k < sums.nLayers; k++) {
      // A layer of another height is laid as often as it fits.
      const times = sums.heightMm[k] / h
      let layerS = 0
      let length = 0
      for (let i = sums.layerStart[k]; i < sums.layerStart[k + 1]; i++) {
        const a = sums.area[i]
        const p = sums.outline[i]
        if (!(a > 0 && p > 0)) continue
        const run = Math.max(LEAST_RUN_MM, RUN_SHARE * p)
        const outerS = perMm(outerShellSpeedMmPerS, run)
        const innerS = perMm(speedMmPerS, run)
        for (let s = 0; s < nShells; s++) {
          const shell = p * Math.max(0, 1 - ((s + 0.5) * pitch * p) / (2 * a))
          length += shell
          layerS += shell * (s === 0 ? outerS : innerS)
        }
        const inside = a * Math.max(0, 1 - (nShells * pitch * p) / (2 * a)) ** 2
        const lines = (inside * (cap[k] + (1 - cap[k]) * infillShare)) / pitch
        length += lines
        layerS += lines * perMm(speedMmPerS, Math.max(LEAST_RUN_MM, Math.sqrt(inside)))
      }
      if (layerS > 0 && layerS < leastLayerTimeS)
        layerS = waitForLayerTime
          ? leastLayerTimeS
          : Math.max(layerS, Math.min(leastLayerTimeS, length / leastSpeedMmPerS))
      printS += times * layerS
      volume += times * length * bead * flowShare
    }
    return { printS, massG: (volume * densityGPerCm3) / 1000 }
  }
}
