// Strength does not depend on where a body stands or how it is turned; it follows the laws of scale; loads add up.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  bendToBreak,
  breakChance,
  fieldModel,
  fillGrid,
  infillShares,
  limitsAlong,
  loadField,
  quickStrength,
} from '../../src/engine/strength/index.ts'
import { isotropic } from '../../src/engine/strength/material.ts'
import { balance, freeBody } from '../../src/engine/strength/modes-body.ts'
import { freeModes } from '../../src/engine/strength/modes-free.ts'
import { boxLoop, type Loop, stackByHand } from '../stack-by-hand.ts'
import { EVEN, onBase, PLAIN, rod } from '../strength-bodies.ts'

test('a slanting shaft is as thick whatever way it leans, and as strong as its own direction makes it', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.double({ min: 0, max: 0.9, noNaN: true }),
      fc.double({ min: 0, max: 6.28, noNaN: true }),
      async (lean, around) => {
        const t = [Math.sin(lean) * Math.cos(around), Math.sin(lean) * Math.sin(around), Math.cos(lean)]
        const foot = [-t[0] * 6, -t[1] * 6, 0]
        // Free length 16 along the axis above the base's top.
        const start = foot.map((v, c) => v + (t[c] * 1) / t[2])
        const end = foot.map((v, c) => v + t[c] * (3 / t[2] + 16))
        const { figure, stack, relations } = await onBase([rod(start, end, 1.6)])
        const q = await quickStrength(figure, stack, relations, EVEN, { nAttitudes: 2 })
        const limb = q.frame.branches.reduce((a, b) => (b.stations.length > a.stations.length ? b : a)).stations
        const mid = limb[limb.length >> 1]
        expect(Math.abs(q.frame.thickMm[mid] / 1.6 - 1)).toBeLessThan(0.04)
        expect(Math.abs(q.frame.area[mid] / 2.0106 - 1)).toBeLessThan(0.05)
        const expected = (limitsAlong(EVEN, Math.cos(lean)).tensionMPa * Math.PI * 1.6 ** 3) / 32 / 16
        expect(q.weakPlaces[0].forceN.value / expected).toBeGreaterThan(0.85)
        expect(q.weakPlaces[0].forceN.value / expected).toBeLessThan(1.12)
      },
    ),
    { numRuns: 8 },
  )
})

test('scale: force at break goes with the square, travel with the size', async () => {
  const look = async (s: number) => {
    const { figure, stack, relations } = await onBase([rod([0, 0, 1], [0, 0, 3 + 12 * s], 1.2 * s)])
    return (await quickStrength(figure, stack, relations, EVEN, { nAttitudes: 2, cellMm: 0.2 * s })).weakPlaces[0]
  }
  const one = await look(1)
  await fc.assert(
    fc.asyncProperty(fc.double({ min: 0.9, max: 2, noNaN: true }), async (s) => {
      const other = await look(s)
      expect(other.forceN.value / one.forceN.value / s ** 2).toBeGreaterThan(0.9)
      expect(other.forceN.value / one.forceN.value / s ** 2).toBeLessThan(1.1)
      expect(other.travelMm.value / one.travelMm.value / s).toBeGreaterThan(0.9)
      expect(other.travelMm.value / one.travelMm.value / s).toBeLessThan(1.1)
    }),
    { numRuns: 4 },
  )
})

test('full field: loads add up, and movement at one place from the other is the same both ways', async () => {
  const stack = stackByHand(
    Array.from({ length: 20 }, (_, i) => [[boxLoop(-2, -1 + 0.03 * i, 4, 2)]]),
    0.5,
  )
  const model = await fieldModel(await fillGrid(stack, 0.5, null, null), PLAIN, { holdBelowMm: 0, tolerance: 1e-9 })
  const nodes = model.mesh.nNodes
  const at = (n: number) =>
    [0, 1, 2].map((a) => model.mesh.origin[a] + 0.5 * model.mesh.nodeAt[3 * n + a]) as [number, number, number]
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: Math.floor(nodes / 2), max: nodes - 1 }),
      fc.integer({ min: Math.floor(nodes / 2), max: nodes - 1 }),
      fc.nat(2),
      fc.nat(2),
      async (n, m, a, b) => {
        const unit = (k: number) => [0, 1, 2].map((c) => +(c === k)) as [number, number, number]
        const { answers } = await loadField(model, [
          { at: at(n), forceN: unit(a), spreadMm: 0 },
          { at: at(m), forceN: unit(b), spreadMm: 0 },
        ])
        const there = answers[0].move[3 * m + b]
        const back = answers[1].move[3 * n + a]
        const size = Math.max(...answers.map((one) => one.travelMm))
        expect(Math.abs(there - back)).toBeLessThan(1e-5 * size)
      },
    ),
    { numRuns: 12 },
  )
})

