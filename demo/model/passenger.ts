// The passenger: long dress, cape, wide hat with a feather, a closed umbrella as a stick, a trunk beside her.
// Her parts stay apart on purpose: closed shells that overlap, all turned outwards, as sculpting programs write them.

import { EYES, UMBRELLA } from '../facts.ts'
import {
  axes,
  ball,
  blend,
  carve,
  chain,
  ease,
  egg,
  type Field,
  frontOf,
  half,
  layered,
  limb,
  meet,
  type Point,
  placed,
  slab,
} from './fields.ts'
import { cuff, drape, sleeve } from './garment.ts'
import { grip, openHand } from './hands.ts'
import { head } from './head.ts'
import { luggage, umbrella } from './luggage.ts'
import { type Bench, curve, deck, type Solid } from './solids.ts'

const GRIP: Point = [UMBRELLA.axis[0], UMBRELLA.axis[1], 18.4]
const SHOULDER_R: Point = [-2.35, 0.5, 26.2]
const ELBOW_R: Point = [-4.7, 0.9, 21.9]
const WRIST_R: Point = [-5.75, -1.3, 18.7]
const SHOULDER_L: Point = [2.35, 0.5, 26.2]
const ELBOW_L: Point = [4.7, 0.5, 21.8]
const WRIST_L: Point = [2.3, -2.2, 20.3]

const dress = (): Field =>
  drape({
    hem: 2.85,
    top: 20.6,
    foldsFrom: 20,
    middle: (z) => [0.25 * Math.sin(0.12 * z), 0.2 + 0.035 * (20 - z)],
    size: (z) => [
      2.3 + 3.6 * ease(22, 1, z) + 0.5 * ease(6, 2.8, z),
      1.95 + 3.4 * ease(22, 1, z) + 0.5 * ease(6, 2.8, z),
    ],
    folds: [
      { count: 9, phase: 0.4, depth: 0.4, wander: 0.4 },
      { count: 14, phase: 1.7, depth: 0.2, wander: 0.8 },
      { count: 4, phase: 2.0, depth: 0.2, wander: 0.3 },
    ],
  })

const bodice = (): Field => {
  const trunk = blend(
    1.0,
    egg([0, 0.2, 23.9], [2.5, 1.9, 3.6]),
    blend(0.5, egg([-0.95, -0.95, 24.0], [1.25, 1.25, 1.25]), egg([0.95, -0.95, 24.0], [1.25, 1.25, 1.25])),
    limb(SHOULDER_R, SHOULDER_L, 1.2),
    egg([0, 0.2, 20.4], [2.2, 1.85, 2.0]),
  )
  const front: Field = (x) => Math.abs(x) - 0.5
  return layered(trunk, { rise: 0.2, where: meet(0.2, front, half([0, -0.6, 0], [0, 1, 0])) })
}

const cape = (): Field => {
  const surface = drape({
    hem: 21.8,
    top: 28.3,
    foldsFrom: 26.6,
    middle: (z) => [0, 0.45 + 0.05 * (27 - z)],
    size: (z) => [
      1.45 + 2.9 * ease(28.9, 26.0, z) + 1.1 * ease(26.4, 22, z),
      1.4 + 1.15 * ease(28.9, 26, z) + 1.5 * ease(26.4, 22, z),
    ],
    folds: [
      { count: 8, phase: 1.3, depth: 0.3, wander: 0.3 },
      { count: 13, phase: 0.5, depth: 0.13, wander: 0.8 },
    ],
    hollow: 3.4,
    cloth: 0.75,
  })
  const opening = meet(
    0.3,
    half([-0.5, 0, 27.2], [-1, 0, -0.5]),
    half([0.5, 0, 27.2], [1, 0, -0.5]),
    half([0, 0, 0], [0, 1, 0]),
  )
  return carve(0.25, surface, opening)
}

const hatRim: Field = (x, y, z) => {
  const r = Math.hypot(x / 3.7, (y - 0.1) / 3.6)
  const sheet = Math.abs(z - 1.35 + 0.09 * x * x - 0.03 * y * y + 0.12 * Math.sin(3 * Math.atan2(y, x))) - 0.26
  return meet(
    0.3,
    () => (r - 1) * 3.4,
    () => sheet * 0.8,
  )(x, y, z)
}

/** Her hair, drawn up into a knot at the back. */
const knot = blend(0.4, ball([0, 2.35, -0.2], 1.15), egg([0, 1.0, 0.3], [1.75, 1.5, 1.5]))
const hairKnot: Field = (x, y, z) => {
  const side = Math.abs(x)
  const swept = blend(
    0.3,
    limb([0.35, -1.55, 1.05], [1.45, -0.75, 0.55], 0.42, 0.55),
    limb([1.45, -0.75, 0.55], [1.65, 0.6, -0.5], 0.55, 0.6),
  )
  const mass = Math.min(knot(x, y, z), swept(side, y, z))
  return (mass + 0.07 * Math.sin(7 * side + 3 * Math.sin(1.6 * z) + 3.5 * y)) * 0.8
}

