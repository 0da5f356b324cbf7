// The ferry keeper: peaked cap, full beard, long coat, boots, a boat-hook planted beside him.

import { BOAT_HOOK, EYES } from '../facts.ts'
import {
  axes,
  ball,
  blend,
  carve,
  ease,
  egg,
  type Field,
  frontOf,
  grown,
  half,
  join,
  layered,
  limb,
  meet,
  type Point,
  placed,
  slab,
  within,
} from './fields.ts'
import { boot, cuff, drape, sleeve } from './garment.ts'
import { grip, openHand } from './hands.ts'
import { head } from './head.ts'
import { type Bench, curve, deck, onePiece, type Solid } from './solids.ts'

const SHOULDER_R: Point = [-3.1, 0.5, 26.2]
const ELBOW_R: Point = [-5.6, 1.9, 22.6]
const WRIST_R: Point = [-6.55, 0.5, 22.2]
const SHOULDER_L: Point = [3.3, 0.6, 26.0]
const ELBOW_L: Point = [6.5, 1.2, 22.0]
const WRIST_L: Point = [4.7, -1.3, 20.6]

const coat = (): Field => {
  const trunk = blend(
    1.2,
    egg([0.1, 0.3, 24.0], [3.55, 2.6, 3.6]),
    limb(SHOULDER_R, SHOULDER_L, 1.65),
    egg([0.35, 0.2, 20.2], [3.15, 2.3, 3.0]),
    limb([0, 0.6, 26.5], [0, 0.6, 27.6], 1.9, 1.4),
  )
  const tails = drape({
    hem: 7.4,
    top: 20.6,
    foldsFrom: 18.6,
    middle: (z) => [0.45 - 0.02 * (20 - z), 0.25 + 0.03 * (20 - z)],
    size: (z) => [3.0 + 1.75 * ease(20.5, 6, z), 2.25 + 1.7 * ease(20.5, 6, z)],
    folds: [
      { count: 8, phase: 0.6, depth: 0.34, wander: 0.5 },
      { count: 13, phase: 2.1, depth: 0.17, wander: 0.9 },
      { count: 3, phase: 1.0, depth: 0.2, wander: 0.3 },
    ],
    hollow: 2.2,
    cloth: 1.0,
  })
  const cloth = blend(0.7, trunk, tails)
  // the right front laps over the left one; lapels, belt and pocket flaps lie on top
  const lap = meet(
    0.2,
    half([1.15, 0, 0], [1, 0, 0.03]),
    half([0, 0.2, 0], [0, 1, 0]),
    half([0, 0, 7.5], [0, 0, -1]),
    half([0, 0, 26.2], [0, 0, 1]),
  )
  const lapel = (side: number): Field =>
    meet(
      0.2,
      half([side * 0.15, 0, 22.4], [-side, 0, -0.28]),
      half([side * 2.15, 0, 26], [side, 0, -0.35]),
      half([0, 0, 22.6], [side * -0.3, 0, -1]),
      half([0, 0.4, 0], [0, 1, 0]),
      half([0, 0, 27.6], [0, 0, 1]),
    )
  const belt = meet(0.2, half([0, 0, 20.75], [0, 0, 1]), half([0, 0, 19.65], [0, 0, -1]))
  const flap = (side: number): Field => slab([side * 2.75 + 0.4, -2.6, 17.0], [1.15, 2.6, 0.55], 0.15)
  const vent = slab([0.2, 4.6, 11], [0.14, 1.6, 4.5], 0.1)
  return layered(
    carve(0.12, cloth, vent),
    { rise: 0.26, where: lap },
    { rise: 0.5, where: lapel(1) },
    { rise: 0.5, where: lapel(-1) },
    { rise: 0.44, where: belt },
    { rise: 0.44, where: flap(1) },
    { rise: 0.44, where: flap(-1) },
  )
}

const arms = (): Field =>
  join(
    sleeve(SHOULDER_R, ELBOW_R, WRIST_R, [1.65, 1.4, 1.15]),
    sleeve(SHOULDER_L, ELBOW_L, WRIST_L, [1.65, 1.4, 1.15]),
    cuff(ELBOW_R, WRIST_R, 1.4, 1.3),
    cuff(ELBOW_L, WRIST_L, 1.4, 1.3),
  )

const collar: Field = (() => {
  const shell: Field = (x, y, z) => {
    const r = Math.hypot(x, (y - 0.75) * 0.95)
    return Math.abs(r - (1.75 + 0.12 * (z - 27))) - 0.3
  }
  return meet(
    0.2,
    shell,
    half([0, 0, 26.4], [0, 0, -1]),
    half([0, 0, 28.75], [0, 0.28, 1]),
    half([0, -0.7, 27.4], [0, -1, -0.25]),
  )
})()

