// The ferry dog: sits on a coil of rope, head turned, tail raised.

import { EYES } from '../facts.ts'
import {
  axes,
  ball,
  blend,
  carve,
  chain,
  egg,
  type Field,
  join,
  limb,
  mirrored,
  type Point,
  placed,
  within,
} from './fields.ts'
import { type Bench, deck, onePiece, rope, type Solid } from './solids.ts'

/** Top of the coil, where the dog sits, mm. */
const SEAT = 5.5

const both = (field: Field): Field => join(field, mirrored(field))

const body = (): Field => {
  const s = SEAT
  const trunk = blend(
    1.3,
    egg([0, 2.5, s + 2.2], [2.3, 2.4, 2.5]),
    limb([0, 2.0, s + 3.2], [0, -0.8, s + 5.9], 2.35, 2.3),
    egg([0, -1.4, s + 5.6], [2.0, 1.75, 2.5]),
    limb([0, -0.9, s + 7.2], [0, -1.4, s + 9.9], 1.95, 1.45),
  )
  const haunch = blend(
    0.6,
    egg([2.1, 1.6, s + 1.9], [1.25, 2.3, 2.1]),
    limb([2.5, 0.0, s + 0.7], [2.5, -0.6, s + 0.55], 0.85, 0.8),
    egg([2.55, -1.3, s + 0.45], [0.85, 1.15, 0.62]),
  )
  const foreleg = blend(
    0.45,
    limb([1.35, -1.2, s + 5.2], [1.45, -1.75, s + 2.6], 1.25, 0.85),
    limb([1.45, -1.75, s + 2.6], [1.45, -2.2, s + 0.7], 0.82, 0.7),
    egg([1.45, -2.75, s + 0.45], [0.9, 1.15, 0.65]),
  )
  const toes: Field[] = []
  for (const [x, y] of [
    [1.45, -3.9],
    [2.55, -2.45],
  ])
    for (const dx of [-0.27, 0.27]) toes.push(limb([x + dx, y, s], [x + dx * 0.9, y + 0.75, s + 1.2], 0.09))
  const tail = chain(
    [
      [0, 4.2, s + 1.4],
      [0.1, 5.6, s + 2.5],
      [0.4, 6.1, s + 4.4],
      [0.7, 5.5, s + 6.3],
      [0.8, 4.6, s + 7.3],
    ] as Point[],
    [0.95, 0.85, 0.85, 0.72, 0.3],
  )
  const figure = blend(0.5, carve(0.15, blend(0.7, trunk, both(haunch), both(foreleg)), ...toes.map(both)), tail)
  // coat of hair: locks that run down the chest, back and tail, fading out on the legs
  return (x, y, z) => {
    const d = figure(x, y, z)
    if (Math.abs(d) > 0.5) return d * 0.8
    const low = Math.min(1, Math.max(0, (z - s - 2) / 2))
    const back = Math.min(1, Math.max(0, y / 2))
    const locks = Math.sin(5 * x + 2.2 * Math.sin(1.1 * z + y)) * Math.cos(2.1 * z + 1.3 * y + 2 * Math.sin(2 * x))
    return (d - 0.11 * locks * Math.max(low, back)) * 0.8
  }
}

