import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../../tests/seeded-random.ts'
import { STARTING_FILAMENT } from '../../recipe/index.ts'
import { beadSetting } from './bead-setting.ts'
import { capLoops } from './cap-loops.ts'
import { footingShare } from './footing.ts'
import { edgeLossMm, firstLayerSqueezeMm } from './shape-lost.ts'
import { integrateProfile, stepDepth, stepRa } from './step-profile.ts'
import { shownSpacingMm, stepSpacingMm, stepsShow } from './viewing.ts'
import { longestSpanMm, spanSagMm, spanShape, stadiumMoment, stubSagMm, stubShape } from './viscous-sag.ts'

describe('profile of layers on a slope', () => {
  test('on a wall it is half circles, on a slope it lies between them and sharp stairs', () => {
    const wall = integrateProfile(0)
    expect(wall.depth).toBeCloseTo(0.5, 4)
    expect(wall.ra).toBeCloseTo(0.09065, 4)
    for (const deg of [20, 45, 70]) {
      const cusp = Math.sin((deg * Math.PI) / 180)
      const { depth, ra } = integrateProfile((deg * Math.PI) / 180)
      // Round noses take the tips off: shallower than the sharp stairs, never rougher than they.
      expect(depth).toBeLessThan(cusp + 0.5 * (1 - cusp) + 0.01)
      expect(ra).toBeLessThan(cusp / 4 + 0.0907)
      expect(ra).toBeGreaterThan(0.06)
    }
  })
  test('goes with the layer height, and is the same looking up and down', () => {
    expect(stepRa(0.2, 0.4)).toBeCloseTo(2 * stepRa(0.1, 0.4), 12)
    expect(stepDepth(0.1, -0.4)).toBe(stepDepth(0.1, 0.4))
    expect(stepRa(0.1, 1)).toBe(0)
  })
})

test('steps show where they lie far apart, never on level ground', () => {
  expect(shownSpacingMm()).toBeCloseTo(0.2327, 4)
  expect(stepSpacingMm(0.1, 0)).toBe(0.1)
  expect(stepsShow(0.1, 0)).toBe(false)
  expect(stepsShow(0.25, 0)).toBe(true)
  expect(stepsShow(0.1, Math.cos((20 * Math.PI) / 180))).toBe(true)
  expect(stepsShow(0.1, 1)).toBe(false)
  // Nearer to the eye, more shows.
  expect(stepsShow(0.1, 0.5, 180)).toBe(true)
})

test('footing is whole inside, none a half width outside', () => {
  expect(footingShare(0.4, 0.5)).toBe(1)
  expect(footingShare(0.4, 0)).toBe(0.5)
  expect(footingShare(0.4, -0.2)).toBe(0)
})

describe('sag', () => {
  const bead = { areaMm2: 0.04, momentMm4: stadiumMoment(0.4, 0.1), weightNPerMm: 5e-7 }
  test('the longest span sags by what is allowed', () => {
    for (const allowed of [0.01, 0.05, 0.5]) {
      const lengthMm = longestSpanMm(bead, 8, allowed)
      expect(spanSagMm({ ...bead, lengthMm }, 8)).toBeCloseTo(allowed, 9)
    }
  })
  test('a round bead has the moment of a circle', () => {
    expect(stadiumMoment(0.4, 0.4)).toBeCloseTo((Math.PI * 0.2 ** 4) / 4, 12)
  })
  test('long spans hang as cords: less than the beam alone would sink', () => {
    const long = { ...bead, lengthMm: 20 }
    expect(spanSagMm(long, 8)).toBeLessThan(0.2 * ((long.weightNPerMm * 20 ** 4 * 8) / (3 * 384 * bead.momentMm4)))
    expect(stubSagMm({ ...bead, lengthMm: 8 }, 1e4)).toBe(8)
  })
  test('shapes are one at the middle and at the end', () => {
    expect(spanShape(0.5)).toBe(1)
    expect(spanShape(1)).toBe(0)
    expect(stubShape(1)).toBe(1)
    expect(stubShape(0)).toBe(0)
  })
})

