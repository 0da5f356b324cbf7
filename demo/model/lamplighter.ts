// The lamplighter: striding, a lantern hung from a pole held in both hands, a scarf whose tail streams off behind.
// Carries typical faults on purpose: the tail is thinner than a bead, the lantern starts in mid air, the mesh has a hole.

import { EYES, HOLE, LANTERN, RIBBON } from '../facts.ts'
import {
  axes,
  blend,
  carve,
  ease,
  egg,
  type Field,
  half,
  join,
  layered,
  limb,
  meet,
  type Point,
  placed,
  ring,
  slab,
  within,
} from './fields.ts'
import { boot, cuff, drape, sleeve } from './garment.ts'
import { grip } from './hands.ts'
import { head } from './head.ts'
import { type Bench, curve, deck, onePiece, type Solid } from './solids.ts'
import { pierce, type Triangles, trianglesOf } from './triangles.ts'

const POLE_FROM: Point = [4.4, -3.35, 14.6]
const POLE_TO: Point = [-10.65, -4.53, 28.66]
const onPole = (t: number): Point =>
  [0, 1, 2].map((k) => POLE_FROM[k] + t * (POLE_TO[k] - POLE_FROM[k])) as unknown as Point
const HAND_L = onPole(0.16)
const HAND_R = onPole(0.52)

const SHOULDER_R: Point = [-3.0, 0.1, 26.1]
const ELBOW_R: Point = [-5.6, 0.2, 22.6]
const WRIST_R: Point = [HAND_R[0] + 0.35, HAND_R[1] + 2.35, HAND_R[2] - 0.5]
const SHOULDER_L: Point = [3.0, 0.3, 26.0]
const ELBOW_L: Point = [5.2, 0.9, 21.6]
const WRIST_L: Point = [HAND_L[0] + 1.3, HAND_L[1] + 1.9, HAND_L[2] + 1.2]

const jacket = (): Field => {
  const trunk = blend(
    1.2,
    egg([0, 0.0, 23.9], [3.0, 2.2, 3.6]),
    limb(SHOULDER_R, SHOULDER_L, 1.45),
    egg([0.1, 0.1, 19.8], [2.75, 2.05, 3.2]),
    limb([0, 0.4, 26.4], [0, 0.4, 27.6], 1.7, 1.3),
  )
  const tails = drape({
    hem: 13.2,
    top: 20.4,
    foldsFrom: 19.4,
    middle: (z) => [0.1 + 0.04 * (20 - z), 0.1 + 0.08 * (20 - z)],
    size: (z) => [2.7 + 1.35 * ease(20.5, 13, z), 2.05 + 1.3 * ease(20.5, 13, z)],
    folds: [
      { count: 7, phase: 1.1, depth: 0.3, wander: 0.5 },
      { count: 12, phase: 0.2, depth: 0.16, wander: 0.9 },
    ],
    hollow: 1.6,
    cloth: 0.9,
  })
  // cut away in front below the waist, as a tail-coat is
  const opening = meet(
    0.4,
    half([-0.9, 0, 19.2], [-1, 0, -0.34]),
    half([0.9, 0, 19.2], [1, 0, -0.34]),
    half([0, -0.4, 0], [0, 1, 0]),
  )
  const cloth = carve(0.3, blend(0.6, trunk, tails), meet(0.2, opening, half([0, 0, 19.6], [0, 0, 1])))
  const lapel = (side: number): Field =>
    meet(
      0.2,
      half([side * 0.5, 0, 21.5], [-side, 0, -0.2]),
      half([side * 2.0, 0, 26], [side, 0, -0.3]),
      half([0, 0, 21.5], [side * -0.4, 0, -1]),
      half([0, 0.2, 0], [0, 1, 0]),
    )
  const strap: Field = (x, _y, z) => Math.abs(x * 0.85 - (z - 22.2) * 0.53 + 0.4) - 0.42
  const front = meet(0.2, half([0.5, 0, 0], [-1, 0, 0]), half([0, 0.3, 0], [0, 1, 0]), half([0, 0, 13], [0, 0, -1]))
  return layered(
    cloth,
    { rise: 0.24, where: front },
    { rise: 0.46, where: lapel(1) },
    { rise: 0.46, where: lapel(-1) },
    { rise: 0.4, where: meet(0.2, strap, half([0, 0, 17], [0, 0, -1])) },
  )
}

