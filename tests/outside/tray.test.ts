// Beds against packing tables and plate counts, no-overlap by a general library, the risk table, filament and power sums.

import { Clipper, EndType, FillRule, JoinType, type PathsD } from 'clipper2-ts'
import { beforeAll, expect, test } from 'vitest'
import type { PolygonKit, Polygons } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/polygon-kit-node.ts'
import {
  bestPerPlate,
  goodApart,
  goodInTurn,
  goodTogether,
  gramsPerMetre,
  hoursPerGood,
  mostOnBed,
  outlineAt,
  placeTray,
  powerCost,
  trayRisk,
} from '../../src/tray/index.ts'
import { seededRandom } from '../seeded-random.ts'
import { checkOutside } from '../validation.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const room = 'tray'

/** Area that two regions have in common, mm2. */
const common = (a: PathsD, b: PathsD): number =>
  Math.abs(Clipper.intersectD(a, b, FillRule.NonZero, 4).reduce((sum, path) => sum + Clipper.areaD(path), 0))

const disc = (d: number, n = 96): Polygons => ({
  loopStart: Uint32Array.of(0, n),
  points: Float64Array.from({ length: 2 * n }, (_, i) =>
    i % 2 === 0 ? (d / 2) * Math.cos((Math.PI * i) / n) : (d / 2) * Math.sin((Math.PI * (i - 1)) / n),
  ),
})

/** Plate x y, base, gap, discs in square rows and in the better of both ways of hexagonal rows. */
const PLATES: readonly (readonly [number, number, number, number, number, number])[] = [
  [220, 220, 25, 3, 49, 56],
  [220, 220, 25, 5, 49, 52],
  [220, 220, 28.5, 3, 36, 42],
  [220, 220, 32, 3, 36, 33],
  [220, 220, 32, 5, 25, 30],
  [220, 220, 40, 5, 16, 20],
  [180, 180, 25, 3, 36, 33],
  [180, 180, 25, 5, 25, 30],
  [180, 180, 28.5, 3, 25, 27],
  [180, 180, 32, 3, 16, 20],
  [180, 180, 32, 5, 16, 20],
  [180, 180, 40, 5, 9, 12],
  [250, 210, 25, 3, 56, 64],
  [250, 210, 25, 5, 48, 54],
  [250, 210, 28.5, 3, 42, 49],
  [250, 210, 32, 3, 30, 36],
  [250, 210, 32, 5, 30, 36],
  [250, 210, 40, 5, 20, 24],
]

test('plates of round bases: never fewer than the better of square and hexagonal rows', () => {
  for (const [xMm, yMm, d, gapMm, square, hexagonal] of PLATES) {
    const { places, leastGapMm } = mostOnBed(disc(d), { xMm, yMm, marginMm: 5, gapMm }, kit)
    checkOutside({
      room,
      model: 'bases on a bed, margin 5',
      case: `${xMm} x ${yMm}, base ${d}, gap ${gapMm}`,
      source: 'rows of equal discs, plane geometry: the better of square and hexagonal',
      expected: Math.max(square, hexagonal),
      got: places.length,
      relation: 'at least',
      allowed: 0,
    })
    expect(leastGapMm).toBeGreaterThanOrEqual(gapMm - 1e-6)
  }
})

test('one after another: the head needs its radius between a piece and what is being printed', () => {
  // A bed deep enough for one row alone.
  const alone = mostOnBed(disc(25), { xMm: 220, yMm: 40, marginMm: 5, gapMm: 35 }, kit)
  const together = mostOnBed(disc(25), { xMm: 220, yMm: 40, marginMm: 5, gapMm: 3 }, kit)
  const source = 'plane geometry: row of 210 mm, base 25, head radius 35'
  for (const [model, expected, got] of [
    ['bases in a row, one after another', 4, alone.places.length],
    ['bases in a row, all at once', 7, together.places.length],
  ] as const)
    checkOutside({ room, model, case: '220 mm wide, margin 5, gap 3', source, expected, got, allowed: 0 })
  expect(alone.leastGapMm).toBeGreaterThanOrEqual(35)
})

