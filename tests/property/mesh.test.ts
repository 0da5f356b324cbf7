// Meshes keep their properties whatever way they are turned, scaled or written down; readers survive damaged files.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import { edgeNeighbours, massOf, prepareMesh, readSculpt, transformMesh } from '../../src/engine/mesh/index.ts'
import { everyFormat } from '../mesh-files.ts'
import { asSoup, box, cone, insideOut, moved, type Solid, sphere, together, torus } from '../solids.ts'

const SOLIDS: Readonly<Record<string, Solid>> = {
  torus: torus(10, 2, 24, 12),
  'hollow sphere': together(sphere(5, 16), insideOut(sphere(2, 12))),
  'overlapping shells': together(box(4, 4, 4), moved(cone(3, 6, 20), 1, 1, 1), moved(sphere(2, 12), 4, 4, 4)),
  'touching boxes': together(box(1, 2, 3), moved(box(1, 2, 3), 1, 2, 0), moved(box(2, 2, 3), -2, 0, 0)),
}
const solid = fc.constantFrom(...Object.values(SOLIDS))
const RUNS = { numRuns: 40, seed: 20240611 }

const healthOf = ({ positions, triangles }: Solid) => {
  const { holes, ...counts } = prepareMesh(positions, triangles).health
  return { ...counts, holes: holes.length }
}
const expectNear = (got: number, expected: number, size: number): void =>
  expect(Math.abs(got - expected)).toBeLessThanOrEqual(1e-9 * size)

/** Orders of 0 to n-1, from a seed. */
const shuffled = (n: number, seed: number): number[] => {
  const order = Array.from({ length: n }, (_, i) => i)
  let state = seed >>> 0
  for (let i = n - 1; i > 0; i--) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    const j = Math.floor((state / 2 ** 32) * (i + 1))
    ;[order[i], order[j]] = [order[j], order[i]]
  }
  return order
}

test('order of vertices and triangles, and which corner comes first, change nothing', () => {
  fc.assert(
    fc.property(solid, fc.integer(), (given, seed) => {
      const nVertices = given.positions.length / 3
      const vertexOrder = shuffled(nVertices, seed)
      const positions = new Float64Array(given.positions.length)
      vertexOrder.forEach((to, from) => {
        positions.set(given.positions.subarray(3 * from, 3 * from + 3), 3 * to)
      })
      const triangles = new Uint32Array(given.triangles.length)
      shuffled(triangles.length / 3, seed ^ 77).forEach((to, from) => {
        for (let k = 0; k < 3; k++)
          triangles[3 * to + ((((k + from + seed) % 3) + 3) % 3)] = vertexOrder[given.triangles[3 * from + k]]
      })
      const other = { positions, triangles }
      expect(healthOf(other)).toEqual(healthOf(given))
      const [a, b] = [
        massOf(prepareMesh(given.positions, given.triangles).mesh),
        massOf(prepareMesh(positions, triangles).mesh),
      ]
      expectNear(b.volume, a.volume, a.volume)
      expectNear(b.area, a.area, a.area)
      for (const [k, c] of a.centre.entries()) expectNear(b.centre[k], c, 10)
      for (const [k, m] of a.inertia.entries()) expectNear(b.inertia[k], m, a.inertia[0] + a.inertia[1])
    }),
    RUNS,
  )
})

test('a rotation, a scale and a shift act on the mass properties as they must', () => {
  const angle = fc.double({ min: -4, max: 4, noNaN: true })
  fc.assert(
    fc.property(
      solid,
      angle,
      angle,
      fc.double({ min: 0.01, max: 100, noNaN: true }),
      angle,
      (given, about, tilt, s, shift) => {
        const [c, n] = [Math.cos(about), Math.sin(about)]
        const [d, m] = [Math.cos(tilt), Math.sin(tilt)]
        const r = [c, -n * d, n * m, n, c * d, -c * m, 0, m, d]
        const { mesh } = prepareMesh(given.positions, given.triangles)
        const turned = transformMesh(mesh, [
          s * r[0],
          s * r[1],
          s * r[2],
          shift,
          s * r[3],
          s * r[4],
          s * r[5],
          -shift,
          s * r[6],
          s * r[7],
          s * r[8],
          2 * shift,
        ])
        const [a, b] = [massOf(mesh), massOf(turned)]
        expectNear(b.volume, a.volume * s ** 3, a.volume * s ** 3)
        expectNear(b.area, a.area * s ** 2, a.area * s ** 2)
        for (let k = 0; k < 3; k++) {
          const rotated = r[3 * k] * a.centre[0] + r[3 * k + 1] * a.centre[1] + r[3 * k + 2] * a.centre[2]
          expectNear(b.centre[k], s * rotated + [shift, -shift, 2 * shift][k], 20 * s + 20)
        }
        // The trace and the determinant of the inertia tensor do not turn.
        const trace = (i: readonly number[]) => i[0] + i[1] + i[2]
        const determinant = ([x, y, z, xy, yz, zx]: readonly number[]) =>
          x * (y * z - yz * yz) + xy * (-xy * z - yz * zx) - zx * (xy * yz + y * zx)
        expectNear(trace(b.inertia), trace(a.inertia) * s ** 5, trace(a.inertia) * s ** 5)
        expect(determinant(b.inertia) / (determinant(a.inertia) * s ** 15)).toBeCloseTo(1, 7)
        const again = prepareMesh(turned.positions, turned.triangles)
        expect({ ...again.health, holes: 0 }).toEqual({
          ...prepareMesh(given.positions, given.triangles).health,
          holes: 0,
        })
      },
    ),
    RUNS,
  )
})

