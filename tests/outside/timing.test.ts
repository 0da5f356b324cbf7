// Times of moves against closed forms, a step-by-step integration, and published corner geometry.
import { expect, test } from 'vitest'
import { type MotionLimits, type MoveList, timeMoves } from '../../src/engine/timing/index.ts'
import { freeMachine, movesThrough } from '../moves.ts'
import { checkOutside } from '../validation.ts'

const KINEMATICS = 'constant-acceleration kinematics, closed form'
const check = (
  model: string,
  name: string,
  expected: number,
  got: number,
  allowed = 1e-9,
  unit = 's',
  source = KINEMATICS,
) => checkOutside({ room: 'timing', model, case: name, source, expected, got, allowed, unit })

/** Time of d mm from v0 to v1 with cruise v at a, in closed form. */
const closedForm = (d: number, v0: number, v: number, v1: number, a: number): number => {
  const ramps = (v * v - v0 * v0) / (2 * a) + (v * v - v1 * v1) / (2 * a)
  if (ramps <= d) return (v - v0) / a + (v - v1) / a + (d - ramps) / v
  const peak = Math.sqrt(a * d + (v0 * v0 + v1 * v1) / 2)
  return (2 * peak - v0 - v1) / a
}

/** The time of a move between joints at v0 and v1: straight neighbours whose set speeds are just those. */
const between = (d: number, v0: number, v: number, v1: number, a: number): number => {
  // Long enough to reach any joint speed.
  const list = movesThrough(
    [
      [-500, 0],
      [0, 0],
      [d, 0],
      [d + 500, 0],
    ],
    [Math.max(v0, 1e-9), v, Math.max(v1, 1e-9)],
  )
  return timeMoves(list, freeMachine({ acceleration: a })).durationS[1]
}

test.each([
  [10, 0, 45, 0, 300, 0.37222],
  [10, 5, 45, 5, 300, 0.34074],
  [10, 5, 45, 0, 300, 0.35648],
  [10, 0, 45, 20, 300, 0.32037],
  [5, 5, 45, 5, 300, 0.22701],
  [1, 5, 45, 5, 300, 0.08685],
  [0.2, 5, 45, 5, 300, 0.02813],
  [40, 0, 100, 10, 1000, 0.4905],
])('one move %s mm from %s over %s to %s mm/s at %s mm/s2', (d, v0, v, v1, a, printed) => {
  const exact = closedForm(d, v0, v, v1, a)
  expect(Math.abs(exact - printed)).toBeLessThan(6e-6)
  check('single move', `${d} mm, ${v0} to ${v1} over ${v} mm/s at ${a} mm/s2`, exact, between(d, v0, v, v1, a))
})

test('square of 10 mm: corners at 5, full stops, no acceleration limit', () => {
  const square = movesThrough(
    [
      [0, 0],
      [10, 0],
      [10, 10],
      [0, 10],
      [0, 0],
    ],
    45,
  )
  const time = (changes: Partial<MotionLimits>) => timeMoves(square, freeMachine(changes)).totalS
  const ends = closedForm(10, 0, 45, 5, 300)
  check(
    'look-ahead',
    'square 10 mm, corners at 5 mm/s',
    2 * ends + 2 * closedForm(10, 5, 45, 5, 300),
    time({ cornerSpeed: 5 * Math.SQRT2 }),
  )
  check('look-ahead', 'square 10 mm, full stops', 4 * closedForm(10, 0, 45, 0, 300), time({ cornerSpeed: 0 }))
  check(
    'look-ahead',
    'square 10 mm, acceleration 1e12',
    40 / 45,
    time({ cornerSpeed: 1e6, acceleration: 1e12, mostAcceleration: [1e12, 1e12, 1e12, 1e12] }),
  )
  expect(time({ cornerSpeed: 5 * Math.SQRT2 })).toBeCloseTo(1.39444, 5)
})

