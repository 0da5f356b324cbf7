// A body that falls on a floor: rigid motion with its turning, elastic modes, and contacts that press, integrated in time.
//
// The body's own frame turns with it, and in that frame the floor is a direction and a distance. Leapfrog with a fixed step. No friction:
// the floor pushes straight up. Limits: modes stay linear in the turning frame (no centrifugal terms: under 0.1 MPa at the spin of a fall).

import { Contact } from './contact-law.ts'

/** Earth's pull, mm/s2. */
const GRAVITY = 9806.65

/** A place that can touch the floor. */
export interface ContactPlace {
  /** From the middle of the mass, mm. */
  readonly at: readonly [number, number, number]
  /** Movement there in each mode of unit amplitude, xyz per mode. */
  readonly shape: Float64Array
  readonly radiusMm: number
  /** Give of the body behind it that the modes leave out, mm/N. */
  readonly giveMmPerN: number
}

/** What falls. Units mm, N, tonnes, s. */
export interface FallingBody {
  readonly massT: number
  /** About the middle: xx, yy, zz, xy, yz, zx, tonnes mm2. */
  readonly inertia: readonly number[]
  readonly omega: Float64Array
  readonly places: readonly ContactPlace[]
}

/** How it comes down. */
export interface FallStart {
  /** Downwards, in the body's frame, unit. */
  readonly down: readonly [number, number, number]
  /** Speed of the middle towards the floor, mm/s. */
  readonly speedMmPerS: number
  /** Spin in the body's frame, rad/s. */
  readonly spin: readonly [number, number, number]
}

export interface FallSettings {
  readonly contactMPa: number
  readonly dentMPa: number
  /** Give of the floor itself, mm/N: 0 for a hard one. */
  readonly floorGiveMmPerN: number
  /** Damping over critical, of every mode. */
  readonly damping: number
  readonly durationS: number
  readonly stepS: number
  /** Steps between samples. */
  readonly every: number
}

/** Called at each sample; arrays are the integrator's own and change afterwards. */
export type FallSample = (timeS: number, amplitude: Float64Array, force: Float64Array, down: readonly number[]) => void

/** What a fall comes to. Energies in mJ. */
export interface FallOutcome {
  readonly greatestForceN: number
  /** Place with the greatest force. */
  readonly place: number
  /** Time during which anything touches, until the first leaving for good of the first place, s. */
  readonly firstContactS: number
  readonly nTouched: number
  readonly impulseNs: number
  readonly energyBefore: number
  readonly energyRigid: number
  readonly energyVibration: number
  /** Greatest energy in vibration at any sample. */
  readonly energyVibrationMost: number
  /** Deepest dent that stays, mm. */
  readonly dentMm: number
}

