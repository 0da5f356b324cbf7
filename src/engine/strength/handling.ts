// What a hand does to each limb: push across, pull along, twist, pinch. Force and travel at which something breaks.
//
// The frame is clamped at the held part, loaded with one newton, and scaled to the first section that reaches its limit. Where the
// travel is over a tenth of the limb's length, force and travel are those of the exact elastica, relative to straight beam theory.

import { breakChance, ranged, type Scatter } from './chance.ts'
import { bendToBreak } from './elastica.ts'
import { addStationLoad, type FrameModel, frameStiffness, stationMove } from './frame-model.ts'
import { limitsAlong } from './material.ts'
import { type EndUse, endUse, type SectionTable, worstUse } from './section-use.ts'
import type { HandlingKind, HandlingLoad } from './types.ts'

/** How hands are judged. */
export interface HandlingLimits {
  /** Travels a thumb makes on a thin part, mm. */
  readonly travelsMm: readonly number[]
  /** Force of a pinch or push on a thick part, N. */
  readonly forceN: number
  /** Parts thicker than this are judged by force, mm. */
  readonly thickFromMm: number
  /** Width of a finger tip, mm. */
  readonly fingerMm: number
}

/** Loads, and what they do at every station. */
export interface HandlingResult {
  readonly loads: readonly HandlingLoad[]
  /** Greatest stress per newton pushed anywhere, MPa, and least force that breaks there, N, per station. */
  readonly stationStressPerN: Float64Array
  readonly stationBreakN: Float64Array
}

const ROW = 18

/** How much more force and travel the elastica allows than straight beam theory, for a limb loaded across at its tip. */
const largeRotation = (
  model: FrameModel,
  table: SectionTable,
  stations: readonly number[],
  direction: readonly number[],
): { force: number; travel: number } => {
  const { frame } = model
  const n = stations.length
  const s = new Float64Array(n)
  const stiffness = new Float64Array(n)
  const limit = new Float64Array(n)
  const endOf = new Map<number, number>()
  table.station.forEach((who, e) => {
    if (!endOf.has(who)) endOf.set(who, e)
  })
  const here: EndUse = { use: 0, stress: 0, shear: 0, strainUse: 0 }
  for (let k = 0; k < n; k++) {
    const i = stations[k]
    if (k > 0) {
      const j = stations[k - 1]
      s[k] =
        s[k - 1] +
        Math.hypot(
          frame.at[3 * i] - frame.at[3 * j],
          frame.at[3 * i + 1] - frame.at[3 * j + 1],
          frame.at[3 * i + 2] - frame.at[3 * j + 2],
        )
    }
    const e = endOf.get(i) ?? 0
    const t = [table.row[ROW * e], table.row[ROW * e + 1], table.row[ROW * e + 2]]
    const couple = [
      t[1] * direction[2] - t[2] * direction[1],
      t[2] * direction[0] - t[0] * direction[2],
      t[0] * direction[1] - t[1] * direction[0],
    ]
    endUse(table, e, [0, 0, 0, ...couple], 0, here)
    limit[k] = 1 / Math.max(here.use, 1e-12)
    const q = 6 * i
    const d = direction
    const inertia =
      frame.second[q] * d[0] * d[0] +
      frame.second[q + 1] * d[1] * d[1] +
      frame.second[q + 2] * d[2] * d[2] +
      2 * (frame.second[q + 3] * d[0] * d[1] + frame.second[q + 4] * d[1] * d[2] + frame.second[q + 5] * d[2] * d[0])
    stiffness[k] = Math.max(table.row[ROW * e + 16] * inertia, 1e-6)
  }
  const total = s[n - 1]
  let linearForce = Infinity
  for (let k = 0; k + 1 < n; k++) linearForce = Math.min(linearForce, limit[k] / (total - s[k]))
  let linearTravel = 0
  for (let k = 0; k + 1 < n; k++) {
    const arm = total - (s[k] + s[k + 1]) / 2
    linearTravel += ((linearForce * arm * arm) / 2) * (s[k + 1] - s[k]) * (1 / stiffness[k] + 1 / stiffness[k + 1])
  }
  const bent = bendToBreak(s, stiffness, limit)
  return { force: bent.forceN / linearForce, travel: bent.travelMm / linearTravel }
}

