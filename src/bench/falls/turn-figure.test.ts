import { beforeAll, expect, test } from 'vitest'
import { box, moved, together } from '../../../tests/solids.ts'
import type { PolygonKit } from '../../engine/kernel/index.ts'
import { prepareMesh } from '../../engine/mesh/index.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { drawnFall, plasticBefore, turnDown, turnedMesh } from './turn-figure.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})

type Triple = readonly [number, number, number]
const unit = (x: number, y: number, z: number): Triple => {
  const l = Math.hypot(x, y, z)
  return [x / l, y / l, z / l]
}
const meshOf = (...parts: Parameters<typeof together>) => {
  const { positions, triangles } = together(...parts)
  return prepareMesh(positions, triangles).mesh
}

test('a turn is a turn: rows at right angles, right-handed, and the direction of the fall points straight down', () => {
  for (const down of [unit(0, 0, -1), unit(0, 0, 1), unit(1, 0, 0), unit(0.3, -0.8, 0.2), unit(-1, 2, -3)]) {
    const [a, b, c] = turnDown(down)
    const dot = (p: Triple, q: Triple) => p[0] * q[0] + p[1] * q[1] + p[2] * q[2]
    for (const row of [a, b, c]) expect(dot(row, row)).toBeCloseTo(1, 12)
    expect(Math.hypot(dot(a, b), dot(b, c), dot(c, a))).toBeCloseTo(0, 12)
    const volume =
      a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])
    expect(volume).toBeCloseTo(1, 12)
    expect([dot(a, down), dot(b, down), dot(c, down)].map((v) => Math.round(1e9 * v) / 1e9 + 0)).toEqual([0, 0, -1])
  }
})

test('a box that falls on its side stands on zero as high as it is wide, over the origin', async () => {
  const turned = turnedMesh(meshOf(moved(box(4, 3, 20), 5, 6, 0)), turnDown([1, 0, 0]))
  expect(turned.heightMm).toBeCloseTo(4, 9)
  // The face that looked to +x lies on the floor; its middle is over the origin.
  const lands = turned.place([9, 7.5, 10])
  expect(lands.map((v) => Math.abs(v) < 1e-9)).toEqual([true, true, true])
  expect(turned.place([5, 7.5, 10])[2]).toBeCloseTo(4, 9)
})

test('plastic before a place is what a viewer would have to look through', async () => {
  const drawn = await drawnFall(
    meshOf(box(2, 2, 10), moved(box(2, 2, 10), 0, -5, 0)),
    { down: [0, 0, -1], contact: [1, 1, 0], breaks: [1, 1, 5] },
    kit,
  )
  // From the best side nothing but half of its own post stands before the break.
  expect(drawn.hiddenMm).toBeLessThan(1.3)
  expect(drawn.heightMm).toBeCloseTo(10, 6)
  expect(drawn.contact[1]).toBeCloseTo(0, 6)
  expect(drawn.breaks[1]).toBeCloseTo(5, 6)
  const square = (x: number, y: number) => [x - 1, y - 1, x + 1, y - 1, x + 1, y + 1, x - 1, y + 1]
  const stack = {
    nLayers: 1,
    faceZ: [0, 1],
    layerStart: [0, 2],
    loopStart: [0, 4, 8],
    points: [...square(0, 0), ...square(0, -5)],
  }
  // The viewer stands at -y: half the own post and the whole of the other one; from the far side only the half.
  expect(plasticBefore(stack, [0.1, 0, 0.5], 0)).toBeCloseTo(3, 9)
  expect(plasticBefore(stack, [0.1, 0, 0.5], Math.PI)).toBeCloseTo(1, 9)
})
