// A coupon: one row of small pieces for every level of the setting under test, laid row by row, so that height and layer time are not
// mistaken for the setting. Planned by the same beads room as a figure; it can be looked at and examined as a solid.

import type { BeadPlan } from '../../engine/beads/index.ts'
import { breathe, failed, good, type Outcome, type PolygonKit, partOf, type Task } from '../../engine/kernel/index.ts'
import type { Mesh } from '../../engine/mesh/index.ts'
import { type Timeline, timeBeads } from '../../engine/timing/index.ts'
import type { Recipe } from '../../recipe/index.ts'
import { type Caution, cautionsFor } from '../cautions.ts'
import { LADDERS, ladderFault, levelWords, type TrialCards } from '../ladders.ts'
import { QUESTIONS } from '../questions.ts'
import { type CouponQuestion, type LadderSetting, RECORD_LIMITS } from '../types.ts'
import { ASIDE_MM, type JoinedRows, joinRows, type LaidRow } from './join-rows.ts'
import { pieceFor } from './pieces.ts'
import { type PlannedRow, planRow } from './plan-row.ts'
import { meshOf } from './solids.ts'

export interface CouponWish {
  readonly question: CouponQuestion
  readonly setting: LadderSetting
  /** Levels in the order they are laid. */
  readonly levels: readonly number[]
  /** 2 when this is the second run, with the order reversed. */
  readonly run: 1 | 2
}

/** One row as it lies on the bed. */
export interface CouponRow {
  /** From 1, in the order of laying; row 1 is at the front. */
  readonly row: number
  readonly level: number
  /** Middle of the row on the bed, mm. */
  readonly x: number
  readonly y: number
  readonly recipe: Recipe
}

export interface Coupon extends CouponWish {
  readonly kind: 'coupon'
  readonly cards: TrialCards
  readonly rows: readonly CouponRow[]
  /** One row by itself, about its own middle; and all rows as they lie on the bed. Height of the tallest point, mm. */
  readonly rowSolid: Mesh
  readonly solid: Mesh
  readonly heightMm: number
  readonly joined: JoinedRows
  readonly timeline: Timeline
  readonly volumeMm3: number
  readonly massG: number
  /** From the first move to the last, without waits for heat, s. */
  readonly printS: number
  /** Numbers a person needs for the outcome, e.g. the lever of a rod, mm. */
  readonly facts: Readonly<Record<string, number>>
  readonly look: readonly string[]
  readonly cautions: readonly Caution[]
}

/** Margin to the edge of the bed, mm. */
const EDGE_MM = 5

interface Extents {
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}
const extentsOf = ({ points, pointWidth }: BeadPlan): Extents => {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < pointWidth.length; i++) {
    const half = pointWidth[i] / 2
    x0 = Math.min(x0, points[3 * i] - half)
    x1 = Math.max(x1, points[3 * i] + half)
    y0 = Math.min(y0, points[3 * i + 1] - half)
    y1 = Math.max(y1, points[3 * i + 1] + half)
  }
  return { x0, y0, x1, y1 }
}

/** Places for so many rows: columns from left to right, rows from front to back, the head always clear of what is finished. */
const placesFor = (
  n: number,
  { x0, y0, x1, y1 }: Extents,
  { printer }: TrialCards,
): Outcome<readonly (readonly [number, number])[]> => {
  const clear = printer.headRadiusMm + 1
  const width = x1 - x0 + ASIDE_MM
  const depth = y1 - y0
  const across = Math.floor((printer.bedXMm - 2 * EDGE_MM + clear) / (width + clear))
  const along = Math.floor((printer.bedYMm - 2 * EDGE_MM + clear) / (depth + clear))
  if (across * along < n)
    return failed(
      'trials/does-not-fit',
      `${Math.max(0, across * along)} rows of this coupon fit on a bed of ${printer.bedXMm} x ${printer.bedYMm} mm with room for the head, not ${n}; take fewer levels.`,
    )
  const nAlong = Math.min(along, n)
  const nAcross = Math.ceil(n / nAlong)
  const left = (printer.bedXMm - nAcross * width - (nAcross - 1) * clear) / 2
  const front = (printer.bedYMm - nAlong * depth - (nAlong - 1) * clear) / 2
  return good(
    Array.from({ length: n }, (_, i) => {
      const column = Math.floor(i / nAlong)
      const row = i % nAlong
      return [left + column * (width + clear) + ASIDE_MM - x0, front + row * (depth + clear) - y0] as const
    }),
  )
}

