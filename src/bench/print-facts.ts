// Picks from the results of a print what the sheet draws, in single precision and without heights.

import type { Examination } from '../engine/examine/index.ts'
import type { PrintFacts } from './messages.ts'

/** Facts of a print for the page. */
export const printFacts = ({ plan, timeline, balance }: NonNullable<Examination['print']>): PrintFacts => {
  const nPoints = plan.pointWidth.length
  const xy = new Float32Array(2 * nPoints)
  for (let i = 0; i < nPoints; i++) {
    xy[2 * i] = plan.points[3 * i]
    xy[2 * i + 1] = plan.points[3 * i + 1]
  }
  return {
    layerStart: plan.layerStart,
    beadStart: plan.beadStart,
    xy,
    width: plan.pointWidth,
    role: plan.role,
    island: plan.island,
    layerRealS: timeline.layerRealS,
    overflowMm3: balance.overflowMm3,
    surplusAt: balance.heightAt,
    surplusMm: balance.heightMm,
  }
}
