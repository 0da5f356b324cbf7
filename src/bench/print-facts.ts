// Picks from the results of a print what the sheet draws and reads out: a copy of a few megabytes, without what only the engine needs.

import type { Examination } from '../engine/examine/index.ts'
import type { PrintFacts } from './messages.ts'

/** Facts of a print for the page. */
export const printFacts = (print: NonNullable<Examination['print']>): PrintFacts => {
  const { plan, report, timeline, balance, strings, recipe } = print
  const nPoints = plan.pointWidth.length
  const points = new Float32Array(2 * nPoints)
  for (let i = 0; i < nPoints; i++) {
    points[2 * i] = plan.points[3 * i]
    points[2 * i + 1] = plan.points[3 * i + 1]
  }
  return {
    layerStart: plan.layerStart,
    beadStart: plan.beadStart,
    points,
    pointWidth: plan.pointWidth,
    role: plan.role,
    island: plan.island,
    width: plan.width,
    height: plan.height,
    volume: Float32Array.from(plan.volume),
    report,
    layerTypedS: timeline.layerTypedS,
    layerRealS: timeline.layerRealS,
    laidMm3: balance.laidMm3,
    overflowMm3: balance.overflowMm3,
    surplusAt: balance.heightAt,
    surplusMm: balance.heightMm,
    surplusCause: balance.heightCause,
    strings,
    flowShare: recipe.flowShare,
    infillShare: recipe.infillShare,
  }
}
