// A coupon as motion code. The one place that calls the writer: coupons only, a figure's own print file is never written.

import { good, type Outcome, type Task } from '../../engine/kernel/index.ts'
import { writeCode } from '../../engine/motioncode/index.ts'
import { LADDERS, levelWords } from '../ladders.ts'
import { QUESTIONS } from '../questions.ts'
import { type DryRun, dryRun } from './dry-run.ts'
import { OVER_ROWS_MM } from './join-rows.ts'
import { type Coupon, rowWords } from './make-coupon.ts'

export interface WrittenCoupon {
  readonly text: string
  readonly dryRun: DryRun
}

/** Height and place to leave to at the end: over everything, at the back left, mm. */
const END_RISE_MM = 10
const END_EDGE_MM = 5
const END_RETRACTION_MM = 2

const headOf = (coupon: Coupon): string[] => {
  const { question, setting, cards, run, massG, printS } = coupon
  return [
    `fettle coupon: ${QUESTIONS[question].title}`,
    `${QUESTIONS[question].asks}`,
    `printer: ${cards.printer.name}; filament: ${cards.filament.name}; recipe: ${cards.recipe.name}`,
    `under test: ${LADDERS[setting].label}, run ${run}, rows laid one after the other`,
    ...rowWords(coupon),
    `${massG.toFixed(2)} g, about ${Math.ceil(printS / 60)} min after heating`,
    `the bed begins at its front left corner at 0 0 and is ${cards.printer.bedXMm} by ${cards.printer.bedYMm} mm`,
    'stay near; check the first layer; nozzle and bed are hot',
  ]
}

/**
 * Writes a coupon and dry-runs what was written. Fails with "trials/dry-run", one issue for each thing that does not agree: then nothing
 * is offered.
 */
export const writeCoupon = async (coupon: Coupon, task?: Task): Promise<Outcome<WrittenCoupon>> => {
  const { cards, joined, rows, setting, heightMm } = coupon
  const { recipe, filament, printer } = cards
  const remarks = new Map(
    rows.map(({ row, level }) => [
      joined.rowBead[row - 1],
      `row ${row}: ${LADDERS[setting].label} ${levelWords(LADDERS[setting], level)}`,
    ]),
  )
  const text = writeCode(joined.plan, {
    filamentDiameterMm: filament.diameterMm,
    acceleration: recipe.accelerationMmPerS2,
    cornerSpeed: recipe.cornerSpeedMmPerS,
    head: headOf(coupon),
    remarks,
    riseAfterHomeMm: recipe.firstLayerHeightMm + OVER_ROWS_MM,
    pauses: joined.pauses,
    leaveTo: {
      x: END_EDGE_MM,
      y: printer.bedYMm - END_EDGE_MM,
      z: Math.min(printer.tallestMm, heightMm + END_RISE_MM),
      retractionMm: Math.min(END_RETRACTION_MM, recipe.retractionMm),
    },
  })
  const dry = await dryRun(text, coupon, task)
  if (dry.fine) return good({ text, dryRun: dry })
  return {
    ok: false,
    issues: dry.checks
      .filter(({ fine }) => !fine)
      .map(({ what, unit, planned, read }) => ({
        code: 'trials/dry-run',
        message: `The coupon does not read back as planned, so it is not offered: ${what}: planned ${planned}${unit ? ` ${unit}` : ''}, read ${read}.`,
      })),
  }
}
