// The whole field against closed forms: weight on a rod, its frequencies, and its stress when the base stops dead.

import { test } from 'vitest'
import { swingAfterFall } from '../../src/engine/strength/fall-swing.ts'
import { massPerNodeG } from '../../src/engine/strength/full-field.ts'
import { extrapolate, fieldModel, fillGrid, loadField } from '../../src/engine/strength/index.ts'
import { startWasm } from '../../src/pool/start-wasm.ts'
import { EVEN, shaftOnBase } from '../strength-bodies.ts'
import { checkOutside } from '../validation.ts'

const D = 2
const LENGTH = 15
const E = 2400
/** Tonnes per mm3. */
const RHO = 1.24e-9

/** A shaft clamped at its foot. */
const clamped = async (cellMm: number) => {
  const { stack } = await shaftOnBase(D, LENGTH, 0.125)
  return fieldModel(await fillGrid(stack, cellMm, null, null), EVEN, { holdBelowMm: 3, startWasm })
}

const check = (what: string, source: string, expected: number, got: number, allowed: number, unit: string): void =>
  checkOutside({
    room: 'strength',
    model: 'full field',
    case: what,
    source,
    expected,
    got,
    allowed,
    relative: true,
    unit,
  })

test('own weight across a rod', async () => {
  const tips: number[] = []
  for (const cellMm of [0.5, 0.25, 0.125]) {
    const model = await clamped(cellMm)
    const weightN = massPerNodeG(model.mesh, 1, EVEN.densityGPerCm3).reduce((a, b) => a + b, 0) * 9.80665e-3
    if (cellMm === 0.125)
      check('weight of a rod d 2, L 15', 'volume times density', RHO * 9806.65 * Math.PI * LENGTH, weightN, 0.01, 'N')
    const { answers, mesh } = await loadField(model, [{ at: [0, 0, 18], forceN: [weightN, 0, 0], spreadMm: Infinity }])
    let most = 0
    for (let n = 0; n < mesh.nNodes; n++) most = Math.max(most, answers[0].move[3 * n])
    tips.push(most)
  }
  const second = (Math.PI * D ** 4) / 64
  const perMm = RHO * 9806.65 * (Math.PI / 4) * D * D
  // Bending and shear (Cowper's factor of a circle). The clamp also holds the section sideways, which the formula leaves out.
  const shear = (perMm * LENGTH ** 2) / (2 * ((6 * 1.36) / (7 + 6 * 0.36)) * (E / (2 * 1.36)) * Math.PI)
  check(
    'own weight across a rod d 2, L 15: movement of the tip, from three grids',
    'w L4 / 8EI and shear (Timoshenko; Cowper 1966); the clamp takes about 0.02',
    (perMm * LENGTH ** 4) / (8 * E * second) + shear,
    extrapolate(tips[0], tips[1], tips[2]).limit,
    0.03,
    'mm',
  )
})

test('a rod whose foot stops dead', async () => {
  const model = await clamped(0.25)
  const speed = Math.sqrt(2 * 9806.65 * 1000)
  const load = { at: [0, 0, 18], forceN: [1, 0, 0], spreadMm: Infinity } as const
  const { answer, hertz, hertzOfModes } = await swingAfterFall(model, [1, 0, 0], speed, load)
  const unit = Math.sqrt((E * D * D) / 16 / RHO) / (2 * Math.PI * LENGTH ** 2)
  const blevins = 'Blevins, Formulas for Natural Frequency and Mode Shape (from memory)'
  check('first frequency of a clamped rod d 2, L 15', blevins, 3.51602 * unit, hertz, 0.03, 'Hz')
  // The rod is round, so that the first frequency comes twice.
  const next = hertzOfModes.find((f) => f > 2 * hertz) ?? Number.NaN
  check('second frequency, shear left out of the formula', blevins, 22.0345 * unit, next, 0.1, 'Hz')
  const wave = RHO * Math.sqrt(E / RHO) * speed
  const root = Math.max(...answer.useBetween) * EVEN.acrossStrengthMPa
  check(
    'root of a round rod whose foot stops dead from 1 m, all modes as root of squares',
    'modal sum of the clamped rod: 4 rho c v',
    4 * wave,
    root,
    0.15,
    'MPa',
  )
})