/**
 * Makes a coupon. Fails with codes "trials/no-such-ladder", "trials/levels", "trials/too-tall", "trials/does-not-fit".
 * Levels at most a ladder's step apart and within the cards' ends; rows are laid one after the other.
 */
export const makeCoupon = async (
  wish: CouponWish,
  cards: TrialCards,
  kit: PolygonKit,
  task?: Task,
): Promise<Outcome<Coupon>> => {
  const { question, setting, levels } = wish
  const ladder = LADDERS[setting]
  const row = QUESTIONS[question]
  if (!row.settings[setting])
    return failed('trials/no-such-ladder', `The ${row.title} cannot judge ${ladder.label}; choose another coupon.`)
  if (levels.length === 0 || levels.length > RECORD_LIMITS.levels)
    return failed('trials/levels', `A coupon takes 1 to ${RECORD_LIMITS.levels} levels, not ${levels.length}.`)
  const fault = ladderFault(ladder, cards, levels)
  if (fault) return failed('trials/levels', `The levels do not make a ladder: ${fault}.`)
  const piece = pieceFor(question, cards)
  if (piece.heightMm >= cards.printer.gantryHeightMm || piece.heightMm + 10 > cards.printer.tallestMm)
    return failed(
      'trials/too-tall',
      `This coupon is ${piece.heightMm.toFixed(1)} mm tall; rows laid one after the other must stay under the gantry at ${cards.printer.gantryHeightMm} mm.`,
    )
  const rowSolid = meshOf(piece.parts)
  const planned: PlannedRow[] = []
  for (const [i, level] of levels.entries()) {
    const part = partOf(task, i / levels.length, (i + 1) / levels.length)
    planned.push(await planRow(piece, setting, level, cards, kit, part))
    await breathe(task)
  }
  const extents = extentsOf(planned[0].plan)
  const places = placesFor(levels.length, extents, cards)
  if (!places.ok) return places
  const laid = planned.map(
    (one, i): LaidRow => ({
      ...one,
      x: places.value[i][0],
      y: places.value[i][1],
      leftMm: extents.x0,
    }),
  )
  const joined = joinRows(laid)
  const timeline = await timeBeads(joined.plan, cards, { slowDown: false }, task)
  const volumeMm3 = joined.plan.volume.reduce((a, b) => a + b, 0)
  const cautions = cautionsFor('coupon', ...(row.measures.includes('snap') ? (['snap'] as const) : []))
  return good({
    ...wish,
    kind: 'coupon',
    cards,
    rows: laid.map(({ x, y, recipe }, i) => ({ row: i + 1, level: levels[i], x, y, recipe })),
    rowSolid,
    solid: meshOf(piece.parts, places.value),
    heightMm: piece.heightMm,
    joined,
    timeline,
    volumeMm3,
    massG: (volumeMm3 * cards.filament.densityGPerCm3) / 1000,
    printS: timeline.totals.printS,
    facts: piece.facts,
    look: piece.look.map((line) => line.replaceAll('LEVEL', String(Number(levels[0].toFixed(ladder.decimals))))),
    cautions,
  })
}

/** The rows in words, front to back: which level lies where. */
export const rowWords = ({ rows, setting }: Coupon): readonly string[] =>
  rows.map(
    ({ row, level, x, y }) =>
      `row ${row}: ${LADDERS[setting].label} ${levelWords(LADDERS[setting], level)}, at x ${x.toFixed(0)} y ${y.toFixed(0)} mm`,
  )
