// Trials: what should be printed next, on what small piece, and what does the outcome say?
//
// Model: a probit curve of success against one setting with a posterior on a grid; the next print is the one expected to teach most about
// which levels work. Up and down beside it as the simple way.
// Sources stand in each step. Limits: one setting at a time; the curve is monotone or one window.
export { CAUTIONS, type Caution, type CautionPlace, cautionsFor } from './cautions.ts'
export type { Estimate } from './constants/estimate.ts'
export {
  estimateOwnNumbers,
  type OwnNumbers,
  ownNumbersSentence,
  withOwnNumbers,
} from './constants/own-numbers.ts'
export { type DryCheck, type DryRun, dryRun } from './coupon/dry-run.ts'
export { type Coupon, type CouponRow, type CouponWish, makeCoupon, rowWords } from './coupon/make-coupon.ts'
export { type WrittenCoupon, writeCoupon } from './coupon/write-coupon.ts'
export type { Opinion } from './expectations.ts'
export { forecastTurn } from './forecast.ts'
export {
  LADDERS,
  type Ladder,
  ladderFault,
  ladderNamed,
  levelsOf,
  levelWords,
  reachable,
  type TrialCards,
} from './ladders.ts'
export { informationAt, informationOfRows, mostTelling, mostTellingRun, workGroups } from './next-level.ts'
export { PLAN_DEFAULTS, type PlanOptions, planTrial, type TrialPlan } from './plan-trial.ts'
export { MEASURE_ROWS, QUESTIONS, type QuestionRow, successOf } from './questions.ts'
export { addEntry, checkEntry, outcomesOf, readTrials, standing } from './read-record.ts'
export { fitResponse, mostPromising, responseAt } from './response-model.ts'
export { betaQuantile, betaShare, jeffreysInterval, judgeInTurn, wilsonInterval } from './share-interval.ts'
export {
  ALIKE,
  chanceAt,
  entropyOf,
  LAPSE,
  learn,
  type SuccessModel,
  successPrior,
  sureOf,
  thresholdOf,
  upperOf,
} from './success-model.ts'
export {
  ASK_IDS,
  type AskId,
  CAUSES,
  type Cause,
  QUESTIONS_TO_ASK,
  SYMPTOM_IDS,
  SYMPTOMS,
  type Symptom,
} from './symptoms/causes.ts'
export { answerWords, type ChangeToMake, changeFor } from './symptoms/change.ts'
export { type CauseChance, type Complaint, type Diagnosis, diagnose } from './symptoms/diagnose.ts'
export {
  type Evidence,
  evidenceOfHeat,
  evidenceOfPrint,
  evidenceOfRecipe,
  softLayerShare,
} from './symptoms/evidence.ts'
export * from './types.ts'
export { estimateUpAndDown, nextUpAndDown } from './up-and-down.ts'
