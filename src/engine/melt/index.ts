// Question answered: where has the plastic no room, where is it missing, what is dragged across the air, what is chewed or not melted?
//
// Models: volume laid against room on a grid of half beads, surplus carried upwards until it finds a way out; stored pressure that
// dies away with a time constant; counting of filament under the gear; warming of a bar to its core.
// Limits: plastic yields sideways by one bead and no farther; beads are stadiums; no swell, no drag of surplus by the nozzle.
export { balanceOf } from './balance.ts'
export { flowErrorOf } from './flow-error.ts'
export { gearPasses } from './gear-passes.ts'
export { type LaidField, laidField } from './laid-field.ts'
export { type LayerSurplus, surplusOfLayer } from './layer-surplus.ts'
export { conductionLimit, diffusivityOf, type MeltLimitOptions, meltLimit } from './melt-limit.ts'
export { STEADY_FLOW_DEFAULTS, type SteadyFlowOptions, steadyFlow } from './steady-flow.ts'
export { findStrings, type Oozed, oozedAfter, STRING_DEFAULTS, type StringOptions } from './strings.ts'
export * from './types.ts'
