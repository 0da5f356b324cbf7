// Files of the whole field, read back by readers that share no code with the writers.

import { WebIO } from '@gltf-transform/core'
import { beforeAll, expect, test } from 'vitest'
import { EVEN, shaftOnBase } from '../../tests/strength-bodies.ts'
import { readVtu } from '../../tests/vtu-file.ts'
import type { Figure } from '../engine/figure/index.ts'
import { quickStrength, type WholeField, wholeField } from '../engine/strength/index.ts'
import { cividisBytes } from '../picture/index.ts'
import { fieldGlb } from './field-glb.ts'
import { fieldVtu } from './field-vtu.ts'
import { surfaceQuantity } from './field-words.ts'

let figure: Figure
let faceZ: Float64Array
let field: WholeField

beforeAll(async () => {
  const body = await shaftOnBase(3, 10, 0.5)
  const quick = await quickStrength(body.figure, body.stack, body.relations, EVEN)
  field = await wholeField(body.figure, body.stack, quick, EVEN, { cellMm: 0.75, nPushes: 1, tellsError: false })
  figure = body.figure
  faceZ = body.stack.faceZ
})

test('VTK XML: cubes of the right volume, what moves moves, every number comes back', () => {
  const celsius = Float64Array.from({ length: faceZ.length - 1 }, (_, layer) => 100 - layer)
  const file = readVtu(fieldVtu(field, [{ name: 'temperature C', values: celsius, faceZ }]))
  const { mesh, loads } = field
  expect([file.nPoints, file.nCells]).toEqual([mesh.nNodes, mesh.nCells])
  const points = file.array('Points').values
  const corners = file.array('connectivity').values
  expect(file.array('offsets').values.at(-1)).toBe(corners.length)
  expect(new Set(file.array('types').values)).toEqual(new Set([12]))
  for (let c = 0; c < file.nCells; c += 7) {
    const p = (k: number): number[] => points.slice(3 * corners[8 * c + k], 3 * corners[8 * c + k] + 3)
    const [a, x, y, z] = [p(0), p(1), p(3), p(4)].map((q, i, all) => q.map((v, d) => v - (i ? all[0][d] : 0)))
    const volume =
      x[0] * (y[1] * z[2] - y[2] * z[1]) - x[1] * (y[0] * z[2] - y[2] * z[0]) + x[2] * (y[0] * z[1] - y[1] * z[0])
    expect(volume).toBeCloseTo(0.75 ** 3, 4)
    // The corner across from the first: the order goes round each face the same way.
    expect(
      p(6)
        .map((v, d) => v - a[d])
        .every((v) => Math.abs(v - 0.75) < 1e-4),
    ).toBe(true)
  }
  for (const { name, answer } of loads.filter(({ kind }) => kind !== 'weight')) {
    const words = file.arrays.filter((a) => a.name.includes(name))
    expect(words).toHaveLength(4)
    const [moved, stress, within, between] = words
    expect(moved).toMatchObject({ section: 'PointData', components: 3, values: [...answer.move] })
    expect(stress).toMatchObject({ section: 'CellData', components: 6, values: [...answer.stress] })
    expect(within.values).toEqual([...answer.useWithin])
    expect(between.values).toEqual([...answer.useBetween])
  }
  const heat = file.array('temperature').values
  for (let c = 0; c < file.nCells; c++) {
    const z = mesh.origin[2] + mesh.cellMm * (mesh.cellAt[3 * c + 2] + 0.5)
    expect(heat[c]).toBe(100 - Math.min(faceZ.length - 2, Math.floor(z / 0.5 + 1e-9)))
  }
})

test('glTF: the same surface in metres with y up, colours of the scale, numbers beside them', async () => {
  const quantity = surfaceQuantity(field, 'use')
  const document = await new WebIO().readBinary(fieldGlb(figure.mesh, quantity, 'shaft'))
  const [node] = document.getRoot().listNodes()
  const [primitive] = document.getRoot().listMeshes()[0].listPrimitives()
  const position = primitive.getAttribute('POSITION')
  const colour = primitive.getAttribute('COLOR_0')
  const number = primitive.getAttribute('_QUANTITY')
  expect(primitive.getIndices()?.getArray()).toEqual(Uint32Array.from(figure.mesh.triangles))
  const n = figure.mesh.positions.length / 3
  expect([position?.getCount(), colour?.getCount(), number?.getCount()]).toEqual([n, n, n])
  const m = node.getWorldMatrix()
  const up = (x: number, y: number, z: number): number => m[1] * x + m[5] * y + m[9] * z + m[13]
  expect(up(0, 0, figure.max[2])).toBeCloseTo(figure.max[2] / 1000, 9)
  const scale = cividisBytes()
  let held = 0
  for (let v = 0; v < n; v++) {
    const value = number?.getScalar(v) ?? 0
    const r = colour?.getElement(v, [])[0] ?? Number.NaN
    if (value < 0) {
      held++
      expect(quantity.values[v]).toBeNaN()
      continue
    }
    expect(value).toBe(quantity.values[v])
    const share = Math.min(1, value / quantity.to)
    const byte = scale[4 * Math.round(255 * share)] / 255
    expect(r).toBeCloseTo(byte <= 0.04045 ? byte / 12.92 : ((byte + 0.055) / 1.055) ** 2.4, 5)
  }
  expect(held).toBeGreaterThan(0)
  expect(held).toBeLessThan(n)
})

test('quantities of the surface name themselves and span what there is', () => {
  for (const which of ['use', 'within', 'between', 'fall', 'movement'] as const) {
    const { name, values, to } = surfaceQuantity(field, which)
    expect(name.length).toBeGreaterThan(5)
    expect(values).toHaveLength(figure.mesh.positions.length / 3)
    expect(to).toBeGreaterThan(0)
  }
  expect(surfaceQuantity(field, 'movement').unit).toBe('mm')
})
