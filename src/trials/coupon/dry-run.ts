// The dry run: a coupon's motion code is read back by our own reader and timing, and must say what was planned, before it is offered.

import type { BeadPlan } from '../../engine/beads/index.ts'
import type { Task } from '../../engine/kernel/index.ts'
import { CODE_EVENTS, type CodeReading, inferBeads, readCode } from '../../engine/motioncode/index.ts'
import { timeBeads } from '../../engine/timing/index.ts'
import type { Coupon } from './make-coupon.ts'

/** One thing that must agree. */
export interface DryCheck {
  readonly what: string
  readonly unit: string
  readonly planned: number
  readonly read: number
  /** Greatest difference allowed; for limits `read` must not be above `planned` by more. */
  readonly allowed: number
  readonly kind: 'equal' | 'at most' | 'at least'
  readonly fine: boolean
}

/** What the dry run found. */
export interface DryRun {
  readonly kind: 'dry-run'
  readonly fine: boolean
  readonly checks: readonly DryCheck[]
}

const check = (
  what: string,
  unit: string,
  planned: number,
  read: number,
  allowed: number,
  kind: DryCheck['kind'] = 'equal',
): DryCheck => {
  const off = read - planned
  const wrong = kind === 'equal' ? Math.abs(off) : kind === 'at most' ? off : -off
  return { what, unit, planned, read, allowed, kind, fine: wrong <= allowed }
}

const sum = (values: Float64Array, from = 0, to = values.length): number => {
  let all = 0
  for (let i = from; i < to; i++) all += values[i]
  return all
}

/** Most by which two columns of layers differ; infinite when one is shorter. */
const mostOff = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  if (a.length !== b.length) return Number.POSITIVE_INFINITY
  let most = 0
  for (let i = 0; i < a.length; i++) most = Math.max(most, Math.abs(a[i] - b[i]))
  return most
}

const layerVolumes = (plan: BeadPlan): Float64Array =>
  Float64Array.from({ length: plan.nLayers }, (_, i) => sum(plan.volume, plan.layerStart[i], plan.layerStart[i + 1]))

/** Temperatures that are set, and the coldest the nozzle is set to while filament is pushed. */
const heatOf = ({ moves, events }: CodeReading) => {
  let nozzle = 0
  let event = 0
  let hottest = 0
  let hottestBed = 0
  let coldest = Number.POSITIVE_INFINITY
  let last = { nozzle: 0, bed: 0 }
  const take = (): void => {
    const value = events.value[event]
    const kind = CODE_EVENTS[events.kind[event]]
    if (kind === 'nozzle') {
      nozzle = value
      hottest = Math.max(hottest, value)
      last = { ...last, nozzle: value }
    } else if (kind === 'bed') {
      hottestBed = Math.max(hottestBed, value)
      last = { ...last, bed: value }
    }
    event++
  }
  for (let i = 0; i < moves.n; i++) {
    while (event < events.n && events.move[event] <= i) take()
    if (moves.filament[i] > 0) coldest = Math.min(coldest, nozzle)
  }
  while (event < events.n) take()
  return { hottest, hottestBed, coldest, last }
}

/** Hotter than the card's hottest by this much is allowed on the first layer. */
const FIRST_LAYER_MORE_C = 10

/** Reads the code back and holds it against the coupon. */
export const dryRun = async (text: string, coupon: Coupon, task?: Task): Promise<DryRun> => {
  const { cards, joined, volumeMm3, timeline } = coupon
  const { printer, filament, recipe } = cards
  const refused = (what: string): DryRun => ({ kind: 'dry-run', fine: false, checks: [check(what, '', 0, 1, 0)] })
  const read = readCode(new TextEncoder().encode(text))
  if (!read.ok) return refused(read.issues[0].message)
  const reading = read.value
  const inferred = await inferBeads(reading, { filamentDiameterMm: filament.diameterMm }, task)
  if (!inferred.ok) return refused(inferred.issues[0].message)
  const { plan, acceleration, cornerSpeed } = inferred.value
  const times = await timeBeads(
    plan,
    cards,
    { slowDown: false, ...(acceleration ? { acceleration } : {}), ...(cornerSpeed ? { cornerSpeed } : {}) },
    task,
  )
  const { moves } = reading
  const ends = { x0: Infinity, x1: -Infinity, y0: Infinity, y1: -Infinity, z0: Infinity, z1: -Infinity }
  for (let i = 0; i < moves.n; i++) {
    ends.x0 = Math.min(ends.x0, moves.x[i])
    ends.x1 = Math.max(ends.x1, moves.x[i])
    ends.y0 = Math.min(ends.y0, moves.y[i])
    ends.y1 = Math.max(ends.y1, moves.y[i])
    ends.z0 = Math.min(ends.z0, moves.z[i])
    ends.z1 = Math.max(ends.z1, moves.z[i])
  }
  const heat = heatOf(reading)
  const planned = joined.plan
  const strange = reading.unknown.length + reading.notFollowed.length + reading.nMalformed
  const checks = [
    check('words or lines that are not understood', '', 0, strange, 0),
    check('layers', '', planned.nLayers, plan.nLayers, 0),
    check('volume', 'mm3', volumeMm3, sum(plan.volume), 1e-3 * volumeMm3),
    check('greatest difference of a layer, volume', 'mm3', 0, mostOff(layerVolumes(planned), layerVolumes(plan)), 0.01),
    check('greatest difference of a layer, height', 'mm', 0, mostOff(planned.layerTopZ, plan.layerTopZ), 1e-3),
    check('greatest difference of a layer, nozzle', 'deg C', 0, mostOff(planned.nozzleC, plan.nozzleC), 0.06),
    check('greatest difference of a layer, fan', '', 0, mostOff(planned.fanShare, plan.fanShare), 0.003),
    check('time', 's', timeline.totals.printS, times.totals.printS, 0.01 * timeline.totals.printS + 2),
    check('least x', 'mm', 0, ends.x0, 0, 'at least'),
    check('most x', 'mm', printer.bedXMm, ends.x1, 0, 'at most'),
    check('least y', 'mm', 0, ends.y0, 0, 'at least'),
    check('most y', 'mm', printer.bedYMm, ends.y1, 0, 'at most'),
    check('least height of the nozzle', 'mm', recipe.firstLayerHeightMm, ends.z0, 1e-3, 'at least'),
    check('most height of the nozzle', 'mm', printer.tallestMm, ends.z1, 0, 'at most'),
    check('hottest nozzle', 'deg C', filament.nozzleToC + FIRST_LAYER_MORE_C, heat.hottest, 0, 'at most'),
    check('coldest nozzle that pushes', 'deg C', filament.nozzleFromC, heat.coldest, 0, 'at least'),
    check('hottest bed', 'deg C', recipe.bedC, heat.hottestBed, 0.05),
    check('nozzle left on at the end', 'deg C', 0, heat.last.nozzle, 0),
    check('bed left on at the end', 'deg C', 0, heat.last.bed, 0),
  ]
  return { kind: 'dry-run', fine: checks.every(({ fine }) => fine), checks }
}