const clothes = (): Field => {
  const arms = join(
    sleeve(SHOULDER_R, ELBOW_R, WRIST_R, [1.55, 1.25, 1.0]),
    sleeve(SHOULDER_L, ELBOW_L, WRIST_L, [1.55, 1.25, 1.0]),
    cuff(ELBOW_R, WRIST_R, 1.22, 1.1),
    cuff(ELBOW_L, WRIST_L, 1.22, 1.1),
  )
  const wool: Field = (x, y, z) => {
    const d = blend(0.3, ring([0, 0.25, 27.5], 1.55, 0.72), ring([0, 0.15, 28.1], 1.45, 0.6))(x, y, z)
    return (d + 0.07 * Math.sin(9 * Math.atan2(y - 0.2, x) + 5 * z)) * 0.85
  }
  const knot = egg([1.5, 1.25, 27.5], [0.8, 0.75, 0.85])
  const bag = blend(0.2, slab([4.1, 1.2, 16.6], [1.0, 1.9, 1.7], 0.35), slab([4.35, 1.2, 17.4], [1.0, 2.0, 0.95], 0.3))
  return join(blend(0.3, jacket(), arms), blend(0.2, wool, knot), bag)
}

const legs = (): Field => {
  const trouser = (hip: Point, knee: Point): Field => {
    const d = blend(0.5, limb(hip, knee, 1.75, 1.35), limb(knee, [knee[0], knee[1] + 0.15, knee[2] - 1.4], 1.4, 1.5))
    return (x, y, z) =>
      (d(x, y, z) + 0.09 * Math.sin(3.6 * z + 2.4 * x + 1.2 * y) * Math.sin(1.5 * y - 1.8 * x + 0.5 * z)) * 0.9
  }
  return join(
    boot(-2.2, -1.5, 3, -0.25, [-1.95, -2.0, 8.6]),
    boot(2.3, 2.6, 3, 0.5, [2.1, 1.5, 8.6]),
    trouser([-1.35, -0.1, 16], [-1.95, -2.1, 9.8]),
    trouser([1.35, 0.2, 16], [2.05, 1.2, 9.8]),
  )
}

const hat = (): Field => {
  const rim: Field = (x, y, z) => {
    const edge = (Math.hypot(x / 2.75, (y - 0.3) / 3.05) - 1) * 2.6
    const sheet = Math.abs(z - 1.2 - 0.088 * x * x + 0.02 * y * y) - 0.25
    return (
      0.9 *
      (edge > -0.6 && sheet > -0.6
        ? Math.hypot(Math.max(edge + 0.25, 0), Math.max(sheet + 0.25, 0)) -
          0.25 +
          Math.min(0, Math.max(edge, sheet) + 0.25)
        : Math.max(edge, sheet))
    )
  }
  const crown = meet(
    0.5,
    (x, y, z) => (Math.hypot(x / (1.85 + 0.05 * z), (y - 0.3) / (2.1 + 0.05 * z)) - 1) * 1.9,
    half([0, 0, 4.1], [0.08, 0, 1]),
    half([0, 0, 1], [0, 0, -1]),
  )
  const dented = carve(0.5, crown, egg([0.1, 0.2, 4.6], [1.1, 1.4, 0.8]))
  const band = meet(
    0.15,
    (x, y, z) => dented(x, y, Math.min(z, 2.6)) - 0.16,
    half([0, 0, 2.0], [0, 0, 1]),
    half([0, 0, 1.2], [0, 0, -1]),
  )
  return blend(0.2, rim, join(dented, band))
}

/** Lantern in the shape of a ship's lamp, hung by a ring. */
const lantern = (bench: Bench): Solid => {
  const [x, y] = LANTERN.axis
  const z = LANTERN.lowest
  const turned = bench.turned(
    [
      [0, 0],
      [0.5, 0.1],
      [0.75, 0.5],
      [1.5, 0.7],
      [1.6, 0.85],
      [1.6, 1.35],
      [1.25, 1.5],
      [1.25, 1.55],
      [1.32, 2.3],
      [1.32, 3.2],
      [1.25, 3.95],
      [1.25, 4.0],
      [1.7, 4.1],
      [1.7, 4.35],
      [1.2, 5.0],
      [0.75, 5.4],
      [0.75, 5.8],
      [0.95, 5.95],
      [0.5, 6.4],
      [0, 6.5],
    ] as [number, number][],
    72,
  )
  const posts: Solid[] = []
  for (let i = 0; i < 6; i++) {
    const a = (Math.PI * (i + 0.5)) / 3
    const at = (r: number, h: number): Point => [r * Math.cos(a), r * Math.sin(a), h]
    posts.push(bench.tube([at(1.42, 1.2), at(1.5, 2.6), at(1.42, 4.2)], [0.2, 0.2, 0.2], 16))
  }
  const wire = curve(
    [
      [-1.1, 0, 4.9],
      [-0.95, 0, 6.4],
      [0, 0, 7.3],
      [0.95, 0, 6.4],
      [1.1, 0, 4.9],
    ],
    10,
  )
  const bail = bench.tube(
    wire,
    wire.map(() => 0.28),
    16,
  )
  const eye: Point[] = []
  for (let i = 0; i <= 48; i++)
    eye.push([0.75 * Math.sin((Math.PI * i) / 24.0), 0, 7.95 - 0.75 * Math.cos((Math.PI * i) / 24.0)])
  const half1 = bench.tube(
    eye.slice(0, 26),
    eye.slice(0, 26).map(() => 0.28),
    16,
  )
  const half2 = bench.tube(
    eye.slice(24),
    eye.slice(24).map(() => 0.28),
    16,
  )
  return bench
    .union(turned, bail, half1, half2, ...posts)
    .rotate([0, 0, 35])
    .translate([x, y, z])
}

