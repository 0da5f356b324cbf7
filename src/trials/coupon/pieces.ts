// The pieces: one row of each coupon as a solid, what of the recipe it needs changed, and what to look at.
//
// Sizes are ours: near the thin parts of figures of 28-32 mm, and strong enough to be taken off the bed.

import type { Recipe } from '../../recipe/index.ts'
import type { TrialCards } from '../ladders.ts'
import type { CouponQuestion } from '../types.ts'
import { boxPart, leaningPart, type Part, rodPart } from './solids.ts'

/** One row before it is laid. Lengths mm. */
export interface Piece {
  readonly parts: readonly Part[]
  readonly heightMm: number
  /** Lines of the recipe that belong to the piece, not to the test. */
  readonly recipe: Partial<Recipe>
  /** Numbers that a person needs for the outcome, e.g. the lever of a rod. */
  readonly facts: Readonly<Record<string, number>>
  /** What to look at and how to write it down. */
  readonly look: readonly string[]
}

/** Height of so many layers from the bed, with at least `mm`. */
const upTo = (mm: number, { firstLayerHeightMm, layerHeightMm }: Recipe): number =>
  firstLayerHeightMm + Math.max(1, Math.ceil((mm - firstLayerHeightMm) / layerHeightMm - 1e-9)) * layerHeightMm

/** Thickness of a foot: enough to take the row off the bed in one piece. */
const FOOT_MM = 0.4
const rounded = (mm: number): number => Number(mm.toFixed(3))

const POST_MM = 2
/** Few, so that a layer can be laid in a time short enough to go wrong. */
const N_POSTS = 3
const posts = ({ recipe }: TrialCards): Piece => {
  const foot = upTo(FOOT_MM, recipe)
  const top = upTo(foot + 6, recipe)
  const pitch = 6
  const half = ((N_POSTS - 1) * pitch) / 2
  return {
    parts: [
      boxPart(-half - 3, -2.5, 0, half + 3, 2.5, foot),
      ...Array.from({ length: N_POSTS }, (_, i) => rodPart(-half + i * pitch, 0, POST_MM, foot, top)),
    ],
    heightMm: top,
    recipe: {},
    facts: { posts: N_POSTS, diameterMm: POST_MM, postHeightMm: rounded(top - foot) },
    look: [
      'Look at each post once it is cold: does it stand straight, with the same width all the way up and clean layers?',
      `Write down how many of the ${N_POSTS} lean, bulge or look melted: "LEVEL:leaning=COUNT/${N_POSTS}".`,
    ],
  }
}

const SPANS_MM = [3, 5, 8, 12]
const SLOPES_DEG = [30, 45, 55, 65]
const comb = ({ recipe }: TrialCards): Piece => {
  const foot = upTo(FOOT_MM, recipe)
  const under = upTo(foot + 2.5, recipe)
  const top = upTo(under + 0.8, recipe)
  const slopeTop = upTo(foot + 3, recipe)
  const parts: Part[] = []
  const pier = 2
  const depth = 3
  let x = 0
  const pierAt = (): void => {
    parts.push(boxPart(x, -depth / 2, foot, x + pier, depth / 2, under))
    x += pier
  }
  pierAt()
  for (const span of SPANS_MM) {
    x += span
    pierAt()
  }
  parts.push(boxPart(0, -depth / 2, under, x, depth / 2, top))
  for (const degrees of SLOPES_DEG) {
    x += 2
    const lean = (slopeTop - foot) * Math.tan((degrees * Math.PI) / 180)
    parts.push(leaningPart(x, -depth / 2, foot, x + pier, depth / 2, slopeTop, lean))
    x += pier + lean
  }
  return {
    parts: [boxPart(-1, -depth / 2 - 1, 0, x + 1, depth / 2 + 1, foot), ...parts],
    heightMm: top,
    recipe: {},
    facts: { spans: SPANS_MM.length, longestSpanMm: SPANS_MM[SPANS_MM.length - 1], slopes: SLOPES_DEG.length },
    look: [
      `Look under the spans of ${SPANS_MM.join(', ')} mm and the slopes of ${SLOPES_DEG.join(', ')} degrees from upright.`,
      `Count those without loops, drips or ragged edges: "LEVEL:good=COUNT/${SPANS_MM.length + SLOPES_DEG.length}".`,
      'With calipers: how far the longest span hangs below its ends, mm: "LEVEL:sag=MM".',
    ],
  }
}

