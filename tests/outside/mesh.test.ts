// Meshes against closed forms, and against other libraries on public scans.

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { WebIO } from '@gltf-transform/core'
import Module from 'manifold-3d'
import { type BufferGeometry, Triangle, Vector3 } from 'three'
import { PLYLoader } from 'three/examples/jsm/loaders/PLYLoader.js'
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js'
import { mergeVertices } from 'three/examples/jsm/utils/BufferGeometryUtils.js'
import { expect, test } from 'vitest'
import { massOf, prepareMesh, readSculpt, type Sculpt } from '../../src/engine/mesh/index.ts'
import { glb, plyBigEndian } from '../mesh-files.ts'
import {
  box,
  cone,
  cornerTetrahedron,
  cylinder,
  insideOut,
  moved,
  prism,
  type Solid,
  sphere,
  together,
  torus,
} from '../solids.ts'
import { checkOutside } from '../validation.ts'

const room = 'mesh'
const MIRTICH = 'Mirtich, J. Graphics Tools 1(2), 1996; Eberly, Polyhedral Mass Properties (closed form of the solid)'
const TEXTBOOK = 'closed form, any handbook of solids'

const massFor = ({ positions, triangles }: Solid) => massOf(prepareMesh(positions, triangles).mesh)

const check = (
  model: string,
  what: string,
  source: string,
  expected: number,
  got: number,
  allowed: number,
  unit = '',
) => checkOutside({ room, model, case: what, source, expected, got, allowed, relative: expected !== 0, unit })

test('corner tetrahedron, exactly', () => {
  const { volume, area, centre, inertia } = massFor(cornerTetrahedron())
  const [xx, yy, zz, xy] = inertia
  const of = 'unit corner tetrahedron'
  check('volume', of, MIRTICH, 1 / 6, volume, 1e-14)
  check('area', of, TEXTBOOK, 1.5 + Math.sqrt(3) / 2, area, 1e-14)
  check('centre of mass', of, MIRTICH, 0.25, centre[1], 1e-14)
  check('integral of x squared', of, MIRTICH, 1 / 60, (yy + zz - xx) / 2 + volume * centre[0] ** 2, 1e-13)
  check('integral of xy', of, MIRTICH, 1 / 120, xy + volume * centre[0] * centre[1], 1e-13)
})

test('prisms and cones of few sides, exactly', () => {
  const side = (n: number) => (n / 2) * Math.sin((2 * Math.PI) / n)
  for (const n of [3, 6, 17]) {
    check(
      'volume',
      `regular prism of ${n} sides, radius 5, height 7`,
      TEXTBOOK,
      side(n) * 25 * 7,
      massFor(prism(5, 7, n)).volume,
      1e-13,
      'mm3',
    )
    const pyramid = massFor(moved(cone(5, 10, n), 100, -40, 3))
    check(
      'volume',
      `pyramid of ${n} sides, radius 5, height 10`,
      TEXTBOOK,
      (side(n) * 250) / 3,
      pyramid.volume,
      1e-12,
      'mm3',
    )
    check(
      'centre of mass',
      `pyramid of ${n} sides: a quarter of the height`,
      TEXTBOOK,
      3 + 2.5,
      pyramid.centre[2],
      1e-12,
      'mm',
    )
  }
  const { inertia, volume } = massFor(moved(box(4, 6, 10), 30, 40, 50))
  check('inertia', 'box 4 x 6 x 10 about its x axis', TEXTBOOK, (volume * (36 + 100)) / 12, inertia[0], 1e-12, 'mm5')
})

