// Makes the figure from the sculpt: finds its scale, turns it into its stance, puts it on the bed.

import { failed, good, type Issue, type Outcome } from '../kernel/index.ts'
import { type LengthUnit, massOf, type Sculpt, transformMesh } from '../mesh/index.ts'
import { chooseScale, PERSON_MM } from './choose-scale.ts'
import { measureUpright, type UprightMeasure } from './measure-upright.ts'
import { FROM_Y_UP, rotationOf, UPRIGHT } from './stance.ts'
import type { Base, Figure, Reasoned, ScaleWish, Stance } from './types.ts'

/** How to stand a sculpt up. */
export interface StandUpOptions {
  readonly scale: ScaleWish
  /** Unit of the file when a person knows it; null to use what the file states, or to guess. */
  readonly unit?: LengthUnit | null
  /** Stance on the bed; null to stand it the way it seems to be modelled. */
  readonly stance?: Stance | null
  /**
   * Eye line above the soles, mm, on the sculpt in the size that its unit gives, before any scaling; null to guess. With a scale
   * height this says which place of the sculpt comes to that height.
   */
  readonly eyeLineMm?: number | null
  /** Eye line as a share of the height from soles to top, 0-1: the same at any scale. Goes before eyeLineMm. */
  readonly eyeLineShare?: number | null
}

/** Usual way: size guessed, stance guessed, eye line guessed. */
export const STAND_UP_DEFAULTS: StandUpOptions = Object.freeze({
  scale: Object.freeze({ by: 'guess' } as const),
  unit: null,
  stance: null,
  eyeLineMm: null,
  eyeLineShare: null,
})

/** Greatest lean of the upright axis at which the figure still stands on its base, as a cosine (2 degrees). */
const STANDING = Math.cos((2 * Math.PI) / 180)

/**
 * Stands a sculpt up, in mm, lowest point at z = 0, middle of the base (or of the footprint) at x = y = 0.
 * Scale and eye line are reckoned along the sculpt's own upright axis, so that a change of stance never changes the size.
 */
export const standUp = (sculpt: Sculpt, options: StandUpOptions = STAND_UP_DEFAULTS): Outcome<Figure> => {
  const trouble = checkOptions(options)
  if (trouble) return trouble
  const measure = measureUpright(sculpt.mesh)
  if (!measure)
    return failed(
      'figure/no-height',
      'The sculpt is flat: its lowest and highest points are at one height; turn it first.',
    )
  const eye = findEye(sculpt, options, measure)
  if (eye.value <= 0 || eye.value > 2 * measure.height) {
    return failed('figure/eye-line', `The eye line must lie between the soles and the top; ${eye.reason}`, {
      key: 'eyeLineMm',
    })
  }
  const scale = chooseScale({
    wish: options.scale,
    unit: options.unit ?? null,
    statedUnit: sculpt.statedUnit,
    measure,
    eye: eye.value,
  })
  const stance = options.stance ?? (measure.up === 'y' ? FROM_Y_UP : UPRIGHT)
  const notes: Issue[] = []
  const rotation = rotationOf(stance)
  // Where the sculpt's own upright axis points on the bed.
  const isStanding = rotation[6 + (measure.up === 'y' ? 1 : 2)] >= STANDING
  if (!isStanding && stance.aboutX === 0 && stance.aboutY === 0) {
    notes.push({
      code: 'figure/lies',
      message:
        'The sculpt seems to be modelled with y up and would lie on its back; turn it by 90 degrees about x to stand it.',
      place: { key: 'stance' },
    })
  }
  const s = scale.value
  const turned = transformMesh(sculpt.mesh, [
    ...rotation.slice(0, 3).map((r) => s * r),
    0,
    ...rotation.slice(3, 6).map((r) => s * r),
    0,
    ...rotation.slice(6, 9).map((r) => s * r),
    0,
  ])
  const [shiftX, shiftY, shiftZ] = shiftOnto(turned.positions, isStanding ? measure.sole * s : 0)
  const positions = turned.positions
  const min: [number, number, number] = [Infinity, Infinity, Infinity]
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  const shift = [shiftX, shiftY, shiftZ]
  for (let i = 0; i < positions.length; i++) {
    const k = i % 3
    positions[i] += shift[k]
    if (positions[i] < min[k]) min[k] = positions[i]
    if (positions[i] > max[k]) max[k] = positions[i]
  }
  const holes = sculpt.health.holes.slice()
  for (let i = 0; i < holes.length; i += 4) {
    const [x, y, z] = [holes[i], holes[i + 1], holes[i + 2]]
    for (let k = 0; k < 3; k++) {
      holes[i + k] = s * (rotation[3 * k] * x + rotation[3 * k + 1] * y + rotation[3 * k + 2] * z) + shift[k]
    }
    holes[i + 3] *= s
  }
  const soleMm = measure.sole * s
  return good(
    {
      kind: 'figure',
      name: sculpt.name,
      mesh: turned,
      health: { ...sculpt.health, holes },
      mass: massOf(turned),
      scale,
      stance,
      eyeLine: { value: soleMm + eye.value * s, basis: eye.basis, reason: eye.reason },
      soleMm,
      base: isStanding ? baseOf(measure, s) : null,
      min,
      max,
      oneTo: PERSON_MM / ((measure.crown.height - measure.sole) * s),
    },
    notes,
  )
}

