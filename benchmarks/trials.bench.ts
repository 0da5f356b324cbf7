// Planning a trial, making and dry-running a coupon, and how many prints the plan saves against halving and a grid.

import { loadPolygonKit } from '../src/pool/node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../src/recipe/index.ts'
import { diagnose, EMPTY_RECORD, makeCoupon, planTrial, writeCoupon } from '../src/trials/index.ts'
import { byGrid, byHalving, byInformation, meanErrors, printsNeeded } from '../tests/simulated-printers.ts'
import { type BenchRow, least } from './least.ts'

const cards = { recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
const N_PRINTERS = 300

const alone = (subject: string, oursS: number, note: string): BenchRow => ({
  subject,
  against: '',
  oursS,
  theirsS: Number.NaN,
  note,
})

/** Prints in place of seconds: the row says so. */
const prints = (errorMm: number): string => {
  const information = printsNeeded(meanErrors(byInformation, N_PRINTERS, 30, 5), errorMm)
  const halving = printsNeeded(meanErrors(byHalving, N_PRINTERS, 30, 5), errorMm)
  const grid = printsNeeded(meanErrors(byGrid, N_PRINTERS, 99, 5), errorMm)
  const said = (n: number): string => (Number.isFinite(n) ? `${n}` : 'never')
  return `${N_PRINTERS} simulated printers, mean error ${errorMm} of 100: ${said(information)} prints by expected information, ${said(halving)} by halving, ${said(grid)} by a grid`
}

export default async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const wish = { question: 'pins', setting: 'nozzleC', levels: [190, 195, 200], run: 1 } as const
  const coupon = await makeCoupon(wish, cards, kit)
  if (!coupon.ok) throw new Error(coupon.issues[0].message)
  const planS = await least(5, () => planTrial(EMPTY_RECORD, 'pins', 'retractionMm', cards))
  const windowS = await least(5, () => planTrial(EMPTY_RECORD, 'figure', 'nozzleC', cards))
  const couponS = await least(3, () => makeCoupon(wish, cards, kit))
  const writeS = await least(3, () => writeCoupon(coupon.value))
  const causesS = await least(5, () =>
    diagnose({ seen: ['strings', 'blobs'], notSeen: [], answers: { crackle: 'no' }, evidence: [] }),
  )
  return [
    alone('plan of the next trial, one threshold', planS, [5, 4, 3].map(prints).join('; ')),
    alone('plan of the next trial, a window', windowS, 'all pairs of thresholds'),
    alone('coupon of three rows made', couponS, `${coupon.value.joined.plan.nBeads} beads`),
    alone('coupon written and run dry', writeS, 'reader, inference and timing'),
    alone('symptoms to causes', causesS, 'all sets of three of 19 causes, 15 questions weighed'),
  ]
}
