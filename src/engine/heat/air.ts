// Heat handed to air and walls: forced flow across a part, free rise of warm air, radiation.
//
// Sources: Churchill & Bernstein 1977 (cylinder across flow) and Churchill & Chu 1975 (free convection, long cylinder), as in Incropera,
// Fundamentals of Heat and Mass Transfer. Air: Sutherland's law, ideal gas at 101.3 kPa, Prandtl 0.7.
// Limit: a part is a cylinder as wide as 4 area / perimeter says; flow is even and across it.

const PRANDTL = 0.7
const GRAVITY = 9.81
const STEFAN_BOLTZMANN = 5.670374e-8
const KELVIN = 273.15

/** Conductivity W/(m K) and kinematic viscosity m2/s of air. */
export const airAt = (celsius: number): { conductivity: number; viscosity: number } => {
  const t = celsius + KELVIN
  const dynamic = (1.458e-6 * t ** 1.5) / (t + 110.4)
  const density = 101325 / (287.05 * t)
  return { conductivity: 0.02624 * (t / 300) ** 0.8646, viscosity: dynamic / density }
}

/** Nusselt number of a cylinder across flow (Churchill-Bernstein). */
export const nusseltAcross = (reynolds: number, prandtl = PRANDTL): number =>
  0.3 +
  ((0.62 * Math.sqrt(reynolds) * Math.cbrt(prandtl)) / (1 + (0.4 / prandtl) ** (2 / 3)) ** 0.25) *
    (1 + (reynolds / 282000) ** 0.625) ** 0.8

/** Nusselt number of a long cylinder in still air (Churchill-Chu). */
export const nusseltFree = (rayleigh: number, prandtl = PRANDTL): number =>
  (0.6 + (0.387 * rayleigh ** (1 / 6)) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2

/** Coefficient of a part across flow, W/(m2 K). @param filmC mean of surface and air, deg C */
export const forcedWPerM2K = (widthMm: number, airMPerS: number, filmC: number): number => {
  const { conductivity, viscosity } = airAt(filmC)
  const d = widthMm * 1e-3
  return (nusseltAcross((airMPerS * d) / viscosity) * conductivity) / d
}

/** Coefficient of a part in still air, W/(m2 K). */
export const freeWPerM2K = (widthMm: number, surfaceC: number, roomC: number): number => {
  const filmC = (surfaceC + roomC) / 2
  const { conductivity, viscosity } = airAt(filmC)
  const d = widthMm * 1e-3
  const rayleigh = (((GRAVITY / (filmC + KELVIN)) * Math.max(0, surfaceC - roomC) * d ** 3) / viscosity ** 2) * PRANDTL
  return (nusseltFree(rayleigh) * conductivity) / d
}

/** The greater of flow and free rise, W/(m2 K). */
export const convectionWPerM2K = (widthMm: number, airMPerS: number, surfaceC: number, roomC: number): number => {
  const free = freeWPerM2K(widthMm, surfaceC, roomC)
  if (!(airMPerS > 0)) return free
  return Math.max(free, forcedWPerM2K(widthMm, airMPerS, (surfaceC + roomC) / 2))
}

/** Radiation between two temperatures as a coefficient, W/(m2 K). */
export const radiationWPerM2K = (emissivity: number, aC: number, bC: number): number => {
  const a = aC + KELVIN
  const b = bC + KELVIN
  return emissivity * STEFAN_BOLTZMANN * (a * a + b * b) * (a + b)
}

/** View factor from a small flat part to a parallel disc of radius r at height h whose axis is `aside` away (Howell, configuration factors). */
export const seesDisc = (r: number, h: number, aside = 0): number => {
  const q = h * h + aside * aside
  return (1 - (q - r * r) / Math.sqrt((q + r * r) ** 2 - 4 * r * r * aside * aside)) / 2
}
