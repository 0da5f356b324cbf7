// Closed forms that the heat room works with: error function, a hot layer on a half-space, a held surface, the growing column.
//
// Sources: Carslaw & Jaeger, Conduction of Heat in Solids, 2.2-2.4 (images of the step); moving fin (Nellis & Klein, Heat Transfer, 1.7).

/** Complementary error function for any x, relative error below 1.2e-7 (rational Chebyshev fit, Numerical Recipes). */
export const erfc = (x: number): number => {
  const z = Math.abs(x)
  const t = 1 / (1 + 0.5 * z)
  const r =
    t *
    Math.exp(
      -z * z -
        1.26551223 +
        t *
          (1.00002368 +
            t *
              (0.37409196 +
                t *
                  (0.09678418 +
                    t *
                      (-0.18628806 +
                        t *
                          (0.27886807 + t * (-1.13520398 + t * (1.48851587 + t * (-0.82215223 + t * 0.17087277)))))))),
    )
  return x >= 0 ? r : 2 - r
}
export const erf = (x: number): number => 1 - erfc(x)

/**
 * Rise at a depth below the underside of a hot layer on a half-space whose top keeps its heat, as a share of the layer's own rise.
 * @param depthMm below the layer, mm @param layerMm thickness, mm @param alpha diffusivity, mm2/s
 */
export const hotLayerRise = (depthMm: number, layerMm: number, alpha: number, timeS: number): number => {
  if (timeS <= 0) return depthMm > 0 ? 0 : 0.5
  const s = 2 * Math.sqrt(alpha * timeS)
  return (erf((2 * layerMm + depthMm) / s) - erf(depthMm / s)) / 2
}

/**
 * Extra heat that a fresh layer takes up while its top is held at the nozzle's temperature, J/mm2 per K between nozzle and what lies below.
 * The layer is at the nozzle's temperature, the half-space below it is colder; flux k / sqrt(pi alpha t) exp(-L2 / 4 alpha t), integrated.
 * @param conductivity W/(mm K)
 */
export const heldTopHeat = (layerMm: number, alpha: number, conductivity: number, timeS: number): number => {
  if (timeS <= 0) return 0
  const a = (layerMm * layerMm) / (4 * alpha)
  const sum = 2 * Math.sqrt(timeS) * Math.exp(-a / timeS) - 2 * Math.sqrt(Math.PI * a) * erfc(Math.sqrt(a / timeS))
  return (Math.max(0, sum) * conductivity) / Math.sqrt(Math.PI * alpha)
}

/** A post that grows layer by layer and loses heat from its sides: even across, far from the bed. */
export interface GrowingColumn {
  /** 4 area / perimeter, mm. */
  readonly widthMm: number
  readonly layerMm: number
  /** Side loss, W/(mm2 K). */
  readonly lossWPerMm2K: number
  /** W/(mm K); mm2/s. */
  readonly conductivity: number
  readonly alpha: number
}

/** s = h P / (rho c A), 1/s. */
const sideRate = ({ widthMm, lossWPerMm2K, conductivity, alpha }: GrowingColumn): number =>
  (lossWPerMm2K * 4 * alpha) / (widthMm * conductivity)

/** Steady rise of the top as a share of the rise at which plastic arrives; and the length over which it dies away downwards, mm. */
export const growingColumnTop = (column: GrowingColumn, layerS: number): { share: number; decayMm: number } => {
  const u = column.layerMm / layerS
  const s = sideRate(column)
  const rate = (-u + Math.sqrt(u * u + 4 * column.alpha * s)) / (2 * column.alpha)
  return { share: u / (u + column.alpha * rate), decayMm: 1 / rate }
}

/** Layer time at which the steady top just comes to a share of the rise at which plastic arrives, s. */
export const growingColumnLeastS = (column: GrowingColumn, share: number): number =>
  share >= 1
    ? 0
    : share <= 0
      ? Infinity
      : (column.layerMm / share) * Math.sqrt((1 - share) / (column.alpha * sideRate(column)))
