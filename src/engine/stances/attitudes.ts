// Between directions, rotations and stances: which way is up, the turns that bring it there, and its name in words.

import { rotationOf, type Stance } from '../figure/index.ts'
import type { Direction } from './types.ts'

type Matrix = readonly number[]

const times = (a: Matrix, b: Matrix): Matrix =>
  Array.from(
    { length: 9 },
    (_, i) =>
      a[3 * Math.floor(i / 3)] * b[i % 3] +
      a[3 * Math.floor(i / 3) + 1] * b[3 + (i % 3)] +
      a[3 * Math.floor(i / 3) + 2] * b[6 + (i % 3)],
  )

/** The shortest turn that brings a direction upright; row-major 3x3. Straight down is turned about x. */
export const turnUpright = ([x, y, z]: Direction): Matrix => {
  if (z < -1 + 1e-9) return [1, 0, 0, 0, -1, 0, 0, 0, -1]
  const f = 1 / (1 + z)
  return [1 - x * x * f, -x * y * f, -x, -x * y * f, 1 - y * y * f, -y, x, y, z]
}

/** The turns about x, y and z that a rotation is made of. */
const stanceOfRotation = (r: Matrix): Stance => {
  const sy = Math.max(-1, Math.min(1, -r[6]))
  if (Math.abs(sy) > 1 - 1e-9)
    return { kind: 'stance', aboutX: Math.atan2(sy * r[1], r[4]), aboutY: Math.asin(sy), aboutZ: 0 }
  return { kind: 'stance', aboutX: Math.atan2(r[7], r[8]), aboutY: Math.asin(sy), aboutZ: Math.atan2(r[3], r[0]) }
}

const TENTH = Math.PI / 1800
const rounded = (angle: number): number => Math.round(angle / TENTH) * TENTH + 0

/** The stance that puts a direction of the given figure upright, in tenths of a degree. */
export const stanceFacing = (up: Direction, given: Stance): Stance => {
  const { aboutX, aboutY, aboutZ } = stanceOfRotation(times(turnUpright(up), rotationOf(given)))
  return { kind: 'stance', aboutX: rounded(aboutX), aboutY: rounded(aboutY), aboutZ: rounded(aboutZ) }
}

/** The direction of the given figure that another stance puts upright. */
export const upOf = (stance: Stance, given: Stance): Direction => {
  const r = rotationOf(stance)
  const g = rotationOf(given)
  // Third row of (other rotation) times (given rotation transposed).
  const at = (c: number): number => r[6] * g[3 * c] + r[7] * g[3 * c + 1] + r[8] * g[3 * c + 2]
  return [at(0), at(1), at(2)]
}

/** Angle between two directions, radians. */
export const angleBetween = (a: Direction, b: Direction): number =>
  Math.acos(Math.max(-1, Math.min(1, a[0] * b[0] + a[1] * b[1] + a[2] * b[2])))

const SIDES = ['right', 'right and back', 'back', 'left and back', 'left', 'left and front', 'front', 'right and front']

/**
 * The attitude in words. Its front is the side towards -y, where the viewer of an elevation stands; left and right are the viewer's.
 */
export const attitudeWords = ([x, y, z]: Direction): string => {
  const lean = Math.round((Math.acos(Math.max(-1, Math.min(1, z))) * 180) / Math.PI)
  if (lean < 1) return 'standing as given'
  if (lean > 174) return 'upside down'
  // The top of the figure leans away from the direction that is turned up.
  const side = SIDES[((Math.round(Math.atan2(-y, -x) / (Math.PI / 4)) % 8) + 8) % 8]
  if (lean < 70) return `leaning ${lean} deg to the ${side}`
  if (lean <= 110) return `lying to the ${side} (${lean} deg)`
  return `head down, ${lean} deg over to the ${side}`
}