test('round solids, within what their facets leave', () => {
  const N = 512
  const ball = massFor(sphere(10, N))
  check('volume', 'sphere R 10', TEXTBOOK, 4188.79, ball.volume, 1e-4, 'mm3')
  check('area', 'sphere R 10', TEXTBOOK, 1256.637, ball.area, 1e-4, 'mm2')
  check('inertia', 'sphere R 10: 2/5 m R squared', TEXTBOOK, 0.4 * 100, ball.inertia[0] / ball.volume, 1e-4, 'mm2')
  const ring = massFor(torus(10, 2, N, 360))
  check('volume', 'torus R 10, r 2', TEXTBOOK, 789.568, ring.volume, 1e-4, 'mm3')
  check('area', 'torus R 10, r 2', TEXTBOOK, 789.568, ring.area, 1e-4, 'mm2')
  check('inertia', 'torus about its axis: R2 + 3/4 r2', TEXTBOOK, 103, ring.inertia[2] / ring.volume, 1e-4, 'mm2')
  check('inertia', 'torus about a diameter: R2/2 + 5/8 r2', TEXTBOOK, 52.5, ring.inertia[0] / ring.volume, 1e-4, 'mm2')
  const point = massFor(cone(5, 10, N))
  check('volume', 'cone r 5, h 10', TEXTBOOK, 261.799, point.volume, 1e-4, 'mm3')
  check('area', 'cone r 5, h 10: side 175.620 and floor', TEXTBOOK, 175.62 + 25 * Math.PI, point.area, 1e-4, 'mm2')
  const frustum = massFor(together(sphere(5, N), insideOut(sphere(3, N))))
  check(
    'volume',
    'hollow sphere R 5, cavity R 3',
    TEXTBOOK,
    (4 / 3) * Math.PI * (125 - 27),
    frustum.volume,
    1e-4,
    'mm3',
  )
})

test('a round base with a body: mass, balance, tip-over', () => {
  const N = 720
  const density = 1.24e-3
  const source = 'closed form, sums of cylinders (parallel axes)'
  const standing = together(cylinder(12.5, 3, N), moved(cylinder(5, 25, N), 0, 0, 3))
  const { volume, centre, inertia } = massFor(standing)
  const of = 'base r 12.5 x 3 with body r 5 x 25, density 1.24'
  check('volume', of, source, 3436.12, volume, 1e-4, 'mm3')
  check('mass', of, source, 4.2608, volume * density, 1e-4, 'g')
  check('centre of mass', of, source, 9.5, centre[2], 1e-4, 'mm')
  check('tip-over angle', of, source, 52.765, (Math.atan(12.5 / centre[2]) * 180) / Math.PI, 1e-4, 'deg')
  check('inertia about the axis', of, source, 173.09, inertia[2] * density, 2e-4, 'g mm2')
  check('inertia about a level axis', of, source, 419.24, inertia[0] * density, 2e-4, 'g mm2')
  const arm = moved(box(4, 4, 62.83 / 16), 10, -2, 18 - 62.83 / 32)
  const withArm = massFor(together(standing, arm))
  check(
    'centre of mass',
    'the same with an arm of 62.83 mm3 at x 12, z 18: x',
    source,
    0.21549,
    withArm.centre[0],
    1e-4,
    'mm',
  )
  check(
    'centre of mass',
    'the same with an arm of 62.83 mm3 at x 12, z 18: z',
    source,
    9.6526,
    withArm.centre[2],
    1e-4,
    'mm',
  )
  const towards = (Math.atan((12.5 - withArm.centre[0]) / withArm.centre[2]) * 180) / Math.PI
  check('tip-over angle', 'the same, towards the arm', source, 51.841, towards, 1e-4, 'deg')
})

const require = createRequire(import.meta.url)

/** The scan as its package carries it: vertices and cells. */
const smallBunny = (): Solid => {
  const { positions, cells } = require('bunny') as { positions: number[][]; cells: number[][] }
  return { positions: Float64Array.from(positions.flat()), triangles: Uint32Array.from(cells.flat()) }
}

const scanFile = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(join(dirname(require.resolve('stl-models/package.json')), 'objects', name)))

const sculptOf = async (bytes: Uint8Array): Promise<Sculpt> => {
  const read = await readSculpt(bytes, { name: 'x' })
  if (!read.ok) throw new Error(read.issues[0].message)
  return read.value
}

