// Strength: what breaks, in the hand and off the table.
//
// Quick look: limbs as a frame of beams with true sections, clamped at the base; hands by beam theory and the elastica, falls by the
// vibrations that a stopped base starts. Full field: cubes on a regular grid with bending modes, matrix-free, multigrid.
// Limits: beams at forks, no second impact, no cracks; every step says its own. Sources stand in each step.
export { breakChance, normalShare, ranged, SCATTER_DEFAULTS, type Scatter } from './chance.ts'
export {
  DROP_MODES_DEFAULTS,
  type DropByModes,
  type DropFloor,
  type DropModesOptions,
  type DropSubject,
  dropByModes,
  type ModalAttitude,
} from './drop-modes.ts'
export { type BentLimb, bendLimb, bendToBreak } from './elastica.ts'
export { type FillGrid, fillGrid } from './fill-grid.ts'
export {
  extrapolate,
  FIELD_DEFAULTS,
  type FieldAnswer,
  type FieldLoad,
  type FieldModel,
  type FieldOptions,
  type FieldPreview,
  type FieldTask,
  type FullField,
  fieldModel,
  fullField,
  loadField,
} from './full-field.ts'
export {
  contactModulusMPa,
  eulerN,
  fallingWeightFactor,
  fallSpeedMmPerS,
  hertzImpact,
  hertzPress,
  pulseShare,
} from './impact.ts'
export { infillShares, limitsAlong, type StrengthMaterial, tensionLimitMPa } from './material.ts'
export { notchOfStep } from './notch.ts'
export { quickStrength, STRENGTH_DEFAULTS, type StrengthOptions, weldOf } from './quick-strength.ts'
export { pinEffect } from './remedies.ts'
export { standingOf } from './standing.ts'
export { lessExpansion, type Temperature, thermalForces } from './thermal-load.ts'
export * from './types.ts'
export {
  estimateField,
  type FieldEstimate,
  WHOLE_FIELD_DEFAULTS,
  type WholeField,
  type WholeFieldOptions,
  type WholeLoad,
  wholeField,
} from './whole-field.ts'
