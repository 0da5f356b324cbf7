// Moves into raw beads: stretches that push filament while moving, cut where a loop closes or the set speed changes; between them travels.

import { filamentArea } from '../beads/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import { Growing } from './growing.ts'
import { CODE_EVENTS, type CodeReading, MOVE_RAPID } from './types.ts'

/** Ends that lie closer than this are the same point: the last decimal of a file, mm. */
const SAME_MM = 0.003
/** Filament pushed while standing is a deposit from this volume on, mm3; more than a bead's crumb where it also makes up for a retraction. */
const LEAST_DEPOSIT_MM3 = 0.001
const LEAST_DEPOSIT_AFTER_RETRACTION_MM3 = 0.02
/** A loop may end this far from its start, mm: about half a wide bead. */
const MOST_SEAM_GAP_MM = 0.5
/** Moves shorter than this without filament do not end a bead, mm. */
const CRUMB_MM = 0.01
/** Work spent on looking for closures in one stretch, in points, so that a hostile file cannot make it quadratic. */
const MOST_CLOSURE_STEPS = 2_000_000

/** Beads as cut from the moves; columns by bead, and by point. */
export interface RawBeads {
  n: number
  /** Points of bead b are start[b] to start[b+1]-1. */
  readonly start: Growing
  /** xyz by point. */
  readonly points: Growing
  /** Plastic of the piece that ends at the point, mm3 as pushed out; 0 at a bead's first point (the deposit's volume at a single one). */
  readonly pieceVolume: Growing
  readonly closed: Growing
  readonly speed: Growing
  readonly flowShare: Growing
  readonly acceleration: Growing
  readonly cornerSpeed: Growing
  readonly fanShare: Growing
  readonly nozzleC: Growing
  readonly bedC: Growing
  readonly line: Growing
  /** The travel to the bead. */
  readonly travelStart: Growing
  readonly travelPoints: Growing
  readonly travelSpeed: Growing
  readonly retraction: Growing
  readonly retractionSpeed: Growing
  readonly lift: Growing
  readonly dwell: Growing
  /** Pushed out while standing before the first bead, mm3. */
  primedMm3: number
}

const kindOf = (name: (typeof CODE_EVENTS)[number]): number => CODE_EVENTS.indexOf(name)
const FAN = kindOf('fan share')
const NOZZLE = kindOf('nozzle')
const BED = kindOf('bed')
const ACCELERATION = kindOf('acceleration of beads')
const CORNER = kindOf('corner speed')
const FLOW = kindOf('flow share')
const DWELL = kindOf('dwell')