/** Volume, area and counts by manifold-3d. */
const solidByLibrary = async ({ positions, triangles }: Solid) => {
  const library = await Module()
  library.setup()
  const mesh = new library.Mesh({ numProp: 3, vertProperties: Float32Array.from(positions), triVerts: triangles })
  const solid = library.Manifold.ofMesh(mesh)
  const parts = solid.decompose()
  const found = {
    volume: solid.volume(),
    area: solid.surfaceArea(),
    nTriangles: solid.numTri(),
    nVertices: solid.numVert(),
    nShells: parts.length,
  }
  for (const part of [solid, ...parts]) part.delete()
  return found
}

test('a scanned animal, closed: against manifold-3d', async () => {
  const solid = smallBunny()
  const { mesh, health } = prepareMesh(solid.positions, solid.triangles)
  const mass = massOf(mesh)
  const library = await solidByLibrary(mesh)
  const of = 'scanned rabbit, 3 674 triangles (npm bunny 1.0.1, public domain)'
  const source = 'manifold-3d 3.5.4'
  expect(health).toMatchObject({ closed: true, nHoles: 0, nInsideOutShells: 0 })
  check('volume', of, source, library.volume, mass.volume, 1e-6)
  check('area', of, source, library.area, mass.area, 1e-6)
  check('triangles', of, source, library.nTriangles, health.nTriangles, 0)
  check('vertices', of, source, library.nVertices, health.nVertices, 0)
  check('shells', of, source, library.nShells, health.nShells, 0)
})

/** Area and welded vertices of a geometry by three. */
const surfaceByLibrary = (geometry: BufferGeometry) => {
  geometry.deleteAttribute('normal')
  const merged = geometry.index ? geometry : mergeVertices(geometry, 1e-9)
  const place = merged.getAttribute('position')
  const index = merged.index
  if (!index) throw new Error('no index')
  const [a, b, c] = [new Vector3(), new Vector3(), new Vector3()]
  const triangle = new Triangle(a, b, c)
  let area = 0
  for (let t = 0; t < index.count; t += 3) {
    a.fromBufferAttribute(place, index.getX(t))
    b.fromBufferAttribute(place, index.getX(t + 1))
    c.fromBufferAttribute(place, index.getX(t + 2))
    area += triangle.getArea()
  }
  return { area, nTriangles: index.count / 3, nVertices: place.count }
}

test('a full scan with holes, from a file: against three, and what is known of it', async () => {
  const bytes = scanFile('bunny.bin.stl')
  const { mesh, health } = await sculptOf(bytes)
  const mass = massOf(mesh)
  const library = surfaceByLibrary(new STLLoader().parse(bytes.slice().buffer))
  const of = 'scanned rabbit, 69 451 triangles (npm stl-models 0.12.0, MIT)'
  const source = 'three 0.187.0'
  check('area', of, source, library.area, mass.area, 1e-9)
  check('triangles', of, source, library.nTriangles, health.nTriangles, 0)
  check('vertices', of, source, library.nVertices, health.nVertices, 0)
  check('holes', `${of}: five where the scan met its stand`, 'known of this scan, from memory', 5, health.nHoles, 0)
  const text = await sculptOf(scanFile('bunny.ascii.stl'))
  check('area', `${of}, text against binary form`, 'the same package', mass.area, massOf(text.mesh).area, 1e-6)
  check(
    'open edges',
    `${of}, text against binary form`,
    'the same package',
    health.nOpenEdges,
    text.health.nOpenEdges,
    0,
  )
})

