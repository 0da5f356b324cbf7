// One step of the temperature field in a band: sideways along x, along y, then upwards, each implicit, with the losses in the last.
//
// Method: locally one-dimensional implicit steps (Yanenko 1971): no limit on the step, three sweeps of the tridiagonal method. Every
// sweep moves heat between cells in pairs, and the end of the step puts that heat into the enthalpy, so energy is kept whatever cp does.
// Explicit steps would be bound to 0.05 s by the 0.1 mm layers; implicit ones are as long as the answer allows.

import type { HeatField } from './field.ts'
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

/**
 * Sideways sweep over a run of columns `stride` cells apart; columns of the reach are `columnStride` apart. All layers are eliminated side by
 * side, each column only from its lowest to its highest plastic.
 */
const sweepRun = (
  field: HeatField,
  zone: Zone,
  room: SweepRoom,
  firstColumn: number,
  count: number,
  columnStride: number,
  dt: number,
): void => {
  const { work, fill, capacity, sideways, nZ } = field
  const { from, to, cell, reach } = zone
  const { low, high } = reach
  const { c, d, g } = room
  const height = to - from + 1
  const stride = columnStride * nZ
  g.fill(0, 0, height)
  for (let k = 0; k < count; k++) {
    const column = firstColumn + k * columnStride
    const base = column * nZ
    const row = k * height - from
    const before = row - height
    const last = k === count - 1
    const z0 = low[column] > from ? low[column] : from
    const z1 = high[column] < to ? high[column] : to
    for (let z = z0; z <= z1; z++) {
      const i = base + z
      const back = g[z - from]
      let on = 0
      if (!last) {
        const f = fill[i]
        const fn = fill[i + stride]
        on = dt * cell[z] * sideways[z] * (f < fn ? f : fn)
      }
      const cap = capacity[i]
      if (back === 0) {
        const m = 1 / (cap + on)
        c[row + z] = on * m
        d[row + z] = cap * work[i] * m
      } else {
        const m = 1 / (cap + on + back * (1 - c[before + z]))
        c[row + z] = on * m
        d[row + z] = (cap * work[i] + back * d[before + z]) * m
      }
      g[z - from] = on
    }
    // What this column does not reach passes no heat on.
    if (z0 > from) g.fill(0, 0, z0 - from)
    if (z1 < to) g.fill(0, Math.max(0, z1 + 1 - from), height)
  }
  for (let k = count - 1; k >= 0; k--) {
    const column = firstColumn + k * columnStride
    const base = column * nZ
    const row = k * height - from
    const z0 = low[column] > from ? low[column] : from
    const z1 = high[column] < to ? high[column] : to
    if (k === count - 1) for (let z = z0; z <= z1; z++) work[base + z] = d[row + z]
    else for (let z = z0; z <= z1; z++) work[base + z] = d[row + z] + c[row + z] * work[base + stride + z]
  }
}

/** Upward sweep of one column from its cell at layer `from` to that at `to`, with losses to air and bed. */
const sweepColumn = (
  field: HeatField,
  zone: Zone,
  room: SweepRoom,
  column: number,
  from: number,
  to: number,
  dt: number,
  explicit: boolean,
): void => {
  const { work, celsius, fill, capacity, loss, radiation, upwards, sideways, airC, sums, nZ } = field
  const { cell, face } = zone
  const row = field.nX * nZ
  const { c, d } = room
  let back = 0
  let cBefore = 0
  let dBefore = 0
  for (let z = from; z <= to; z++) {
    const i = column + z
    const f = fill[i]
    let on = 0
    if (z < to) {
      const fn = fill[i + 1]
      on = dt * face[z] * upwards[z] * (f < fn ? f : fn)
    }
    const l = dt * cell[z] * loss[i]
    let diagonal = capacity[i] + on + back * (1 - cBefore) + l
    let right = capacity[i] * work[i] + back * dBefore + l * airC
    if (explicit && f > 0) {
      const t = celsius[i]
      const f0 = fill[i + nZ]
      const f1 = fill[i - nZ]
      const f2 = fill[i + row]
      const f3 = fill[i - row]
      right +=
        dt *
        cell[z] *
        sideways[z] *
        ((f0 < f ? f0 : f) * (celsius[i + nZ] - t) +
          (f1 < f ? f1 : f) * (celsius[i - nZ] - t) +
          (f2 < f ? f2 : f) * (celsius[i + row] - t) +
          (f3 < f ? f3 : f) * (celsius[i - row] - t))
    }
    if (z === 0 && f > 0 && field.bedW > 0) {
      const bed = dt * cell[0] * field.bedW * f
      diagonal += bed
      right += bed * field.bedC
    }
    const m = 1 / diagonal
    cBefore = on * m
    dBefore = right * m
    c[z - from] = cBefore
    d[z - from] = dBefore
    back = on
  }
  let above = 0
  let lost = 0
  let radiated = 0
  for (let z = to; z >= from; z--) {
    const i = column + z
    above = d[z - from] + c[z - from] * above
    work[i] = above
    const over = cell[z] * (above - airC)
    lost += loss[i] * over
    radiated += radiation[i] * over
  }
  sums.convectedJ += dt * (lost - radiated)
  sums.radiatedJ += dt * radiated
  if (from === 0 && field.bedW > 0 && fill[column] > 0)
    sums.bedJ += dt * cell[0] * field.bedW * fill[column] * (field.bedC - above)
}