describe('setting of a bead', () => {
  const conditions = {
    filament: STARTING_FILAMENT,
    nozzleC: 195,
    airMPerS: 2,
    roomC: 25,
    widthMm: 0.4,
    heightMm: 0.2,
  }
  test('about a second to the glass transition in the fan, longer without it', () => {
    const fanned = beadSetting(conditions)
    expect(fanned.setS).toBeGreaterThan(0.4)
    expect(fanned.setS).toBeLessThan(2)
    expect(beadSetting({ ...conditions, airMPerS: 0 }).setS).toBeGreaterThan(1.5 * fanned.setS)
    expect(beadSetting({ ...conditions, nozzleC: 185 }).fluidity).toBeLessThan(0.9 * fanned.fluidity)
  })
  test('a known time from heat stretches the course', () => {
    const fanned = beadSetting(conditions)
    const known = beadSetting(conditions, 3 * fanned.softS)
    expect(known.softS).toBeCloseTo(3 * fanned.softS, 9)
    expect(known.fluidity).toBeCloseTo(3 * fanned.fluidity, 6)
  })
})

test('edges: a right angle loses 0.41 radii, a flat one nothing', () => {
  expect(edgeLossMm(0.2, Math.PI / 2)).toBeCloseTo(0.2 * (Math.SQRT2 - 1), 12)
  expect(edgeLossMm(0.2, Math.PI)).toBeCloseTo(0, 12)
})

test('the first layer comes out more the lower the nozzle stands', () => {
  expect(firstLayerSqueezeMm(0.4, 0.2, 0)).toBeCloseTo(0, 9)
  // 0.0714 mm2 in 0.15 mm: 0.508 mm wide.
  expect(firstLayerSqueezeMm(0.4, 0.2, 0.05)).toBeCloseTo(0.0541, 3)
})

describe('caps', () => {
  const areaOf = (points: number[], triangles: number[]): number => {
    let area = 0
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
      const one =
        ((points[2 * b] - points[2 * a]) * (points[2 * c + 1] - points[2 * a + 1]) -
          (points[2 * b + 1] - points[2 * a + 1]) * (points[2 * c] - points[2 * a])) /
        2
      expect(one).toBeGreaterThanOrEqual(-1e-9)
      area += one
    }
    return area
  }
  test('a square with two square holes', () => {
    const points = [0, 0, 10, 0, 10, 10, 0, 10, 2, 2, 2, 4, 4, 4, 4, 2, 6, 6, 6, 8, 8, 8, 8, 6]
    const loops: [number, number][] = [
      [0, 4],
      [4, 8],
      [8, 12],
    ]
    const triangles = capLoops(points, loops)
    expect(triangles.length / 3).toBe(12 - 2 + 2 * 2)
    expect(areaOf(points, triangles)).toBeCloseTo(100 - 8, 9)
  })
  test('stars with a hole', () => {
    const random = seededRandom(7)
    for (let n = 5; n < 40; n += 3) {
      const points: number[] = []
      for (let i = 0; i < n; i++) {
        const r = 3 + 4 * random()
        points.push(r * Math.cos((2 * Math.PI * i) / n), r * Math.sin((2 * Math.PI * i) / n))
      }
      for (let i = 0; i < 6; i++) points.push(Math.cos((-2 * Math.PI * i) / 6), Math.sin((-2 * Math.PI * i) / 6))
      const twice = (from: number, to: number): number => {
        let sum = 0
        for (let i = from; i < to; i++) {
          const k = i + 1 < to ? i + 1 : from
          sum += points[2 * i] * points[2 * k + 1] - points[2 * k] * points[2 * i + 1]
        }
        return sum
      }
      const triangles = capLoops(points, [
        [0, n],
        [n, n + 6],
      ])
      expect(triangles.length / 3).toBe(n + 6)
      expect(areaOf(points, triangles)).toBeCloseTo((twice(0, n) + twice(n, n + 6)) / 2, 6)
    }
  })
})