test('limits lie between those of the two directions or under both, and weaker bonds never help', () => {
  const share = fc.double({ min: 0, max: 1, noNaN: true })
  fc.assert(
    fc.property(share, share, share, (cos, weld, more) => {
      const at = limitsAlong(PLAIN, cos, weld)
      expect(at.tensionMPa).toBeLessThanOrEqual(47.4 + 1e-9)
      expect(limitsAlong(PLAIN, cos, Math.min(1, weld + more)).tensionMPa).toBeGreaterThanOrEqual(at.tensionMPa - 1e-9)
      expect(at.modulusMPa).toBeGreaterThan(2200)
      expect(at.modulusMPa).toBeLessThan(2900)
      const { within, across } = infillShares(weld)
      expect(within).toBeLessThanOrEqual(weld + 1e-12)
      expect(across).toBeLessThanOrEqual(within + 1e-12)
      const chance = breakChance(10 * cos, { strength: 0.15, model: 0.25 })
      expect(chance.low).toBeLessThanOrEqual(chance.value)
      expect(chance.high).toBeGreaterThanOrEqual(chance.value)
    }),
  )
})

test('a stronger limb breaks at more force, and never at more travel than its length', () => {
  const positive = fc.double({ min: 0.1, max: 10, noNaN: true })
  // Limits up to a bend of two radians over the length: plastic never reaches more.
  const bend = fc.double({ min: 0.01, max: 2, noNaN: true })
  fc.assert(
    fc.property(positive, positive, bend, (length, stiffness, radians) => {
      const strength = (radians * stiffness) / length
      const s = Float64Array.from({ length: 21 }, (_, i) => (length * i) / 20)
      const ei = new Float64Array(21).fill(stiffness)
      const weak = bendToBreak(s, ei, new Float64Array(21).fill(strength))
      const strong = bendToBreak(s, ei, new Float64Array(21).fill(1.3 * strength))
      expect(strong.forceN).toBeGreaterThanOrEqual(weak.forceN)
      expect(weak.travelMm).toBeLessThanOrEqual(length + 1e-9)
      expect(weak.forceN * length).toBeGreaterThanOrEqual(strength - 1e-9)
    }),
    { numRuns: 40 },
  )
})

/** A bracket of one piece: a foot and an arm, in cells of h times the scale. */
const bracket = async (foot: number, arm: number, scale: number, modulusMPa: number, density: number) => {
  const h = 0.5 * scale
  const loop: Loop = [
    [0, 0],
    [foot * h, 0],
    [foot * h, 4 * h],
    [4 * h, 4 * h],
    [4 * h, arm * h],
    [0, arm * h],
  ]
  const stack = stackByHand(
    Array.from({ length: 5 }, () => [[loop]]),
    h,
  )
  return freeBody(await fillGrid(stack, h, null, null), [isotropic(modulusMPa, 0.3)], density, 1)
}

test('free vibrations: square to each other and to rigid movement, higher with stiffness, lower with weight and size', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 8, max: 14 }),
      fc.integer({ min: 8, max: 14 }),
      fc.double({ min: 0.5, max: 2, noNaN: true }),
      fc.double({ min: 0.5, max: 2, noNaN: true }),
      fc.double({ min: 0.5, max: 2, noNaN: true }),
      async (foot, arm, scale, stiffer, denser) => {
        const body = await bracket(foot, arm, 1, 2400, 1.24)
        const modes = await freeModes(body, { nModes: 6, perMode: 3 })
        const dot = (x: Float64Array, y: Float64Array): number => x.reduce((s, v, i) => s + body.mass[i] * v * y[i], 0)
        modes.shapes.forEach((u, k) => {
          modes.shapes.slice(0, k + 1).forEach((w, j) => {
            expect(dot(u, w)).toBeCloseTo(j === k ? 1 : 0, 8)
          })
          for (const r of body.rigid) expect(Math.abs(dot(u, r))).toBeLessThan(1e-8)
        })
        const other = await freeModes(await bracket(foot, arm, scale, 2400 * stiffer, 1.24 * denser), {
          nModes: 6,
          perMode: 3,
        })
        const law = Math.sqrt(stiffer / denser) / scale
        for (let k = 0; k < 4; k++) expect(other.omega[k] / modes.omega[k] / law).toBeCloseTo(1, 4)
      },
    ),
    { numRuns: 4 },
  )
})

test('a load in balance has no resultant and no moment', async () => {
  const body = await bracket(10, 12, 1, 2400, 1.24)
  const { mesh, centre } = body
  fc.assert(
    fc.property(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 9, maxLength: 9 }), (values) => {
      const f = Float64Array.from({ length: 3 * mesh.nNodes }, (_, i) => values[(i * 7919) % 9])
      balance(body, f)
      const sum = [0, 0, 0, 0, 0, 0]
      for (let n = 0; n < mesh.nNodes; n++) {
        const r = [0, 1, 2].map((a) => mesh.origin[a] + mesh.cellMm * mesh.nodeAt[3 * n + a] - centre[a])
        const [x, y, z] = [f[3 * n], f[3 * n + 1], f[3 * n + 2]]
        sum[0] += x
        sum[1] += y
        sum[2] += z
        sum[3] += r[1] * z - r[2] * y
        sum[4] += r[2] * x - r[0] * z
        sum[5] += r[0] * y - r[1] * x
      }
      for (const s of sum) expect(Math.abs(s)).toBeLessThan(1e-9 * mesh.nNodes)
    }),
    { numRuns: 20 },
  )
})
