// A body that falls: energy and momentum are kept, turning follows from where it touches.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type FallingBody, type FallSettings, simulateFall } from './drop-motion.ts'

const settings: FallSettings = {
  contactMPa: 3000,
  dentMPa: Infinity,
  floorGiveMmPerN: 0,
  damping: 0,
  durationS: 1e-3,
  stepS: 2e-7,
  every: 5,
}
const place = (at: [number, number, number], shape: number[]) => ({
  at,
  shape: Float64Array.from(shape),
  radiusMm: 2,
  giveMmPerN: 1e-4,
})
const body = (hz: number[], shape: number[], x = 3): FallingBody => ({
  massT: 3e-6,
  inertia: [2e-4, 2.2e-4, 1.5e-4, 1e-5, 0, -2e-5],
  omega: Float64Array.from(hz, (f) => 2 * Math.PI * f),
  places: [place([x, 1, -8], shape)],
})

test('without damping and dents all energy is there after the bounce', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -6, max: 6, noNaN: true }),
      fc.double({ min: 500, max: 20_000, noNaN: true }),
      fc.double({ min: -600, max: 600, noNaN: true }),
      (x, hz, size) => {
        const out = simulateFall(
          body([hz, 3 * hz], [size, 0, size, 0, size / 2, size], x),
          { down: [0, 0, -1], speedMmPerS: 4000, spin: [0, 0, 0] },
          settings,
        )
        const after = out.energyRigid + out.energyVibration
        // Gravity adds a thousandth in a millisecond.
        expect(Math.abs(after / out.energyBefore - 1)).toBeLessThan(0.01)
        expect(out.greatestForceN).toBeGreaterThan(10)
      },
    ),
    { numRuns: 20 },
  )
})

test('dents and damping only take energy away', () => {
  const fall = { down: [0, 0, -1], speedMmPerS: 4000, spin: [0, 0, 0] } as const
  const thrown = body([900, 2500], [300, 0, 300, 0, 200, 300])
  const elastic = simulateFall(thrown, fall, settings)
  const dented = simulateFall(thrown, fall, { ...settings, dentMPa: 150 })
  expect(dented.energyRigid + dented.energyVibration).toBeLessThan(0.95 * elastic.energyBefore)
  expect(dented.greatestForceN).toBeLessThan(elastic.greatestForceN)
  expect(dented.dentMm).toBeGreaterThan(0.005)
})

test('a push through the middle turns nothing; the impulse is the change of momentum', () => {
  const straight: FallingBody = {
    ...body([], []),
    inertia: [2e-4, 2e-4, 1e-4, 0, 0, 0],
    places: [place([0, 0, -8], [])],
  }
  const out = simulateFall(straight, { down: [0, 0, -1], speedMmPerS: 4000, spin: [0, 0, 0] }, settings)
  expect(out.impulseNs).toBeCloseTo(2 * 3e-6 * 4000, 4)
  expect(out.energyRigid / out.energyBefore).toBeCloseTo(1, 2)
})