test('equal circles in a square: at least 0.75 of the best known from five on, one fewer below', () => {
  const specht = [
    [2, 0.292893],
    [3, 0.254333],
    [4, 0.25],
    [5, 0.207107],
    [6, 0.187681],
    [7, 0.174458],
    [8, 0.170541],
    [9, 0.166667],
    [10, 0.148204],
    [12, 0.139959],
    [16, 0.125],
    [20, 0.111382],
    [30, 0.091671],
  ]
  for (const [n, r] of specht) {
    // Radii are printed to six places: the square for the radius half a place smaller.
    const side = 30 / (2 * (r - 5e-7))
    const { places } = mostOnBed(disc(30, 256), { xMm: side, yMm: side, marginMm: 0, gapMm: 0 }, kit)
    checkOutside({
      room,
      model: 'equal circles in a square, rows and free spots',
      case: `side of the best packing of ${n}`,
      source: 'Specht, packing tables of equal circles in a unit square; share of the best known',
      expected: n < 5 ? (n - 1) / n : 0.75,
      got: places.length / n,
      relation: 'at least',
      allowed: 0,
    })
    expect(places.length).toBeLessThanOrEqual(n)
  }
  const A337020 = [0, 1, 1, 2, 3, 4, 4, 5, 5, 6, 8, 9, 9, 9, 10, 11, 12, 13, 13, 15]
  A337020.forEach((most, i) => {
    const side = Math.sqrt((i + 1) * Math.PI * 225)
    const { places } = mostOnBed(disc(30, 256), { xMm: side, yMm: side, marginMm: 0, gapMm: 0 }, kit)
    expect(places.length).toBeLessThanOrEqual(most)
    if (most < 5) return
    checkOutside({
      room,
      model: 'circles of unit area in a square, rows and free spots',
      case: `square of area ${i + 1}, best ${most}`,
      source: 'OEIS A337020; share of the best known',
      expected: 0.75,
      got: places.length / most,
      relation: 'at least',
      allowed: 0,
    })
  })
})

test('pieces do not overlap and keep their gap, by a general polygon library', () => {
  const random = seededRandom(7)
  const outlines = Array.from({ length: 5 }, (): Polygons => {
    // Stars: a base with arms that reach out by different amounts.
    const n = 18
    const points = new Float64Array(2 * n)
    for (let i = 0; i < n; i++) {
      const r = 8 + 12 * random() * (i % 3 === 0 ? 1 : 0.2)
      points[2 * i] = r * Math.cos((2 * Math.PI * i) / n)
      points[2 * i + 1] = r * Math.sin((2 * Math.PI * i) / n)
    }
    return { loopStart: Uint32Array.of(0, n), points }
  })
  const bed = { xMm: 180, yMm: 180, marginMm: 5, gapMm: 2 }
  const { loads } = placeTray(outlines, [4, 4, 4, 4, 4], bed, kit)
  expect(loads.reduce((n, { places }) => n + places.length, 0)).toBe(20)
  for (const [k, { places, leastGapMm }] of loads.entries()) {
    const paths = places.map((place) => Clipper.makePathD([...outlineAt(outlines[place.figure], place).points]))
    let worst = 0
    for (let i = 0; i < paths.length; i++)
      for (let j = 0; j < i; j++) worst = Math.max(worst, common([paths[i]], [paths[j]]))
    checkOutside({
      room,
      model: 'greatest overlap of two pieces',
      case: `bed ${k + 1}, ${places.length} pieces with arms`,
      source: 'clipper2-ts 2.0.1, intersection of outlines',
      expected: 0,
      got: worst,
      allowed: 1e-9,
      unit: 'mm2',
    })
    checkOutside({
      room,
      model: 'least gap between pieces',
      case: `bed ${k + 1}, gap 2 asked for`,
      source: 'clipper2-ts 2.0.1, outlines grown by half the gap do not meet',
      expected: 2,
      got: leastGapMm,
      relation: 'at least',
      allowed: 0,
      unit: 'mm',
    })
    const grown = paths.map((path) => Clipper.inflatePathsD([path], 0.999, JoinType.Round, EndType.Polygon))
    let grownWorst = 0
    for (let i = 0; i < grown.length; i++)
      for (let j = 0; j < i; j++) grownWorst = Math.max(grownWorst, common(grown[i], grown[j]))
    expect(grownWorst).toBeLessThan(1e-6)
    // The library does see an overlap: grown by more than the gap, some neighbours meet.
    const fat = paths.map((path) => Clipper.inflatePathsD([path], 3, JoinType.Round, EndType.Polygon))
    let seen = 0
    for (let i = 0; i < fat.length; i++) for (let j = 0; j < i; j++) seen = Math.max(seen, common(fat[i], fat[j]))
    if (fat.length > 4) expect(seen).toBeGreaterThan(0.1)
  }
})

