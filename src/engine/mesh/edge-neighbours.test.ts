import { expect, test } from 'vitest'
import { box, cylinder, moved, together, torus } from '../../../tests/solids.ts'
import { edgeNeighbours } from './edge-neighbours.ts'

const ends = (triangles: Uint32Array, h: number): [number, number] => [
  triangles[h],
  triangles[h % 3 === 2 ? h - 2 : h + 1],
]

test('partners are mutual and run opposite ways along the same edge', () => {
  // The cylinder's cap vertices have 3000 triangles each: the long-bucket path.
  for (const solid of [torus(10, 2, 30, 20), cylinder(5, 3, 3000), box(1, 2, 3)]) {
    const across = edgeNeighbours(solid)
    expect(across.length).toBe(solid.triangles.length)
    for (let h = 0; h < across.length; h++) {
      const g = across[h]
      expect(across[g]).toBe(h)
      expect(ends(solid.triangles, g)).toEqual(ends(solid.triangles, h).reverse())
    }
  }
})

test('open edges have no partner', () => {
  const solid = box(1, 1, 1)
  const across = edgeNeighbours({ positions: solid.positions, triangles: solid.triangles.slice(3) })
  expect([...across].filter((g) => g < 0).length).toBe(3)
})

test('edges of triangles turned against each other stay unpaired', () => {
  const positions = Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0])
  expect([...edgeNeighbours({ positions, triangles: Uint32Array.from([0, 1, 2, 1, 2, 3]) })]).toEqual(Array(6).fill(-1))
})

test.each([1, 2])('boxes that touch along an edge or a face pair with themselves (case %i)', (which) => {
  const pair = together(box(1, 1, 1), which === 1 ? moved(box(1, 1, 1), 1, 1, 0) : moved(box(1, 1, 1), 1, 0, 0))
  // Share the vertices by hand, as welding does.
  const key = (v: number) => pair.positions.subarray(3 * v, 3 * v + 3).join()
  const first = new Map<string, number>()
  const triangles = pair.triangles.map((v) => {
    const known = first.get(key(v))
    if (known !== undefined) return known
    first.set(key(v), v)
    return v
  })
  const across = edgeNeighbours({ positions: pair.positions, triangles })
  across.forEach((g, h) => {
    expect(g).toBeGreaterThanOrEqual(0)
    expect(Math.floor(g / 36)).toBe(Math.floor(h / 36))
  })
})

test('a triangle with a repeated corner has no partners on its empty edge', () => {
  const positions = Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0])
  const across = edgeNeighbours({ positions, triangles: Uint32Array.from([0, 0, 1, 0, 1, 2]) })
  expect(across[0]).toBe(-1)
})
