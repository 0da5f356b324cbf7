// Pictures as SVG text: one look for bench, sheet file and command. Takes plain arrays, imports nothing above the kernel.
export type { BeadsInPlan, PlasticGrid } from './bead-marks.ts'
export { cividis, cividisBytes } from './cividis.ts'
export { type ElevationFrame, elevationSvg, reachOf, type StackPicture } from './elevation-svg.ts'
export { type FlagSeverity, flagMarks, flagSvg, SEVERITY_WORDS } from './flag-svg.ts'
export { heightTable } from './height-table.ts'
export { type LegendLimit, legendHeightPx, legendSvg } from './legend-svg.ts'
export { PROFILE_INSET, type ProfileLine, type ProfilePicture, profileSvg } from './profile-svg.ts'
export { bedMarks, ruleMarks, scaleBarMarks } from './rule-svg.ts'
export { type HeightFrame, heightScale, printedText, printedUnit, shown } from './scales.ts'
export {
  type AlongOutline,
  type LoopsInPlan,
  type PlanMark,
  type PlanScale,
  planScale,
  type SectionFrame,
  type SectionPicture,
  sectionSvg,
} from './section-svg.ts'
export { type SoftMark, type SoftPlot, softSvg } from './soft-svg.ts'
export { galleryScale, type StanceInGallery, stanceGallerySvg, stancePicture } from './stance-gallery-svg.ts'
export { escapeText } from './svg-text.ts'
export { TRACK_FOOT_PX, type TrackFrame, type TrackPicture, trackRange, trackSentence, trackSvg } from './track-svg.ts'
export { type PieceInPlan, type TrayPicture, traySvg } from './tray-svg.ts'
