// Which steps are seen at arm's length: those that lie far enough apart for the eye to tell one from the next.
//
// Assumption: 400 mm, an arm's length for small things held to look at (common practice, no source); an eye of acuity 1.0, which tells
// lines apart whose gap is one minute of arc (ISO 8596, from memory), so a period of two minutes: 0.233 mm. Steps follow each other along
// the surface at t / sin theta: close on walls, wide apart where the surface is nearly level, which is where they are seen first.
// Limits: light from the side shows less; young eyes tell half that gap; paint fills shallow steps. Level places have no steps at all.

import { LEVEL_COS } from './step-profile.ts'

/** Distance the figure is looked at from, mm. */
export const ARM_MM = 400
/** Gap that an eye of acuity 1.0 tells, radians. */
export const ACUITY_RAD = Math.PI / 180 / 60

/** Least distance between steps that are told apart, mm. */
export const shownSpacingMm = (distanceMm = ARM_MM): number => 2 * distanceMm * Math.tan(ACUITY_RAD)

/** Distance between two steps along the surface, mm; Infinity where it is level. */
export const stepSpacingMm = (layerHeightMm: number, cosTheta: number): number => {
  const c = Math.abs(cosTheta)
  return c >= LEVEL_COS ? Infinity : layerHeightMm / Math.sqrt(1 - c * c)
}

/** Whether steps of this layer height show on a slope. */
export const stepsShow = (layerHeightMm: number, cosTheta: number, distanceMm = ARM_MM): boolean => {
  const spacing = stepSpacingMm(layerHeightMm, cosTheta)
  return spacing < Infinity && spacing >= shownSpacingMm(distanceMm)
}

/** The assumption in words. */
export const viewingWords = (): string =>
  `Looked at from ${ARM_MM} mm (arm's length, common practice, no source) by an eye of acuity 1.0, which tells steps apart from ${shownSpacingMm().toFixed(2)} mm on (two minutes of arc; ISO 8596, from memory).`
