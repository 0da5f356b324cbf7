// What the planner needs to know: a recipe (and a few lines of the cards) fits this shape.

/** Settings of the plan. Lengths mm, speeds mm/s, shares 0-1 unless said. */
export interface BeadWishes {
  /** Nominal bead width. */
  readonly beadWidthMm: number
  /** Narrowest and widest bead laid on purpose; the usual range is 0.5 to 1.8 of the nominal width. */
  readonly leastBeadWidthMm: number
  readonly mostBeadWidthMm: number
  readonly nShells: number
  /** Solid floor and roof of the figure; not a count of layers. */
  readonly capThicknessMm: number
  /** Share of the inside that is filled; 1 lays lines side by side everywhere. */
  readonly infillShare: number
  /** How far the ends of infill and cap lines reach into the innermost shell, share of the bead width. */
  readonly infillReachShare: number
  readonly gapBeads: boolean
  /** Volume pushed out as a share of the nominal. */
  readonly flowShare: number
  readonly nPrimingLoops: number
  readonly primingLoopGapMm: number
  readonly speedMmPerS: number
  readonly outerShellSpeedMmPerS: number
  readonly firstLayerSpeedMmPerS: number
  readonly travelSpeedMmPerS: number
  readonly liftMm: number
  readonly retractionMm: number
  readonly retractionSpeedMmPerS: number
  /** Travels shorter than this are made without retraction even across air. */
  readonly leastTravelToRetractMm: number
  readonly nozzleC: number
  readonly firstLayerNozzleC: number
  readonly bedC: number
  readonly fanShare: number
  /** First layer with the fan on, counted from 1. */
  readonly fanFromLayer: number
  /** What becomes of a leftover that has no length: a standing deposit of its volume, or nothing. From the printer card. */
  readonly leftoverPoints?: 'deposit' | 'empty'
  /** Lays the outer shell before the inner ones. Default false: inner shells first, so the outer one leans on them where it overhangs. */
  readonly outerShellFirst?: boolean
  /** For grams in the report; default 1.24 (PLA). */
  readonly densityGPerCm3?: number
}

/** Starting values for figures of 28-32 mm: common practice, no source. */
export const BEAD_WISHES_DEFAULTS: Readonly<Required<BeadWishes>> = Object.freeze({
  beadWidthMm: 0.4,
  leastBeadWidthMm: 0.2,
  mostBeadWidthMm: 0.72,
  nShells: 3,
  capThicknessMm: 0.8,
  infillShare: 0.5,
  infillReachShare: 0.15,
  gapBeads: true,
  flowShare: 0.95,
  nPrimingLoops: 2,
  primingLoopGapMm: 3,
  speedMmPerS: 45,
  outerShellSpeedMmPerS: 22.5,
  firstLayerSpeedMmPerS: 20,
  travelSpeedMmPerS: 100,
  liftMm: 0,
  retractionMm: 5,
  retractionSpeedMmPerS: 40,
  leastTravelToRetractMm: 1.5,
  nozzleC: 195,
  firstLayerNozzleC: 205,
  bedC: 60,
  fanShare: 1,
  fanFromLayer: 2,
  leftoverPoints: 'empty',
  outerShellFirst: false,
  densityGPerCm3: 1.24,
})