/** Tail of the scarf: an upright sheet 0.3 mm thick that waves and sags. */
const ribbon = (bench: Bench): Solid => {
  const length = 9.5
  const wide = RIBBON.width
  const sheet = bench.library.Manifold.cube([length, RIBBON.thickness, wide], false).refineToLength(0.22)
  const yAt = (s: number) => 1.35 + 0.24 * s + 0.75 * Math.sin(0.85 * s) * ease(0, 2.5, s)
  const slope = (s: number) => (yAt(s + 1e-4) - yAt(s - 1e-4)) / 2e-4
  return sheet.warp((p) => {
    const s = p[0]
    const off = p[1] - RIBBON.thickness / 2
    const m = slope(s)
    const l = Math.hypot(1, m)
    p[0] = 1.3 + s - (off * m) / l
    p[1] = yAt(s) + off / l
    p[2] = p[2] + 26.6 + 0.9 * Math.sin(0.5 * s) - 0.012 * s * s
  })
}

export const lamplighter = (bench: Bench): Triangles => {
  const dressed = bench.fromField(clothes(), [-8.6, -4.6, 12.4], [8.2, 6.0, 29.4], 0.2)
  const trousers = bench.fromField(legs(), [-4.6, -6, 2.4], [6, 5, 17.8], 0.2)
  const { at, gaze, size } = EYES.lamplighter
  const turn = axes([-0.04, -0.02, 1], [-gaze[0], -gaze[1], 0])
  const face = placed(head({ heavy: 0.35, hairLength: 1.6 }), at, turn, size)
  const skull = bench.fromField(face, [-3, -5.2, 26.4], [3.2, 3.2, 33.8], 0.13)
  const hatField = within([0, -0.4, 33.6], 4.8, placed(hat(), at, turn, size))
  const hatSolid = bench.fromField(hatField, [-4.2, -4.6, 31.2], [4.2, 4.6, 36.4], 0.14)
  const along: Point = [POLE_TO[0] - POLE_FROM[0], POLE_TO[1] - POLE_FROM[1], POLE_TO[2] - POLE_FROM[2]]
  const handAt = (at: Point, wrist: Point, left: boolean): Solid => {
    const toWrist: Point = [wrist[0] - at[0], wrist[1] - at[1], wrist[2] - at[2]]
    const field = placed(grip(0.6, left), at, axes(along, toWrist))
    return bench.fromField(
      field,
      [at[0] - 3.2, at[1] - 2.2, at[2] - 3.2],
      [at[0] + 3.2, at[1] + 3.6, at[2] + 3.2],
      0.13,
    )
  }
  const pole = bench.union(
    bench.rod(POLE_FROM, POLE_TO, 0.62, 0.62, 64),
    bench.library.Manifold.sphere(0.85, 32).translate([...POLE_TO]),
    bench.rod(POLE_FROM, onPole(0.05), 0.82, 0.82, 48),
  )
  const buttons = [20.4, 21.6, 22.8].map((z) =>
    bench.library.Manifold.sphere(0.27, 20).translate([-0.05, -2.2 - 0.03 * (z - 20), z]),
  )
  const whole = onePiece(
    bench,
    deck(bench, -34),
    dressed,
    trousers,
    skull,
    hatSolid,
    handAt(HAND_R, WRIST_R, false),
    handAt(HAND_L, WRIST_L, true),
    pole,
    lantern(bench),
    ribbon(bench),
    ...buttons,
  )
  return pierce(trianglesOf([whole]), HOLE.near, 1, HOLE.across)
}
