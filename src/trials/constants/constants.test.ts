import { beforeAll, describe, expect, test } from 'vitest'
import type { PolygonKit } from '../../engine/kernel/index.ts'
import { loadPolygonKit } from '../../pool/node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../recipe/index.ts'
import { forecastTurn } from '../forecast.ts'
import { estimateFanAir, forecastPosts, leastAt, type PostForecast, postStands } from './fan-air.ts'
import { estimateOozeTime, forecastPins, OOZE_GRID, type PinForecast, threadCountChance } from './ooze-time.ts'
import { ownNumbersSentence, withOwnNumbers } from './own-numbers.ts'
import { estimateWeldStrength, snapStressMPa } from './weld-strength.ts'

const cards = {
  recipe: { ...STARTING_RECIPE, layerHeightMm: 0.2 },
  printer: STARTING_PRINTER,
  filament: STARTING_FILAMENT,
}
let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

test('grams to stress: 297 g at 12 mm on a rod of 2.5 mm', () => {
  expect(snapStressMPa(297, 12, 2.5)).toBeCloseTo((0.297 * 9.80665 * 12) / 1.53398, 3)
})

test('strength moves from the card to the rods as they are snapped, and the range narrows', () => {
  const rod = { grams: 200, leverMm: 12, diameterMm: 2.5 }
  const own = snapStressMPa(200, 12, 2.5)
  const one = estimateWeldStrength([rod], 22.8)!
  const many = estimateWeldStrength(Array(20).fill(rod), 22.8)!
  expect(Math.abs(many.value - own)).toBeLessThan(Math.abs(one.value - own))
  expect(many.high / many.low).toBeLessThan(one.high / one.low)
  expect(many.value).toBeCloseTo(own, 0)
  expect(estimateWeldStrength([], 22.8)).toBeNull()
})

describe('posts and air', () => {
  const forecasts: PostForecast[] = []
  beforeAll(async () => {
    for (const level of [4, 10, 16, 22]) forecasts.push(await forecastPosts('leastLayerTimeS', level, cards, kit))
  })

  test('longer layers and more air help, and the rows hold their layer time', () => {
    for (const [i, forecast] of forecasts.entries()) {
      expect(forecast.layerS).toBeGreaterThanOrEqual([4, 10, 16, 22][i] - 0.01)
      expect(postStands(forecast, 4)).toBeGreaterThan(postStands(forecast, 0.5))
      expect(leastAt(forecast, 0.5)).toBeGreaterThan(leastAt(forecast, 5))
    }
    expect(postStands(forecasts[3], 2)).toBeGreaterThan(postStands(forecasts[0], 2))
  })

  test('weak air is found from posts that lean', () => {
    const rows = (air: number) =>
      forecasts.map((forecast) => ({ forecast, good: Math.round(3 * postStands(forecast, air)), tried: 3 }))
    const weak = estimateFanAir(rows(0.5), 2)!
    const strong = estimateFanAir(rows(4), 2)!
    expect(weak.value).toBeLessThan(2)
    expect(strong.value).toBeGreaterThan(weak.value)
    expect(weak.low).toBeLessThan(weak.value)
    expect(weak.high).toBeGreaterThan(weak.value)
  })
})

describe('pins and ooze', () => {
  const forecasts: PinForecast[] = []
  beforeAll(async () => {
    for (const level of [2, 3.5, 5]) forecasts.push(await forecastPins('retractionMm', level, cards, kit))
  })

  test('all four gaps are crossed; less retraction and more ooze make more threads', () => {
    const columnOf = (s: number): number => OOZE_GRID.findIndex((value) => value >= s)
    for (const forecast of forecasts) expect(forecast.chances).toHaveLength(4)
    const sum = (forecast: PinForecast, s: number): number =>
      forecast.chances.reduce((all, one) => all + one[columnOf(s)], 0)
    expect(sum(forecasts[0], 1)).toBeGreaterThanOrEqual(sum(forecasts[2], 1))
    expect(sum(forecasts[0], 1)).toBeGreaterThan(sum(forecasts[0], 0.05))
  })

  test('chances of every count add up to one', () => {
    const { chances } = forecasts[1]
    for (const pairs of [4, 6]) {
      let all = 0
      for (let k = 0; k <= pairs; k++) all += threadCountChance(chances, 20, k, pairs)
      expect(all).toBeCloseTo(1, 12)
    }
  })

  test('a machine that drools is told from one that does not', () => {
    const rows = (strings: readonly number[]) =>
      forecasts.map((forecast, i) => ({ forecast, strings: strings[i], pairs: 4 }))
    const dry = estimateOozeTime(rows([0, 0, 0]), 0.5)!
    const wet = estimateOozeTime(rows([4, 4, 2]), 0.5)!
    expect(wet.value).toBeGreaterThan(dry.value)
  })
})

test('cards with own numbers say so, stay within their ranges, and the sheet has its sentence', () => {
  const estimate = { value: 9, low: 7, high: 11, card: 2, nReadings: 6 }
  const none = {
    kind: 'own-numbers',
    fanAirMPerS: null,
    oozeTimeConstantS: null,
    acrossStrengthMPa: null,
    feedShare: null,
  } as const
  expect(withOwnNumbers(cards, none)).toEqual({ printer: cards.printer, filament: cards.filament })
  expect(ownNumbersSentence(none)).toBeNull()
  const own = { ...none, fanAirMPerS: estimate }
  const changed = withOwnNumbers(cards, own)
  expect(changed.printer.fanAirMPerS).toBe(5)
  expect(changed.printer.name).toBe('bowden machine, 0.4 mm nozzle, own numbers')
  expect(withOwnNumbers(changed, own).printer.name).toBe(changed.printer.name)
  expect(changed.filament).toEqual(cards.filament)
  expect(ownNumbersSentence(own)).toBe(
    'Runs on your own numbers: fan air 9.00 m/s (90 %: 7.00 to 11.00; the card said 2.00) from 6 readings.',
  )
})

test('the engine tells where it expects a turn, and keeps quiet where it does not know', async () => {
  const retraction = await forecastTurn('pins', 'retractionMm', cards, kit)
  expect(retraction?.at).toBeGreaterThan(2)
  expect(retraction?.at).toBeLessThan(5)
  expect(await forecastTurn('pins', 'nozzleC', cards, kit)).toBeNull()
  expect(await forecastTurn('box', 'flowShare', cards, kit)).toBeNull()
})