test('a mirror map keeps the outside outside', () => {
  fc.assert(
    fc.property(solid, (given) => {
      const { mesh } = prepareMesh(given.positions, given.triangles)
      const mirror = transformMesh(mesh, [-1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0])
      expectNear(massOf(mirror).volume, massOf(mesh).volume, massOf(mesh).volume)
    }),
    RUNS,
  )
})

test('a soup in single or double precision welds back; scattered wrong turns are mended', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(SOLIDS.torus, sphere(4, 20)),
      fc.array(fc.nat(150), { maxLength: 20 }),
      (given, wrong) => {
        const triangles = given.triangles.slice()
        for (const t of new Set(wrong))
          [triangles[3 * t], triangles[3 * t + 1]] = [triangles[3 * t + 1], triangles[3 * t]]
        const { health, mesh } = prepareMesh(asSoup({ positions: given.positions, triangles }))
        expect(health).toMatchObject({
          closed: true,
          nTurnedTriangles: new Set(wrong).size,
          nVertices: given.positions.length / 3,
        })
        expectNear(massOf(mesh).volume, massOf(given).volume, 1000)
      },
    ),
    RUNS,
  )
})

test('whatever triangles are left out, pairs stay mutual and opposite, and open edges close into holes', () => {
  fc.assert(
    fc.property(solid, fc.integer(), fc.double({ min: 0.05, max: 0.6, noNaN: true }), (given, seed, share) => {
      const n = given.triangles.length / 3
      const kept = shuffled(n, seed).slice(0, Math.ceil(n * (1 - share)))
      const triangles = Uint32Array.from(kept.flatMap((t) => [...given.triangles.subarray(3 * t, 3 * t + 3)]))
      const { mesh, health } = prepareMesh(given.positions, triangles)
      const across = edgeNeighbours(mesh)
      let nOpen = 0
      across.forEach((g, h) => {
        if (g < 0) {
          nOpen++
          return
        }
        const next = (e: number) => (e % 3 === 2 ? e - 2 : e + 1)
        if (
          across[g] !== h ||
          mesh.triangles[g] !== mesh.triangles[next(h)] ||
          mesh.triangles[h] !== mesh.triangles[next(g)]
        ) {
          throw new Error(`half-edges ${h} and ${g} do not match`)
        }
      })
      expect(health.nOpenEdges).toBeLessThanOrEqual(nOpen)
      expect(health.closed).toBe(nOpen === 0)
      expect(health.nHoles > 0).toBe(health.nOpenEdges > 0)
    }),
    RUNS,
  )
})

test('damaged files of every format are read or refused with a sentence; nothing is thrown, nothing grows without measure', async () => {
  const small = together(sphere(3, 8), moved(box(1, 2, 3), 5, 0, 0))
  const files = Object.values(everyFormat(small))
  const damage = fc.record({
    file: fc.constantFrom(...files),
    cut: fc.oneof(
      { weight: 3, arbitrary: fc.constant(1) },
      { weight: 1, arbitrary: fc.double({ min: 0, max: 1, noNaN: true }) },
    ),
    flips: fc.array(
      fc.record({
        at: fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
        value: fc.integer({ min: 0, max: 255 }),
      }),
      { maxLength: 6 },
    ),
    head: fc.boolean(),
  })
  let nRead = 0
  let nRefused = 0
  await fc.assert(
    fc.asyncProperty(damage, async ({ file, cut, flips, head }) => {
      const bytes = file.slice(0, Math.ceil(file.length * cut))
      // Half of the flips go to the first bytes, where counts and kinds are written.
      const span = head ? Math.min(bytes.length, 400) : bytes.length
      for (const { at, value } of flips) bytes[Math.floor(at * span)] = value
      const read = await readSculpt(bytes, {
        name: 'x',
        limits: { maxTriangles: 1_000_000, maxUnzippedBytes: 10_000_000 },
      })
      if (read.ok) {
        nRead++
        expect(read.value.health.nTriangles).toBeGreaterThan(0)
        expect(read.value.health.nTriangles).toBeLessThan(4000)
        expect(read.value.mesh.positions.every(Number.isFinite)).toBe(true)
      } else {
        nRefused++
        expect(read.issues.length).toBe(1)
        expect(read.issues[0].code).toMatch(/^mesh\/[a-z0-9-]+$/)
        expect(read.issues[0].message).toMatch(/^[^\n]{10,300}\.$/)
      }
    }),
    { numRuns: 1500, seed: 20240612 },
  )
  // The damage must be of a kind that leaves both outcomes possible, or this proves little.
  expect(Math.min(nRead, nRefused)).toBeGreaterThan(200)
})

test('random words of the text formats never throw', async () => {
  const words = [
    'solid',
    'facet',
    'vertex',
    'endloop',
    'v',
    'f',
    '1',
    '-1',
    '2.5e3',
    '1e999',
    'nan',
    'OFF',
    '4',
    '3',
    '\n',
    '/',
    '#',
    '\\',
    'ply',
    'format ascii 1.0',
    'element face 3',
    'element vertex 2',
    'property list uchar int vertex_indices',
    'property float x',
    'end_header',
    '{',
    '}',
  ]
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom('solid a\n', 'OFF\n', 'v 0 0 0\n', 'ply\nformat ascii 1.0\n', '{"asset":'),
      fc.array(fc.constantFrom(...words), { maxLength: 60 }),
      fc.constantFrom(' ', '\n'),
      async (start, rest, between) => {
        const read = await readSculpt(new TextEncoder().encode(start + rest.join(between)), { name: 'x' })
        if (!read.ok) expect(read.issues[0].message).toMatch(/^[^\n]+\.$/)
      },
    ),
    { numRuns: 1500, seed: 20240613 },
  )
})
