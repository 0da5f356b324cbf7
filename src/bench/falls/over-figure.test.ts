import { expect, test } from 'vitest'
import type { DropByModes, ModalAttitude } from '../../engine/strength/index.ts'
import { overFigure } from './over-figure.ts'

const fall = (contact: readonly [number, number, number], use: number, chance: number, kind: ModalAttitude['kind']) =>
  ({
    kind,
    contact,
    at: [0, 0, 10],
    use,
    fine: null,
    breakChance: { value: chance, low: chance, high: chance },
  }) as unknown as ModalAttitude

test('landings speak for the surface near them, the graver one where two overlap; breaks add up to their share', () => {
  const attitudes = [
    fall([0, 0, 0], 0.5, 0, 'even'),
    fall([0, 0, 1], 1.5, 0.8, 'even'),
    fall([20, 0, 0], 0.2, 0, 'even'),
    fall([0, 0, 20], 0.4, 0, 'even'),
    // Falling over is no even attitude and changes no share.
    fall([40, 0, 0], 9, 1, 'tip'),
  ]
  const positions = Float32Array.from([0, 0, 0, 20, 1, 0, 0, 0, 10, 40, 0, 0, 0, 3, 0])
  const [lands, breaks] = overFigure({ attitudes } as unknown as DropByModes, positions)
  expect(Array.from(lands.values)).toEqual([150, expect.closeTo(20, 4), Number.NaN, Number.NaN, Number.NaN])
  expect(Array.from(breaks.values)).toEqual([0, 0, expect.closeTo(20, 4), 0, 0])
  expect([lands.to, breaks.to]).toEqual([200, 20])
})
