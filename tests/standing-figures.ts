// A figure of simple solids, for tests of scale, base and eye line: proportions of an adult, one unit tall from sole to crown.

import { box, cylinder, moved, type Solid, sphere, together } from './solids.ts'

const scaled = ({ positions, triangles }: Solid, x: number, y: number, z: number): Solid => ({
  positions: positions.map((p, i) => p * [x, y, z][i % 3]),
  triangles,
})

/** What a figure may wear and stand on. */
export interface Wears {
  /** Height of a round base of radius 12.5, in the figure's unit; 0 for none. */
  readonly base?: number
  /** Thin shaft reaching this far above the crown, as a share of the height. */
  readonly spear?: number
  /** Tall hat, this high above the crown, as a share of the height. */
  readonly hat?: number
}

/** Legs, trunk, neck, head of a standing person of this height from sole to crown, as overlapping closed shells. */
export const person = (height: number, { base = 0, spear = 0, hat = 0 }: Wears = {}): Solid => {
  const at = (solid: Solid, x: number, z: number): Solid =>
    moved(scaled(solid, height, height, height), height * x, 0, base + height * z)
  const parts = [
    at(cylinder(0.045, 0.5, 24), -0.06, 0),
    at(cylinder(0.045, 0.5, 24), 0.06, 0),
    at(scaled(cylinder(0.13, 0.36, 32), 1, 0.65, 1), 0, 0.47),
    at(cylinder(0.035, 0.08, 24), 0, 0.82),
    at(scaled(sphere(1, 32), 0.05, 0.06, 0.065), 0, 0.935),
  ]
  if (base > 0) parts.push(cylinder(12.5, base, 128))
  if (spear > 0) parts.push(at(cylinder(0.02, 1 + spear, 16), 0.2, 0))
  if (hat > 0) parts.push(at(cylinder(0.07, 0.06 + hat, 32), 0, 0.94))
  return together(...parts)
}

/** A block of scenery with no base and no head. */
export const block = (side: number): Solid => box(side, side, side)