const GAPS_MM = [4, 8, 12, 16]
const PIN_MM = 3
const pins = ({ recipe }: TrialCards): Piece => {
  const foot = upTo(FOOT_MM, recipe)
  const top = upTo(foot + 4, recipe)
  const pinParts: Part[] = []
  let x = 0
  for (const gap of [0, ...GAPS_MM]) {
    x += gap
    pinParts.push(rodPart(x + PIN_MM / 2, 0, PIN_MM, foot, top))
    x += PIN_MM
  }
  return {
    parts: [boxPart(-1, -2.5, 0, x + 1, 2.5, foot), ...pinParts],
    heightMm: top,
    recipe: {},
    facts: { pairs: GAPS_MM.length, shortestGapMm: GAPS_MM[0], longestGapMm: GAPS_MM[GAPS_MM.length - 1] },
    look: [
      `Look across the ${GAPS_MM.length} gaps of ${GAPS_MM.join(', ')} mm between neighbouring pins, against something dark, before you touch anything.`,
      `Write down in how many a thread is seen: "LEVEL:strings=COUNT/${GAPS_MM.length}".`,
    ],
  }
}

const ROD_MM = 2.5
const N_RODS = 3
/** Free height above a finished row that the gantry must keep, mm. */
const GANTRY_ROOM_MM = 3
const rods = ({ recipe, printer }: TrialCards): Piece => {
  const foot = upTo(0.8, recipe)
  const tallest = Math.min(foot + 13, printer.gantryHeightMm - GANTRY_ROOM_MM)
  const top = upTo(tallest - recipe.layerHeightMm, recipe)
  const pitch = 12
  const half = ((N_RODS - 1) * pitch) / 2
  const pressMm = 1
  return {
    parts: [
      boxPart(-half - 5, -4, 0, half + 5, 4, foot),
      ...Array.from({ length: N_RODS }, (_, i) => rodPart(-half + i * pitch, 0, ROD_MM, foot, top)),
    ],
    heightMm: top,
    recipe: {},
    facts: { rods: N_RODS, diameterMm: ROD_MM, leverMm: rounded(top - foot - pressMm) },
    look: [
      `Clamp the foot upright at the edge of a block, the rod lying level; press its tip, ${pressMm} mm from the end, on a kitchen scale until it snaps, slowly and straight down.`,
      `Write down the highest reading of each of the ${N_RODS} rods in grams, one after the other: "LEVEL:snap=GRAMS".`,
      'A rod that bends and does not snap is written down with the highest reading and a note.',
    ],
  }
}

const BOX_MM = 16
const box = ({ recipe }: TrialCards): Piece => ({
  parts: [boxPart(-BOX_MM / 2, -BOX_MM / 2, 0, BOX_MM / 2, BOX_MM / 2, upTo(5, recipe))],
  heightMm: upTo(5, recipe),
  recipe: { nShells: 1, infillShare: 0, capThicknessMm: 0, gapBeads: false },
  facts: { sideMm: BOX_MM, wallMm: recipe.beadWidthMm },
  look: [
    `Measure the wall in the middle of all four sides at half height; it should be ${recipe.beadWidthMm} mm. Write down the mean: "LEVEL:wall=MM".`,
    'Hold it to the light and look for gaps: "LEVEL:gaps=yes" or "LEVEL:gaps=no".',
  ],
})

const PIECES: Readonly<Record<CouponQuestion, (cards: TrialCards) => Piece>> = { posts, comb, pins, rods, box }

/** One row of a coupon for these cards. */
export const pieceFor = (question: CouponQuestion, cards: TrialCards): Piece => PIECES[question](cards)
