// Moves and machines for the checks of motion.

import type { MotionLimits, MoveList } from '../src/engine/timing/index.ts'

/** A machine whose axes set no limits. */
export const freeMachine = (changes: Partial<MotionLimits> = {}): MotionLimits => ({
  acceleration: 300,
  cornerRule: 'jump',
  cornerSpeed: 5,
  cornerDeviation: 0.02,
  curvatureLimit: false,
  mostSpeed: [1e9, 1e9, 1e9, 1e9],
  mostAcceleration: [1e9, 1e9, 1e9, 1e9],
  zCornerSpeed: 1e9,
  filamentCornerSpeed: 1e9,
  ...changes,
})

/** Moves through points [x, y, z?, filament?] at one speed or one speed a move. */
export const movesThrough = (points: readonly (readonly number[])[], speed: number | readonly number[]): MoveList => ({
  nMoves: points.length - 1,
  points: Float64Array.from(points.flatMap(([x, y, z = 0, e = 0]) => [x, y, z, e])),
  speed: Float64Array.from({ length: points.length - 1 }, (_, i) => (typeof speed === 'number' ? speed : speed[i])),
})
