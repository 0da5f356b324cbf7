// A chain of moves with look-ahead: corner limits are taken as moves are added, speeds at the joints follow from a backward and a
// forward pass. Source: constant-acceleration kinematics; v2^2 = v1^2 + 2 a d.
// Joint speeds are kept squared: both passes then need no root.

import type { MotionLimits } from './types.ts'

/** Direction vectors that differ by less than this are one straight line. */
const STRAIGHT = 1e-7
/** A turn up to 45 deg may be part of a curve; a sharper one is a corner. |u2-u1| = 2 sin(turn/2). */
const CURVE_TURN_SQUARED = (2 * Math.sin(Math.PI / 8)) ** 2 * (1 + 1e-9)

const grown = (old: Float64Array, size: number): Float64Array => {
  const next = new Float64Array(size)
  next.set(old)
  return next
}

/** Moves in a row. Lengths mm, speeds mm/s, accelerations mm/s2. A wait has speed 0 and its seconds in `length`. */
export class MotionChain {
  n = 0
  length: Float64Array
  /** Greatest speed of each move: set speed within the axis limits. */
  speed: Float64Array
  acceleration: Float64Array
  /** Square of the speed allowed through the joint before move i; entry n is the end. */
  corner2: Float64Array
  /** Square of the speed through the joint before move i, once solved. */
  joint2: Float64Array
  /** May be changed between moves. */
  limits: MotionLimits
  /** Direction and filament share of the move before; `moving` is false after a stop. */
  #moving = false
  #x = 0
  #y = 0
  #z = 0
  #e = 0
  /** Two turning joints in a row (-1: none), the direction before the first, and the straight lengths before, between and after. */
  #first = -1
  #second = -1
  #firstX = 0
  #firstY = 0
  #firstZ = 0
  #secondX = 0
  #secondY = 0
  #secondZ = 0
  #before = 0
  #between = 0
  #run = 0

  constructor(limits: MotionLimits, capacity = 1024) {
    this.limits = limits
    this.length = new Float64Array(capacity)
    this.speed = new Float64Array(capacity)
    this.acceleration = new Float64Array(capacity)
    this.corner2 = new Float64Array(capacity + 1)
    this.joint2 = new Float64Array(capacity + 1)
  }

  /** Adds a straight move of the nozzle with filament; without length it becomes a filament move, without either it is left out (-1). */
  move(dx: number, dy: number, dz: number, filament: number, setSpeed: number): number {
    const length = Math.sqrt(dx * dx + dy * dy + dz * dz)
    if (length === 0) return filament === 0 ? -1 : this.filament(filament, setSpeed)
    const { limits } = this
    const { mostSpeed, mostAcceleration } = limits
    const x = dx / length
    const y = dy / length
    const z = dz / length
    const e = filament / length
    let speed = setSpeed
    let acceleration = limits.acceleration
    const ax = Math.abs(x)
    const ay = Math.abs(y)
    const az = Math.abs(z)
    const ae = Math.abs(e)
    if (speed * ax > mostSpeed[0]) speed = mostSpeed[0] / ax
    if (speed * ay > mostSpeed[1]) speed = mostSpeed[1] / ay
    if (speed * az > mostSpeed[2]) speed = mostSpeed[2] / az
    if (speed * ae > mostSpeed[3]) speed = mostSpeed[3] / ae
    if (acceleration * ax > mostAcceleration[0]) acceleration = mostAcceleration[0] / ax
    if (acceleration * ay > mostAcceleration[1]) acceleration = mostAcceleration[1] / ay
    if (acceleration * az > mostAcceleration[2]) acceleration = mostAcceleration[2] / az
    if (acceleration * ae > mostAcceleration[3]) acceleration = mostAcceleration[3] / ae
    const i = this.#push(length, speed, acceleration)
    if (this.#moving) this.corner2[i] = this.#corner(i, x, y, z, e)
    else this.#run = 0
    this.#run += length
    this.#moving = true
    this.#x = x
    this.#y = y
    this.#z = z
    this.#e = e
    return i
  }

  /** Adds a move of the filament alone, |mm|: the nozzle stands. */
  filament(mm: number, setSpeed: number): number {
    this.stop()
    const { mostSpeed, mostAcceleration } = this.limits
    return this.#push(Math.abs(mm), Math.min(setSpeed, mostSpeed[3]), mostAcceleration[3])
  }

  /** Adds a wait. */
  wait(seconds: number): number {
    this.stop()
    return this.#push(seconds, 0, 0)
  }

  /** The nozzle comes to rest here. */
  stop(): void {
    this.#closeCurve()
    this.#first = -1
    this.#second = -1
    this.#moving = false
  }

  #push(length: number, speed: number, acceleration: number): number {
    const i = this.n++
    if (i === this.length.length) {
      const size = 2 * i
      this.length = grown(this.length, size)
      this.speed = grown(this.speed, size)
      this.acceleration = grown(this.acceleration, size)
      this.corner2 = grown(this.corner2, size + 1)
      this.joint2 = new Float64Array(size + 1)
    }
    this.length[i] = length
    this.speed[i] = speed
    this.acceleration[i] = acceleration
    this.corner2[i] = 0
    this.corner2[i + 1] = 0
    return i
  }

