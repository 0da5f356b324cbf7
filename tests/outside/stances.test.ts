// Projected areas, stair-step integrals, outline lengths and limits of limbs against closed forms; the slope rule of the trade.

import { expect, test } from 'vitest'
import { EXAMINE_DEFAULTS } from '../../src/engine/examine/index.ts'
import {
  type Direction,
  measureStance,
  STANCE_COLUMNS,
  STANCE_ROW,
  searchPrintOf,
  sphereDirections,
  surfaceTable,
} from '../../src/engine/stances/index.ts'
import { box, cone, type Solid, sphere } from '../solids.ts'
import { checkOutside } from '../validation.ts'

const PRINT = { ...searchPrintOf(EXAMINE_DEFAULTS), layerHeightMm: 0.1 }

const measured = (solid: Solid, up: Direction): Float64Array => {
  const row = new Float64Array(STANCE_COLUMNS)
  measureStance(
    { table: surfaceTable(solid, () => false), centre: [0, 0, 0], volumeMm3: 100, limbs: null },
    PRINT,
    up,
    row,
  )
  return row
}
const unit = (x: number, y: number, z: number): Direction => {
  const n = Math.hypot(x, y, z)
  return [x / n, y / n, z / n]
}
const OBLIQUE = unit(0.3, -0.5, 0.8)

test('sphere: shadow pi r2, stair steps 2 pi r2 t, outlines pi2 r2 / t, whichever way it lies', () => {
  const ball = sphere(10, 256)
  for (const [name, up] of [
    ['upright', [0, 0, 1]],
    ['oblique', OBLIQUE],
  ] as const) {
    const row = measured(ball, up)
    const source = 'elementary geometry; Archimedes: projected area of a sphere'
    const common = { room: 'stances', source, relative: true }
    checkOutside({
      ...common,
      model: 'projected area',
      case: `sphere r 10, ${name}`,
      expected: Math.PI * 100,
      got: row[STANCE_ROW.shadow],
      allowed: 4e-4,
      unit: 'mm2',
    })
    checkOutside({
      ...common,
      model: 'stair-step integral t |cos|',
      case: `sphere r 10, t 0.1, ${name}`,
      source:
        'Dolenc and Maekelae, Computer-Aided Design 26:119-126 (1994): cusp t |cos|, integrated over a sphere 2 pi r2 t',
      expected: 2 * Math.PI * 100 * 0.1,
      got: row[STANCE_ROW.steps],
      allowed: 1e-3,
      unit: 'mm3',
    })
    checkOutside({
      ...common,
      model: 'length of all outlines',
      case: `sphere r 10, t 0.1, ${name}`,
      source: 'integral of 2 pi sqrt(r2 - z2) dz = pi2 r2',
      expected: (Math.PI ** 2 * 100) / 0.1,
      got: row[STANCE_ROW.outline],
      allowed: 4e-4,
      unit: 'mm',
    })
  }
})

test('box: sums of its faces, and Cauchy: the mean shadow of a convex body is a quarter of its surface', () => {
  const crate = box(10, 6, 4)
  const row = measured(crate, OBLIQUE)
  const [x, y, z] = OBLIQUE
  const shadow = 24 * Math.abs(x) + 40 * Math.abs(y) + 60 * z
  checkOutside({
    room: 'stances',
    model: 'projected area',
    case: 'box 10 x 6 x 4, oblique',
    source: 'sum of the faces seen, elementary geometry',
    expected: shadow,
    got: row[STANCE_ROW.shadow],
    allowed: 1e-12,
    relative: true,
    unit: 'mm2',
  })
  checkOutside({
    room: 'stances',
    model: 'stair-step integral t |cos|',
    case: 'box 10 x 6 x 4, oblique, t 0.1',
    source: 'Dolenc and Maekelae 1994, summed over six planes',
    expected: 2 * shadow * 0.1,
    got: row[STANCE_ROW.steps],
    allowed: 1e-12,
    relative: true,
    unit: 'mm3',
  })
  const n = 1800
  const ups = sphereDirections(n)
  for (const [name, solid, surface] of [
    ['box 10 x 6 x 4', crate, 248],
    ['cone r 5, h 10', cone(5, 10, 128), Math.PI * 5 * (5 + Math.sqrt(125))],
  ] as const) {
    let sum = 0
    for (let i = 0; i < n; i++) sum += measured(solid, [ups[3 * i], ups[3 * i + 1], ups[3 * i + 2]])[STANCE_ROW.shadow]
    checkOutside({
      room: 'stances',
      model: 'mean projected area over the 1800 directions searched',
      case: name,
      source: 'Cauchy 1841: a quarter of the surface',
      expected: surface / 4,
      got: sum / n,
      allowed: 1e-3,
      relative: true,
      unit: 'mm2',
    })
  }
})

test('cone on its base: side as steps and outlines, base on the bed', () => {
  const row = measured(cone(5, 10, 512), [0, 0, 1])
  const side = Math.PI * 5 * Math.sqrt(125)
  checkOutside({
    room: 'stances',
    model: 'stair-step integral of the side',
    case: 'cone r 5, h 10, t 0.1',
    source: 'side pi r s, cusp t r / s (Dolenc and Maekelae 1994)',
    expected: (side * 0.1 * 5) / Math.sqrt(125),
    got: row[STANCE_ROW.steps],
    allowed: 1e-3,
    relative: true,
    unit: 'mm3',
  })
  checkOutside({
    room: 'stances',
    model: 'contact with the bed',
    case: 'cone r 5 on its base',
    source: 'elementary geometry: pi r2',
    expected: Math.PI * 25,
    got: row[STANCE_ROW.contact],
    allowed: 1e-3,
    relative: true,
    unit: 'mm2',
  })
})

test('the slope at which a surface needs a prop: 45 deg at 0.2 mm layers and 0.4 mm beads', () => {
  const { undersideSlope } = searchPrintOf({ ...EXAMINE_DEFAULTS, layerHeightMm: 0.2 })
  checkOutside({
    room: 'stances',
    model: 'slope beyond which less than half a bead is carried',
    case: '0.2 mm layers, 0.4 mm beads',
    source: 'common practice, no source: 45 deg',
    expected: 45,
    got: (undersideSlope * 180) / Math.PI,
    allowed: 1e-9,
    unit: 'deg',
  })
  expect(searchPrintOf(EXAMINE_DEFAULTS).undersideSlope).toBeGreaterThan(undersideSlope)
})
