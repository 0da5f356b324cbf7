// Notch factors at sudden steps of thickness.
//
// Shouldered round shaft in bending, Kt = A (r/d)^b between tabulated ratios D/d: fits of Peterson's charts as printed in Norton,
// Machine Design, appendix (from memory). Inside corners have no radius of their own: a printed one has half a bead.

/** Ratio D/d, A and b for bending. */
const BENDING: readonly (readonly [number, number, number])[] = [
  [1.01, 0.91938, -0.17032],
  [1.05, 0.98137, -0.19653],
  [1.1, 0.9512, -0.23757],
  [1.2, 0.97098, -0.21796],
  [1.5, 0.93836, -0.25759],
  [2, 0.90879, -0.28598],
  [3, 0.89334, -0.3086],
  [6, 0.87868, -0.33243],
]

/**
 * Stress at the foot of a step in bending over the plain beam's.
 * @param thickMm the thick side, @param thinMm the thin side, @param cornerMm radius in the corner
 */
export const notchOfStep = (thickMm: number, thinMm: number, cornerMm: number): number => {
  const ratio = thickMm / thinMm
  if (!(ratio > 1.05)) return 1
  const sharp = Math.min(cornerMm / thinMm, 0.3)
  const at = (row: readonly [number, number, number]): number => Math.max(1, row[1] * sharp ** row[2])
  for (let k = 1; k < BENDING.length; k++) {
    if (ratio > BENDING[k][0]) continue
    const f = (ratio - BENDING[k - 1][0]) / (BENDING[k][0] - BENDING[k - 1][0])
    return (1 - f) * at(BENDING[k - 1]) + f * at(BENDING[k])
  }
  return at(BENDING[BENDING.length - 1])
}