test('the full scan with its holes filled: against manifold-3d', async () => {
  const { mesh, health } = await sculptOf(scanFile('bunny.bin.stl'))
  // Each hole is filled with a fan from its middle.
  const positions = [...mesh.positions]
  const triangles = [...mesh.triangles]
  const open = new Map<number, number>()
  prepareMesh(mesh.positions, mesh.triangles).neighbours.forEach((g, h) => {
    if (g < 0) open.set(mesh.triangles[h], mesh.triangles[h % 3 === 2 ? h - 2 : h + 1])
  })
  expect(open.size).toBe(health.nOpenEdges)
  while (open.size > 0) {
    const rim: number[] = []
    for (let v = [...open.keys()][0]; open.has(v); ) {
      rim.push(v)
      const next = open.get(v) as number
      open.delete(v)
      v = next
    }
    const middle = positions.length / 3
    for (let k = 0; k < 3; k++) positions.push(rim.reduce((sum, v) => sum + mesh.positions[3 * v + k], 0) / rim.length)
    rim.forEach((v, i) => {
      triangles.push(rim[(i + 1) % rim.length], v, middle)
    })
  }
  const filled = prepareMesh(Float64Array.from(positions, Math.fround), Uint32Array.from(triangles))
  const mass = massOf(filled.mesh)
  expect(filled.health).toMatchObject({ closed: true, nTurnedTriangles: 0 })
  const library = await solidByLibrary(filled.mesh)
  const of = 'scanned rabbit with its holes filled, 69 674 triangles (npm stl-models 0.12.0, MIT)'
  const source = 'manifold-3d 3.5.4'
  check('volume', of, source, library.volume, mass.volume, 1e-5)
  check('area', of, source, library.area, mass.area, 1e-5)
  check('triangles', of, source, library.nTriangles, filled.health.nTriangles, 0)
})

test('PLY in big-endian order: against three', async () => {
  const bytes = plyBigEndian(torus(10, 2, 40, 20))
  const { mesh, health } = await sculptOf(bytes)
  const library = surfaceByLibrary(new PLYLoader().parse(bytes.slice().buffer))
  check('area', 'big-endian PLY with colours', 'three 0.187.0', library.area, massOf(mesh).area, 1e-6)
  check('triangles', 'big-endian PLY with colours', 'three 0.187.0', library.nTriangles, health.nTriangles, 0)
})

test('glTF nodes: against @gltf-transform/core', async () => {
  const nodes = [
    { children: [1], translation: [1, 2, 3], rotation: [0.1, 0.5, -0.3, 0.8], scale: [1, 2, 0.5] },
    { mesh: 0, rotation: [0.7, 0, 0.2, 0.4], translation: [-4, 0, 9], scale: [3, 1, 1] },
  ].map((node) => {
    const length = Math.hypot(...node.rotation)
    return { ...node, rotation: node.rotation.map((q) => q / length) }
  })
  const bytes = glb(box(1, 2, 3), nodes)
  const { mesh } = await sculptOf(bytes)
  const document = await new WebIO().readBinary(bytes)
  const node = document
    .getRoot()
    .listNodes()
    .find((one) => one.getMesh())
  const place = node?.getMesh()?.listPrimitives()[0].getAttribute('POSITION')
  if (!node || !place) throw new Error('no mesh')
  const m = node.getWorldMatrix()
  const high = [-Infinity, -Infinity, -Infinity]
  for (let v = 0; v < place.getCount(); v++) {
    const [x, y, z] = place.getElement(v, [0, 0, 0])
    for (let k = 0; k < 3; k++) high[k] = Math.max(high[k], m[k] * x + m[4 + k] * y + m[8 + k] * z + m[12 + k])
  }
  const ours = [0, 1, 2].map((k) => Math.max(...mesh.positions.filter((_, i) => i % 3 === k)))
  const lowest = Math.min(...mesh.positions.filter((_, i) => i % 3 === 1))
  const of = 'box under two turned, scaled nodes'
  const source = '@gltf-transform/core 4.5.1'
  check('highest x', of, source, high[0], ours[0], 1e-6)
  check('highest y, which is height here', of, source, high[1], ours[2], 1e-6)
  check('highest z, which comes to the front here', of, source, high[2], -lowest, 1e-6)
})