/** Loads every limb in every way. */
export const handleLimbs = (
  model: FrameModel,
  table: SectionTable,
  limits: HandlingLimits,
  scatter: Scatter,
): HandlingResult => {
  const { frame, laying } = model
  const stiffness = frameStiffness(model)
  stiffness.factor()
  const loads: HandlingLoad[] = []
  const stationStressPerN = new Float64Array(frame.nStations)
  const stationBreakN = new Float64Array(frame.nStations).fill(Infinity)
  const u = new Float64Array(6 * model.nBodies)
  const forces = new Float64Array(6 * frame.pieces.length)
  const move = new Float64Array(6)
  const here: EndUse = { use: 0, stress: 0, shear: 0, strainUse: 0 }

  const load = (kind: HandlingKind, branch: number, station: number, direction: readonly number[]): void => {
    u.fill(0)
    addStationLoad(model, u, station, kind === 'twist' ? [0, 0, 0, ...direction] : [...direction, 0, 0, 0])
    stiffness.solve(u)
    stationMove(model, u, station, move)
    const worst = worstUse(table, u, forces)
    if (!(worst.use > 0)) return
    const at = kind === 'twist' ? 3 : 0
    const perN = move[at] * direction[0] + move[at + 1] * direction[1] + move[at + 2] * direction[2]
    let force = 1 / worst.use
    let travel = perN / worst.use
    const { stations, lengthMm, freeEnd, thinnestMm } = frame.branches[branch]
    const breaksAt = table.station[worst.end]
    let bentFar = false
    let softer = 1
    if (kind === 'push' && freeEnd && travel > 0.1 * lengthMm && stations.length > 3) {
      // The bending limb itself, from its root to the load; the rest of the frame stays in its linear share.
      const far = largeRotation(model, table, stations, direction)
      bentFar = true
      softer = far.force
      travel = Math.min(travel * far.travel, 2 * lengthMm)
      force *= far.force
    }
    if (kind === 'push' || kind === 'pull') {
      for (let e = 0; e < table.station.length; e++) {
        endUse(table, e, forces, 6 * e, here)
        const who = table.station[e]
        stationStressPerN[who] = Math.max(stationStressPerN[who], here.stress)
        if (here.use > 0) stationBreakN[who] = Math.min(stationBreakN[who], softer / here.use)
      }
    }
    const thick = thinnestMm >= limits.thickFromMm
    const judged = kind === 'twist' || kind === 'pull' ? 'force' : thick ? 'force' : 'travel'
    const stops = judged === 'travel' ? limits.travelsMm : [limits.forceN]
    const capacity = judged === 'travel' ? travel : force
    loads.push({
      kind,
      branch,
      station,
      at: [frame.at[3 * station], frame.at[3 * station + 1], frame.at[3 * station + 2]],
      direction: [direction[0], direction[1], direction[2]],
      breakForceN: ranged(force, scatter),
      breakTravelMm: ranged(travel, scatter),
      strainTravelMm: worst.strainUse > 0 ? perN / worst.strainUse : Infinity,
      breaksAt,
      stressPerN: worst.stress,
      largeRotation: bentFar,
      judgedBy: judged,
      risks: stops.map((limit) => ({ limit, chance: breakChance(limit / capacity, scatter) })),
    })
  }

  /** A squeeze between two fingers splits a section like a disc pressed across: 2 F / (pi d t) (Hertz; Brazilian test). */
  const pinch = (branch: number, station: number): void => {
    const d = Math.max(frame.thickMm[station], 1e-3)
    const t = Math.min(limits.fingerMm, Math.max(frame.branches[branch].lengthMm, 1))
    const a = [3 * station, 3 * station + 1, 3 * station + 2].map((k) => frame.along[k])
    const n = laying.layerNormal
    // The split opens square to the squeeze: at worst across the layers, unless the limb stands along them.
    const opens = Math.sqrt(Math.max(0, 1 - (a[0] * n[0] + a[1] * n[1] + a[2] * n[2]) ** 2))
    const { tensionMPa, modulusMPa } = limitsAlong(laying.material, opens, laying.weldAt(frame.at[3 * station + 2]))
    const stressPerN = 2 / (Math.PI * d * t)
    const force = tensionMPa / stressPerN
    // Flattening of a disc between platens, line contact left out: about 2 F / (pi E t) (ln 4 + 1/3).
    const perN = (2 / (Math.PI * modulusMPa * t)) * (Math.log(4) + 1 / 3)
    loads.push({
      kind: 'pinch',
      branch,
      station,
      at: [frame.at[3 * station], frame.at[3 * station + 1], frame.at[3 * station + 2]],
      direction: [0, 0, 0],
      breakForceN: ranged(force, scatter),
      breakTravelMm: ranged(force * perN, scatter),
      strainTravelMm: force * perN,
      breaksAt: station,
      stressPerN,
      largeRotation: false,
      judgedBy: 'force',
      risks: [{ limit: limits.forceN, chance: breakChance(limits.forceN / force, scatter) }],
    })
  }

  frame.branches.forEach((branch, b) => {
    const { stations, freeEnd } = branch
    if (stations.length < 2 && !freeEnd) return
    const loose = stations.filter((i) => !frame.held[i])
    if (loose.length === 0) return
    const outermost = frame.held[stations[stations.length - 1]] ? stations[0] : stations[stations.length - 1]
    const station = freeEnd ? (frame.held[outermost] ? loose[loose.length - 1] : outermost) : loose[loose.length >> 1]
    const t = [frame.along[3 * station], frame.along[3 * station + 1], frame.along[3 * station + 2]]
    const { rows } = model
    let piece = 0
    for (let p = 0; p < frame.pieces.length / 2; p++)
      if (frame.pieces[2 * p] === station || frame.pieces[2 * p + 1] === station) piece = p
    load('push', b, station, [rows[10 * piece + 3], rows[10 * piece + 4], rows[10 * piece + 5]])
    load('push', b, station, [rows[10 * piece + 6], rows[10 * piece + 7], rows[10 * piece + 8]])
    load('twist', b, station, t)
    if (freeEnd) load('pull', b, station, t)
    pinch(b, loose[loose.length >> 1])
  })
  return { loads, stationStressPerN, stationBreakN }
}
