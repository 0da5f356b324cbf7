// What the machine lays down: outlines and wishes into beads in laying order.
//
// Model: beads of stadium section, closed shells one pitch apart from outside in, beads of varying width where no whole one fits,
// caps by distance from the nearest end of the figure, straight infill. Order and travels by the policy in order-layer.ts.
// Limits: what the plastic does where it has too much or too little room is another room's question (melt).
export {
  type BeadCount,
  beadArea,
  countBeads,
  feedMmPerS,
  filamentArea,
  pitchOf,
  roundingMm,
  widthOfPitch,
} from './bead-section.ts'
export { type AxisOptions, type AxisPath, medialAxis } from './medial-axis.ts'
export { type PlannedBeads, planBeads } from './plan-beads.ts'
export type { PlanReport } from './report.ts'
export { type LayerShells, shellsOf } from './shells.ts'
export * from './types.ts'
export { BEAD_WISHES_DEFAULTS, type BeadWishes } from './wishes.ts'
