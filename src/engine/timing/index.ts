// Question answered: when is every bead laid, how fast does the nozzle really go, how long does each layer and the whole print take?
// Model: constant acceleration, full look-ahead, speed carried through corners by one of two rules, curves held to a r.
// Sources: constant-acceleration kinematics; circle through a corner at a given deviation (plane geometry).
// Limits: no jerk, no resonance, no queue that runs dry, no wait for temperatures between layers; totals name what they assume.
export type { BeadMotion } from './lay-chain.ts'
export { machineFit } from './machine-fit.ts'
export { sharedTimeline } from './shared-timeline.ts'
export { TIMING_DEFAULTS, type TimingCards, type TimingOptions, timeBeads } from './time-beads.ts'
export { motionLimits, timeMoves } from './time-moves.ts'
export type { MachineFit, MotionLimits, MoveList, MoveTimes, Timeline, TimeTotals } from './types.ts'
