// Healing of the joint between two layers: time in the warm, each second weighed by how fast chains move, against the reptation time.
//
// Degree of healing (sum of dt / (a_T tau))^(1/4) up to 1 (Wool & O'Connor, J. Appl. Phys. 52:5953, 1981), a_T after Williams, Landel and
// Ferry. The joint's temperature after a pass is the closed form of a hot layer on a half-space at the temperature found at landing: the
// first half second decides, which the grid's steps are too long for.

import { hotLayerRise } from './closed-forms.ts'
import type { HeatPlastic } from './conditions.ts'

/** Speed of healing at a temperature, 1/s; 0 below the glass transition. */
export const healingRate = (plastic: HeatPlastic, celsius: number): number => {
  if (celsius <= plastic.glassTransitionC) return 0
  const { shiftC1, shiftC2K, shiftAtC, reptationS, reptationAtC } = plastic
  const log = (t: number): number => {
    const below = shiftC2K + t - shiftAtC
    return below <= 1 ? Infinity : (-shiftC1 * (t - shiftAtC)) / below
  }
  const shift = log(celsius) - log(reptationAtC)
  return Number.isFinite(shift) ? 10 ** -shift / reptationS : 0
}

/** Share of full strength from the summed healing (dimensionless time). */
export const healingShare = (sum: number): number => Math.min(1, Math.max(0, sum) ** 0.25)

/** Healing sums of one pass, for joints 0 to nJoints-1 layers below the fresh one, over the temperature at landing. */
export interface PassHealing {
  readonly fromC: number
  readonly stepC: number
  readonly nSteps: number
  readonly nJoints: number
  /** Sum by joint and temperature step; row-major, nJoints rows of nSteps+1. */
  readonly sums: Float64Array
}

/** What one pass does. Lengths mm, alpha mm2/s. */
export interface Pass {
  readonly layerMm: number
  readonly nozzleC: number
  readonly alpha: number
  /** Until the next pass, s; at most 10 s are followed. */
  readonly untilS: number
  /** Sidewise loss as a rate, 1/s: 2 h / (rho c w) of a wall, 4 h / (rho c D) of a post. */
  readonly sideRate: number
}

const N_TIMES = 48
const FIRST_S = 0.002

/** Sums for landing temperatures from the room's to the nozzle's. */
export const passHealing = (plastic: HeatPlastic, pass: Pass, fromC: number, nJoints = 4): PassHealing => {
  const nSteps = 40
  const stepC = (pass.nozzleC - fromC) / nSteps
  const sums = new Float64Array(nJoints * (nSteps + 1))
  const end = Math.min(10, Math.max(0.01, pass.untilS))
  const ratio = (end / FIRST_S) ** (1 / N_TIMES)
  for (let j = 0; j < nJoints; j++) {
    let t0 = 0
    for (let i = 0; i <= N_TIMES; i++) {
      const t1 = FIRST_S * ratio ** i
      const t = (t0 + t1) / 2
      const fade = Math.exp(-pass.sideRate * t)
      const rise = hotLayerRise(j * pass.layerMm, pass.layerMm, pass.alpha, t) * fade
      for (let k = 0; k <= nSteps; k++) {
        const base = fromC + k * stepC
        sums[j * (nSteps + 1) + k] +=
          healingRate(plastic, fromC + (base - fromC) * fade + (pass.nozzleC - base) * rise) * (t1 - t0)
      }
      t0 = t1
    }
  }
  return { fromC, stepC, nSteps, nJoints, sums }
}

/** Sum of a joint at a landing temperature. */
export const healingSum = (table: PassHealing, joint: number, landingC: number): number => {
  const x = Math.min(table.nSteps - 1e-9, Math.max(0, (landingC - table.fromC) / table.stepC))
  const k = Math.floor(x)
  const row = joint * (table.nSteps + 1)
  return table.sums[row + k] * (1 - (x - k)) + table.sums[row + k + 1] * (x - k)
}

/** An ordinary upright bar, as strengths across layers are measured on: layers of 0.2 mm, laid on plastic 15 K above the room. From memory. */
const BAR = { layerMm: 0.2, aboveRoomK: 15, untilS: 10, sideRate: 0.015, roomC: 25 }

/**
 * Healing between the layers of an ordinary printed bar, 0-1. A card's strength across layers is measured on such bars, so that
 * healing elsewhere counts against this and not against full welding; the reptation time, the least certain constant, cancels.
 */
export const ordinaryHealing = (plastic: HeatPlastic, alpha: number): number => {
  const { layerMm, aboveRoomK, untilS, sideRate, roomC } = BAR
  const table = passHealing(plastic, { layerMm, nozzleC: plastic.reptationAtC, alpha, untilS, sideRate }, roomC)
  let sum = 0
  for (let joint = 0; joint < table.nJoints; joint++) sum += healingSum(table, joint, roomC + aboveRoomK)
  return healingShare(sum)
}
