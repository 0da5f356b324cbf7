// How it will look: steps on slopes, undersides and their sag, props, shape that is lost, shrinkage and curl, bead starts, the printed
// surface as a mesh.
//
// Model: stairs of beads with half-round sides; viscous beams over air; opening by a disc of a bead; plane geometry and a block held flat
// until it is off the bed. Sources and limits stand in each file. Limits of all: no waviness of the machine, no surplus on the surface.
export { type BeadSetting, beadSetting, type SettingConditions, viscosityPaS } from './bead-setting.ts'
export { footingShare, layerShiftMm, slopeFooting } from './footing.ts'
export type { HangingConditions } from './hanging.ts'
export { lookAtSurface, type SurfaceSubject, supportedSpanMm } from './look-at-surface.ts'
export { type PredictedSurface, type PredictOptions, predictSurface } from './predict-surface.ts'
export { frontOf } from './regions.ts'
export { edgeLossMm, firstLayerSqueezeMm } from './shape-lost.ts'
export { blockCurvature, riseMm, shrinkShare, stripCurvature } from './shrink-curl.ts'
export { cuspHeight, sharpRa, stepDepth, stepRa } from './step-profile.ts'
export * from './types.ts'
export { stepsShow, viewingWords } from './viewing.ts'
export { spanSagMm, spanSagRate, stadiumMoment, stubSagMm, stubSagRate, weightPerMm } from './viscous-sag.ts'
export { writePredicted } from './write-predicted.ts'
