// Stances as matrices.

import type { Stance } from './types.ts'

/** Three rows of three. */
export type Rotation = readonly [number, number, number, number, number, number, number, number, number]

/** Leaves the sculpt as it is. */
export const UPRIGHT: Stance = Object.freeze({ kind: 'stance', aboutX: 0, aboutY: 0, aboutZ: 0 })
/** Stands up a sculpt that was modelled with y up. */
export const FROM_Y_UP: Stance = Object.freeze({ kind: 'stance', aboutX: Math.PI / 2, aboutY: 0, aboutZ: 0 })

/** Cosine and sine; exact at quarter turns, so that a turned box stays a box. */
const turn = (angle: number): [number, number] => {
  const quarters = angle / (Math.PI / 2)
  const whole = Math.round(quarters)
  if (Math.abs(quarters - whole) > 1e-12) return [Math.cos(angle), Math.sin(angle)]
  const k = ((whole % 4) + 4) % 4
  return [[1, 0, -1, 0][k], [0, 1, 0, -1][k]]
}

/** The rotation of a stance: about x first, then about y, then about z. */
export const rotationOf = ({ aboutX, aboutY, aboutZ }: Stance): Rotation => {
  const [cx, sx] = turn(aboutX)
  const [cy, sy] = turn(aboutY)
  const [cz, sz] = turn(aboutZ)
  return [
    cz * cy,
    cz * sy * sx - sz * cx,
    cz * sy * cx + sz * sx,
    sz * cy,
    sz * sy * sx + cz * cx,
    sz * sy * cx - cz * sx,
    -sy,
    cy * sx,
    cy * cx,
  ]
}
