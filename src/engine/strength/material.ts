// What the plastic bears, by direction: elastic constants, limits for a pull at an angle to the layers, infill as a medium of its own.
//
// In a layer the plastic counts as alike in all directions (shells follow the outline, infill turns by 90 degrees each layer);
// across layers it is another. Sources stand beside each law.

/** What a filament card says about strength. A filament card fits as it is. */
export interface StrengthMaterial {
  readonly alongModulusMPa: number
  readonly acrossModulusMPa: number
  readonly poissonRatio: number
  readonly alongStrengthMPa: number
  readonly acrossStrengthMPa: number
  readonly alongBreakStrain: number
  readonly acrossBreakStrain: number
  readonly densityGPerCm3: number
}

/** Shear limit between layers as a share of the strength across them: 25 to 26 MPa in the angle table it is checked with; from memory. */
const SHEAR_OF_ACROSS = 25 / 26
/** Shear limit within layers as a share of the strength along: von Mises. */
const SHEAR_OF_ALONG = 1 / Math.sqrt(3)

/** Shear modulus between layers, MPa: of an isotropic plastic with the mean modulus. */
const shearModulusMPa = (m: StrengthMaterial): number =>
  (m.alongModulusMPa + m.acrossModulusMPa) / (4 * (1 + m.poissonRatio))

/**
 * Strength of a bar pulled at an angle to the layers' normal, MPa: Tsai-Hill for a transversely isotropic solid.
 * @param cosNormal cosine between the pull and the layer normal: 1 is straight across the layers
 * @param weld share of the full bond between layers, 0-1
 */
export const tensionLimitMPa = (
  alongMPa: number,
  acrossMPa: number,
  shearMPa: number,
  cosNormal: number,
  weld = 1,
): number => {
  const c2 = Math.min(1, cosNormal * cosNormal)
  const s2 = 1 - c2
  const z = Math.max(acrossMPa * weld, 1e-6)
  const s = Math.max(shearMPa * weld, 1e-6)
  const sum = (s2 * s2) / alongMPa ** 2 + (1 / s ** 2 - 1 / alongMPa ** 2) * s2 * c2 + (c2 * c2) / z ** 2
  return 1 / Math.sqrt(Math.max(sum, 1e-12))
}

/** Limits of a plastic in one direction. */
export interface DirectionLimits {
  /** Tension, MPa. */
  readonly tensionMPa: number
  /** Shear on sections square to that direction, MPa. */
  readonly shearMPa: number
  /** Stretch at break, shares. */
  readonly breakStrain: number
  /** Young's modulus along that direction, MPa. */
  readonly modulusMPa: number
}

/** Limits of the plastic along a direction that makes an angle of cosine `cosNormal` with the layers' normal. */
export const limitsAlong = (m: StrengthMaterial, cosNormal: number, weld = 1): DirectionLimits => {
  const c2 = Math.min(1, cosNormal * cosNormal)
  const s2 = 1 - c2
  const shearBetween = SHEAR_OF_ACROSS * m.acrossStrengthMPa
  // Compliance of a transversely isotropic solid at an angle (Lekhnitskii); the Poisson ratio counts along the layers.
  const g = shearModulusMPa(m)
  const compliance =
    (s2 * s2) / m.alongModulusMPa +
    (c2 * c2) / m.acrossModulusMPa +
    s2 * c2 * (1 / g - (2 * m.poissonRatio) / m.alongModulusMPa)
  return {
    tensionMPa: tensionLimitMPa(m.alongStrengthMPa, m.acrossStrengthMPa, shearBetween, cosNormal, weld),
    shearMPa: shearBetween * weld * c2 + SHEAR_OF_ALONG * m.alongStrengthMPa * s2,
    breakStrain: m.acrossBreakStrain * weld * c2 + m.alongBreakStrain * s2,
    modulusMPa: 1 / compliance,
  }
}

/**
 * Infill as a medium: modulus as a share of the solid plastic's, within layers and across them.
 * Within layers between rods in all directions of a plane (Cox 1952: a third of the share) and the full solid at share 1;
 * across layers the lines touch only at crossings, whose area goes with the square of the share. Both lie under Voigt's bound, and
 * within layers it is kept at Hashin and Shtrikman's for a porous solid (near nu 1/3: share / (2 - share)).
 * @param share infill share, 0-1
 */
export const infillShares = (share: number): { readonly within: number; readonly across: number } => ({
  within: Math.min((share / 3) * (1 - share) + share * share, share / (2 - share)),
  across: share * share,
})

/** Elastic constants of a solid whose directions are x, y (in the layer) and z (across), MPa: as the brick element wants them. */
export interface Stiffness {
  /** Normal stiffness, symmetric 3x3: xx, yy, zz, xy, yz, xz. */
  readonly normal: readonly [number, number, number, number, number, number]
  /** Shear moduli xy, yz, xz. */
  readonly shear: readonly [number, number, number]
}

/** Stiffness from engineering constants: moduli, Poisson ratios nuXY (y strain from an x pull) and so on, shear moduli. */
export const stiffnessOf = (
  ex: number,
  ey: number,
  ez: number,
  nuXY: number,
  nuYZ: number,
  nuXZ: number,
  gxy: number,
  gyz: number,
  gxz: number,
): Stiffness => {
  const a = 1 / ex
  const b = 1 / ey
  const c = 1 / ez
  const d = -nuXY / ex
  const e = -nuYZ / ey
  const f = -nuXZ / ex
  const det = a * (b * c - e * e) - d * (d * c - e * f) + f * (d * e - b * f)
  return {
    normal: [
      (b * c - e * e) / det,
      (a * c - f * f) / det,
      (a * b - d * d) / det,
      (e * f - d * c) / det,
      (d * f - a * e) / det,
      (d * e - b * f) / det,
    ],
    shear: [gxy, gyz, gxz],
  }
}

/** Isotropic solid. */
export const isotropic = (modulusMPa: number, poissonRatio: number): Stiffness => {
  const g = modulusMPa / (2 * (1 + poissonRatio))
  return stiffnessOf(modulusMPa, modulusMPa, modulusMPa, poissonRatio, poissonRatio, poissonRatio, g, g, g)
}

/** Stiffness of the printed solid (share 1) or of its infill. */
export const printedStiffness = (m: StrengthMaterial, share = 1): Stiffness => {
  const { within, across } = infillShares(share)
  const ex = m.alongModulusMPa * within
  const ez = m.acrossModulusMPa * across
  // The ratio across the layers shrinks with the weaker direction so that the constants stay those of a stable solid.
  const nu = m.poissonRatio
  const g = shearModulusMPa(m)
  return stiffnessOf(
    ex,
    ex,
    ez,
    nu,
    (nu * ez) / ex < nu ? nu * Math.min(1, Math.sqrt(ex / ez)) : nu,
    nu,
    ex / (2 * (1 + nu)),
    g * across,
    g * across,
  )
}
