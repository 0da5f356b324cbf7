// Laws of impact: Hertz contact, a body against a floor, a falling weight, a base stopped dead, Euler's load.
//
// Sources: Johnson, Contact Mechanics, 3.4, 4.2, 11.4; Roark, ch. 16 (falling weight); Timoshenko & Gere, ch. 2 (Euler).

/** Effective modulus of two bodies in contact, MPa; a rigid partner has an infinite modulus. */
export const contactModulusMPa = (e1: number, nu1: number, e2 = Infinity, nu2 = 0): number =>
  1 / ((1 - nu1 * nu1) / e1 + (1 - nu2 * nu2) / e2)

/** Sphere of radius R pressed on a plane: contact radius, approach (mm), greatest pressure and tension at the rim (MPa). */
export const hertzPress = (
  forceN: number,
  radiusMm: number,
  contactMPa: number,
  poisson: number,
): { contactMm: number; approachMm: number; pressureMPa: number; rimMPa: number } => {
  const a = Math.cbrt((3 * forceN * radiusMm) / (4 * contactMPa))
  const p0 = (3 * forceN) / (2 * Math.PI * a * a)
  return { contactMm: a, approachMm: (a * a) / radiusMm, pressureMPa: p0, rimMPa: ((1 - 2 * poisson) * p0) / 3 }
}

/** Elastic impact of a mass with a rounded nose: approach mm, force N, time s. An upper bound: real plastic dents. */
export const hertzImpact = (
  massG: number,
  speedMmPerS: number,
  radiusMm: number,
  contactMPa: number,
): { approachMm: number; forceN: number; timeS: number } => {
  const m = massG * 1e-6
  const d = ((15 * m * speedMmPerS ** 2) / (16 * Math.sqrt(radiusMm) * contactMPa)) ** 0.4
  return {
    approachMm: d,
    forceN: (4 / 3) * contactMPa * Math.sqrt(radiusMm) * d ** 1.5,
    timeS: (2.943 * d) / speedMmPerS,
  }
}

/** Speed after a fall, mm/s. */
export const fallSpeedMmPerS = (heightMm: number): number => Math.sqrt(2 * 9806.65 * heightMm)

/** Stress and travel of a weight that falls on something soft, over those of the same weight laid on it gently. */
export const fallingWeightFactor = (heightMm: number, staticTravelMm: number): number =>
  1 + Math.sqrt(1 + (2 * heightMm) / staticTravelMm)

/** Load under which a straight rod buckles, N. @param endFactor 2 clamped-free, 1 pinned, 0.6992 clamped-pinned, 0.5 clamped */
export const eulerN = (modulusMPa: number, secondMm4: number, lengthMm: number, endFactor: number): number =>
  (Math.PI ** 2 * modulusMPa * secondMm4) / (endFactor * lengthMm) ** 2

/**
 * Greatest answer of a vibration of frequency w (rad/s) to a half-sine pulse of acceleration that changes the speed by one, over that
 * to a sudden change: 1 for short pulses, falling towards the quasi-static value for long ones.
 */
export const pulseShare = (w: number, timeS: number): number => {
  const wt = w * timeS
  if (!(wt > 1e-3)) return 1
  const omega = Math.PI / timeS
  const top = (Math.PI * 1) / (2 * timeS)
  const ratio = omega / w
  // At resonance of pulse and vibration both forms are 0/0: step beside it.
  const w2 = Math.abs(ratio - 1) < 1e-6 ? w * 1.00001 : w
  const scale = top / (w2 * w2 - omega * omega)
  let most = 0
  for (let k = 1; k <= 64; k++) {
    const t = (k / 64) * timeS
    most = Math.max(most, Math.abs(scale * (Math.sin(omega * t) - (omega / w2) * Math.sin(w2 * t))))
  }
  const x = scale * (0 - (omega / w2) * Math.sin(w2 * timeS))
  const v = scale * (-omega - omega * Math.cos(w2 * timeS))
  most = Math.max(most, Math.hypot(x, v / w2))
  return Math.min(1, most * w)
}
