// Cheap measures do not depend on where a body stands or how it is turned with its up direction; mirrored up directions cast one shadow.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import { EXAMINE_DEFAULTS } from '../../src/engine/examine/index.ts'
import {
  type Direction,
  measureStance,
  STANCE_COLUMNS,
  STANCE_ROW,
  searchPrintOf,
  stanceFacing,
  surfaceTable,
  turnUpright,
  upOf,
} from '../../src/engine/stances/index.ts'
import { cylinder, type Solid } from '../solids.ts'

const PRINT = searchPrintOf(EXAMINE_DEFAULTS)
const measured = (solid: Solid, up: Direction): Float64Array => {
  const row = new Float64Array(STANCE_COLUMNS)
  measureStance(
    { table: surfaceTable(solid, () => false), centre: [0, 0, 0], volumeMm3: 500, limbs: null },
    PRINT,
    up,
    row,
  )
  return row
}
const direction = fc
  .tuple(fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: 0, max: 6.28, noNaN: true }))
  .map(([z, a]): Direction => [Math.sqrt(1 - z * z) * Math.cos(a), Math.sqrt(1 - z * z) * Math.sin(a), z])

test('turning the body and the up direction together, and moving it, changes nothing', () => {
  const post = cylinder(4, 15, 24)
  fc.assert(
    fc.property(direction, direction, fc.double({ min: -50, max: 50, noNaN: true }), (up, by, shift) => {
      const q = turnUpright(by)
      const turned = (v: ArrayLike<number>, i: number, c: number): number =>
        q[3 * c] * v[i] + q[3 * c + 1] * v[i + 1] + q[3 * c + 2] * v[i + 2]
      const positions = Float64Array.from(post.positions, (_, k) => turned(post.positions, k - (k % 3), k % 3) + shift)
      const before = measured(post, up)
      const after = measured({ ...post, positions }, [turned(up, 0, 0), turned(up, 0, 1), turned(up, 0, 2)])
      for (const column of [STANCE_ROW.height, STANCE_ROW.shadow, STANCE_ROW.outline])
        expect(after[column] / before[column]).toBeCloseTo(1, 6)
    }),
  )
})

test('upside down it casts the same shadow, has the same outlines and the same steps', () => {
  const post = cylinder(4, 15, 24)
  fc.assert(
    fc.property(direction, (up) => {
      const a = measured(post, up)
      const b = measured(post, [-up[0], -up[1], -up[2]])
      for (const column of [STANCE_ROW.height, STANCE_ROW.shadow, STANCE_ROW.outline, STANCE_ROW.steps])
        expect(b[column]).toBeCloseTo(a[column], 6)
    }),
  )
})

test('any stance and any direction: the stance found puts that direction upright within a tenth of a degree about each axis', () => {
  fc.assert(
    fc.property(
      direction,
      fc.double({ min: -3, max: 3, noNaN: true }),
      fc.double({ min: -1.5, max: 1.5, noNaN: true }),
      (up, x, y) => {
        const given = { kind: 'stance', aboutX: x, aboutY: y, aboutZ: x - y } as const
        const again = upOf(stanceFacing(up, given), given)
        expect(Math.hypot(again[0] - up[0], again[1] - up[1], again[2] - up[2])).toBeLessThan(0.003)
      },
    ),
  )
})
