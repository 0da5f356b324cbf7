// The whole field of a shaft on a base: pushes, weight and fall against beams; what lies on the surface; what a grid takes.

import { expect, test } from 'vitest'
import { EVEN, shaftOnBase } from '../../../tests/strength-bodies.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { Cancelled } from '../kernel/index.ts'
import { quickStrength } from './quick-strength.ts'
import { estimateField, wholeField } from './whole-field.ts'

const D = 2
const LENGTH = 15

const shaft = async () => {
  const body = await shaftOnBase(D, LENGTH, 0.25)
  return { ...body, quick: await quickStrength(body.figure, body.stack, body.relations, EVEN) }
}
const ready = shaft()

test('pushes break it where and when the beam says, weight is nothing, a fall swings it', async () => {
  const { figure, stack, quick } = await ready
  const field = await wholeField(figure, stack, quick, EVEN, { cellMm: 0.25, nPushes: 1, startWasm })
  const [push, weight, fall] = field.loads
  expect(push.kind).toBe('push')
  expect(push.answer.converged).toBe(true)
  // 22.8 MPa at the root of a round shaft pushed at its tip.
  const beamN = (22.8 * Math.PI * D ** 3) / 32 / LENGTH
  expect(push.answer.breakForceN / beamN).toBeGreaterThan(0.7)
  expect(push.answer.breakForceN / beamN).toBeLessThan(1.2)
  expect(push.answer.greatestAt[2]).toBeLessThan(5)
  expect(push.forceError).toBeGreaterThan(0)
  expect(push.words).toContain('The quick look')
  expect(weight.kind).toBe('weight')
  expect(weight.answer.greatestUse).toBeLessThan(1e-3)
  expect(weight.answer.travelMm).toBeGreaterThan(0)

  expect(fall.kind).toBe('fall')
  // First frequency of a clamped rod, E 2400 MPa, 1.24 g/cm3: 3.516/(2 pi L2) sqrt(EI/(rho A)).
  const hertz = (3.516 / (2 * Math.PI * LENGTH ** 2)) * Math.sqrt((2400 * (D * D)) / 16 / 1.24e-9)
  expect(Math.abs(fall.swingHz / hertz - 1)).toBeLessThan(0.1)
  // By all modes 4 rho c v at the root for what falls across the shaft, rho c v for what falls along it (a step that runs up and down);
  // both with the corner's own share, as the push has it. Shear, which the higher modes bring, comes on top.
  const down = quick.drop.attitudes.filter((a) => a.onBase).sort((a, b) => b.use - a.use)[0].down
  const wave = (1.24e-9 * Math.sqrt(2400 / 1.24e-9) * quick.drop.speedMPerS * 1000) / 22.8
  const corner = beamN / push.answer.breakForceN
  const use = wave * corner * Math.hypot(4 * down[0], 4 * down[1], down[2])
  expect(fall.answer.greatestUse / use).toBeGreaterThan(0.9)
  expect(fall.answer.greatestUse / use).toBeLessThan(1.3)

  // On the surface: the root uses the most, the tip nothing, the base is held.
  const { positions } = figure.mesh
  const near = (z: number): number => {
    let most = Number.NaN
    for (let v = 0; v < field.vertexUse.length; v++)
      if (Math.abs(positions[3 * v + 2] - z) < 0.6 && Math.hypot(positions[3 * v], positions[3 * v + 1]) < 1.2)
        if (!(most > field.vertexUse[v])) most = field.vertexUse[v]
    return most
  }
  expect(near(0)).toBeNaN()
  expect(near(18)).toBeLessThan(0.5)
  const layer = stack.faceZ.findIndex((z) => z > 4)
  expect(field.layerBreakForceN[layer] / beamN).toBeGreaterThan(0.8)
  expect(field.layerBreakForceN[layer] / beamN).toBeLessThan(1.4)
  const high = stack.faceZ.findIndex((z) => z > 14)
  expect(field.layerBreakForceN[high]).toBeGreaterThan(2 * field.layerBreakForceN[layer])
})

test('weak bonds halve the force between layers', async () => {
  const { figure, stack, quick } = await ready
  const healing = new Float32Array(stack.nLayers).fill(0.5)
  const options = { cellMm: 0.4, nPushes: 1, tellsError: false, startWasm }
  const sound = await wholeField(figure, stack, quick, EVEN, options)
  const weak = await wholeField(figure, stack, quick, EVEN, { ...options, healing })
  expect(weak.loads[0].answer.breakForceN / sound.loads[0].answer.breakForceN).toBeCloseTo(0.5, 1)
  expect(weak.loads[0].answer.between).toBe(true)
  expect(Number.isNaN(sound.loads[0].forceError)).toBe(true)
})

test('says beforehand what it takes, keeps to it, and stops when asked', async () => {
  const { figure, stack, quick } = await ready
  const said = estimateField(figure, stack, 0.4)
  const field = await wholeField(figure, stack, quick, EVEN, { cellMm: 0.4, nPushes: 1, tellsError: false })
  expect(said.nUnknowns / field.nUnknowns).toBeGreaterThan(0.6)
  expect(said.nUnknowns / field.nUnknowns).toBeLessThan(1.7)
  const small = await wholeField(figure, stack, quick, EVEN, {
    mostBytes: estimateField(figure, stack, 0.5).bytes,
    nPushes: 1,
    tellsError: false,
  })
  expect(small.cellMm).toBe(0.5)
  const stopper = new AbortController()
  const task = { signal: stopper.signal, breathe: async () => stopper.abort() }
  await expect(wholeField(figure, stack, quick, EVEN, { cellMm: 0.4 }, task)).rejects.toBeInstanceOf(Cancelled)
})