const cap = (): Field => {
  const band: Field = (x, y) => {
    const r = Math.hypot(x / 1.86, (y - 0.35) / 2.12)
    return (r - 1) * 1.9
  }
  const peakOutline = egg([0, -1.45, 0], [1.85, 1.9, 60])
  const bowed: Field = (x, y, z) => Math.abs(z - 0.95 - 0.16 * (y + 1.5) + 0.1 * x * x) - 0.19
  return join(
    meet(0.2, band, half([0, 0, 1.9], [0, 0, 1]), half([0, 0, 0.92], [0, 0, -1])),
    blend(0.25, egg([0, 0.45, 2.25], [2.35, 2.55, 0.62]), egg([0, -0.2, 2.55], [1.5, 1.6, 0.6])),
    meet(0.2, peakOutline, bowed, half([0, -0.9, 0], [0, 1, 0])),
    meet(0.2, grown(band, 0.14), half([0, 0, 1.42], [0, 0, 1]), half([0, 0, 1.16], [0, 0, -1])),
    ball([0, -1.92, 1.62], 0.32),
  )
}

/** The boat-hook: shaft, socket, spike, hook. */
const boatHook = (bench: Bench): Solid => {
  const [x, y] = BOAT_HOOK.axis
  const shaft = bench.rod([x, y, 2.2], [x, y, 36.2], BOAT_HOOK.diameter / 2, BOAT_HOOK.diameter / 2, 96)
  const at = (out: number, up: number): Point => [x - 0.8 * out, y - 0.6 * out, up]
  const socket = bench.rod([x, y, 33.8], [x, y, 36.0], 0.72, 0.9)
  const spike = bench.tube(
    [
      [x, y, 35.6],
      [x, y, 36.6],
      [x, y, 37.6],
      [x, y, BOAT_HOOK.top],
    ],
    [0.72, 0.66, 0.5, 0.22],
  )
  const path = curve([at(-0.2, 35.3), at(0.75, 35.9), at(1.7, 36.15), at(2.45, 35.55), at(2.5, 34.5), at(2.1, 33.8)], 8)
  const hook = bench.tube(
    path,
    path.map((_, i) => 0.55 - 0.3 * (i / (path.length - 1)) ** 1.5),
  )
  return bench.union(shaft, socket, spike, hook)
}

export const keeper = (bench: Bench): Solid => {
  const body = coat()
  const legs = join(boot(1.75, 0.9, 3, 0.35, [1.9, 0.7, 9.6]), boot(-1.7, 0.1, 3, -0.4, [-1.4, -0.1, 9.6]))
  const clothes = join(blend(0.35, body, arms()), collar)
  const dressed = bench.fromField(clothes, [-8.6, -6, 6.5], [8.4, 6.5, 29.5], 0.21)
  const boots = bench.fromField(legs, [-4.6, -4.4, 2.4], [5, 3, 10.6], 0.19)
  const { at, gaze, size } = EYES.keeper
  const turn = axes([0.03, 0.0, 1], [-gaze[0], -gaze[1], 0])
  const face = placed(head({ beard: true, moustache: true, heavy: 1 }), at, turn, size)
  const hat = placed(cap(), at, turn, size)
  const skull = bench.fromField(face, [-3, -5.4, 26.4], [3, 3.4, 33.9], 0.13)
  const capSolid = bench.fromField(within([0, -0.6, 32.9], 4.4, hat), [-3.6, -5.2, 31.5], [3.6, 3.6, 35.2], 0.14)
  const [sx, sy] = BOAT_HOOK.axis
  const wrap = placed(grip(BOAT_HOOK.diameter / 2), [sx, sy, 22.3], axes([0, 0, 1], [0.28, 1, 0]))
  const right = bench.fromField(wrap, [sx - 2.4, sy - 1.8, 20.2], [sx + 2.6, sy + 3.6, 24.4], 0.12)
  const rest = placed(openHand(0.2, true), [4.2, -1.8, 20.5], axes([0.85, 0.2, 0.45], [0.25, -1, 0]))
  const left = bench.fromField(rest, [0, -5, 16.5], [7, 1.6, 22.8], 0.12)
  const buttons: Solid[] = []
  for (const z of [22.0, 17.6, 15.2, 12.8])
    for (const x of [-0.55, 0.65]) {
      const y = frontOf(body, x, z)
      buttons.push(bench.library.Manifold.sphere(0.34, 24).scale([1, 0.75, 1]).translate([x, y, z]))
    }
  const by = frontOf(body, 0.1, 20.2)
  const buckle = bench
    .box([0.1, by, 20.2], [1.7, 0.5, 1.45])
    .subtract(bench.box([0.1, by - 0.3, 20.2], [1.0, 0.5, 0.75]))
  return onePiece(
    bench,
    deck(bench, 12),
    dressed,
    boots,
    skull,
    capSolid,
    right,
    left,
    boatHook(bench),
    buckle,
    ...buttons,
  )
}
