// Steps over the whole surface: per vertex, per layer, per region, at the recipe's layer height and at others.
//
// Each region keeps how its area is spread over |cos theta|, so that any other layer height is answered without walking the mesh again.
// Minutes at another height: every layer keeps the time it takes now (same paths, same speeds, same least layer time), so time goes with
// the number of layers. Limits: triangles with a hidden corner (buried in another shell) are left out; bead spacing changes a little with
// layer height, and so do the paths.

import type { Mesh } from '../mesh/index.ts'
import type { Facets } from './facets.ts'
import { cuspHeight, LEVEL_COS, stepRa } from './step-profile.ts'
import {
  type LayerChoice,
  type RegionSteps,
  SURFACE_REGIONS,
  type SurfaceRegions,
  type SurfaceSteps,
  type VaryingHeight,
} from './types.ts'
import { stepsShow, viewingWords } from './viewing.ts'

/** Layer heights that are compared, mm. */
export const OTHER_HEIGHTS: readonly number[] = Object.freeze([0.05, 0.08, 0.1, 0.12, 0.15, 0.2])
/** Range that a varying height may take, mm: from half a usual layer to three tenths of a 0.4 mm nozzle. No source. */
export const VARYING_RANGE: readonly [number, number] = [0.05, 0.12]
/** Classes of |cos theta|. */
const N_CLASSES = 200
/** Share of the area that the "most" of a region stands for. */
const MOST_SHARE = 0.9

/** Heights and times of the layers as they are now. */
export interface LayerTimes {
  readonly layerHeightMm: number
  readonly firstLayerHeightMm: number
  /** Lower face of each layer and, last, the top, mm. */
  readonly faceZ: Float64Array
  /** Seconds each layer takes, or null without times. */
  readonly layerS: Float64Array | null
}

/** How each region's area is spread over |cos theta|: rows of N_CLASSES per region. */
export interface SlopeAreas {
  /** Area in each class, mm2. */
  readonly area: Float64Array
  /** Its mean |cos theta|; that of the class's middle where it is empty. */
  readonly cos: Float64Array
}

/** Index of a class; level surfaces come into a last class of their own. */
const classOf = (c: number): number =>
  c >= LEVEL_COS ? N_CLASSES - 1 : Math.min(N_CLASSES - 2, Math.floor((c / LEVEL_COS) * (N_CLASSES - 1)))
/** Cosine in the middle of a class. */
const classCos = (k: number): number => (k === N_CLASSES - 1 ? 1 : ((k + 0.5) / (N_CLASSES - 1)) * LEVEL_COS)

/** Spreads the regions' areas over their slopes. @param hidden 1 per triangle that is buried, or null */
export const slopeAreas = (
  { normals, areas }: Facets,
  { ofTriangle }: SurfaceRegions,
  hidden: Uint8Array | null,
): SlopeAreas => {
  const area = new Float64Array(SURFACE_REGIONS.length * N_CLASSES)
  const cos = new Float64Array(area.length)
  for (let t = 0; t < areas.length; t++) {
    if (hidden?.[t]) continue
    const c = Math.abs(normals[3 * t + 2])
    const k = ofTriangle[t] * N_CLASSES + classOf(c)
    area[k] += areas[t]
    cos[k] += areas[t] * c
  }
  for (let k = 0; k < area.length; k++) cos[k] = area[k] > 0 ? cos[k] / area[k] : classCos(k % N_CLASSES)
  return { area, cos }
}

/** Steps of one region at a layer height; null when the region has no area. */
export const regionSteps = (spread: SlopeAreas, region: number, layerHeightMm: number): RegionSteps | null => {
  let area = 0
  let cusp = 0
  let ra = 0
  let shown = 0
  const row = region * N_CLASSES
  for (let k = 0; k < N_CLASSES; k++) {
    const part = spread.area[row + k]
    if (part === 0) continue
    const c = spread.cos[row + k]
    area += part
    if (k === N_CLASSES - 1) continue
    cusp += part * cuspHeight(layerHeightMm, c)
    ra += part * stepRa(layerHeightMm, c)
    if (stepsShow(layerHeightMm, c)) shown += part
  }
  if (!(area > 0)) return null
  // Steps on level places are none: they count as the least.
  let below = spread.area[row + N_CLASSES - 1]
  let most = 0
  for (let k = 0; k < N_CLASSES - 1 && below < MOST_SHARE * area; k++) {
    below += spread.area[row + k]
    most = cuspHeight(layerHeightMm, spread.cos[row + k])
  }
  return {
    region: SURFACE_REGIONS[region],
    areaMm2: area,
    meanUm: (1000 * cusp) / area,
    mostUm: 1000 * most,
    raUm: (1000 * ra) / area,
    shownShare: shown / area,
  }
}

/** Layers and minutes at another height. */
const costAt = (layerHeightMm: number, times: LayerTimes): { nLayers: number; minutes: number } => {
  const { faceZ, layerS } = times
  const nNow = faceZ.length - 1
  const over = faceZ[nNow] - faceZ[1]
  const nLayers = 1 + Math.max(0, Math.ceil(over / layerHeightMm - 1e-6))
  if (!layerS) return { nLayers, minutes: Number.NaN }
  let rest = 0
  for (let k = 1; k < nNow; k++) rest += layerS[k]
  return { nLayers, minutes: (layerS[0] + (rest * times.layerHeightMm) / layerHeightMm) / 60 }
}

