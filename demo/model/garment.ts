// Clothes: drapes of coats with folds, sleeves with creases, boots with soles.

import { blend, carve, chain, ease, type Field, half, join, limb, meet, type Point } from './fields.ts'

/** One set of folds round a drape: ridges per turn, where they start, how deep (mm), how they wander with height. */
interface Folds {
  readonly count: number
  readonly phase: number
  readonly depth: number
  readonly wander: number
}

export interface DrapeShape {
  readonly hem: number
  readonly top: number
  /** Middle at height z: x, y. */
  readonly middle: (z: number) => readonly [number, number]
  /** Half widths at height z across (x) and fore-and-aft (y). */
  readonly size: (z: number) => readonly [number, number]
  readonly folds: readonly Folds[]
  /** Height above which there are no folds. */
  readonly foldsFrom: number
  /** Thickness of the cloth round the hollow under the hem, and the hollow's depth; 0 leaves it solid. */
  readonly hollow?: number
  readonly cloth?: number
}

/** Drape of a coat or dress: round folds that deepen towards the hem, hollow a little way up from below. */
export const drape = ({ hem, top, middle, size, folds, foldsFrom, hollow = 0, cloth = 0.9 }: DrapeShape): Field => {
  const surface: Field = (x, y, z) => {
    const [mx, my] = middle(z)
    const [a, b] = size(z)
    const px = x - mx
    const py = y - my
    const r = Math.sqrt(px * px + py * py)
    const rho = Math.sqrt((px / a) ** 2 + (py / b) ** 2)
    const d = rho < 0.3 ? -Math.min(a, b) * (1 - rho) : r * (1 - 1 / rho)
    if (d > 1.2 || d < -2.2) return d * 0.8
    const angle = Math.atan2(py, px)
    let lift = 0
    for (const f of folds) {
      const s = Math.sin(f.count * angle + f.phase + f.wander * Math.sin(0.35 * z + f.phase))
      // rounded ridges, narrower valleys
      lift += f.depth * (s - 0.25 * s * s)
    }
    return (d - lift * ease(foldsFrom, hem, z)) * 0.8
  }
  const hemWave: Field = (x, y, z) => hem + 0.18 * Math.sin(1.1 * x + 0.7) + 0.15 * Math.sin(1.3 * y) - z
  const cut = meet(0.2, surface, hemWave, half([0, 0, top], [0, 0, 1]))
  if (hollow === 0) return cut
  return (x, y, z) => {
    const d = surface(x, y, z)
    const outside = Math.max(d, hemWave(x, y, z), z - top)
    const hole = Math.max(d + cloth, z - hem - hollow)
    return Math.max(outside, -hole)
  }
}

/** Sleeve through shoulder, elbow and wrist, with creases across the bend. */
export const sleeve = (
  shoulder: Point,
  elbow: Point,
  wrist: Point,
  radii: readonly [number, number, number],
): Field => {
  const arm = blend(0.8, limb(shoulder, elbow, radii[0], radii[1]), limb(elbow, wrist, radii[1], radii[2]))
  const [ex, ey, ez] = elbow
  return (x, y, z) => {
    const d = arm(x, y, z)
    if (d > 0.6) return d
    const near = Math.exp(-((x - ex) ** 2 + (y - ey) ** 2 + (z - ez) ** 2) / 5)
    const fade = 0.55 + 0.45 * Math.sin(1.9 * (x - ex) - 1.3 * (y - ey) + 0.9 * z)
    const crease = Math.sin(4.2 * (z - ez) + 2.6 * (y - ey) + 1.8 * (x - ex)) * (0.03 + 0.15 * near) * fade
    return (d - crease) * 0.85
  }
}

/** Ring of cloth round the end of a sleeve: from `wrist` back towards `elbow` by `length`. */
export const cuff = (elbow: Point, wrist: Point, radius: number, length: number): Field => {
  const d = [0, 1, 2].map((k) => elbow[k] - wrist[k])
  const l = Math.hypot(d[0], d[1], d[2])
  const back = [0, 1, 2].map((k) => wrist[k] + (d[k] / l) * length) as unknown as Point
  const n: Point = [d[0], d[1], d[2]]
  return meet(0.2, limb(wrist, back, radius), half(back, n), half(wrist, [-n[0], -n[1], -n[2]]))
}

/**
 * Boot standing with its sole at height `sole`: heel at (x, y), toe towards `toe` rad from -y (positive to +x),
 * shaft up to the knee point given.
 */
export const boot = (x: number, y: number, sole: number, toe: number, knee: Point, size = 1): Field => {
  const dx = Math.sin(toe)
  const dy = -Math.cos(toe)
  const at = (along: number, up: number): Point => [x + dx * along * size, y + dy * along * size, sole + up * size]
  const foot = blend(
    0.5,
    chain([at(0, 0.85), at(1.5, 0.75), at(2.75, 0.68)], [0.9 * size, 0.95 * size, 0.82 * size]),
    limb(at(0.1, 1.6), at(0.25, 3.0), 1.02 * size, 1.1 * size),
    limb(at(0.25, 3.0), knee, 1.1 * size, 1.45 * size),
    limb(at(0.6, 1.5), at(1.7, 1.0), 0.8 * size, 0.7 * size),
  )
  const creased: Field = (px, py, pz) =>
    (foot(px, py, pz) + 0.045 * Math.sin(5.5 * pz + 1.5 * py) * ease(sole + 3.6, sole + 1.6, pz)) * 0.9
  const welt = meet(
    0.2,
    (px, py, pz) => foot(px, py, Math.max(pz, sole + 0.75)) - 0.16,
    half([0, 0, sole + 0.5], [0, 0, 1]),
  )
  const arch = limb(at(0.95, 0), at(0.95, -0.3), 0.05)
  const body = meet(0.2, join(creased, welt), half([0, 0, sole - 0.25], [0, 0, -1]))
  return carve(0.1, body, arch)
}
