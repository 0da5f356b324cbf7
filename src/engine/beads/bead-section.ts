// The cross-section of a bead and what follows from it: area, spacing, how many beads fit, how much filament they take.
//
// Model: a stadium, flat above and below with half-round sides (width w, height h, w >= h). Two beads side by side share no void
// when their centre lines are w - h(1 - pi/4) apart: the plastic of the two rounded flanks then exactly fills the notch between
// them. That distance is also area / height, so a bead fills a strip exactly one pitch wide.
// Limits: real beads vary from nearly round (fast, wide gap) to flat with round sides (slow, narrow gap); the stadium is the middle.

/** Width lost to one rounded flank pair, mm: h(1 - pi/4). A bead as wide as it is high is a circle and still obeys it. */
export const roundingMm = (heightMm: number): number => heightMm * (1 - Math.PI / 4)

/** Area of the stadium, mm2: (w - h) h + pi h2/4. Narrower than high, it is an ellipse of the same width and height. */
export const beadArea = (widthMm: number, heightMm: number): number =>
  widthMm >= heightMm
    ? (widthMm - heightMm) * heightMm + (Math.PI * heightMm * heightMm) / 4
    : (Math.PI * widthMm * heightMm) / 4

/** Distance between the centre lines of two beads that leaves no void, mm: area / height. */
export const pitchOf = (widthMm: number, heightMm: number): number => beadArea(widthMm, heightMm) / heightMm

/** Width of the bead whose pitch is the given one, mm. */
export const widthOfPitch = (pitchMm: number, heightMm: number): number =>
  pitchMm >= (Math.PI / 4) * heightMm ? pitchMm + roundingMm(heightMm) : (pitchMm * 4) / Math.PI

/** Area of round filament, mm2. */
export const filamentArea = (diameterMm: number): number => (Math.PI * diameterMm * diameterMm) / 4

/** Speed at which filament must be fed to lay a bead, mm/s. */
export const feedMmPerS = (widthMm: number, heightMm: number, speedMmPerS: number, filamentMm: number): number =>
  (beadArea(widthMm, heightMm) * speedMmPerS) / filamentArea(filamentMm)

/** How many beads of what width fill a wall. */
export interface BeadCount {
  readonly n: number
  readonly widthMm: number
}

/**
 * Number of beads across a wall between two free faces, by the nearest integer, and the width that makes them fill it.
 * @param spacing "side by side": pitch = width; "overlapping": pitch = w - h(1 - pi/4), as the planner lays them
 */
export const countBeads = (
  thicknessMm: number,
  nominalMm: number,
  heightMm: number,
  spacing: 'side by side' | 'overlapping',
): BeadCount => {
  const rim = spacing === 'overlapping' ? roundingMm(heightMm) : 0
  const n = Math.max(1, Math.round((thicknessMm - rim) / (nominalMm - rim)))
  return { n, widthMm: (thicknessMm - rim) / n + rim }
}
