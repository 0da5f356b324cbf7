// Sag of a bead over air while it is above its glass transition: a viscous beam.
//
// A viscous beam bends as an elastic one does with E replaced by three times the viscosity and the deflection by its rate (Truesdell's
// correspondence; Trouton 1906 for the 3 eta). Middle of a span, load w per length: 5 w L4 / (384 x 3 eta I) per second on knife edges,
// a fifth of that clamped; end of a stub held at one end: w L4 / (8 x 3 eta I).
// Once a span has sunk it also hangs as a cord that must stretch. With the shape of a flat arc the cord carries w L2 / 8 = T s at
// T = 3 eta A (16/3) s s' / L2, so both together give (384 I + 128/3 A s2) s' = w L4 / (3 eta), which integrates to
// 384 I s + 128/9 A s3 = w L4 F, with F the integral of dt / (3 eta): small spans bend, long ones hang.
// Limits: bead as wide and high as laid; no pull by the nozzle, which tightens a span and makes it sag less; no surface tension.

/** Own weight, N/mm. */
export const weightPerMm = (areaMm2: number, densityGPerCm3: number): number => areaMm2 * densityGPerCm3 * 1e-6 * 9.81

/** Second moment of a stadium about its level axis, mm4. */
export const stadiumMoment = (widthMm: number, heightMm: number): number => {
  const r = heightMm / 2
  const flat = Math.max(0, widthMm - heightMm)
  return (flat * heightMm ** 3) / 12 + (Math.PI * r ** 4) / 4
}

/** Rate at the middle of a span, mm/s. @param viscosityMPaS viscosity in MPa s */
export const spanSagRate = (
  weightNPerMm: number,
  lengthMm: number,
  momentMm4: number,
  viscosityMPaS: number,
  ends: 'on edges' | 'clamped',
): number => ((ends === 'clamped' ? 1 : 5) * weightNPerMm * lengthMm ** 4) / (384 * 3 * viscosityMPaS * momentMm4)

/** Rate at the free end of a stub, mm/s. */
export const stubSagRate = (weightNPerMm: number, lengthMm: number, momentMm4: number, viscosityMPaS: number): number =>
  (weightNPerMm * lengthMm ** 4) / (8 * 3 * viscosityMPaS * momentMm4)

/** What sags. */
export interface SaggingBead {
  readonly lengthMm: number
  readonly areaMm2: number
  readonly momentMm4: number
  readonly weightNPerMm: number
}

/** Sag of a clamped span, bending and hanging, mm. @param fluidity integral of dt / viscosity, 1/MPa */
export const spanSagMm = ({ lengthMm, areaMm2, momentMm4, weightNPerMm }: SaggingBead, fluidity: number): number => {
  const load = (weightNPerMm * lengthMm ** 4 * fluidity) / 3
  const bend = 384 * momentMm4
  const hang = (128 / 9) * areaMm2
  // Monotone in s: Newton from above never leaves the root's side.
  let s = Math.min(load / bend, Math.cbrt(load / hang))
  for (let i = 0; i < 40; i++) {
    const off = bend * s + hang * s ** 3 - load
    const next = s - off / (bend + 3 * hang * s * s)
    if (Math.abs(next - s) < 1e-12 * (1 + s)) return next
    s = next
  }
  return s
}

/** Sag at the end of a stub, mm; it cannot hang lower than it is long. */
export const stubSagMm = ({ lengthMm, momentMm4, weightNPerMm }: SaggingBead, fluidity: number): number =>
  Math.min(lengthMm, (weightNPerMm * lengthMm ** 4 * fluidity) / (24 * momentMm4))

/** Longest clamped span, mm, that sags no more than allowed. */
export const longestSpanMm = (bead: Omit<SaggingBead, 'lengthMm'>, fluidity: number, allowedMm: number): number => {
  const load = 384 * bead.momentMm4 * allowedMm + (128 / 9) * bead.areaMm2 * allowedMm ** 3
  return ((3 * load) / (bead.weightNPerMm * fluidity)) ** 0.25
}

/** Share of the sag at a place along a clamped span, 0-1 along it. */
export const spanShape = (u: number): number => 16 * u * u * (1 - u) * (1 - u)
/** Share of the sag at a place along a stub, 0 at its root, 1 at its end. */
export const stubShape = (u: number): number => (u * u * (6 - 4 * u + u * u)) / 3
