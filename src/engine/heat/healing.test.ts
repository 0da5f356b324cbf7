import { expect, test } from 'vitest'
import { STARTING_FILAMENT } from '../../recipe/index.ts'
import { healingRate, healingShare, healingSum, passHealing } from './healing.ts'

const pass = { layerMm: 0.1, nozzleC: 195, alpha: 0.06, untilS: 10, sideRate: 0.1 }

test('full healing takes the reptation time at its temperature, none below the glass transition', () => {
  expect(healingRate(STARTING_FILAMENT, 210)).toBeCloseTo(1 / STARTING_FILAMENT.reptationS, 9)
  expect(healingRate(STARTING_FILAMENT, 59)).toBe(0)
  expect(healingShare(1)).toBe(1)
  expect(healingShare(1 / 16)).toBeCloseTo(0.5, 12)
  expect(healingShare(7)).toBe(1)
})

test('warmer below heals more; joints deeper down heal less', () => {
  const table = passHealing(STARTING_FILAMENT, pass, 25)
  let before = 0
  for (const t of [25, 40, 60, 90, 120]) {
    const sum = healingSum(table, 0, t)
    expect(sum).toBeGreaterThan(before)
    expect(healingSum(table, 1, t)).toBeLessThan(sum)
    expect(healingSum(table, 3, t)).toBeLessThanOrEqual(healingSum(table, 2, t))
    before = sum
  }
})

test('more cooling from the sides heals less', () => {
  const cooled = passHealing(STARTING_FILAMENT, { ...pass, sideRate: 1 }, 25)
  const slow = passHealing(STARTING_FILAMENT, pass, 25)
  expect(healingSum(cooled, 0, 60)).toBeLessThan(healingSum(slow, 0, 60))
})
