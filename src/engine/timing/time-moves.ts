// Times of plain moves, and the limits that a printer card and a recipe set.

import type { PrinterCard, Recipe } from '../../recipe/index.ts'
import { MotionChain } from './motion-chain.ts'
import type { MotionLimits, MoveList, MoveTimes } from './types.ts'

/** The limits of a machine under a recipe. */
export const motionLimits = (printer: PrinterCard, recipe: Recipe): MotionLimits => ({
  acceleration: recipe.accelerationMmPerS2,
  cornerRule: printer.cornerRule,
  cornerSpeed: recipe.cornerSpeedMmPerS,
  cornerDeviation: printer.cornerDeviationMm,
  curvatureLimit: printer.curvatureLimit,
  mostSpeed: [printer.xMostMmPerS, printer.yMostMmPerS, printer.zMostMmPerS, printer.filamentMostMmPerS],
  mostAcceleration: [printer.xMostMmPerS2, printer.yMostMmPerS2, printer.zMostMmPerS2, printer.filamentMostMmPerS2],
  zCornerSpeed: printer.zCornerSpeedMmPerS,
  filamentCornerSpeed: printer.filamentCornerSpeedMmPerS,
})

/** Times of plain moves with look-ahead over the whole list, at rest before the first and after the last. Moves of no length take no time. */
export const timeMoves = (moves: MoveList, limits: MotionLimits): MoveTimes => {
  const { nMoves, points, speed } = moves
  const chain = new MotionChain(limits, nMoves + 1)
  const place = new Int32Array(nMoves)
  for (let i = 0; i < nMoves; i++) {
    const p = 4 * i
    place[i] = chain.move(
      points[p + 4] - points[p],
      points[p + 5] - points[p + 1],
      points[p + 6] - points[p + 2],
      points[p + 7] - points[p + 3],
      speed[i],
    )
  }
  chain.stop()
  chain.solve()
  const durationS = new Float64Array(nMoves)
  const jointSpeed = new Float64Array(nMoves + 1)
  const peakSpeed = new Float64Array(nMoves)
  let totalS = 0
  for (let i = 0; i < nMoves; i++) {
    const at = place[i]
    if (at < 0) {
      jointSpeed[i + 1] = jointSpeed[i]
      continue
    }
    durationS[i] = chain.duration(at)
    totalS += durationS[i]
    jointSpeed[i + 1] = Math.sqrt(chain.joint2[at + 1])
    peakSpeed[i] = Math.sqrt(chain.peak2(at))
  }
  return { totalS, durationS, jointSpeed, peakSpeed }
}
