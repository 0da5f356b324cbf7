// How long a bead over air stays fluid: its cooling in the fan's air, and its viscosity on the way.
//
// One bead alone, lumped (Biot number about 0.03): cp(T) rho A dT/dt = -(h_convection + h_radiation) P (T - room), from the nozzle's
// temperature down to the glass transition. Viscosity by the card's time-temperature shift. The heat room's own time until the bead has
// set, where there is one, stretches this course. The sum is the integral of dt / viscosity: what a viscous beam sags by.
// Limits: a bead on its own cools faster than one in a wall; the first 10 degrees below the nozzle make most of the sag.

import type { FilamentCard } from '../../recipe/index.ts'
import { convectionWPerM2K, radiationWPerM2K } from '../heat/index.ts'

/** Air, bead and temperatures. */
export interface SettingConditions {
  readonly filament: FilamentCard
  readonly nozzleC: number
  readonly airMPerS: number
  readonly roomC: number
  readonly widthMm: number
  readonly heightMm: number
}

export interface BeadSetting {
  /** Seconds until the bead is at the lower softening temperature, and at the glass transition. */
  readonly softS: number
  readonly setS: number
  /** Integral of dt / viscosity until the glass transition, 1/MPa. */
  readonly fluidity: number
  /** The same as seconds at the card's reference viscosity. */
  readonly fluidS: number
}

/** Viscosity at rest, Pa s, shifted from the card's reference. */
export const viscosityPaS = (filament: FilamentCard, celsius: number): number => {
  const { shiftC1, shiftC2K, shiftAtC, zeroShearViscosityPaS, zeroShearViscosityAtC } = filament
  const shift = (t: number): number => (-shiftC1 * (t - shiftAtC)) / Math.max(1e-3, shiftC2K + t - shiftAtC)
  return zeroShearViscosityPaS * 10 ** (shift(celsius) - shift(zeroShearViscosityAtC))
}

const heatCapacityAt = (series: FilamentCard['heatCapacityJPerKgK'], celsius: number): number => {
  if (celsius <= series[0][0]) return series[0][1]
  for (let i = 1; i < series.length; i++) {
    const [t1, c1] = series[i]
    if (celsius > t1) continue
    const [t0, c0] = series[i - 1]
    return t1 > t0 ? c0 + ((c1 - c0) * (celsius - t0)) / (t1 - t0) : c1
  }
  return series[series.length - 1][1]
}

/** Degrees in one step of the cooling course. */
const STEP_C = 0.5

/** Follows one bead down. @param knownSoftS seconds until the lower softening temperature, from heat; NaN for the bead's own */
export const beadSetting = (conditions: SettingConditions, knownSoftS = Number.NaN): BeadSetting => {
  const { filament, nozzleC, airMPerS, roomC, widthMm: w, heightMm: h } = conditions
  const flat = Math.max(0, w - h)
  const area = flat * h + (Math.PI * h * h) / 4
  const around = 2 * flat + Math.PI * h
  const { glassTransitionC, softeningFromC } = filament
  const lowest = Math.max(roomC + 1, Math.min(glassTransitionC, softeningFromC))
  let seconds = 0
  let fluidity = 0
  let setS = Number.NaN
  let softS = Number.NaN
  // In J/(mm K s): h P in W/(mm K), rho c A in J/(mm K).
  for (let celsius = nozzleC - STEP_C / 2; celsius > lowest - STEP_C / 2; celsius -= STEP_C) {
    const cooling =
      (convectionWPerM2K(w, airMPerS, celsius, roomC) + radiationWPerM2K(filament.emissivityShare, celsius, roomC)) *
      around *
      1e-6
    const holds = heatCapacityAt(filament.heatCapacityJPerKgK, celsius) * filament.densityGPerCm3 * 1e-6 * area
    const dt = (holds * STEP_C) / (cooling * (celsius - roomC))
    if (celsius >= glassTransitionC) fluidity += dt / (viscosityPaS(filament, celsius) * 1e-6)
    if (celsius < glassTransitionC && Number.isNaN(setS)) setS = seconds
    if (celsius < softeningFromC && Number.isNaN(softS)) softS = seconds
    seconds += dt
  }
  if (Number.isNaN(setS)) setS = seconds
  if (Number.isNaN(softS)) softS = seconds
  const stretch = knownSoftS > 0 && softS > 0 ? knownSoftS / softS : 1
  return {
    softS: softS * stretch,
    setS: setS * stretch,
    fluidity: fluidity * stretch,
    fluidS: fluidity * stretch * filament.zeroShearViscosityPaS * 1e-6,
  }
}