/** Lets it fall. */
export const simulateFall = (
  body: FallingBody,
  start: FallStart,
  settings: FallSettings,
  sample?: FallSample,
): FallOutcome => {
  const { massT, inertia, omega, places } = body
  const { stepS: dt, floorGiveMmPerN } = settings
  const nModes = omega.length
  const nPlaces = places.length
  const contacts = places.map(
    (p) => new Contact({ radiusMm: p.radiusMm, contactMPa: settings.contactMPa, dentMPa: settings.dentMPa }),
  )
  const q = new Float64Array(nModes)
  const v = new Float64Array(nModes)
  const push = new Float64Array(nModes)
  const stiff = omega.map((w) => w * w)
  const drag = omega.map((w) => 2 * settings.damping * w)
  const force = new Float64Array(nPlaces)
  const touched = new Uint8Array(nPlaces)
  const d: [number, number, number] = [...start.down]
  const spin: [number, number, number] = [...start.spin]
  const [ia, ib, ic, id, ie, ig] = inertia
  const det = ia * (ib * ic - ie * ie) - id * (id * ic - ie * ig) + ig * (id * ie - ib * ig)
  const turn = (x: number, y: number, z: number, out: [number, number, number]): void => {
    out[0] = ((ib * ic - ie * ie) * x + (ie * ig - id * ic) * y + (id * ie - ib * ig) * z) / det
    out[1] = ((ie * ig - id * ic) * x + (ia * ic - ig * ig) * y + (id * ig - ia * ie) * z) / det
    out[2] = ((id * ie - ib * ig) * x + (id * ig - ia * ie) * y + (ia * ib - id * id) * z) / det
  }
  const momentum = (w: readonly number[]): [number, number, number] => [
    ia * w[0] + id * w[1] + ig * w[2],
    id * w[0] + ib * w[1] + ie * w[2],
    ig * w[0] + ie * w[1] + ic * w[2],
  ]
  const change: [number, number, number] = [0, 0, 0]
  let fall = start.speedMmPerS
  let height = -Infinity
  for (const { at } of places) height = Math.max(height, at[0] * d[0] + at[1] * d[1] + at[2] * d[2])
  const rigidEnergy = (): number => {
    const l = momentum(spin)
    return 0.5 * massT * fall * fall + 0.5 * (l[0] * spin[0] + l[1] * spin[1] + l[2] * spin[2])
  }
  const vibration = (): number => {
    let e = 0
    for (let k = 0; k < nModes; k++) e += 0.5 * (v[k] * v[k] + stiff[k] * q[k] * q[k])
    return e
  }
  const energyBefore = rigidEnergy()
  let greatestForceN = 0
  let place = 0
  let impulse = 0
  let firstContactS = 0
  let energyVibrationMost = 0
  // Modes can bend a place towards the floor by this much at most before it is looked at again.
  const near = 1.5
  const steps = Math.ceil(settings.durationS / dt)
  for (let step = 0; step < steps; step++) {
    let up = 0
    let mx = 0
    let my = 0
    let mz = 0
    push.fill(0)
    for (let i = 0; i < nPlaces; i++) {
      const { at, shape, giveMmPerN } = places[i]
      let depth = at[0] * d[0] + at[1] * d[1] + at[2] * d[2] - height
      force[i] = 0
      if (depth < -near) continue
      for (let k = 0, s = 0; k < nModes; k++, s += 3)
        depth += q[k] * (shape[s] * d[0] + shape[s + 1] * d[1] + shape[s + 2] * d[2])
      if (depth <= 0) continue
      const f = contacts[i].press(depth, giveMmPerN + floorGiveMmPerN)
      if (f === 0) continue
      force[i] = f
      touched[i] = 1
      if (f > greatestForceN) {
        greatestForceN = f
        place = i
      }
      up += f
      mx -= f * (at[1] * d[2] - at[2] * d[1])
      my -= f * (at[2] * d[0] - at[0] * d[2])
      mz -= f * (at[0] * d[1] - at[1] * d[0])
      for (let k = 0, s = 0; k < nModes; k++, s += 3)
        push[k] -= f * (shape[s] * d[0] + shape[s + 1] * d[1] + shape[s + 2] * d[2])
    }
    if (up > 0 && (firstContactS === 0 || step * dt - firstContactS < 5e-5)) firstContactS = step * dt
    impulse += up * dt
    if (sample && step % settings.every === 0) {
      energyVibrationMost = Math.max(energyVibrationMost, vibration())
      sample(step * dt, q, force, d)
    }
    for (let k = 0; k < nModes; k++) {
      // The drag is taken half before and half after, so that the step stays stable and of second order.
      const half = 0.5 * dt * drag[k]
      v[k] = (v[k] * (1 - half) + dt * (push[k] - stiff[k] * q[k])) / (1 + half)
      q[k] += dt * v[k]
    }
    fall += dt * (GRAVITY - up / massT)
    height -= dt * fall
    const l = momentum(spin)
    turn(
      mx - (spin[1] * l[2] - spin[2] * l[1]),
      my - (spin[2] * l[0] - spin[0] * l[2]),
      mz - (spin[0] * l[1] - spin[1] * l[0]),
      change,
    )
    spin[0] += dt * change[0]
    spin[1] += dt * change[1]
    spin[2] += dt * change[2]
    const x = d[0] - dt * (spin[1] * d[2] - spin[2] * d[1])
    const y = d[1] - dt * (spin[2] * d[0] - spin[0] * d[2])
    const z = d[2] - dt * (spin[0] * d[1] - spin[1] * d[0])
    const f = 1 / Math.hypot(x, y, z)
    d[0] = x * f
    d[1] = y * f
    d[2] = z * f
  }
  let dentMm = 0
  for (const c of contacts) dentMm = Math.max(dentMm, c.dentMm)
  return {
    greatestForceN,
    place,
    firstContactS,
    nTouched: touched.reduce((s, t) => s + t, 0),
    impulseNs: impulse,
    energyBefore,
    energyRigid: rigidEnergy(),
    energyVibration: vibration(),
    energyVibrationMost,
    dentMm,
  }
}