test('post of 3 mm: outer loop 4 x 2.55 with corners at 5', () => {
  const loop = movesThrough(
    [
      [0, 0],
      [2.55, 0],
      [2.55, 2.55],
      [0, 2.55],
      [0, 0],
    ],
    45,
  )
  const { totalS } = timeMoves(loop, freeMachine({ cornerSpeed: 5 * Math.SQRT2 }))
  const exact = 2 * closedForm(2.55, 0, 45, 5, 300) + 2 * closedForm(2.55, 5, 45, 5, 300)
  check('look-ahead', 'square 2.55 mm, at rest at both ends', exact, totalS)
})

test('look-ahead over a straight chain', () => {
  const chain = movesThrough(
    [
      [0, 0],
      [1, 0],
      [1.5, 0],
      [1.7, 0],
      [4.7, 0],
    ],
    45,
  )
  const { jointSpeed, totalS } = timeMoves(chain, freeMachine())
  const joints = [Math.sqrt(600), 30, Math.sqrt(2 * 300 * 1.7)]
  joints.forEach((v, i) => {
    check('look-ahead', `straight chain 1, 0.5, 0.2, 3 mm, joint ${i + 1}`, v, jointSpeed[i + 1], 1e-9, 'mm/s')
  })
  check('look-ahead', 'straight chain 1, 0.5, 0.2, 3 mm, total', 2 * Math.sqrt(4.7 / 300), totalS)
})

/** Speed kept at the corner between two long moves whose inner angle is `degrees`. */
const cornerSpeedAt = (degrees: number, changes: Partial<MotionLimits>): number => {
  const turn = Math.PI - (degrees * Math.PI) / 180
  const list = movesThrough(
    [
      [-5000, 0],
      [0, 0],
      [5000 * Math.cos(turn), 5000 * Math.sin(turn)],
    ],
    400,
  )
  return timeMoves(list, freeMachine(changes)).jointSpeed[1]
}

test.each([30, 60, 90, 120, 135, 150, 170])('corner rules at an inner angle of %s deg', (degrees) => {
  const half = (degrees * Math.PI) / 360
  const s = Math.sin(half)
  for (const [a, deviation] of [
    [300, 0.02],
    [1000, 0.05],
  ])
    check(
      'corner by deviation',
      `${degrees} deg, a ${a}, deviation ${deviation}`,
      Math.sqrt((a * deviation * s) / (1 - s)),
      cornerSpeedAt(degrees, { cornerRule: 'deviation', acceleration: a, cornerDeviation: deviation }),
      1e-9,
      'mm/s',
      'circle through a corner at a given deviation, plane geometry; v2 = a r',
    )
  check(
    'corner by jump',
    `${degrees} deg, jump 5`,
    5 / (2 * Math.cos(half)),
    cornerSpeedAt(degrees, {}),
    1e-9,
    'mm/s',
    'vector difference, plane geometry',
  )
})

test('a circle of 60 pieces is held to the centripetal limit', () => {
  const points = Array.from({ length: 601 }, (_, i) => {
    const at = (2 * Math.PI * i) / 60
    return [5 * Math.cos(at), 5 * Math.sin(at)]
  })
  const list = movesThrough(points, 200)
  const atMiddle = (changes: Partial<MotionLimits>) => timeMoves(list, freeMachine(changes)).jointSpeed[300]
  for (const cornerRule of ['jump', 'deviation'] as const)
    checkOutside({
      room: 'timing',
      model: 'curvature limit',
      case: `circle r 5 mm in 60 pieces, ${cornerRule} rule, a 300`,
      source: 'centripetal acceleration v2/r',
      expected: Math.sqrt(300 * 5),
      got: atMiddle({ cornerRule, curvatureLimit: true }),
      allowed: 0.002,
      relative: true,
      unit: 'mm/s',
    })
  check(
    'corner by deviation',
    'circle r 5 in 60 pieces without curvature limit',
    66.1,
    atMiddle({ cornerRule: 'deviation' }),
    0.05,
    'mm/s',
    'plane geometry, worked by hand',
  )
  check(
    'corner by jump',
    'circle r 5 in 60 pieces without curvature limit',
    47.8,
    atMiddle({}),
    0.05,
    'mm/s',
    'plane geometry, worked by hand',
  )
})

