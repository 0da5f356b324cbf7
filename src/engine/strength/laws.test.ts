// Small laws: chances, directions, notches, pins, pulses, elastica at small loads.

import { describe, expect, test } from 'vitest'
import { PLAIN } from '../../../tests/strength-bodies.ts'
import { breakChance, normalShare, ranged } from './chance.ts'
import { bendLimb, bendToBreak } from './elastica.ts'
import { greatestPrincipal, strengthUse } from './field-stress.ts'
import { pulseShare } from './impact.ts'
import { infillShares, limitsAlong, printedStiffness } from './material.ts'
import { notchOfStep } from './notch.ts'
import { pinEffect } from './remedies.ts'
import { symmetricModes } from './vibration.ts'

describe('chances', () => {
  test('normal distribution', () => {
    expect(normalShare(0)).toBeCloseTo(0.5, 14)
    expect(normalShare(1.959963985)).toBeCloseTo(0.975, 9)
    expect(normalShare(-3.5)).toBeCloseTo(2.326290790355e-4, 12)
    expect(normalShare(2.999999) - normalShare(3.000001)).toBeCloseTo(0, 7)
  })

  test('a load as great as the strength breaks half of them; the range holds the value', () => {
    const scatter = { strength: 0.15, model: 0.25 }
    const even = breakChance(1, scatter)
    expect(even.value).toBeCloseTo(0.5, 12)
    expect(even.low).toBeLessThan(0.01)
    expect(even.high).toBeGreaterThan(0.99)
    expect(breakChance(0, scatter).value).toBe(0)
    const r = ranged(2, scatter)
    expect(r.low * r.high).toBeCloseTo(4, 12)
  })
})

describe('directions', () => {
  test('ends of the range are the card’s own values', () => {
    const across = limitsAlong(PLAIN, 1)
    const along = limitsAlong(PLAIN, 0)
    expect(across.tensionMPa).toBeCloseTo(22.8, 9)
    expect(across.modulusMPa).toBeCloseTo(2400, 6)
    expect(along.tensionMPa).toBeCloseTo(47.4, 9)
    expect(along.modulusMPa).toBeCloseTo(2680, 6)
    expect(limitsAlong(PLAIN, 1, 0.5).tensionMPa).toBeCloseTo(11.4, 9)
    expect(limitsAlong(PLAIN, 0, 0.5).tensionMPa).toBeCloseTo(47.4, 9)
  })

  test('infill is all there is at share 1 and nothing at 0', () => {
    expect(infillShares(1)).toEqual({ within: 1, across: 1 })
    expect(infillShares(0)).toEqual({ within: 0, across: 0 })
    const solid = printedStiffness(PLAIN)
    const half = printedStiffness(PLAIN, 0.5)
    expect(half.normal[2] / solid.normal[2]).toBeLessThan(0.5)
    expect(half.normal[0]).toBeGreaterThan(half.normal[2])
  })

  test('a push closes layers, a pull opens them', () => {
    const use = new Float64Array(2)
    strengthUse(0, 0, -30, 0, 0, 0, 47, 23, 22, use)
    expect([...use]).toEqual([0, 0])
    strengthUse(47, 0, 23, 0, 0, 0, 47, 23, 22, use)
    expect(use[0]).toBeCloseTo(1, 12)
    expect(use[1]).toBeCloseTo(1, 12)
    expect(greatestPrincipal(1, 2, 3, 0, 0, 0)).toBeCloseTo(3, 12)
    expect(greatestPrincipal(0, 0, 0, 5, 0, 0)).toBeCloseTo(5, 12)
  })
})

test('a step is a notch, no step is none; a sharper corner is worse', () => {
  expect(notchOfStep(1, 1, 0.2)).toBe(1)
  expect(notchOfStep(2, 1, 0.05)).toBeGreaterThan(notchOfStep(2, 1, 0.2))
  expect(notchOfStep(8, 1, 0.1)).toBeGreaterThan(notchOfStep(1.2, 1, 0.1))
})

test('a pin of plastic’s own stiffness and strength would change little; steel carries the moment', () => {
  const thin = pinEffect(1.2, 0.5, 2400, 22.8)
  const thick = pinEffect(3, 1, 2400, 22.8)
  expect(thin.force).toBeGreaterThan(2)
  expect(thick.force).toBeGreaterThan(1.5)
  // By hand: EI of plastic and wire together over that of plastic, curvature of cracking plastic the same.
  const whole = 3 ** 4
  const wire = 1
  const together = (2400 * (whole - wire) + 200_000 * wire) / (2400 * whole)
  const bent = ((1200 * Math.PI) / 32 / ((22.8 * Math.PI * 27) / 32)) * 1
  expect(thick.force).toBeCloseTo(Math.max(together, bent), 9)
})

test('short pulses are a blow, long ones a slow push', () => {
  expect(pulseShare(1000, 1e-6)).toBe(1)
  expect(pulseShare(1e4, 1e-4)).toBeGreaterThan(0.9)
  // Long: static answer to the greatest deceleration, pi / (2 w T), at most doubled.
  const slow = pulseShare(1e5, 1e-2)
  expect(slow).toBeGreaterThan(0.9 * (Math.PI / 2 / 1000))
  expect(slow).toBeLessThan(2 * (Math.PI / 2 / 1000))
})

describe('bent limbs', () => {
  const s = Float64Array.from({ length: 41 }, (_, i) => i / 2)
  const even = new Float64Array(41).fill(500)

  test('small loads bend by the straight formula', () => {
    const { acrossMm } = bendLimb(s, even, 1e-4)
    expect(acrossMm / ((1e-4 * 20 ** 3) / (3 * 500))).toBeCloseTo(1, 3)
  })

  test('breaks where the moment first meets its limit', () => {
    const limit = Float64Array.from({ length: 41 }, (_, i) => (i === 20 ? 0.4 : 1))
    const { station, forceN } = bendToBreak(s, even, limit)
    expect(station).toBe(20)
    expect(forceN).toBeGreaterThanOrEqual(0.04 - 1e-9)
    expect(forceN).toBeLessThan(0.042)
  })
})

test('small symmetric matrices', () => {
  const { values, vectors } = symmetricModes(Float64Array.of(2, 1, 0, 1, 2, 0, 0, 0, 5), 3)
  expect([...values].sort()).toEqual([expect.closeTo(1, 12), expect.closeTo(3, 12), expect.closeTo(5, 12)])
  expect(Math.hypot(vectors[0], vectors[1], vectors[2])).toBeCloseTo(1, 12)
})
