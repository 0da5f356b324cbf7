// Work of the trials page: the engine's forecast, coupons with their dry run, own numbers, what the figure's examination says of causes.

import type { ExamineSettings } from '../../engine/examine/index.ts'
import { writePly } from '../../engine/mesh/index.ts'
import {
  type CouponWish,
  type DryRun,
  type Evidence,
  estimateOwnNumbers,
  evidenceOfHeat,
  evidenceOfPrint,
  forecastTurn,
  type LadderSetting,
  makeCoupon,
  type Opinion,
  type OwnNumbers,
  rowWords,
  softLayerShare,
  type Trial,
  type TrialCards,
  type TrialsRecord,
  writeCoupon,
} from '../../trials/index.ts'
import type { BenchWork, FileInput } from '../work/work-place.ts'

export type TrialsInput =
  | {
      readonly kind: 'forecast'
      readonly piece: Trial['piece']
      readonly setting: LadderSetting
      readonly cards: TrialCards
    }
  | { readonly kind: 'make coupon'; readonly wish: CouponWish; readonly cards: TrialCards }
  | { readonly kind: 'numbers'; readonly record: TrialsRecord; readonly cards: TrialCards }
  | { readonly kind: 'evidence'; readonly file: FileInput; readonly settings: ExamineSettings }

/** A coupon as the page shows and saves it. */
export interface ShownCoupon {
  readonly wish: CouponWish
  readonly code: string
  readonly ply: Uint8Array<ArrayBuffer>
  readonly dryRun: DryRun
  readonly rows: readonly string[]
  readonly look: readonly string[]
  readonly massG: number
  readonly printS: number
  readonly heightMm: number
}

export type TrialsAnswer =
  | { readonly kind: 'forecast'; readonly opinion: Opinion | null }
  | { readonly kind: 'made coupon'; readonly coupon: ShownCoupon }
  | { readonly kind: 'numbers'; readonly numbers: OwnNumbers }
  | { readonly kind: 'evidence'; readonly evidence: readonly Evidence[] }
  | { readonly kind: 'refused'; readonly messages: readonly string[] }

const refused = (issues: readonly { readonly message: string }[]): TrialsAnswer => ({
  kind: 'refused',
  messages: issues.map(({ message }) => message),
})

const trialsWork: BenchWork<TrialsInput, TrialsAnswer> = async (input, { kit, examiner, bytesOf, task }) => {
  switch (input.kind) {
    case 'forecast':
      return {
        kind: 'forecast',
        opinion: await forecastTurn(input.piece, input.setting, input.cards, kit, task),
      }
    case 'numbers':
      return { kind: 'numbers', numbers: await estimateOwnNumbers(input.record, input.cards, kit, task) }
    case 'evidence': {
      const { file, settings } = input
      const examined = await examiner.examine(bytesOf(file), file.name, settings, task)
      if (!examined.ok) return refused(examined.issues)
      const { print, heat } = examined.value
      const evidence = [
        ...(print ? evidenceOfPrint(print) : []),
        ...(heat ? evidenceOfHeat(softLayerShare(heat.quick)) : []),
      ]
      return { kind: 'evidence', evidence }
    }
    case 'make coupon': {
      const made = await makeCoupon(input.wish, input.cards, kit, task)
      if (!made.ok) return refused(made.issues)
      const written = await writeCoupon(made.value, task)
      if (!written.ok) return refused(written.issues)
      const { look, massG, printS, heightMm, solid } = made.value
      return {
        kind: 'made coupon',
        coupon: {
          wish: input.wish,
          code: written.value.text,
          ply: writePly(solid).slice(),
          dryRun: written.value.dryRun,
          rows: rowWords(made.value),
          look,
          massG,
          printS,
          heightMm,
        },
      }
    }
  }
}

export default trialsWork