/** Head about the middle of the eye line, facing -y. */
const head = (): Field => {
  const skull = blend(
    0.7,
    egg([0, 0.75, 0.05], [1.85, 1.75, 1.6]),
    limb([0, -0.8, -0.65], [0, -2.35, -1.0], 1.15, 0.9),
    both(egg([0.95, -0.2, -0.8], [0.8, 1.0, 0.85])),
  )
  const brows = blend(0.3, skull, both(egg([0.75, -0.55, 0.42], [0.5, 0.45, 0.3])))
  const sockets = carve(0.15, brows, both(ball([0.82, -1.05, 0.02], 0.4)))
  const eyes = blend(0.05, sockets, both(ball([0.78, -0.72, 0], 0.38)))
  const mouth = carve(
    0.12,
    eyes,
    chain(
      [
        [-1.05, -1.0, -1.35],
        [-0.62, -2.6, -1.38],
        [0, -3.05, -1.3],
        [0.62, -2.6, -1.38],
        [1.05, -1.0, -1.35],
      ],
      [0.1, 0.12, 0.12, 0.12, 0.1],
    ),
  )
  const nose = blend(0.12, mouth, egg([0, -3.15, -0.72], [0.56, 0.42, 0.42]))
  const nostrils = carve(0.08, nose, both(ball([0.26, -3.55, -0.7], 0.13)))
  const ear = blend(
    0.25,
    placed(egg([0, 0, 0], [0.3, 1.0, 0.85]), [1.45, 0.75, 1.35], axes([0.45, 0, 1], [0, 1, 0])),
    placed(egg([0, 0, -0.55], [0.3, 0.8, 1.25]), [2.1, 0.4, 1.1], axes([-0.3, 0.25, 1], [0, 1, 0])),
  )
  const ruff: Field = (x, y, z) =>
    (egg([0, 1.0, -1.5], [1.75, 1.6, 1.6])(x, y, z) + 0.1 * Math.sin(6 * x + 2 * z) * Math.cos(3 * z + y)) * 0.8
  return within([0, -0.5, -0.4], 4.4, blend(0.6, blend(0.2, nostrils, both(ear)), ruff))
}

/** Two turns-upon-turns of rope lying flat, with a tail end that runs off over the deck. */
const coil = (bench: Bench): Solid => {
  const radius = 0.8
  const spiral = (outer: number, inner: number, z: number, start: number): Point[] => {
    const points: Point[] = []
    const gap = 2 * radius + 0.04
    let a = 0
    for (let r = outer; r > inner; r = outer - (gap * a) / (2 * Math.PI)) {
      points.push([r * Math.cos(a + start), r * Math.sin(a + start), z])
      a += 0.24 / r
    }
    return points
  }
  const low = rope(bench, spiral(7.4, 1.8, 3 + radius - 0.12, 0.4), radius, 0.055)
  const high = rope(bench, spiral(6.6, 1.8, 3 + 3 * radius - 0.42, 2.2), radius, 0.055)
  const off: Point[] = []
  for (let i = 0; i <= 44; i++) {
    const a = 0.4 - i * 0.028
    const r = 7.4 + 2.9 * (i / 44) ** 1.6
    off.push([r * Math.cos(a), r * Math.sin(a), 3 + radius - 0.12])
  }
  const whipping = off.slice(-7, -2)
  const fill = bench.turned([
    [0, 2.8],
    [6.4, 2.8],
    [6.2, 4.4],
    [5.6, 5.0],
    [0, 5.2],
  ])
  return bench.union(
    low,
    high,
    rope(bench, off, radius, 0.055),
    bench.tube(
      whipping,
      whipping.map(() => 0.92),
    ),
    fill,
  )
}

export const ferryDog = (bench: Bench): Solid => {
  const sitting = bench.fromField(body(), [-4.4, -5.4, SEAT - 1.2], [4.4, 7.6, SEAT + 12.2], 0.17)
  const { at, gaze } = EYES['ferry-dog']
  const turn = axes([0.06, 0, 1], [-gaze[0], -gaze[1], 0])
  const face = bench.fromField(placed(head(), at, turn), [-4.2, -6.6, 13], [4.2, 2.4, 20.4], 0.13)
  const neck: Point[] = []
  for (let i = 0; i <= 40; i++) {
    const a = (Math.PI * 2 * i) / 40
    neck.push([1.85 * Math.cos(a), -1.1 + 1.85 * Math.sin(a), SEAT + 8.15 + 0.35 * Math.sin(a)])
  }
  const collarA = bench.tube(
    neck.slice(0, 22),
    neck.slice(0, 22).map(() => 0.36),
    16,
  )
  const collarB = bench.tube(
    neck.slice(20),
    neck.slice(20).map(() => 0.36),
    16,
  )
  const tag = bench.rod([0.1, -3.75, SEAT + 7.15], [0.1, -2.7, SEAT + 7.3], 0.6, 0.6, 32)
  return onePiece(bench, deck(bench, 55), coil(bench), sitting, face, collarA, collarB, tag)
}
