import { describe, expect, test } from 'vitest'
import { enthalpyAt, enthalpyTable, heatCapacityAt, meanHeatCapacity, temperatureAt } from './plastic.ts'

describe('enthalpy', () => {
  const steep: [number, number][] = [
    [25, 1250],
    [59.9, 1410],
    [60.1, 2020],
    [210, 2180],
  ]
  test('constant cp is a straight line', () => {
    const table = enthalpyTable([[25, 1800]])
    expect(enthalpyAt(table, 100) - enthalpyAt(table, 0)).toBeCloseTo(180, 6)
    expect(temperatureAt(table, enthalpyAt(table, 123.4))).toBeCloseTo(123.4, 6)
  })
  test('a step of cp at the glass transition is kept', () => {
    const table = enthalpyTable(steep)
    for (const t of [-20, 25, 59, 60, 61, 150, 210, 300])
      expect(temperatureAt(table, enthalpyAt(table, t))).toBeCloseTo(t, 6)
    // Trapezoids between the points.
    const exact = (34.9 * 1330 + 0.2 * 1715 + 149.9 * 2100) / 185
    expect(meanHeatCapacity(table, 25, 210)).toBeCloseTo(exact, -0.5)
  })
  test('cp between and beyond the points', () => {
    expect(heatCapacityAt(steep, 0)).toBe(1250)
    expect(heatCapacityAt(steep, 60)).toBeCloseTo(1715, 6)
    expect(heatCapacityAt(steep, 400)).toBe(2180)
  })
})
