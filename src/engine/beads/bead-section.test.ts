import { expect, test } from 'vitest'
import { beadArea, countBeads, pitchOf, roundingMm, widthOfPitch } from './bead-section.ts'

test('a bead as wide as high is a circle, and wider ones add a rectangle', () => {
  expect(beadArea(0.2, 0.2)).toBeCloseTo(Math.PI * 0.01, 12)
  expect(beadArea(0.7, 0.2) - beadArea(0.2, 0.2)).toBeCloseTo(0.1, 12)
  expect(beadArea(0.1, 0.2)).toBeCloseTo((Math.PI / 4) * 0.02, 12)
})

test('pitch is area over height, and its inverse gives the width back, also below the height', () => {
  for (const w of [0.1, 0.2, 0.3, 0.45, 0.8]) {
    expect(pitchOf(w, 0.2) * 0.2).toBeCloseTo(beadArea(w, 0.2), 12)
    expect(widthOfPitch(pitchOf(w, 0.2), 0.2)).toBeCloseTo(w, 12)
  }
  expect(pitchOf(0.45, 0.2)).toBeCloseTo(0.45 - roundingMm(0.2), 12)
})

test('counted beads fill the wall exactly with either spacing', () => {
  for (const t of [0.2, 0.5, 0.67, 0.68, 1.1, 2.3]) {
    const side = countBeads(t, 0.45, 0.2, 'side by side')
    expect(side.n * side.widthMm).toBeCloseTo(t, 12)
    const over = countBeads(t, 0.45, 0.2, 'overlapping')
    expect(over.n * pitchOf(over.widthMm, 0.2) + roundingMm(0.2)).toBeCloseTo(t, 12)
  }
})
