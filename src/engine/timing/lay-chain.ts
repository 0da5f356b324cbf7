// Turns a bead plan into a chain of moves: travel with retraction and lift, wait, then the bead itself.

import { type BeadPlan, beadArea, filamentArea, roleIndex } from '../beads/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import { MotionChain } from './motion-chain.ts'
import type { MotionLimits } from './types.ts'

/** Acceleration (0: not set) and corner speed (NaN: not set) of single beads, as a print file may set them; else the limits hold. */
export interface BeadMotion {
  readonly acceleration?: Float32Array
  readonly cornerSpeed?: Float32Array
}

/** The chain, and where each bead stands in it. */
export interface LaidChain {
  readonly chain: MotionChain
  /** First move of the travel to bead b, and of the bead; lengths nBeads+1 (the last is the number of moves) and nBeads. */
  readonly travelAt: Uint32Array
  readonly beadAt: Uint32Array
  /** Seconds at typed speeds alone, without acceleration: travel with all that belongs to it, and bead. */
  readonly typedTravelS: Float64Array
  readonly typedBeadS: Float64Array
  /** Moves that push or pull filament only, 1 each (point deposits are beads and count 0). */
  readonly isRetraction: Uint8Array
}

const given = (value: number | undefined): number | undefined => (Number.isNaN(value) ? undefined : value)
const POINT = roleIndex('point deposit')

/** Lays every bead of the plan into one chain. */
export const layChain = async (
  plan: BeadPlan,
  limits: MotionLimits,
  filamentDiameterMm: number,
  motion: BeadMotion,
  task?: Task,
): Promise<LaidChain> => {
  const { nBeads, beadStart, points, pointWidth, travelStart, travelPoints } = plan
  const nGuess = points.length / 3 + travelPoints.length / 3 + 6 * nBeads + 1
  const chain = new MotionChain(limits, nGuess)
  const filamentMm2 = filamentArea(filamentDiameterMm)
  const travelAt = new Uint32Array(nBeads + 1)
  const beadAt = new Uint32Array(nBeads)
  const typedTravelS = new Float64Array(nBeads)
  const typedBeadS = new Float64Array(nBeads)
  const isRetraction = new Uint8Array(nGuess)
  const sections = new Float64Array(largestBead(beadStart))
  let x = nBeads > 0 ? points[0] : 0
  let y = nBeads > 0 ? points[1] : 0
  let z = nBeads > 0 ? points[2] : 0
  let sinceBreath = 0
  let typed = 0
  const go = (toX: number, toY: number, toZ: number, filament: number, speed: number): void => {
    const dx = toX - x
    const dy = toY - y
    const dz = toZ - z
    if (dx === 0 && dy === 0 && dz === 0) return
    chain.move(dx, dy, dz, filament, speed)
    typed += Math.sqrt(dx * dx + dy * dy + dz * dz) / speed
    x = toX
    y = toY
    z = toZ
  }
  const pull = (mm: number, speed: number): void => {
    isRetraction[chain.filament(mm, speed)] = 1
    typed += mm / speed
  }
  for (let b = 0; b < nBeads; b++) {
    const from = beadStart[b]
    const to = beadStart[b + 1]
    sinceBreath += to - from
    if (sinceBreath > 50_000) {
      sinceBreath = 0
      task?.onProgress?.(b / nBeads, 'Timing the beads')
      await breathe(task)
    }
    if (motion.acceleration || motion.cornerSpeed)
      chain.limits = {
        ...limits,
        acceleration: motion.acceleration?.[b] || limits.acceleration,
        cornerSpeed: given(motion.cornerSpeed?.[b]) ?? limits.cornerSpeed,
      }
    travelAt[b] = chain.n
    typed = 0
    const travelSpeed = plan.travelSpeed[b]
    const retraction = plan.retraction[b]
    const lift = plan.lift[b]
    const p = 3 * from
    if (retraction > 0 && b > 0) pull(retraction, plan.retractionSpeed[b])
    const moves = x !== points[p] || y !== points[p + 1] || z !== points[p + 2] || travelStart[b] < travelStart[b + 1]
    if (lift > 0 && moves) go(x, y, z + lift, 0, travelSpeed)
    const lifted = lift > 0 && moves ? lift : 0
    for (let t = travelStart[b]; t < travelStart[b + 1]; t++)
      go(travelPoints[3 * t], travelPoints[3 * t + 1], travelPoints[3 * t + 2] + lifted, 0, travelSpeed)
    go(points[p], points[p + 1], points[p + 2] + lifted, 0, travelSpeed)
    if (lifted > 0) go(points[p], points[p + 1], points[p + 2], 0, travelSpeed)
    if (retraction > 0 && b > 0) pull(retraction, plan.retractionSpeed[b])
    const isDeposit = to - from === 1 || plan.role[b] === POINT
    if (plan.dwell[b] > 0 && !isDeposit) {
      chain.wait(plan.dwell[b])
      typed += plan.dwell[b]
    }
    typedTravelS[b] = typed

    beadAt[b] = chain.n
    typed = 0
    const filamentMm = plan.volume[b] / filamentMm2
    const speed = plan.speed[b]
    if (isDeposit) {
      // The wait of a deposit is the time in which it is pushed out; without one it flows as a bead of its width and speed would.
      const flow = plan.dwell[b] > 0 ? plan.volume[b] / plan.dwell[b] : speed * beadArea(plan.width[b], plan.height[b])
      if (filamentMm > 0) {
        chain.filament(filamentMm, flow / filamentMm2)
        typed += plan.volume[b] / flow
      }
    } else {
      const total = sectionsOf(points, pointWidth, plan.height[b], from, to, sections)
      const perSection = total > 0 ? filamentMm / total : 0
      for (let i = from + 1; i < to; i++)
        go(points[3 * i], points[3 * i + 1], points[3 * i + 2], sections[i - from - 1] * perSection, speed)
    }
    typedBeadS[b] = typed
  }
  chain.stop()
  travelAt[nBeads] = chain.n
  return { chain, travelAt, beadAt, typedTravelS, typedBeadS, isRetraction }
}

const largestBead = (beadStart: Uint32Array): number => {
  let most = 1
  for (let b = 1; b < beadStart.length; b++) most = Math.max(most, beadStart[b] - beadStart[b - 1])
  return most
}

/** Length times section of every piece of a bead into `sections`; returns their sum, mm3. */
const sectionsOf = (
  points: Float64Array,
  pointWidth: Float32Array,
  height: number,
  from: number,
  to: number,
  sections: Float64Array,
): number => {
  let total = 0
  for (let i = from + 1; i < to; i++) {
    const dx = points[3 * i] - points[3 * i - 3]
    const dy = points[3 * i + 1] - points[3 * i - 2]
    const dz = points[3 * i + 2] - points[3 * i - 1]
    const width = (pointWidth[i] + pointWidth[i - 1]) / 2
    const volume = Math.sqrt(dx * dx + dy * dy + dz * dz) * beadArea(width, height)
    sections[i - from - 1] = volume
    total += volume
  }
  return total
}
