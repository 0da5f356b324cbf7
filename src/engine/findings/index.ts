// Findings: what will go wrong, where, why, how sure, and what could be changed.
// Model: one table of rules over the rooms' results; limits and their sources stand in each rule. Effects are filled in by examine.
export { bestRemedy, broughtBy, remedyRank, type Worth, worthOf } from './best-remedy.ts'
export { HEAT_RULES, judge, OUTLINE_RULES, PRINT_RULES, RULES, ruleOf } from './judge.ts'
export type { HeatLook, PrintResults, RoomResults, RuleSettings } from './results.ts'
export type { Measure, Rule, Spot } from './rule.ts'
export { bondShares, landingC } from './rules/heat.ts'
export { softOverBedMm } from './rules/recipe-bed.ts'
export { checkRecipe } from './rules/recipe-checks.ts'
export {
  grindLimitMm,
  PLAY_SHARE,
  type RecipeRemark,
  type RemarkKind,
  slowestOuterShell,
} from './rules/recipe-remark.ts'
export { checkStep, MOST_NOZZLE_STEP_C } from './rules/recipe-step.ts'
export * from './types.ts'
