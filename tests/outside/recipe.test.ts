// The starting recipe and cards against what the trade and the handbooks say.
import { expect, test } from 'vitest'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { checkOutside } from '../validation.ts'

const practice = (what: string, expected: number, got: number, unit: string): void =>
  checkOutside({
    room: 'recipe',
    model: 'starting recipe',
    case: what,
    source: 'common practice, no source',
    expected,
    got,
    allowed: 1e-12,
    unit,
  })

test('the starting recipe for figures is what the trade uses', () => {
  const r = STARTING_RECIPE
  practice('layer height 0.1', 0.1, r.layerHeightMm, 'mm')
  practice('first layer 0.2', 0.2, r.firstLayerHeightMm, 'mm')
  practice('first layer nozzle 10 hotter', 10, r.firstLayerNozzleC - r.nozzleC, 'K')
  practice('bead width equals the bore', STARTING_PRINTER.nozzleBoreMm, r.beadWidthMm, 'mm')
  practice('three shells, 1.2 mm of plastic', 1.2, r.nShells * r.beadWidthMm, 'mm')
  practice('caps 0.8', 0.8, r.capThicknessMm, 'mm')
  practice('infill half', 0.5, r.infillShare, '')
  practice('nozzle 195', 195, r.nozzleC, 'deg C')
  practice('bed 60', 60, r.bedC, 'deg C')
  practice('flow 95 %', 0.95, r.flowShare, '')
  practice('speed 45', 45, r.speedMmPerS, 'mm/s')
  practice('outer shell half of it', 0.5, r.outerShellSpeedMmPerS / r.speedMmPerS, '')
  practice('acceleration 300', 300, r.accelerationMmPerS2, 'mm/s2')
  practice('corner speed 5', 5, r.cornerSpeedMmPerS, 'mm/s')
  practice('lift off', 0, r.liftMm, 'mm')
  practice('fan full', 1, r.fanShare, '')
  practice('fan from the second layer', 2, r.fanFromLayer, '')
  practice('retraction 5', 5, r.retractionMm, 'mm')
  practice('retraction speed 40', 40, r.retractionSpeedMmPerS, 'mm/s')
  expect(r.gapBeads).toBe(true)
  expect(STARTING_FILAMENT.nozzleFromC).toBe(185)
  expect(STARTING_FILAMENT.nozzleToC).toBe(205)
})

test('diffusivity and enthalpy of the starting filament', () => {
  const { conductivityWPerMK: k, densityGPerCm3: density, heatCapacityJPerKgK: cp } = STARTING_FILAMENT
  let enthalpyKJPerKg = 0
  for (let i = 1; i < cp.length; i++)
    enthalpyKJPerKg += ((cp[i][0] - cp[i - 1][0]) * (cp[i][1] + cp[i - 1][1])) / 2 / 1000
  checkOutside({
    room: 'recipe',
    model: 'starting filament card',
    case: 'enthalpy of PLA from 25 to 210 deg C',
    source: 'integral of 974 + 5.09 T, OOFEM test treefrog.in.tm',
    expected: 291,
    got: enthalpyKJPerKg,
    allowed: 0.005,
    relative: true,
    unit: 'kJ/kg',
  })
  checkOutside({
    room: 'recipe',
    model: 'starting filament card',
    case: 'diffusivity k/(density c) with c = 1800',
    source: 'MakeItFrom, Polylactic Acid (k 0.13, c 1800, density 1240)',
    expected: 5.8244e-8,
    got: k / (density * 1000 * 1800),
    allowed: 1e-4,
    relative: true,
    unit: 'm2/s',
  })
})
