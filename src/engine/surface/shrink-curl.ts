// Shrinkage from the glass transition to room temperature, and the curl it leaves.
//
// A new layer t on a free strip H of the same plastic: curvature 6 eps t H / (H + t)3 (Timoshenko 1925), rise kappa L2 / 8. A figure is
// no free strip: the bed holds it flat until it is taken off, and stress stays only in the uppermost depth d, relieved below by the heat
// of the layers above. Its block then has kappa = 6 eps d (H - d) / H3: zero at H = d, greatest at H = 1.5 d, which is why measured warp
// peaks at a middle height (Armillotta, Bellotti, Cavallaro 2018, abstract). The free-strip sum over layers only grows and is not used.
// Limits: one stiffness; the depth d is not measured (2 mm, no source); what stands on the base stiffens it and is left out, so the rise is
// rather too large. No creep afterwards.

import type { FilamentCard } from '../../recipe/index.ts'
import type { Figure } from '../figure/index.ts'
import type { ShrinkAndCurl } from './types.ts'

/** Depth in which stress stays, mm. No source. */
export const STRESSED_DEPTH_MM = 2
const ROOM_C = 25

/** Curvature of a free strip by one new layer, 1/mm. */
export const stripCurvature = (strain: number, layerMm: number, stripMm: number): number =>
  (6 * strain * layerMm * stripMm) / (stripMm + layerMm) ** 3

/** Curvature of a block that was held flat, 1/mm; 0 up to the stressed depth. */
export const blockCurvature = (strain: number, depthMm: number, heightMm: number): number =>
  heightMm <= depthMm ? 0 : (6 * strain * depthMm * (heightMm - depthMm)) / heightMm ** 3

/** Rise of the ends over the middle, mm. */
export const riseMm = (curvature: number, lengthMm: number): number => (curvature * lengthMm * lengthMm) / 8

/** Share by which plastic shrinks from its glass transition. */
export const shrinkShare = (
  { expansionPpmPerK, glassTransitionC }: Pick<FilamentCard, 'expansionPpmPerK' | 'glassTransitionC'>,
  roomC = ROOM_C,
): number => expansionPpmPerK * 1e-6 * Math.max(0, glassTransitionC - roomC)

/** Both for a figure: its base as the block, or the whole figure where it has none. */
export const shrinkAndCurl = ({ base, min, max }: Figure, filament: FilamentCard): ShrinkAndCurl => {
  const share = shrinkShare(filament)
  const length = base ? 2 * base.radiusMm : Math.max(max[0] - min[0], max[1] - min[1])
  const height = base ? base.topMm : max[2]
  const depth = STRESSED_DEPTH_MM
  return {
    shrinkShare: share,
    heightMm: share * max[2],
    widthMm: share * length,
    rimRiseMm: riseMm(blockCurvature(share, depth, height), length),
    blockHeightMm: height,
    blockLengthMm: length,
    stressedDepthMm: depth,
    worstHeightMm: 1.5 * depth,
    worstRiseMm: riseMm(blockCurvature(share, depth, 1.5 * depth), length),
  }
}