test('risk: good figures to be expected, hours for each, best number per plate', () => {
  const source = 'exponential law of a constant hazard, sums worked out apart'
  const table: readonly (readonly [number, number, number, number, number])[] = [
    [9, 0.005, 8.604, 8.779, 8.955],
    [16, 0.005, 14.77, 15.338, 15.92],
    [9, 0.02, 7.517, 8.154, 8.822],
    [16, 0.02, 11.618, 13.556, 15.683],
  ]
  for (const [n, hazard, together, inTurn, apart] of table) {
    const alike = { room, source, allowed: 5.1e-4, case: `${n} figures of 1 h, hazard ${hazard} per hour` }
    checkOutside({ ...alike, model: 'good figures, all at once', expected: together, got: goodTogether(n, 1, hazard) })
    checkOutside({
      ...alike,
      model: 'good figures, one after another',
      expected: inTurn,
      got: goodInTurn(n, 1, hazard),
    })
    checkOutside({
      ...alike,
      model: 'good figures, each on its own plate',
      expected: apart,
      got: goodApart(n, 1, hazard),
    })
  }
  const hours = (model: string, expected: number, got: number, what: string): void =>
    checkOutside({ room, source, model, case: what, expected, got, allowed: 5.1e-5 * 10 })
  const nine = trayRisk(9, 1, 0.02, 0)
  hours('hours for a good figure, all at once', 1.0957, nine.hoursPerGoodTogether, '9 of 1 h, 0.02 per hour')
  hours('hours for a good figure, one by one', 1.0101, nine.hoursPerGoodInTurn, '9 of 1 h, 0.02 per hour')
  hours('hours for a good figure, one a plate', 1.265, hoursPerGood(1, 1, 0.02, 0.25), 'start 0.25 h, 0.02 per hour')
  hours('hours for a good figure, nine a plate', 1.129, hoursPerGood(9, 1, 0.02, 0.25), 'start 0.25 h, 0.02 per hour')
  hours('hours for a good figure at the best number', 1.107, bestPerPlate(1, 0.02, 0.25, 40).hours, 'start 0.25 h')
  for (const [startCostH, best] of [
    [0.25, 5],
    [0.05, 2],
    [0.5, 7],
  ])
    checkOutside({
      room,
      source,
      model: 'best number per plate',
      case: `start ${startCostH} h, 1 h each, 0.02 per hour`,
      expected: best,
      got: bestPerPlate(1, 0.02, startCostH, 40).n,
      allowed: 0,
    })
})

test('filament and power', () => {
  const source = 'area of a circle times density, plane geometry'
  for (const [density, grams] of [
    [1.24, 2.98255],
    [1.27, 3.05471],
    [1.04, 2.50149],
  ])
    checkOutside({
      room,
      model: 'grams of a metre of 1.75 mm filament',
      case: `density ${density}`,
      source,
      expected: grams,
      got: gramsPerMetre(1.75, density),
      allowed: 5e-6,
      unit: 'g/m',
    })
  checkOutside({
    room,
    model: 'length of 3 cm3 of plastic',
    case: 'density 1.24',
    source,
    expected: 1.24726,
    got: 3.72 / gramsPerMetre(1.75, 1.24),
    allowed: 5e-6,
    unit: 'm',
  })
  checkOutside({
    room,
    model: 'power of a print',
    case: '120 W for 3 h',
    source: 'power times time',
    expected: 0.36,
    got: powerCost(3, 120, 0.3).kWh,
    allowed: 1e-12,
    unit: 'kWh',
  })
})
