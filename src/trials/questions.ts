// The questions: what each small piece asks, which settings it can judge and which way they help, and what of it counts as good.

import type { SuccessShape } from './success-model.ts'
import type { CouponQuestion, LadderSetting, Measure, Reading } from './types.ts'

/** How a person finds out. */
export interface MeasureRow {
  readonly measure: Measure
  readonly unit: '' | 'mm' | 'g'
  /** What to do and what to write down, one sentence. */
  readonly how: string
  /** Whether the reading says how many were looked at. */
  readonly counts: boolean
}

export const MEASURE_ROWS: Readonly<Record<Measure, MeasureRow>> = {
  good: { measure: 'good', unit: '', how: 'Count the pieces that came out as they should.', counts: true },
  strings: {
    measure: 'strings',
    unit: '',
    how: 'Count the pairs of pins with a thread you can see between them, before you touch anything.',
    counts: true,
  },
  gaps: { measure: 'gaps', unit: '', how: 'Hold it to the light: 1 if a gap is seen, 0 if not.', counts: false },
  leaning: {
    measure: 'leaning',
    unit: '',
    how: 'Count the posts that lean, bulge or have a melted look; sight along the row against something straight.',
    counts: true,
  },
  sag: {
    measure: 'sag',
    unit: 'mm',
    how: 'Measure with calipers how far the longest span hangs below its ends.',
    counts: false,
  },
  wall: {
    measure: 'wall',
    unit: 'mm',
    how: 'Measure the wall with calipers at half height in the middle of all four sides; write down the mean.',
    counts: false,
  },
  snap: {
    measure: 'snap',
    unit: 'g',
    how: 'Hold the foot on a block, press the mark at the tip straight down on a kitchen scale until it snaps; write down the highest reading. Eye protection on.',
    counts: false,
  },
}

export interface QuestionRow {
  readonly question: CouponQuestion
  readonly title: string
  readonly asks: string
  /** Settings it judges, and how success goes with each. */
  readonly settings: Readonly<Partial<Record<LadderSetting, SuccessShape>>>
  /** What is written down, the one that decides first. */
  readonly measures: readonly Measure[]
  /** Pieces to a row that can be counted. */
  readonly pieces: number
}

export const QUESTIONS: Readonly<Record<CouponQuestion, QuestionRow>> = {
  posts: {
    question: 'posts',
    title: 'row of thin posts',
    asks: 'Does plastic already laid soften again when the next layer lands on it?',
    settings: {
      leastLayerTimeS: 'rising',
      fanShare: 'rising',
      nozzleC: 'falling',
      outerShellSpeedMmPerS: 'window',
    },
    measures: ['leaning', 'good'],
    pieces: 3,
  },
  comb: {
    question: 'comb',
    title: 'comb of spans and slopes',
    asks: 'How far does plastic hold itself up across a span, and how flat a slope comes out clean?',
    settings: { fanShare: 'rising', nozzleC: 'falling', outerShellSpeedMmPerS: 'window' },
    measures: ['good', 'sag'],
    pieces: 8,
  },
  pins: {
    question: 'pins',
    title: 'pairs of pins',
    asks: 'Does the nozzle draw threads when it travels across open air?',
    settings: { retractionMm: 'rising', nozzleC: 'falling', flowShare: 'falling' },
    measures: ['strings', 'good'],
    pieces: 4,
  },
  rods: {
    question: 'rods',
    title: 'rods to snap',
    asks: 'How well do layers hold together?',
    settings: { nozzleC: 'rising', fanShare: 'falling', leastLayerTimeS: 'falling' },
    measures: ['snap'],
    pieces: 3,
  },
  box: {
    question: 'box',
    title: 'one-shell box',
    asks: 'Does as much plastic come out as the machine believes?',
    settings: { flowShare: 'window' },
    measures: ['wall', 'gaps', 'good'],
    pieces: 1,
  },
}

/** A sag or a wall that is off by more than this counts as not good, mm. Common practice, no source. */
const MOST_SAG_MM = 0.5
const MOST_WALL_OFF_MM = 0.03

/** What a reading says about success: so many good of so many; null for one that is no matter of good or bad (grams). */
export const successOf = (
  { measure, value, of }: Reading,
  beadWidthMm: number,
): { readonly good: number; readonly tried: number } | null => {
  const tried = of ?? 1
  switch (measure) {
    case 'good':
      return { good: Math.min(value, tried), tried }
    case 'strings':
    case 'leaning':
      return { good: Math.max(0, tried - value), tried }
    case 'gaps':
      return { good: value > 0 ? 0 : 1, tried: 1 }
    case 'sag':
      return { good: value <= MOST_SAG_MM ? 1 : 0, tried: 1 }
    case 'wall':
      return { good: Math.abs(value - beadWidthMm) <= MOST_WALL_OFF_MM ? 1 : 0, tried: 1 }
    case 'snap':
      return null
  }
}