/** Eye line above the soles, file units. */
const findEye = (sculpt: Sculpt, options: StandUpOptions, measure: UprightMeasure): Reasoned => {
  const { sole, height } = measure
  if (options.eyeLineShare != null) {
    const percent = (100 * options.eyeLineShare).toFixed(1)
    return {
      value: options.eyeLineShare * (height - sole),
      basis: 'set',
      reason: `The eye line is set to ${percent} % of the height from soles to top.`,
    }
  }
  if (options.eyeLineMm != null) {
    // The size that the unit alone gives: what a person reads off the sculpt.
    const plain = chooseScale({
      wish: { by: 'guess' },
      unit: options.unit ?? null,
      statedUnit: sculpt.statedUnit,
      measure,
      eye: measure.eye.value,
    })
    return {
      value: options.eyeLineMm / plain.value,
      basis: 'set',
      reason: `The eye line is set to ${options.eyeLineMm} mm above the soles, before scaling.`,
    }
  }
  return { ...measure.eye, basis: 'guessed' }
}

const baseOf = ({ base }: UprightMeasure, s: number): Base | null => {
  if (!base) return null
  const topMm = base.top * s
  const radiusMm = Math.sqrt(base.area / Math.PI) * s
  const what = base.isRound ? `A round base of ${(2 * radiusMm).toFixed(1)} mm` : 'A flat base'
  return {
    topMm,
    radiusMm,
    shape: base.isRound ? 'round' : 'other',
    reason: `${what}, ${topMm.toFixed(1)} mm high: the section falls sharply above it.`,
  }
}

/** Moves the lowest point to z = 0, and the middle of what lies lowest (the base, or the lowest fiftieth) to x = y = 0. */
const shiftOnto = (p: Float64Array, soleMm: number): [number, number, number] => {
  let low = Infinity
  let high = -Infinity
  for (let i = 2; i < p.length; i += 3) {
    if (p[i] < low) low = p[i]
    if (p[i] > high) high = p[i]
  }
  const upTo = low + Math.max(soleMm, 0.02 * (high - low))
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < p.length; i += 3) {
    if (p[i + 2] > upTo) continue
    if (p[i] < x0) x0 = p[i]
    if (p[i] > x1) x1 = p[i]
    if (p[i + 1] < y0) y0 = p[i + 1]
    if (p[i + 1] > y1) y1 = p[i + 1]
  }
  return [-(x0 + x1) / 2, -(y0 + y1) / 2, -low]
}

const checkOptions = ({ scale, eyeLineMm, eyeLineShare, stance }: StandUpOptions): Outcome<never> | null => {
  const bad = (key: string, expected: string, got: number) =>
    failed('figure/out-of-range', `The ${key} must be ${expected}; it is ${got}.`, { key })
  const isFine = (value: number, low: number, high: number): boolean => value >= low && value <= high
  if (scale.by === 'scale-height' && !isFine(scale.soleToEyeMm, 1, 1000)) {
    return bad('scale height', '1 to 1000 mm', scale.soleToEyeMm)
  }
  if (scale.by === 'total-height' && !isFine(scale.totalMm, 1, 1000))
    return bad('total height', '1 to 1000 mm', scale.totalMm)
  if (scale.by === 'ratio' && !isFine(scale.oneTo, 0.1, 10_000)) return bad('ratio', '1:0.1 to 1:10000', scale.oneTo)
  if (eyeLineMm != null && !isFine(eyeLineMm, 1e-6, 1e6)) return bad('eye line', 'above 0 mm', eyeLineMm)
  if (eyeLineShare != null && !isFine(eyeLineShare, 0.05, 1))
    return bad('eye line', '0.05 to 1 of the height', eyeLineShare)
  if (stance) {
    for (const angle of [stance.aboutX, stance.aboutY, stance.aboutZ]) {
      if (!Number.isFinite(angle)) return bad('stance', 'three finite angles', angle)
    }
  }
  return null
}
