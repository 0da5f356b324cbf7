// What is published: the sheet as a self-contained HTML file and as data, and the plain words both share.
// Question answered: how do I hand the examination to somebody else? Limits: the sheet holds no mesh and cannot be examined again.
export { CODE_FORM, CODE_VERSION, codeJson, codeLine } from './code-json.ts'
export { fieldGlb, type SurfaceQuantity } from './field-glb.ts'
export { fieldVtu, type LayerQuantity } from './field-vtu.ts'
export { type FieldFacts, type FieldQuantity, fieldFacts, surfaceQuantity } from './field-words.ts'
export { handOutHtml } from './hand-out-html.ts'
export { heatRows } from './heat-words.ts'
export { type CleanPhoto, cleanPhoto, PHOTO_LIMITS } from './photo-clean.ts'
export { type Plain, plain } from './plain.ts'
export { printRows } from './print-words.ts'
export { checkAbout, EMPTY_ABOUT, type GuideAbout, type PhotoAbout } from './publish-about.ts'
export { publishHtml } from './publish-html.ts'
export {
  type CarryTable,
  GUIDE_LIMITS,
  type GuideContent,
  type GuideExamination,
  type PublishedPhoto,
} from './publish-types.ts'
export { readCarried } from './read-carried.ts'
export { looksPublished, type Published, readPublished } from './read-published.ts'
export { sheetHtml } from './sheet-html.ts'
export { SHEET_FORM, SHEET_VERSION, type SheetSource, sheetJson, sheetLine } from './sheet-json.ts'
export { strengthRows } from './strength-words.ts'
export { surfaceRows } from './surface-words.ts'
export {
  CAUTIONS,
  certaintyWords,
  durationWords,
  effectWords,
  evidenceWords,
  numberWords,
  placeWords,
  pointWords,
  settingRows,
  withUnit,
} from './words.ts'