const feather = (bench: Bench): Solid => {
  const vane: Field = (x, y, z) => {
    // along a bow in the y-z plane, thin across x
    const spine = chain(
      [
        [0, -0.6, 0],
        [0.15, 0.4, 1.4],
        [0.3, 1.9, 2.2],
        [0.5, 3.4, 1.9],
        [0.6, 4.3, 1.0],
      ],
      [0.35, 0.8, 0.95, 0.85, 0.25],
    )(x, y, z)
    const barbs = 0.09 * Math.sin(7 * (y - z))
    return Math.max(spine + barbs, Math.abs(x - 0.12 * (y + 0.6)) - 0.34) * 0.8
  }
  return bench.fromField(
    placed(vane, [1.75, -0.5, 33.2], axes([0.1, 0, 1], [0.25, 1, 0])),
    [-1, -3, 31],
    [5.5, 6, 37.5],
    0.15,
  )
}

/** Closed solids, each whole in itself and turned outwards; they overlap and are not merged. */
export const passenger = (bench: Bench): Solid[] => {
  const { at, gaze, size } = EYES.passenger
  const turn = axes([0, 0, 1], [-gaze[0], -gaze[1], 0])
  const of = (field: Field, from: Point, to: Point, edge: number): Solid => bench.fromField(field, from, to, edge)
  const onHead = (field: Field): Field => placed(field, at, turn, size)
  const handR = placed(grip(0.45), GRIP, axes([0, 0, 1], [WRIST_R[0] - GRIP[0], WRIST_R[1] - GRIP[1], 0]), 0.9)
  const handL = placed(openHand(0.35, true), WRIST_L, axes([0.92, 0.35, 0.2], [0.2, -1, 0]), 0.85)
  const neckline = curve(
    [
      [-1.4, 0.6, 28.0],
      [-0.95, -0.75, 27.8],
      [0, -1.3, 27.6],
      [0.95, -0.75, 27.8],
      [1.4, 0.6, 28.0],
    ],
    8,
  )
  const crown = meet(
    0.5,
    (x: number, y: number, z: number) => (Math.hypot(x / (1.95 - 0.1 * z), (y - 0.2) / (2.15 - 0.1 * z)) - 1) * 1.8,
    half([0, 0, 3.1], [0.1, 0.1, 1]),
    half([0, 0, 1.1], [0, 0, -1]),
  )
  const band: Field = meet(
    0.15,
    (x: number, y: number, z: number) => (Math.hypot(x / (2.08 - 0.1 * z), (y - 0.2) / (2.28 - 0.1 * z)) - 1) * 1.9,
    half([0, 0, 2.0], [0, 0, 1]),
    half([0, 0, 1.25], [0, 0, -1]),
  )
  const front = bodice()
  const button = (z: number): Solid => bench.library.Manifold.sphere(0.3, 24).translate([0, frontOf(front, 0, z), z])
  return [
    deck(bench, 78),
    of(dress(), [-7.6, -7.2, 2.4], [7.6, 8, 21], 0.26),
    of(
      blend(
        0.3,
        limb([-1.5, -4.6, 3.5], [-1.5, -6.4, 3.35], 0.8, 0.62),
        limb([-1.5, -4.6, 3.2], [-1.5, -6.2, 3.2], 0.8),
      ),
      [-3, -7.4, 2.3],
      [0, -3.4, 4.6],
      0.16,
    ),
    of(front, [-4.4, -3.2, 17.6], [4.4, 3, 28.2], 0.25),
    of(cape(), [-6.4, -4.8, 21], [6.4, 5.6, 28.8], 0.2),
    of(sleeve(SHOULDER_R, ELBOW_R, WRIST_R, [1.15, 1.1, 0.85]), [-8, -3.4, 17], [-0.6, 3.4, 28], 0.19),
    of(sleeve(SHOULDER_L, ELBOW_L, WRIST_L, [1.15, 1.1, 0.85]), [0.6, -4.4, 18.4], [7.6, 3.4, 28], 0.19),
    of(cuff(ELBOW_R, WRIST_R, 1.1, 0.9), [-8, -3.6, 16.6], [-3.4, 1.4, 21.6], 0.16),
    of(cuff(ELBOW_L, WRIST_L, 1.1, 0.9), [0.4, -4.6, 18], [5.4, 0.6, 22.8], 0.16),
    of(handR, [-9, -6.4, 16], [-3, 1, 21], 0.14),
    of(handL, [-2.4, -4.8, 17.2], [4, -0.4, 22.4], 0.14),
    of(onHead(head({ heavy: 0.05, hairLength: 0 })), [-3, -4.8, 26.4], [3, 3.2, 33.9], 0.13),
    of(onHead(hairKnot), [-3.4, -3.6, 28.6], [3.4, 4.6, 33.4], 0.16),
    of(onHead(hatRim), [-5, -5, 30.2], [5, 5, 34.4], 0.17),
    of(onHead(crown), [-3, -3.4, 31.6], [3, 3.4, 35.6], 0.16),
    of(onHead(band), [-3.2, -3.6, 31.8], [3.2, 3.6, 33.8], 0.14),
    feather(bench),
    bench.tube(
      neckline,
      neckline.map(() => 0.45),
      20,
    ),
    of(slab([0, -1.6, 27.3], [0.55, 0.4, 0.55], 0.25), [-1, -2.4, 26.4], [1, -0.8, 28.2], 0.12),
    button(21.6),
    button(23.2),
    ...umbrella(bench, UMBRELLA.axis, GRIP[2]),
    ...luggage(bench, [7.2, -2.6], -24),
  ]
}