/** The same path driven blindly in steps of time: at every instant full acceleration unless some limit ahead then could not be kept. */
const drivenBlindly = (list: MoveList, limits: MotionLimits, stepS: number): number => {
  const { nMoves, points, speed } = list
  const at: number[] = [0]
  const direction: number[][] = []
  for (let i = 0; i < nMoves; i++) {
    const d = [0, 1, 2].map((k) => points[4 * i + 4 + k] - points[4 * i + k])
    const length = Math.hypot(...d)
    at.push(at[i] + length)
    direction.push(d.map((c) => c / length))
  }
  const allowed = direction.map((u, i) => {
    if (i === 0) return Number.POSITIVE_INFINITY
    const cosine = -(u[0] * direction[i - 1][0] + u[1] * direction[i - 1][1] + u[2] * direction[i - 1][2])
    const inner = Math.acos(Math.min(1, Math.max(-1, cosine)))
    if (limits.cornerRule === 'jump') return limits.cornerSpeed / (2 * Math.cos(inner / 2))
    const s = Math.sin(inner / 2)
    return Math.sqrt((limits.acceleration * limits.cornerDeviation * s) / (1 - s))
  })
  allowed.push(0)
  const a = limits.acceleration
  // The greatest speed from which everything ahead can still be kept.
  const safe = (place: number, move: number): number => {
    let most = speed[move]
    for (let j = move + 1; j <= nMoves; j++) {
      const room = 2 * a * Math.max(0, at[j] - place)
      const held = Math.min(allowed[j], j < nMoves ? speed[j] : 0)
      most = Math.min(most, Math.sqrt(held * held + room))
      if (room > 1e5) break
    }
    return most
  }
  let place = 0
  let v = 0
  let seconds = 0
  let move = 0
  const end = at[nMoves]
  while (place < end - 1e-6) {
    const next = Math.min(v + a * stepS, safe(place + v * stepS, move))
    place += ((v + Math.max(next, 1e-4)) / 2) * stepS
    v = Math.max(next, 1e-4)
    seconds += stepS
    while (move < nMoves - 1 && place >= at[move + 1]) move++
  }
  return seconds
}

test.each([
  ['jump', 1],
  ['jump', 2],
  ['jump', 3],
  ['deviation', 4],
  ['deviation', 5],
  ['deviation', 6],
] as const)('random path, %s rule, seed %s: integration in small steps of time', (cornerRule, seed) => {
  let state = seed * 7919
  const random = () => {
    state = (state * 1664525 + 1013904223) % 4294967296
    return state / 4294967296
  }
  const points = [[0, 0, 0]]
  const speeds: number[] = []
  let heading = 0
  for (let i = 0; i < 40; i++) {
    heading += (random() - 0.5) * (random() < 0.3 ? 6 : 0.6)
    const length = 0.05 + 6 * random() ** 3
    const [x, y, z] = points[i]
    points.push([x + length * Math.cos(heading), y + length * Math.sin(heading), z + (random() < 0.1 ? 0.2 : 0)])
    speeds.push(10 + 60 * random())
  }
  const list = movesThrough(points, speeds)
  const limits = freeMachine({ cornerRule })
  checkOutside({
    room: 'timing',
    model: 'whole path with look-ahead',
    case: `40 random moves, ${cornerRule} rule, seed ${seed}`,
    source: 'numeric integration in steps of 10 microseconds, written apart',
    expected: drivenBlindly(list, limits, 1e-5),
    got: timeMoves(list, limits).totalS,
    allowed: 0.001,
    relative: true,
    unit: 's',
  })
})