/** Puts the heat moved into the enthalpy and reads temperature and cp anew. */
const settle = (field: HeatField, column: number, from: number, to: number): void => {
  const { work, celsius, enthalpy, capacity, fill, table, layerMm, cellMm, density } = field
  const { celsius: starts, heatCapacity, perStep, nPieces, stepJPerG } = table
  for (let z = from; z <= to; z++) {
    const i = column + z
    const f = fill[i]
    if (f === 0) continue
    const mass = f * cellMm * cellMm * layerMm[z] * density
    const e = enthalpy[i] + (capacity[i] * (work[i] - celsius[i])) / mass
    const x = e * perStep
    const p = x <= 0 ? 0 : x >= nPieces ? nPieces - 1 : x | 0
    enthalpy[i] = e
    const cp = heatCapacity[p]
    const t = starts[p] + ((x - p) * stepJPerG) / cp
    celsius[i] = t
    work[i] = t
    capacity[i] = mass * cp
  }
}

/** Sideways heat goes by plain differences where a step moves less than this share of it between neighbours; beyond that by sweeps. */
const EXPLICIT_SHARE = 0.6

/** Moves the band by dt seconds. */
export const stepField = (field: HeatField, zone: Zone, room: SweepRoom, dt: number): void => {
  const { nX, nZ, sums, cellMm } = field
  const { from, to } = zone
  const { low, high } = zone.reach
  const height = to - from + 1
  if (height <= 0 || zone.nXRuns === 0) return
  const need = height * Math.max(field.nX, field.nY)
  if (room.c.length < need) {
    room.c = new Float64Array(need)
    room.d = new Float64Array(need)
    room.g = new Float64Array(field.nZ)
  }
  const most = field.conductivity / (field.density * field.leastHeatCapacity)
  const explicit = (4 * dt * most) / (cellMm * cellMm) <= EXPLICIT_SHARE
  if (!explicit) {
    for (let r = 0; r < zone.nXRuns; r++) {
      const x0 = zone.xRuns[3 * r + 1]
      const count = zone.xRuns[3 * r + 2] - x0 + 1
      if (count > 1) sweepRun(field, zone, room, zone.xRuns[3 * r] * nX + x0, count, 1, dt)
    }
    for (let r = 0; r < zone.nYRuns; r++) {
      const y0 = zone.yRuns[3 * r + 1]
      const count = zone.yRuns[3 * r + 2] - y0 + 1
      if (count > 1) sweepRun(field, zone, room, y0 * nX + zone.yRuns[3 * r], count, nX, dt)
    }
  }
  // Two rounds: plain differences look at neighbours as they were before the step.
  for (let round = 0; round < 2; round++)
    for (let r = 0; r < zone.nXRuns; r++) {
      const y = zone.xRuns[3 * r]
      for (let x = zone.xRuns[3 * r + 1]; x <= zone.xRuns[3 * r + 2]; x++) {
        const c = y * nX + x
        const z0 = low[c] > from ? low[c] : from
        const z1 = high[c] < to ? high[c] : to
        if (round === 0) {
          sweepColumn(field, zone, room, c * nZ, z0, z1, dt, explicit)
          sums.nUpdates += z1 - z0 + 1
        } else settle(field, c * nZ, z0, z1)
      }
    }
}
