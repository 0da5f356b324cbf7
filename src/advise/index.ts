// Question answered: which recipe, for this figure, on this machine, with this spool; and how does a recipe go to other cards?
//
// Model: combinations of a few levels estimated from outlines, the unbeaten ones through the engine's own rooms; ratios of simple models of
// melt, motion and heat for carrying over. Limits: levels only, no search between them; every answer is computed and untried.
export { ADVICE_DEFAULTS, advise } from './advise.ts'
export { type Levels, VARIED_KEYS, type VariedKey } from './candidates.ts'
export { carryOver, meltLimitOf } from './carry-over.ts'
export { withNozzle } from './other-nozzle.ts'
export { seededNumbers, unbeatenRows } from './pareto.ts'
export { stancesToTry } from './stances-to-try.ts'
export { trialNumbers } from './trial.ts'
export type * from './types.ts'
