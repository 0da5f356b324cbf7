// Runs the rooms in order on one file: progress, cancel, partial results, reuse, effects of remedies.
export { settingsAfter } from './changed.ts'
export type {
  CodeDifference,
  CodeExamination,
  CodeReport,
  LayerFacts,
  OutlineSource,
  RoleSum,
} from './code-types.ts'
export { createExaminer, type Examiner, type ExamineTask, type HeatDetail, keptForSearch } from './create-examiner.ts'
export { type CodeFigure, codeReport, examineCode, examineCodeFile } from './examine-code.ts'
export { examineFigure } from './examine-figure.ts'
export { heatOverSurface, type SurfaceHeat } from './heat-over-surface.ts'
export { dropExamination } from './run-drop.ts'
export { createFieldRunner, FIELD_CELLS, FIELD_WISHES, type FieldRunner, type FieldWish } from './run-field.ts'
export { predictPrinted } from './run-surface.ts'
export { checkSettings, EXAMINE_DEFAULTS, EXAMINE_RANGES, recipeInForce, withRecipe } from './settings.ts'
export * from './soft-series.ts'
export * from './types.ts'
