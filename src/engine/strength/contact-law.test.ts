// Pressing, denting and letting go.

import { expect, test } from 'vitest'
import { Contact } from './contact-law.ts'
import { hertzPress } from './impact.ts'

const spot = { radiusMm: 2, contactMPa: 3000, dentMPa: 200 }

test('without a limit it is Hertz, there and back', () => {
  const contact = new Contact({ ...spot, dentMPa: Infinity })
  const { approachMm } = hertzPress(10, 2, 3000, 0.36)
  expect(contact.press(approachMm, 0)).toBeCloseTo(10, 6)
  expect(contact.press(2 * approachMm, 0)).toBeCloseTo(10 * 2 ** 1.5, 6)
  expect(contact.press(approachMm, 0)).toBeCloseTo(10, 6)
  expect(contact.dentMm).toBe(0)
})

test('past the limit it dents: softer than Hertz, no jump, and the way back lies below the way in', () => {
  const contact = new Contact(spot)
  const hertz = new Contact({ ...spot, dentMPa: Infinity })
  let before = 0
  for (let k = 1; k <= 400; k++) {
    const f = contact.press(k * 2.5e-4, 0)
    expect(f).toBeGreaterThanOrEqual(before)
    expect(f - before).toBeLessThan(1)
    expect(f).toBeLessThanOrEqual(hertz.press(k * 2.5e-4, 0) * (1 + 1e-12))
    before = f
  }
  const dent = contact.dentMm
  expect(dent).toBeGreaterThan(0.01)
  expect(dent).toBeLessThan(0.1)
  expect(contact.press(0.1, 0)).toBeCloseTo(before, 9)
  const virgin = new Contact(spot)
  expect(contact.press(0.5 * (0.1 + dent), 0)).toBeLessThan(virgin.press(0.5 * (0.1 + dent), 0))
  expect(contact.press(dent - 1e-9, 0)).toBe(0)
  expect(contact.dentMm).toBe(dent)
})

test('what gives behind the contact takes its share of the depth', () => {
  for (const give of [1e-5, 1e-3, 1e-1]) {
    const contact = new Contact(spot)
    const f = contact.press(0.2, give)
    const alone = new Contact(spot)
    expect(alone.press(0.2 - give * f, 0) / f).toBeCloseTo(1, 5)
  }
})
