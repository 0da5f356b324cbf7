// Scale and size of figures against the conversions of the trade.

import { test } from 'vitest'
import { standUp } from '../../src/engine/figure/index.ts'
import { prepareMesh } from '../../src/engine/mesh/index.ts'
import { person } from '../standing-figures.ts'
import { checkOutside } from '../validation.ts'

const room = 'figure'
const MEASURES = 'body measures (eye at 0.936 of the height, a man of 1.75 m), from memory'
const PRACTICE = 'common practice, no source'

const figureOf = (soleToEyeMm: number, base = 0) => {
  const solid = person(100, { base })
  const { mesh, health } = prepareMesh(solid.positions, solid.triangles)
  const stood = standUp(
    { kind: 'sculpt', name: 'person', format: 'obj', mesh, health, statedUnit: null, hash: '' },
    { scale: { by: 'scale-height', soleToEyeMm } },
  )
  if (!stood.ok) throw new Error(stood.issues[0].message)
  return stood.value
}

const check = (
  model: string,
  what: string,
  source: string,
  expected: number,
  got: number,
  allowed: number,
  unit: string,
) => checkOutside({ room, model, case: what, source, expected, got, allowed, unit })

test.each([
  [28, 29.9, 58.5],
  [32, 34.2, 51.2],
])('%f mm to the eye', (eye, crown, oneTo) => {
  const figure = figureOf(eye)
  check('height to the crown', `scale height ${eye} mm`, MEASURES, crown, figure.max[2] - figure.soleMm, 0.05, 'mm')
  check('one to', `scale height ${eye} mm, a man of 1.75 m`, MEASURES, oneTo, figure.oneTo, 0.05, '')
})

test('a base adds to the total height, not to the scale height', () => {
  // 10.03 file units come to 3 mm.
  const figure = figureOf(28, 10.03)
  check('total height', 'scale height 28 mm on a base of 3 mm', MEASURES, 32.9, figure.max[2], 0.05, 'mm')
  check('height of the base', 'round base under a person', 'closed form', 3, figure.base?.topMm ?? 0, 0.01, 'mm')
})

test.each([
  [28, 62.5],
  [32, 54.7],
])('%f mm to the crown', (crown, oneTo) => {
  const solid = person(100)
  const { mesh, health } = prepareMesh(solid.positions, solid.triangles)
  const stood = standUp(
    { kind: 'sculpt', name: 'person', format: 'obj', mesh, health, statedUnit: null, hash: '' },
    { scale: { by: 'total-height', totalMm: crown } },
  )
  check('one to', `${crown} mm to the crown`, MEASURES, oneTo, stood.ok ? stood.value.oneTo : 0, 0.05, '')
})

test.each([
  [30, 168],
  [31, 173.6],
  [32, 179.2],
  [33, 184.8],
])('at 1:56 %f mm stand for a person', (mm, cm) => {
  const solid = person(cm)
  const { mesh, health } = prepareMesh(solid.positions, solid.triangles)
  const stood = standUp(
    { kind: 'sculpt', name: 'person', format: 'obj', mesh, health, statedUnit: 'cm', hash: '' },
    { scale: { by: 'ratio', oneTo: 56 } },
  )
  check('height', `a person of ${cm} cm at 1:56`, PRACTICE, mm, stood.ok ? stood.value.max[2] : 0, 0.005, 'mm')
})
