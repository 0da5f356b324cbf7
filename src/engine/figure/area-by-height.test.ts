import { expect, test } from 'vitest'
import { cone, insideOut, sphere, together } from '../../../tests/solids.ts'
import { prepareMesh } from '../mesh/index.ts'
import { areaByHeight } from './area-by-height.ts'

test('sections of a cone have the areas of smaller polygons', () => {
  const { mesh } = prepareMesh(cone(5, 10, 64).positions, cone(5, 10, 64).triangles)
  const { area, step, from } = areaByHeight(mesh, 100)
  const polygon = (r: number) => 32 * r * r * Math.sin(Math.PI / 32)
  area.forEach((value, i) => {
    expect(value).toBeCloseTo(polygon(5 * (1 - (from + (i + 0.5) * step) / 10)), 9)
  })
})

test('a cavity is taken off', () => {
  const hollow = together(sphere(5, 64), insideOut(sphere(3, 64)))
  const { mesh } = prepareMesh(hollow.positions, hollow.triangles)
  const { area } = areaByHeight(mesh, 101)
  expect(area[50]).toBeCloseTo(32 * Math.sin(Math.PI / 32) * (25 - 9), 1)
})
