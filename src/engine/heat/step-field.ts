// One step of the temperature field in a band: sideways, then upwards with the losses.
//
// Method: upwards implicit, since explicit steps would be bound to 0.05 s by the 0.1 mm layers; sideways by plain differences where the step
// allows, else implicit along x and along y (locally one-dimensional steps, Yanenko 1971): no limit on the step. Every part moves heat
// between cells in pairs, and the end of the step puts it into the enthalpy, so energy is kept whatever cp does.
// Layout: layers of rows. Columns stored upwards instead took twice the time: a band of 15 layers then uses a sixth of each cache line.

import type { HeatField } from './field.ts'
import { stepByKernels } from './step-by-kernels.ts'
import type { Zone } from './zone.ts'

/** Room for the sweeps, grown as needed. */
export interface SweepRoom {
  c: Float64Array
  d: Float64Array
  g: Float64Array
}
export const sweepRoom = (): SweepRoom => ({
  c: new Float64Array(0),
  d: new Float64Array(0),
  g: new Float64Array(0),
})

/** Implicit along x in every row of the layer. */
const sweepAlongX = (field: HeatField, zone: Zone, { c, d }: SweepRoom, z: number, dt: number): void => {
  const { work, fill, capacity, sideways, nX, nY } = field
  const { first, last } = zone.reach
  const w = dt * zone.cell[z] * sideways[z]
  for (let y = 1; y < nY - 1; y++) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    const row = (z * nY + y) * nX
    let back = 0
    let cBefore = 0
    let dBefore = 0
    for (let x = x0; x <= x1; x++) {
      const i = row + x
      const f = fill[i]
      const fn = fill[i + 1]
      const on = w * (f < fn ? f : fn)
      const cap = capacity[i]
      const m = 1 / (cap + on + back * (1 - cBefore))
      dBefore = (cap * work[i] + back * dBefore) * m
      cBefore = on * m
      c[x] = cBefore
      d[x] = dBefore
      back = on
    }
    let next = 0
    for (let x = x1; x >= x0; x--) {
      next = d[x] + c[x] * next
      work[row + x] = next
    }
  }
}

/** Implicit along y: all columns of the layer are eliminated side by side. */
const sweepAlongY = (field: HeatField, zone: Zone, { c, d, g }: SweepRoom, z: number, dt: number): void => {
  const { work, fill, capacity, sideways, nX, nY } = field
  const { first, last } = zone.reach
  const w = dt * zone.cell[z] * sideways[z]
  g.fill(0, 0, nX)
  c.fill(0, 0, nX)
  d.fill(0, 0, nX)
  for (let y = 1; y < nY - 1; y++) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    const row = (z * nY + y) * nX
    const here = y * nX
    const before = here - nX
    for (let x = x0; x <= x1; x++) {
      const i = row + x
      const f = fill[i]
      const fn = fill[i + nX]
      const on = w * (f < fn ? f : fn)
      const cap = capacity[i]
      const back = g[x]
      const m = 1 / (cap + on + back * (1 - c[before + x]))
      c[here + x] = on * m
      d[here + x] = (cap * work[i] + back * d[before + x]) * m
      g[x] = on
    }
    if (x1 < x0) g.fill(0, 0, nX)
    else {
      if (x0 > 0) g.fill(0, 0, x0)
      g.fill(0, x1 + 1, nX)
    }
  }
  for (let y = nY - 2; y >= 1; y--) {
    const x1 = last[z * nY + y]
    const row = (z * nY + y) * nX
    const here = y * nX
    for (let x = first[z * nY + y]; x <= x1; x++) work[row + x] = d[here + x] + c[here + x] * work[row + nX + x]
  }
}

