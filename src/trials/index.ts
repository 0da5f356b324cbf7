// Trials: what should be printed next, on what small piece, and what does the outcome say?
export { addEntry, checkEntry, outcomesOf, readTrials, standing } from './read-record.ts'
export * from './types.ts'