export const layerChoice = (spread: SlopeAreas, layerHeightMm: number, times: LayerTimes): LayerChoice => ({
  layerHeightMm,
  ...costAt(layerHeightMm, times),
  regions: SURFACE_REGIONS.map((_, r) => regionSteps(spread, r, layerHeightMm)).filter((r) => r !== null),
})

/** Mean cusp height of each layer, um: triangles are spread evenly over the layers they cross. */
const layerSteps = (
  mesh: Mesh,
  facets: Facets,
  hidden: Uint8Array | null,
  times: LayerTimes,
): { cuspUm: Float64Array; shownMm2: Float64Array; steepest: Float64Array } => {
  const { positions, triangles } = mesh
  const { faceZ } = times
  const n = faceZ.length - 1
  const sum = new Float64Array(n)
  const area = new Float64Array(n)
  const shownMm2 = new Float64Array(n)
  const steepest = new Float64Array(n)
  const step = times.layerHeightMm
  const layerOf = (z: number): number =>
    z < faceZ[1] ? 0 : Math.min(n - 1, Math.max(0, 1 + Math.floor((z - faceZ[1]) / step)))
  for (let t = 0; t < facets.areas.length; t++) {
    if (hidden?.[t]) continue
    const c = Math.abs(facets.normals[3 * t + 2])
    if (c >= LEVEL_COS) continue
    const za = positions[3 * triangles[3 * t] + 2]
    const zb = positions[3 * triangles[3 * t + 1] + 2]
    const zc = positions[3 * triangles[3 * t + 2] + 2]
    const from = layerOf(Math.min(za, zb, zc))
    const to = layerOf(Math.max(za, zb, zc))
    const part = facets.areas[t] / (to - from + 1)
    for (let k = from; k <= to; k++) {
      area[k] += part
      sum[k] += part * 1000 * cuspHeight(faceZ[k + 1] - faceZ[k], c)
      if (c > steepest[k]) steepest[k] = c
      if (facets.normals[3 * t + 2] > 0 && stepsShow(faceZ[k + 1] - faceZ[k], c)) shownMm2[k] += part
    }
  }
  for (let k = 0; k < n; k++) sum[k] = area[k] > 0 ? sum[k] / area[k] : Number.NaN
  return { cuspUm: sum, shownMm2, steepest }
}

/** Cusp height per vertex: mean over the triangles round it by area; level triangles have none. */
const vertexSteps = (mesh: Mesh, facets: Facets, times: LayerTimes): Float32Array => {
  const { positions, triangles } = mesh
  const nVertices = positions.length / 3
  const cusp = new Float32Array(nVertices)
  const area = new Float32Array(nVertices)
  for (let t = 0; t < facets.areas.length; t++) {
    const c = Math.abs(facets.normals[3 * t + 2])
    const a = facets.areas[t]
    const worth = c >= LEVEL_COS ? 0 : a * c
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * t + k]
      cusp[v] += worth
      area[v] += a
    }
  }
  for (let v = 0; v < nVertices; v++) {
    const height = positions[3 * v + 2] < times.faceZ[1] ? times.firstLayerHeightMm : times.layerHeightMm
    cusp[v] = area[v] > 0 ? (1000 * height * cusp[v]) / area[v] : 0
  }
  return cusp
}

/** Layers needed when each height takes the thickest layer whose cusp stays within that of the constant one. */
const varyingHeight = (steepest: Float64Array, times: LayerTimes): VaryingHeight => {
  const { faceZ, layerS, layerHeightMm } = times
  const n = faceZ.length - 1
  let worst = 0
  for (let k = 1; k < n; k++) worst = Math.max(worst, layerHeightMm * steepest[k])
  let nLayers = 1
  let seconds = layerS ? layerS[0] : Number.NaN
  const [fromMm, toMm] = VARYING_RANGE
  for (let k = 1; k < n; k++) {
    const height = Math.min(toMm, Math.max(fromMm, steepest[k] > 0 ? worst / steepest[k] : toMm))
    const share = layerHeightMm / height
    nLayers += share
    if (layerS) seconds += layerS[k] * share
  }
  return { nLayers: Math.ceil(nLayers), minutes: seconds / 60, fromMm, toMm }
}

/** Steps of the figure. @param hidden 1 per triangle that is buried in another shell, or null */
export const stepsOf = (
  mesh: Mesh,
  facets: Facets,
  regions: SurfaceRegions,
  hidden: Uint8Array | null,
  times: LayerTimes,
): SurfaceSteps => {
  const spread = slopeAreas(facets, regions, hidden)
  const { cuspUm, shownMm2, steepest } = layerSteps(mesh, facets, hidden, times)
  const others = OTHER_HEIGHTS.filter((h) => Math.abs(h - times.layerHeightMm) > 1e-6)
  return {
    vertexUm: vertexSteps(mesh, facets, times),
    layerUm: cuspUm,
    layerShownMm2: shownMm2,
    choices: [times.layerHeightMm, ...others].map((h) => layerChoice(spread, h, times)),
    varying: varyingHeight(steepest, times),
    viewing: viewingWords(),
  }
}
