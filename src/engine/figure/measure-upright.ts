// Measures a sculpt as it was meant to stand, whatever stance it will be printed in.

import { type Mesh, transformMesh } from '../mesh/index.ts'
import { areaByHeight } from './area-by-height.ts'
import { type FoundBase, findBase } from './find-base.ts'
import { type Crown, EYE_SHARE, eyesOverNeck, findCrown, neckUnderHat } from './find-crown.ts'

/** Sizes of the sculpt along its own upright axis, file units. */
export interface UprightMeasure {
  /** The sculpt's axis that points up. */
  readonly up: 'y' | 'z'
  /** Lowest point to highest. */
  readonly height: number
  readonly base: FoundBase | null
  /** Soles above the lowest point: the top of the base, or 0. */
  readonly sole: number
  readonly crown: Crown
  /** Eye line above the soles as guessed, and why. */
  readonly eye: { readonly value: number; readonly reason: string }
}

const N_LEVELS = 500
/** Without a base, y counts as up only when the sculpt is this much longer along it than along the others. */
const CLEARLY_LONGER = 1.3

const Y_TO_Z = [1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0]

/** Measures a sculpt. Null when it has no height at all. */
export const measureUpright = (mesh: Mesh): UprightMeasure | null => {
  const size = sizeOf(mesh)
  if (!(size[2] > 0)) return null
  const alongZ = measureAlongZ(mesh, 'z')
  if (alongZ.base || !(size[1] > 0)) return alongZ
  const alongY = measureAlongZ(transformMesh(mesh, Y_TO_Z), 'y')
  const isYLonger = size[1] > CLEARLY_LONGER * Math.max(size[0], size[2])
  return alongY.base || isYLonger ? alongY : alongZ
}

const measureAlongZ = (mesh: Mesh, up: 'y' | 'z'): UprightMeasure => {
  const areas = areaByHeight(mesh, N_LEVELS)
  const base = findBase(mesh, areas)
  const sole = base?.top ?? 0
  const crown = findCrown(areas, sole)
  const neck = neckUnderHat(areas, sole, crown.height)
  const over = crown.isOvertopped ? ', leaving out what reaches above the head' : ''
  const advice = 'set it if the figure sits, stoops or is no person'
  const eye =
    neck === null
      ? {
          value: EYE_SHARE * (crown.height - sole),
          reason: `The eye line is guessed at ${EYE_SHARE} of the height from soles to crown${over}; ${advice}.`,
        }
      : {
          value: eyesOverNeck(neck - sole),
          reason: `The eye line is guessed from the narrowest place under the chin, since the head is too long to be bare${over}; ${advice}.`,
        }
  return { up, height: areas.to - areas.from, base, sole, crown, eye }
}

const sizeOf = ({ positions: p }: Mesh): [number, number, number] => {
  const low = [Infinity, Infinity, Infinity]
  const high = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < p.length; i++) {
    const k = i % 3
    if (p[i] < low[k]) low[k] = p[i]
    if (p[i] > high[k]) high[k] = p[i]
  }
  return [high[0] - low[0], high[1] - low[1], high[2] - low[2]]
}
