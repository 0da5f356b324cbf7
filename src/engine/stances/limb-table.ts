// Limbs for cheap measures: how the least breaking force and the length of thin limbs across layers change with the stance.
//
// The breaking force of every hand load, known for the given stance, goes with the limit of the plastic at the place that breaks: the
// limit at the angle between the limb's axis and the layers (Tsai-Hill). Limit: that another place breaks first is not seen here.

import { limitsAlong, type QuickStrength, type StrengthMaterial } from '../strength/index.ts'
import type { Direction } from './types.ts'

/** Limbs thinner than this count as thin, mm: two shells of 0.4 mm on either side fill 1.6 mm, three 2.4 mm. */
const THIN_MM = 2.4

/** Limbs as columns. */
export interface LimbTable {
  /** Limb axis at the place that breaks, xyz, force at which it does in the given stance, N, and station, one per hand load. */
  readonly axes: Float64Array
  readonly forceN: Float64Array
  readonly station: Uint32Array
  /** Thin pieces of limb: axis times square root of length, xyz each. */
  readonly thin: Float64Array
  /** First station of each thin piece. */
  readonly thinStation: Uint32Array
}

/** Columns of a quick look at strength whose layers were piled along `normal`. */
export const limbTable = (
  { frame, loads }: QuickStrength,
  material: StrengthMaterial,
  normal: Direction = [0, 0, 1],
): LimbTable => {
  const chosen = loads.filter(({ kind, breakForceN }) => kind !== 'twist' && Number.isFinite(breakForceN.value))
  const axes = new Float64Array(3 * chosen.length)
  const forceN = new Float64Array(chosen.length)
  const station = new Uint32Array(chosen.length)
  chosen.forEach((load, i) => {
    const a = [0, 1, 2].map((c) => frame.along[3 * load.breaksAt + c])
    axes.set(a, 3 * i)
    station[i] = load.breaksAt
    const cos = a[0] * normal[0] + a[1] * normal[1] + a[2] * normal[2]
    // Kept per unit of limit, so that a stance only multiplies.
    forceN[i] = load.breakForceN.value / limitsAlong(material, cos).tensionMPa
  })
  const thin: number[] = []
  const thinStation: number[] = []
  for (let p = 0; p < frame.pieces.length; p += 2) {
    const [i, j] = [frame.pieces[p], frame.pieces[p + 1]]
    if (Math.max(frame.thickMm[i], frame.thickMm[j]) > THIN_MM) continue
    const d = [0, 1, 2].map((c) => frame.at[3 * j + c] - frame.at[3 * i + c])
    const length = Math.hypot(...d)
    if (length <= 0) continue
    thin.push(...d.map((v) => v / Math.sqrt(length)))
    thinStation.push(i)
  }
  return { axes, forceN, station, thin: Float64Array.from(thin), thinStation: Uint32Array.from(thinStation) }
}

/** Limits over cos2 in even steps, so that the search need not work them out anew. */
export const limitCurve = (material: StrengthMaterial, steps = 256): Float64Array =>
  Float64Array.from({ length: steps + 1 }, (_, k) => limitsAlong(material, Math.sqrt(k / steps)).tensionMPa)

/** Least breaking force over all loads when `up` is up, and the load that it belongs to (-1 without loads). */
export const leastForce = (
  { axes, forceN }: LimbTable,
  curve: Float64Array,
  dx: number,
  dy: number,
  dz: number,
): { force: number; load: number } => {
  const steps = curve.length - 1
  let force = Infinity
  let load = -1
  for (let i = 0; i < forceN.length; i++) {
    const cos = axes[3 * i] * dx + axes[3 * i + 1] * dy + axes[3 * i + 2] * dz
    const f = forceN[i] * curve[Math.min(steps, Math.round(steps * cos * cos))]
    if (f < force) {
      force = f
      load = i
    }
  }
  return { force, load }
}

/** Hand loads that break, and thin pieces that stand, at some of the stations. */
export const limbsAt = (table: LimbTable, isMine: (station: number) => boolean): LimbTable => {
  const { axes, forceN, station, thin, thinStation } = table
  const mine = Array.from(station.keys()).filter((i) => isMine(station[i]))
  const pieces = Array.from(thinStation.keys()).filter((i) => isMine(thinStation[i]))
  return {
    axes: Float64Array.from(mine.flatMap((i) => [...axes.subarray(3 * i, 3 * i + 3)])),
    forceN: Float64Array.from(mine, (i) => forceN[i]),
    station: Uint32Array.from(mine, (i) => station[i]),
    thin: Float64Array.from(pieces.flatMap((i) => [...thin.subarray(3 * i, 3 * i + 3)])),
    thinStation: Uint32Array.from(pieces, (i) => thinStation[i]),
  }
}

/** Length of thin limbs across the layers, mm, weighted by cos2. */
export const thinAcross = ({ thin }: LimbTable, dx: number, dy: number, dz: number): number => {
  let sum = 0
  for (let i = 0; i < thin.length; i += 3) sum += (thin[i] * dx + thin[i + 1] * dy + thin[i + 2] * dz) ** 2
  return sum
}
