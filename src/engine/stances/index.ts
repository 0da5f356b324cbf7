// Stances. Question answered: how should the figure stand or lie on the bed, what does each stance give up, and would a cut help?
// Model: two thousand attitudes by sums over triangles and limbs, the unbeaten few through the full rooms, gains and losses in words.
// Sources: stair-step integral of the cusp height (Dolenc and Maekelae 1994); limits across layers as in strength. Limits: what one part
// shades from another is not seen by the cheap measures; props are estimated, not made; bonds count as full.
export { angleBetween, attitudeWords, stanceFacing, turnUpright, upOf } from './attitudes.ts'
export { restingDirections, sphereDirections } from './directions.ts'
export { findStances, STANCE_DEFAULTS, type StanceOptions, searchPrintOf } from './find-stances.ts'
export { chooseJoint, type JointLimits } from './joints.ts'
export {
  measureStance,
  type SearchBody,
  type SearchPrint,
  searchStances,
} from './search-stances.ts'
export { type SurfaceTable, surfaceTable } from './surface-table.ts'
export * from './types.ts'