/** Upwards in the columns of one row, with losses to air and bed, and with the sideways heat where it goes by plain differences. */
const sweepUpwards = (
  field: HeatField,
  zone: Zone,
  { c, d, g }: SweepRoom,
  y: number,
  dt: number,
  explicit: boolean,
): void => {
  const { work, celsius, fill, capacity, loss, radiation, upwards, sideways, airC, bedC, bedW, sums, nX, nY } = field
  const { from, to, cell, face } = zone
  const { first, last } = zone.reach
  const layer = nX * nY
  g.fill(0, 0, nX)
  c.fill(0, 0, nX)
  d.fill(0, 0, nX)
  for (let z = from; z <= to; z++) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    const row = (z * nY + y) * nX
    const here = (z - from + 1) * nX
    const before = here - nX
    const up = dt * face[z] * upwards[z]
    const out = dt * cell[z]
    const aside = out * sideways[z]
    const above = z < to ? layer : 0
    if (explicit)
      for (let x = x0; x <= x1; x++) {
        const i = row + x
        const t = celsius[i]
        const f = fill[i]
        const f0 = fill[i + 1]
        const f1 = fill[i - 1]
        const f2 = fill[i + nX]
        const f3 = fill[i - nX]
        d[here + x] =
          aside *
          ((f0 < f ? f0 : f) * (celsius[i + 1] - t) +
            (f1 < f ? f1 : f) * (celsius[i - 1] - t) +
            (f2 < f ? f2 : f) * (celsius[i + nX] - t) +
            (f3 < f ? f3 : f) * (celsius[i - nX] - t))
      }
    else for (let x = x0; x <= x1; x++) d[here + x] = 0
    for (let x = x0; x <= x1; x++) {
      const i = row + x
      const f = fill[i]
      const fn = fill[i + above]
      const on = up * (f < fn ? f : fn)
      const cap = capacity[i]
      const back = g[x]
      const l = out * loss[i]
      const bed = z === 0 ? out * bedW * f : 0
      const m = 1 / (cap + on + l + bed + back * (1 - c[before + x]))
      c[here + x] = on * m
      d[here + x] = (cap * work[i] + d[here + x] + l * airC + bed * bedC + back * d[before + x]) * m
      g[x] = on
    }
    if (x1 < x0) g.fill(0, 0, nX)
    else {
      if (x0 > 0) g.fill(0, 0, x0)
      g.fill(0, x1 + 1, nX)
    }
    if (x1 >= x0) sums.nUpdates += x1 - x0 + 1
  }
  let lost = 0
  let radiated = 0
  for (let z = to; z >= from; z--) {
    const x0 = first[z * nY + y]
    const x1 = last[z * nY + y]
    const row = (z * nY + y) * nX
    const here = (z - from + 1) * nX
    const above = z < to ? layer : 0
    const share = cell[z]
    for (let x = x0; x <= x1; x++) {
      const i = row + x
      const t = d[here + x] + c[here + x] * work[i + above]
      work[i] = t
      const over = share * (t - airC)
      lost += loss[i] * over
      radiated += radiation[i] * over
    }
    if (z === 0 && bedW > 0)
      for (let x = x0; x <= x1; x++) sums.bedJ += dt * share * bedW * fill[row + x] * (bedC - work[row + x])
  }
  sums.convectedJ += dt * (lost - radiated)
  sums.radiatedJ += dt * radiated
}

/** Puts the heat moved into the enthalpy and reads temperature and cp anew. */
const settle = (field: HeatField, zone: Zone, z: number): void => {
  const { work, celsius, enthalpy, capacity, fill, table, layerMm, cellMm, density, nX, nY } = field
  const { celsius: starts, heatCapacity, perStep, nPieces, stepJPerG } = table
  const { first, last } = zone.reach
  const full = cellMm * cellMm * layerMm[z] * density
  for (let y = 1; y < nY - 1; y++) {
    const row = (z * nY + y) * nX
    const x1 = last[z * nY + y]
    for (let x = first[z * nY + y]; x <= x1; x++) {
      const i = row + x
      const f = fill[i]
      if (f === 0) continue
      const mass = f * full
      const e = enthalpy[i] + (capacity[i] * (work[i] - celsius[i])) / mass
      const q = e * perStep
      const p = q <= 0 ? 0 : q >= nPieces ? nPieces - 1 : q | 0
      enthalpy[i] = e
      const cp = heatCapacity[p]
      const t = starts[p] + ((q - p) * stepJPerG) / cp
      celsius[i] = t
      work[i] = t
      capacity[i] = mass * cp
    }
  }
}

/** Sideways heat goes by plain differences where a step moves less than this share of it between neighbours; beyond that by sweeps. */
const EXPLICIT_SHARE = 0.95

/** Moves the band by dt seconds. */
export const stepField = (field: HeatField, zone: Zone, room: SweepRoom, dt: number): void => {
  const { nX, nY, cellMm } = field
  const { from, to } = zone
  if (to < from || !(dt > 0)) return
  const most = field.conductivity / (field.density * field.leastHeatCapacity)
  const explicit = (4 * dt * most) / (cellMm * cellMm) <= EXPLICIT_SHARE
  if (field.kernels) {
    stepByKernels(field, field.kernels, zone, dt, explicit)
    return
  }
  const need = nX * (Math.max(field.nZ, nY) + 1)
  if (room.c.length < need) {
    room.c = new Float64Array(need)
    room.d = new Float64Array(need)
    room.g = new Float64Array(nX)
  }
  if (!explicit)
    for (let z = from; z <= to; z++) {
      sweepAlongX(field, zone, room, z, dt)
      sweepAlongY(field, zone, room, z, dt)
    }
  for (let y = 1; y < nY - 1; y++) sweepUpwards(field, zone, room, y, dt, explicit)
  for (let z = from; z <= to; z++) settle(field, zone, z)
}
