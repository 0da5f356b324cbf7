// The bands of layers in which the figure is moved: near the nozzle in short steps, a few millimetres down in longer ones, deep in long ones.

import type { HeatField } from './field.ts'
import { type SweepRoom, stepField } from './step-field.ts'
import { createZone, type RowReach, setZone, type Zone } from './zone.ts'

/** Depth below the top to which a band has full weight, and over which it hands over to the next, mm; step of the longer bands, s; layers that take long stretch the middle one. */
export interface BandPlan {
  readonly nearMm: number
  readonly nearHandOverMm: number
  readonly middleMm: number
  readonly middleHandOverMm: number
  readonly middleStepS: number
  readonly deepStepS: number
}
export const BAND_PLAN: BandPlan = Object.freeze({
  nearMm: 0.7,
  nearHandOverMm: 0.7,
  middleMm: 2.5,
  middleHandOverMm: 1.5,
  middleStepS: 0.8,
  deepStepS: 20,
})

export interface Bands {
  /** Sets the bands for a top layer. */
  readonly setTop: (layer: number, layerS: number) => void
  /** One short step near the nozzle; the longer bands follow when their time has come. */
  readonly step: (dt: number) => void
  /** Moves the longer bands up to the present. */
  readonly catchUp: () => void
  readonly near: Zone
}

/** @param after called when a band has been moved */
export const createBands = (
  field: HeatField,
  reach: RowReach,
  room: SweepRoom,
  after: (zone: Zone, dt: number) => void,
  plan: BandPlan = BAND_PLAN,
): Bands => {
  const near = createZone(field, reach)
  const middle = createZone(field, reach)
  const deep = createZone(field, reach)
  const topOf = new Float64Array(field.nZ)
  for (let z = 0, h = 0; z < field.nZ; z++) topOf[z] = h += field.layerMm[z]
  let middleS = 0
  let middleStepS = plan.middleStepS
  let deepS = 0

  const share = (depth: number, full: number, handOver: number): number =>
    Math.min(1, Math.max(0, 1 - (depth - full) / handOver))
  const setTop = (layer: number, layerS: number): void => {
    // What is pending belongs to the old weights.
    if (middleS > 0) moveMiddle()
    middleStepS = Math.min(2, Math.max(plan.middleStepS, layerS / 16))
    const depth = (z: number): number => topOf[layer] - topOf[z]
    const lowest = (mm: number): number => {
      let z = layer
      while (z > 0 && depth(z - 1) < mm) z--
      return z
    }
    // One layer more at the lower end, with weight 0, so that its face counts.
    const under = (mm: number): number => Math.max(0, lowest(mm) - 1)
    const nearTo = plan.nearMm + plan.nearHandOverMm
    const middleTo = plan.middleMm + plan.middleHandOverMm
    const isNear = (z: number): number => share(depth(z), plan.nearMm, plan.nearHandOverMm)
    const notDeep = (z: number): number => share(depth(z), plan.middleMm, plan.middleHandOverMm)
    setZone(near, under(nearTo), layer, isNear)
    const highestMiddle = (): number => {
      let z = layer
      while (z >= 0 && isNear(z) === 1) z--
      return z
    }
    const highestDeep = (): number => {
      let z = layer
      while (z >= 0 && notDeep(z) === 1) z--
      return z
    }
    // And one more at the upper end.
    const m = highestMiddle()
    setZone(middle, under(middleTo), m < 0 ? -1 : Math.min(layer, m + 1), (z) => (1 - isNear(z)) * notDeep(z))
    const d = highestDeep()
    setZone(deep, 0, d < 0 ? -1 : Math.min(layer, d + 1), (z) => 1 - notDeep(z))
  }
  const move = (zone: Zone, dt: number): void => {
    if (zone.to < zone.from) return
    stepField(field, zone, room, dt)
    after(zone, dt)
  }
  const moveMiddle = (): void => {
    move(middle, middleS)
    middleS = 0
  }
  const moveDeep = (): void => {
    move(deep, deepS)
    deepS = 0
  }
  return {
    setTop,
    near,
    step: (dt) => {
      move(near, dt)
      middleS += dt
      deepS += dt
      if (middleS >= middleStepS * 0.999) moveMiddle()
      if (deepS >= plan.deepStepS * 0.999) moveDeep()
    },
    catchUp: () => {
      if (middleS > 0) moveMiddle()
      if (deepS > 0) moveDeep()
    },
  }
}
