import { expect, test } from 'vitest'
import { seesDisc } from './air.ts'
import { erf, growingColumnLeastS, growingColumnTop, heldTopHeat, hotLayerRise } from './closed-forms.ts'

test('error function against its series', () => {
  for (const x of [0, 0.1, 0.5, 1, 1.5, -0.7]) {
    let sum = 0
    let term = x
    for (let n = 0; n < 60; n++) {
      sum += term / (2 * n + 1)
      term *= -(x * x) / (n + 1)
    }
    expect(erf(x)).toBeCloseTo((2 / Math.sqrt(Math.PI)) * sum, 6)
  }
})

test('the heat of a hot layer spreads and is kept', () => {
  const alpha = 0.058
  for (const t of [0.1, 1]) {
    // Below the layer, and in it by the mirror image: depth -L..0.
    let sum = 0
    for (let x = -0.2 + 0.0005; x < 8; x += 0.001) sum += hotLayerRise(x, 0.2, alpha, t) * 0.001
    expect(sum).toBeCloseTo(0.2, 3)
  }
})

test('heat of the held top is the integral of its flux', () => {
  const [l, alpha, k, end] = [0.1, 0.058, 0.13e-3, 0.05]
  let sum = 0
  const n = 200000
  for (let i = 0; i < n; i++) {
    const t = ((i + 0.5) * end) / n
    sum += ((k / Math.sqrt(Math.PI * alpha * t)) * Math.exp((-l * l) / (4 * alpha * t)) * end) / n
  }
  expect(heldTopHeat(l, alpha, k, end)).toBeCloseTo(sum, 9)
  expect(heldTopHeat(l, alpha, k, 0)).toBe(0)
})

test('least layer time and top of the growing column belong together', () => {
  const column = { widthMm: 2, layerMm: 0.1, lossWPerMm2K: 60e-6, conductivity: 0.13e-3, alpha: 0.058 }
  for (const share of [0.1, 0.2, 0.5, 0.9])
    expect(growingColumnTop(column, growingColumnLeastS(column, share)).share).toBeCloseTo(share, 9)
  expect(growingColumnLeastS(column, 1)).toBe(0)
  expect(growingColumnLeastS(column, 0)).toBe(Infinity)
})

test('a disc fills the share of the sky that its parts add up to', () => {
  for (const aside of [0, 4, 12]) {
    let sum = 0
    const n = 400
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        const x = ((i + 0.5) / n - 0.5) * 18
        const y = ((j + 0.5) / n - 0.5) * 18
        if (x * x + y * y > 81) continue
        const r2 = (x - aside) ** 2 + y * y + 64
        sum += (64 / (Math.PI * r2 * r2)) * (18 / n) ** 2
      }
    expect(seesDisc(9, 8, aside)).toBeCloseTo(sum, 3)
  }
})