/** Cuts all moves into beads. */
export const cutBeads = async (reading: CodeReading, filamentDiameterMm: number, task?: Task): Promise<RawBeads> => {
  const { moves, events } = reading
  const filamentMm2 = filamentArea(filamentDiameterMm)
  const raw: RawBeads = {
    n: 0,
    start: new Growing(),
    points: new Growing(3 * moves.n),
    pieceVolume: new Growing(moves.n),
    closed: new Growing(),
    speed: new Growing(),
    flowShare: new Growing(),
    acceleration: new Growing(),
    cornerSpeed: new Growing(),
    fanShare: new Growing(),
    nozzleC: new Growing(),
    bedC: new Growing(),
    line: new Growing(),
    travelStart: new Growing(),
    travelPoints: new Growing(),
    travelSpeed: new Growing(),
    retraction: new Growing(),
    retractionSpeed: new Growing(),
    lift: new Growing(),
    dwell: new Growing(),
    primedMm3: 0,
  }
  raw.start.push(0)
  raw.travelStart.push(0)
  const now = { fan: 0, nozzle: Number.NaN, bed: Number.NaN, acceleration: 0, corner: Number.NaN, flow: 1 }
  let event = 0
  let x = 0
  let y = 0
  let z = 0
  // The stretch in hand: xyz, piece volume and speed by point.
  let stretch: number[] = []
  let volumes: number[] = []
  let speeds: number[] = []
  let lines: number[] = []
  // The travel in hand.
  let travel: number[] = []
  let travelMm = 0
  let travelS = 0
  let top = Number.NEGATIVE_INFINITY
  let drawn = 0
  let deepest = 0
  let drawSpeed = 0
  let dwell = 0
  let lastZ = 0

  /** Puts points from..to of the stretch down as one bead, with the travel in hand before it. */
  const putDown = (from: number, to: number, closed: boolean): void => {
    let length = 0
    let seconds = 0
    const firstZ = stretch[3 * from + 2]
    for (let i = from; i <= to; i++) {
      raw.points.push(stretch[3 * i])
      raw.points.push(stretch[3 * i + 1])
      raw.points.push(stretch[3 * i + 2])
      raw.pieceVolume.push(i === from && to > from ? 0 : volumes[i])
      if (i > from) {
        const piece = Math.hypot(
          stretch[3 * i] - stretch[3 * i - 3],
          stretch[3 * i + 1] - stretch[3 * i - 2],
          stretch[3 * i + 2] - stretch[3 * i - 1],
        )
        length += piece
        seconds += piece / speeds[i]
      }
    }
    raw.start.push(raw.pieceVolume.n)
    raw.closed.push(closed ? 1 : 0)
    raw.speed.push(seconds > 0 ? length / seconds : speeds[from])
    raw.flowShare.push(now.flow)
    raw.acceleration.push(now.acceleration)
    raw.cornerSpeed.push(now.corner)
    raw.fanShare.push(now.fan)
    raw.nozzleC.push(now.nozzle)
    raw.bedC.push(now.bed)
    raw.line.push(lines[Math.min(from + 1, to)])
    // The way over the travel's points without the lift; the last one is the bead's first point.
    const lift = Math.max(0, top - Math.max(lastZ, firstZ))
    const lifted = lift > 1e-6 && raw.n > 0 ? lift : 0
    let lastX = Number.NaN
    let lastY = Number.NaN
    for (let t = 0; t + 1 < travel.length / 3; t++) {
      const tx = travel[3 * t]
      const ty = travel[3 * t + 1]
      if (tx === lastX && ty === lastY) continue
      raw.travelPoints.push(tx)
      raw.travelPoints.push(ty)
      raw.travelPoints.push(firstZ)
      lastX = tx
      lastY = ty
    }
    raw.travelStart.push(raw.travelPoints.n / 3)
    raw.travelSpeed.push(travelS > 0 ? travelMm / travelS : 100)
    raw.retraction.push(raw.n > 0 ? deepest : 0)
    raw.retractionSpeed.push(drawSpeed > 0 ? drawSpeed : 40)
    raw.lift.push(lifted)
    raw.dwell.push(dwell)
    raw.n++
    travel = []
    travelMm = 0
    travelS = 0
    top = Number.NEGATIVE_INFINITY
    deepest = 0
    drawSpeed = 0
    dwell = 0
    lastZ = stretch[3 * to + 2]
  }

  /** Whether the whole stretch goes once round and ends just short of its start, as loops do whose ends must not pile up. */
  const fallsShort = (): boolean => {
    const last = volumes.length - 1
    const gap = Math.hypot(stretch[0] - stretch[3 * last], stretch[1] - stretch[3 * last + 1])
    if (last < 3 || gap > MOST_SEAM_GAP_MM) return false
    let turned = 0
    let length = 0
    let area = 0
    for (let i = 1; i <= last; i++) {
      const dx = stretch[3 * i] - stretch[3 * i - 3]
      const dy = stretch[3 * i + 1] - stretch[3 * i - 2]
      length += Math.hypot(dx, dy)
      area += (stretch[3 * i - 3] * stretch[3 * i + 1] - stretch[3 * i] * stretch[3 * i - 2]) / 2
      const next = i < last ? i + 1 : 0
      const ex = stretch[3 * next] - stretch[3 * i]
      const ey = stretch[3 * next + 1] - stretch[3 * i + 1]
      turned += Math.atan2(dx * ey - dy * ex, dx * ex + dy * ey)
    }
    const dx = stretch[3] - stretch[0]
    const dy = stretch[4] - stretch[1]
    const ex = stretch[0] - stretch[3 * last]
    const ey = stretch[1] - stretch[3 * last + 1]
    turned += Math.atan2(ex * dy - ey * dx, ex * dx + ey * dy)
    area += (stretch[3 * last] * stretch[1] - stretch[0] * stretch[3 * last + 1]) / 2
    // Lines to and fro enclose next to nothing: twice the area over the length is the mean width between them.
    const roomy = 2 * Math.abs(area) > 0.3 * length
    return roomy && length > 8 * gap && Math.abs(Math.abs(turned) - 2 * Math.PI) < 0.1
  }

  /** Puts the whole stretch down closed; its plastic is spread over the gap as well, as it is when it is pressed flat. */
  const closeGap = (): void => {
    const last = volumes.length - 1
    const gap = Math.hypot(stretch[0] - stretch[3 * last], stretch[1] - stretch[3 * last + 1])
    let length = 0
    let volume = 0
    for (let i = 1; i <= last; i++) {
      length += Math.hypot(stretch[3 * i] - stretch[3 * i - 3], stretch[3 * i + 1] - stretch[3 * i - 2])
      volume += volumes[i]
    }
    for (let i = 1; i <= last; i++) volumes[i] *= length / (length + gap)
    stretch.push(stretch[0], stretch[1], stretch[3 * last + 2])
    volumes.push((volume * gap) / (length + gap))
    speeds.push(speeds[last])
    lines.push(lines[last])
    putDown(0, last + 1, true)
  }

  /** Cuts the stretch in hand into loops and open pieces. */
  const endStretch = (): void => {
    const last = volumes.length - 1
    if (last < 1) {
      stretch = []
      volumes = []
      speeds = []
      lines = []
      return
    }
    let from = 0
    let steps = 0
    while (from < last) {
      const returns = (k: number): boolean =>
        Math.abs(stretch[3 * k] - stretch[3 * from]) < SAME_MM &&
        Math.abs(stretch[3 * k + 1] - stretch[3 * from + 1]) < SAME_MM &&
        Math.abs(stretch[3 * k + 2] - stretch[3 * from + 2]) < 0.5
      let closing = from + 3
      while (closing <= last && steps < MOST_CLOSURE_STEPS && !returns(closing)) {
        closing++
        steps++
      }
      if (closing > last || steps >= MOST_CLOSURE_STEPS) closing = -1
      // The last points before the end may be just as near.
      else while (closing < last && returns(closing + 1)) closing++
      if (closing > 0) {
        putDown(from, closing, true)
        from = closing
        continue
      }
      let to = from + 1
      while (to < last && Math.abs(speeds[to + 1] - speeds[from + 1]) < 0.01 * speeds[from + 1]) to++
      if (from === 0 && to === last && fallsShort()) closeGap()
      else putDown(from, to, false)
      from = to
    }
    stretch = []
    volumes = []
    speeds = []
    lines = []
  }

  for (let i = 0; i < moves.n; i++) {
    if ((i & 0x3fff) === 0) {
      task?.onProgress?.((0.4 * i) / moves.n, 'Finding the beads')
      await breathe(task)
    }
    while (event < events.n && events.move[event] <= i) {
      const value = events.value[event]
      const kind = events.kind[event]
      // Nothing that changes heat or filament may stand inside a bead; the fan may, but behind a bead it belongs to what follows.
      if (stretch.length > 0 && (kind !== FAN || !(moves.filament[i] > 0))) endStretch()
      if (kind === FAN) now.fan = value
      else if (kind === NOZZLE) now.nozzle = value
      else if (kind === BED) now.bed = value
      else if (kind === ACCELERATION) now.acceleration = value
      else if (kind === CORNER) now.corner = value
      else if (kind === FLOW) now.flow = value
      else if (kind === DWELL) dwell += value
      event++
    }
    const dx = moves.x[i] - x
    const dy = moves.y[i] - y
    const dz = moves.z[i] - z
    const plan = Math.sqrt(dx * dx + dy * dy)
    const length = Math.sqrt(plan * plan + dz * dz)
    let pushed = moves.filament[i]
    const makesUp = pushed > 0 && drawn > 0
    if (makesUp) {
      const back = Math.min(drawn, pushed)
      drawn -= back
      pushed -= back
      if (drawn < 1e-5) drawn = 0
      if (pushed < 1e-5) pushed = 0
    }
    // A crumb of a move without filament inside a bead is rounding of the file, no travel.
    const crumb =
      stretch.length > 0 && moves.filament[i] === 0 && length < CRUMB_MM && (moves.flags[i] & MOVE_RAPID) === 0
    if ((pushed > 0 && plan > 1e-6) || crumb) {
      if (stretch.length === 0) {
        stretch.push(x, y, z)
        volumes.push(0)
        speeds.push(moves.speed[i])
        lines.push(moves.line[i])
      }
      stretch.push(moves.x[i], moves.y[i], moves.z[i])
      volumes.push(pushed * filamentMm2)
      speeds.push(moves.speed[i])
      lines.push(moves.line[i])
    } else {
      endStretch()
      if (moves.filament[i] < 0) {
        drawn -= moves.filament[i]
        if (drawn > deepest) deepest = drawn
        if (length < 1e-6) drawSpeed = moves.speed[i]
      }
      if (pushed > 0 && length < 1e-6) {
        const deposit = pushed * filamentMm2
        if (raw.n === 0) raw.primedMm3 += deposit
        else if (deposit >= (makesUp ? LEAST_DEPOSIT_AFTER_RETRACTION_MM3 : LEAST_DEPOSIT_MM3)) {
          stretch.push(x, y, z)
          volumes.push(deposit)
          speeds.push(moves.speed[i] * filamentMm2)
          lines.push(moves.line[i])
          // The travel's last point is the deposit itself.
          putDown(0, 0, false)
          stretch = []
          volumes = []
          speeds = []
          lines = []
        }
      }
      if (length > 0) {
        if (plan > 1e-6) {
          travel.push(moves.x[i], moves.y[i], moves.z[i])
          travelMm += length
          travelS += length / moves.speed[i]
        }
        if (moves.z[i] > top) top = moves.z[i]
      }
    }
    x = moves.x[i]
    y = moves.y[i]
    z = moves.z[i]
  }
  endStretch()
  return raw
}
