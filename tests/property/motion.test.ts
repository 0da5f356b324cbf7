// What must hold for every path: slower machines never save time, and how a straight line is cut does not matter.
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type MoveList, timeMoves } from '../../src/engine/timing/index.ts'
import { freeMachine, movesThrough } from '../moves.ts'

const coordinate = fc.double({ min: -40, max: 40, noNaN: true })
const path = fc
  .array(fc.tuple(coordinate, coordinate, fc.double({ min: 0, max: 5, noNaN: true })), { minLength: 2, maxLength: 30 })
  .filter((points) => points.every((p, i) => i === 0 || Math.hypot(...p.map((c, k) => c - points[i - 1][k])) > 1e-3))
const speeds = (n: number) => fc.array(fc.double({ min: 2, max: 200, noNaN: true }), { minLength: n, maxLength: n })
const drive = path.chain((points) => speeds(points.length - 1).map((speed) => ({ points, speed })))
const rule = fc.constantFrom('jump', 'deviation' as const)
const time = (list: MoveList, ...changes: Parameters<typeof freeMachine>) =>
  timeMoves(list, freeMachine(...changes)).totalS

test('time never falls when the acceleration falls', () => {
  fc.assert(
    fc.property(
      drive,
      rule,
      fc.boolean(),
      fc.double({ min: 0.05, max: 1, noNaN: true }),
      (way, cornerRule, curvatureLimit, share) => {
        const list = movesThrough(way.points, way.speed)
        const fast = time(list, { cornerRule, curvatureLimit, acceleration: 500 })
        const slow = time(list, { cornerRule, curvatureLimit, acceleration: 500 * share })
        expect(slow).toBeGreaterThanOrEqual(fast * (1 - 1e-12))
      },
    ),
  )
})

test('time never falls when corner speed, deviation, set speeds or axis limits fall', () => {
  fc.assert(
    fc.property(drive, rule, fc.double({ min: 0.05, max: 1, noNaN: true }), (way, cornerRule, share) => {
      const list = movesThrough(way.points, way.speed)
      const base = time(list, { cornerRule })
      const slower = [
        time(list, { cornerRule, cornerSpeed: 5 * share, cornerDeviation: 0.02 * share }),
        time(
          movesThrough(
            way.points,
            way.speed.map((v) => v * share),
          ),
          { cornerRule },
        ),
        time(list, { cornerRule, mostSpeed: [100 * share, 1e9, 1e9, 1e9] }),
        time(list, { cornerRule, mostAcceleration: [1e9, 300 * share, 1e9, 1e9] }),
        time(list, { cornerRule, curvatureLimit: true }),
      ]
      for (const seconds of slower) expect(seconds).toBeGreaterThanOrEqual(base * (1 - 1e-12))
    }),
  )
})

test('a path costs the same time however its straight lines are cut', () => {
  fc.assert(
    fc.property(
      drive,
      rule,
      fc.boolean(),
      fc.array(fc.array(fc.double({ min: 0.02, max: 0.98, noNaN: true }), { maxLength: 4 }), {
        minLength: 30,
        maxLength: 30,
      }),
      (way, cornerRule, curvatureLimit, cuts) => {
        const points: number[][] = [[...way.points[0]]]
        const speed: number[] = []
        for (let i = 1; i < way.points.length; i++) {
          const a = way.points[i - 1]
          const b = way.points[i]
          for (const cut of [...new Set(cuts[i - 1].map((cut) => Math.round(50 * cut) / 50))].sort((p, q) => p - q)) {
            points.push(a.map((c, k) => c + cut * (b[k] - c)))
            speed.push(way.speed[i - 1])
          }
          points.push([...b])
          speed.push(way.speed[i - 1])
        }
        const whole = time(movesThrough(way.points, way.speed), { cornerRule, curvatureLimit })
        const cut = time(movesThrough(points, speed), { cornerRule, curvatureLimit })
        expect(Math.abs(cut - whole)).toBeLessThan(1e-6 * whole)
      },
    ),
  )
})

test('a path costs the same time backwards', () => {
  fc.assert(
    fc.property(drive, rule, fc.boolean(), (way, cornerRule, curvatureLimit) => {
      const forth = time(movesThrough(way.points, way.speed), { cornerRule, curvatureLimit })
      const back = time(movesThrough([...way.points].reverse(), [...way.speed].reverse()), {
        cornerRule,
        curvatureLimit,
      })
      expect(Math.abs(back - forth)).toBeLessThan(1e-9 * forth)
    }),
  )
})
