// What the worker does for coupons and trials: coupons with their dry run, forecasts, the person's own numbers.

import type { Outcome, Task } from '../engine/kernel/index.ts'
import { good, type PolygonKit, partOf } from '../engine/kernel/index.ts'
import { writePly, writeStl } from '../engine/mesh/index.ts'
import {
  type CouponWish,
  type DryRun,
  estimateOwnNumbers,
  forecastTurn,
  type LadderSetting,
  makeCoupon,
  type Opinion,
  type OwnNumbers,
  rowWords,
  type Trial,
  type TrialCards,
  type TrialsRecord,
  writeCoupon,
} from '../trials/index.ts'

export interface ForecastRequest {
  readonly piece: Trial['piece']
  readonly setting: LadderSetting
  readonly cards: TrialCards
}
export interface CouponRequest {
  readonly wish: CouponWish
  readonly cards: TrialCards
  /** Form of the solid that is sent along. */
  readonly solid: 'stl' | 'ply' | null
}
export interface NumbersRequest {
  readonly record: TrialsRecord
  readonly cards: TrialCards
}

/** A coupon as the command shows and writes it. */
export interface MadeCoupon {
  readonly code: string
  readonly dryRun: DryRun
  readonly rows: readonly string[]
  readonly look: readonly string[]
  readonly facts: Readonly<Record<string, number>>
  readonly massG: number
  readonly printS: number
  readonly heightMm: number
  readonly solid: Uint8Array | null
}

/** The methods, given the polygon library once it is loaded. */
export const couponMethods = (loadingKit: Promise<PolygonKit>) => ({
  forecast: async ({ piece, setting, cards }: ForecastRequest, task: Task): Promise<Opinion | null> =>
    forecastTurn(piece, setting, cards, await loadingKit, task),
  numbers: async ({ record, cards }: NumbersRequest, task: Task): Promise<OwnNumbers> =>
    estimateOwnNumbers(record, cards, await loadingKit, task),
  coupon: async ({ wish, cards, solid }: CouponRequest, task: Task): Promise<Outcome<MadeCoupon>> => {
    const made = await makeCoupon(wish, cards, await loadingKit, partOf(task, 0, 0.6))
    if (!made.ok) return made
    const coupon = made.value
    const written = await writeCoupon(coupon, partOf(task, 0.6, 1))
    if (!written.ok) return written
    const { look, facts, massG, printS, heightMm } = coupon
    return good({
      code: written.value.text,
      dryRun: written.value.dryRun,
      rows: rowWords(coupon),
      look,
      facts,
      massG,
      printS,
      heightMm,
      solid: solid === 'stl' ? writeStl(coupon.solid) : solid === 'ply' ? writePly(coupon.solid) : null,
    })
  },
})