  /** Square of the speed allowed from the move before into direction (x, y, z), filament share e. */
  #corner(i: number, x: number, y: number, z: number, e: number): number {
    const { limits } = this
    const dx = x - this.#x
    const dy = y - this.#y
    const dz = z - this.#z
    const turn2 = dx * dx + dy * dy + dz * dz
    let allowed2 = Number.POSITIVE_INFINITY
    const de = Math.abs(e - this.#e)
    if (de > 1e-12) allowed2 = (limits.filamentCornerSpeed / de) ** 2
    if (turn2 < STRAIGHT * STRAIGHT) return allowed2
    if (dz > STRAIGHT || dz < -STRAIGHT) allowed2 = Math.min(allowed2, (limits.zCornerSpeed / dz) ** 2)
    if (limits.cornerRule === 'jump') {
      allowed2 = Math.min(allowed2, (limits.cornerSpeed * limits.cornerSpeed) / turn2)
    } else {
      // With c = cos^2(half the inner angle) and s its sine: R = deviation s/(1-s) = deviation s(1+s)/c, without cancellation.
      const c = turn2 / 4
      // Straight back: rounding must not leave a crumb of speed.
      const s = 1 - c < 1e-10 ? 0 : Math.sqrt(1 - c)
      const slower = Math.min(this.acceleration[i], this.acceleration[i - 1])
      allowed2 = Math.min(allowed2, (slower * limits.cornerDeviation * s * (1 + s)) / c)
    }
    if (limits.curvatureLimit) this.#turnAt(i, turn2)
    return allowed2
  }

  /** Notes a turning joint; two in a row, with the straight pieces round them, make a piece of curve. */
  #turnAt(i: number, turn2: number): void {
    this.#closeCurve()
    if (turn2 > CURVE_TURN_SQUARED) {
      this.#first = -1
      this.#second = -1
    } else {
      this.#first = this.#second
      this.#firstX = this.#secondX
      this.#firstY = this.#secondY
      this.#firstZ = this.#secondZ
      this.#before = this.#between
      this.#second = i
      this.#secondX = this.#x
      this.#secondY = this.#y
      this.#secondZ = this.#z
    }
    this.#between = this.#run
    this.#run = 0
  }

  /** Holds both joints of a piece of curve to v^2 = a r, r the length between the middles of the outer pieces over the change of direction. */
  #closeCurve(): void {
    const i = this.#first
    if (i < 0) return
    const j = this.#second
    const turn = Math.hypot(this.#x - this.#firstX, this.#y - this.#firstY, this.#z - this.#firstZ)
    if (turn < STRAIGHT) return
    const radius = (this.#before / 2 + this.#between + this.#run / 2) / turn
    const slower = Math.min(this.acceleration[i - 1], this.acceleration[j])
    const allowed2 = slower * radius
    if (allowed2 < this.corner2[i]) this.corner2[i] = allowed2
    if (allowed2 < this.corner2[j]) this.corner2[j] = allowed2
  }

  /** Finds the joint speeds of moves from..to-1, at rest at both ends of the range. */
  solve(from = 0, to = this.n): void {
    const { length, speed, acceleration, corner2, joint2 } = this
    if (to <= from) return
    let next2 = 0
    joint2[to] = 0
    for (let i = to - 1; i > from; i--) {
      let v2 = next2 + 2 * acceleration[i] * length[i]
      if (corner2[i] < v2) v2 = corner2[i]
      const here = speed[i]
      const previous = speed[i - 1]
      const slower = here < previous ? here : previous
      if (slower * slower < v2) v2 = slower * slower
      joint2[i] = v2
      next2 = v2
    }
    joint2[from] = 0
    let last2 = 0
    for (let i = from; i < to; i++) {
      const reach2 = last2 + 2 * acceleration[i] * length[i]
      if (joint2[i + 1] > reach2) joint2[i + 1] = reach2
      last2 = joint2[i + 1]
    }
  }

  /** Square of the greatest speed within move i. */
  peak2(i: number): number {
    const reach2 = this.acceleration[i] * this.length[i] + (this.joint2[i] + this.joint2[i + 1]) / 2
    const set2 = this.speed[i] * this.speed[i]
    return set2 < reach2 ? set2 : reach2
  }

  /** Seconds of move i, once solved. */
  duration(i: number): number {
    const set = this.speed[i]
    const length = this.length[i]
    if (set === 0) return length
    const a = this.acceleration[i]
    const start2 = this.joint2[i]
    const end2 = this.joint2[i + 1]
    const reach2 = a * length + (start2 + end2) / 2
    if (set * set >= reach2) {
      // No cruise: one speed throughout when the joints are as fast as can be, else up and down.
      return (2 * Math.sqrt(reach2) - Math.sqrt(start2) - Math.sqrt(end2)) / a
    }
    const start = Math.sqrt(start2)
    const end = Math.sqrt(end2)
    const cruise = length - (2 * set * set - start2 - end2) / (2 * a)
    return (2 * set - start - end) / a + cruise / set
  }

  /** Length of move i at its set speed, mm. */
  cruise(i: number): number {
    const set2 = this.speed[i] * this.speed[i]
    const a = this.acceleration[i]
    if (set2 === 0 || a === 0) return 0
    return Math.max(0, this.length[i] - (2 * set2 - this.joint2[i] - this.joint2[i + 1]) / (2 * a))
  }

  /** Seconds of moves from..to-1, once solved. */
  total(from = 0, to = this.n): number {
    let seconds = 0
    for (let i = from; i < to; i++) seconds += this.duration(i)
    return seconds
  }
}
