import { zipSync } from 'fflate'
import { expect, test } from 'vitest'
import {
  bytesOf,
  glb,
  gltfOf,
  gltfText,
  meshXml,
  modelXml,
  plyText,
  stlText,
  threeMf,
} from '../../../tests/mesh-files.ts'
import { box, cylinder, insideOut } from '../../../tests/solids.ts'
import { massOf } from './mass-of.ts'
import { readSculpt } from './read-sculpt.ts'
import type { Sculpt } from './types.ts'
import { writeStl } from './write-stl.ts'

const cube = box(2, 2, 2)

const sculptOf = async (content: string | Uint8Array): Promise<Sculpt & { codes: string[] }> => {
  const read = await readSculpt(typeof content === 'string' ? bytesOf(content) : content, { name: '' })
  if (!read.ok) throw new Error(read.issues[0].message)
  return { ...read.value, codes: read.notes.map(({ code }) => code) }
}

const refusal = async (content: string | Uint8Array, limits = {}) => {
  const read = await readSculpt(typeof content === 'string' ? bytesOf(content) : content, { name: '', limits })
  if (read.ok) throw new Error('was read')
  expect(read.issues.length).toBe(1)
  return read.issues[0]
}

const volumeOf = (sculpt: Sculpt) => massOf(sculpt.mesh).volume

test('binary STL that begins with "solid" is binary', async () => {
  const bytes = writeStl(cube)
  bytes.set(bytesOf('solid facet normal'))
  expect(await sculptOf(bytes)).toMatchObject({ format: 'stl-binary', health: { nTriangles: 12 } })
})

test.each([0, 1, 11, 13, 0xffffffff])('binary STL whose header states %i triangles is read whole', async (stated) => {
  const bytes = writeStl(cube)
  bytes.set(bytesOf('solid lies'))
  new DataView(bytes.buffer).setUint32(80, stated, true)
  expect(await sculptOf(bytes)).toMatchObject({ codes: ['mesh/wrong-count'], health: { nTriangles: 12, closed: true } })
})

test('bytes after the last triangle are left out; a cut triangle is refused at its byte', async () => {
  const whole = writeStl(cube)
  const longer = new Uint8Array(whole.length + 7)
  longer.set(whole)
  expect((await sculptOf(longer)).codes).toEqual(['mesh/trailing-bytes'])
  expect(await refusal(whole.subarray(0, whole.length - 30))).toMatchObject({
    code: 'mesh/short-file',
    place: { byte: whole.length - 30 },
    message: expect.stringContaining('inside triangle 12 of the 12'),
  })
})

test('a coordinate that is no number is refused at its byte', async () => {
  const bytes = writeStl(cube)
  new DataView(bytes.buffer).setFloat32(84 + 50 + 12 + 4, Number.NaN, true)
  expect(await refusal(bytes)).toMatchObject({ code: 'mesh/not-a-number', place: { byte: 150 } })
})

test('text STL: case, line ends, nan normals, several solids, a quad loop', async () => {
  const text = stlText(cube).toUpperCase().replaceAll('NORMAL 0 0 0', 'NORMAL nan nan nan').replaceAll('\n', '\r\n')
  expect((await sculptOf(text)).health.closed).toBe(true)
  expect((await sculptOf(stlText(cube) + stlText(cube))).health.nDoubledTriangles).toBe(12)
  const quad =
    'solid\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 1 1 0\nvertex 0 1 0\nendloop\nendfacet\nendsolid'
  expect((await sculptOf(quad)).health).toMatchObject({ nTriangles: 2, nOpenEdges: 4 })
  expect((await sculptOf(stlText(cube, 'the ferry dog'))).name).toBe('the ferry dog')
})

test.each([
  [stlText(cube).replace('vertex 2 2 0', 'vertex 2 two 0'), 5, 'two'],
  [stlText(cube).replace('vertex 2 2 0\n', ''), 6, 'three vertices'],
  [stlText(cube).replace('endfacet', 'end facet'), 8, '"end"'],
])('text STL faults are told by line (%#)', async (text, line, words) => {
  expect(await refusal(text)).toMatchObject({ place: { line }, message: expect.stringContaining(words) })
})

test('OBJ: polygons with dents, negative and slashed numbers, continued lines, comments', async () => {
  const text = [
    '# an L-shaped prism',
    'mtllib none.mtl',
    'o hook',
    ...[0, 1].flatMap((z) =>
      [
        [0, 0],
        [2, 0],
        [2, 1],
        [1, 1],
        [1, 2],
        [0, 2],
      ].map(([x, y]) => `v ${x} ${y} ${z} 0.5 0.5 0.5`),
    ),
    'vn 0 0 1',
    'f -1//1 -6//1 -5//1 -4//1 -3//1 -2//1',
    'f 6 5 4 \\',
    '  3 2 1 # bottom',
    ...[0, 1, 2, 3, 4, 5].map((i) => `f ${i + 1}/1/1 ${((i + 1) % 6) + 1}/1/1 ${((i + 1) % 6) + 7}/1/1 ${i + 7}/1/1`),
  ].join('\n')
  const sculpt = await sculptOf(text)
  expect(sculpt).toMatchObject({
    name: 'hook',
    health: { closed: true, nTurnedTriangles: 0, nTriangles: 20, nInsideOutShells: 0 },
  })
  expect(volumeOf(sculpt)).toBeCloseTo(3, 12)
  expect(massOf(sculpt.mesh).area).toBeCloseTo(14, 12)
})

test.each([
  ['v 0 0 0\nv 1 0\nf 1 2 3', 2, 'end of the line'],
  ['v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 0', 4, '"0"'],
  ['v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9', 4, 'vertex 9'],
  ['v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 -4', 4, '"-4"'],
  ['v 0 0 0\nf 1 1', 2, 'three corners'],
])('OBJ faults are told by line (%#)', async (text, line, words) => {
  expect(await refusal(text)).toMatchObject({ place: { line }, message: expect.stringContaining(words) })
})

test('OFF: comments, prefix, colours', async () => {
  const text =
    'COFF # coloured\n# counts\n4 4 6\n0 0 0 255 0 0 255\n1 0 0 1 1 1 1\n0 1 0 1 1 1 1\n0 0 1 1 1 1 1\n3 0 2 1 0.5 0.5 0.5\n3 0 1 3\n3 1 2 3\n3 2 0 3\n'
  expect(volumeOf(await sculptOf(text))).toBeCloseTo(1 / 6, 12)
  expect(await refusal(text.replace('3 2 0 3', '3 2 0 4'))).toMatchObject({ place: { line: 11 } })
  expect(await refusal('OFF\n4000000000 4000000000 0\n0 0 0\n')).toMatchObject({ code: 'mesh/short-file' })
  expect((await refusal('4OFF\n1 1 0\n0 0 0\n')).message).toContain('three dimensions')
})

test('PLY: triangle strips with breaks, other elements passed over', async () => {
  const text = [
    'ply',
    'format ascii 1.0',
    'element camera 1',
    'property float view',
    'element vertex 4',
    'property uchar red',
    'property float x',
    'property float y',
    'property float z',
    'element tristrips 1',
    'property list int int vertex_indices',
    'end_header',
    '1.5',
    '9 0 0 0',
    '9 1 0 0',
    '9 0 1 0',
    '9 0 0 1',
    '9 0 2 1 3 -1 2 0 3 1',
    '',
  ].join('\n')
  const sculpt = await sculptOf(text.replace('9 0 2 1 3 -1 2 0 3 1', '9 0 2 1 3 -1 2 0 3 -1'))
  expect(sculpt.health.nTriangles).toBe(3)
  const closed = await sculptOf(text.replace('9 0 2 1 3 -1 2 0 3 1', '12 0 2 1 3 -1 0 1 3 -1 0 3 2'))
  expect(volumeOf(closed)).toBeCloseTo(1 / 6, 12)
  expect(closed.health).toMatchObject({ closed: true, nTurnedTriangles: 0 })
})

test.each([
  [plyText(cube).replace('float x', 'flaot x'), 5, 'property TYPE NAME'],
  [plyText(cube).replace('vertex 8', 'vertex 80000000'), 11, 'states 80000000'],
  [plyText(cube).replace('2 0 0\n', '2 zero 0\n'), 12, 'vertex 1'],
  [plyText(cube).replace('end_header', 'endheader'), 10, 'end_header'],
])('PLY faults are told by line (%#)', async (text, line, words) => {
  expect(await refusal(text)).toMatchObject({ place: { line }, message: expect.stringContaining(words) })
})

test('PLY without faces says so; a face that names a missing vertex too', async () => {
  expect((await refusal(plyText({ positions: cube.positions, triangles: new Uint32Array(0) }))).message).toContain(
    'points but no faces',
  )
  expect((await refusal(plyText(cube).replace('3 0 2 1', '3 0 2 8'))).message).toContain('vertex 8')
})

test('3MF: units, components within components, transforms, a mirror, other parts', async () => {
  const bytes = threeMf({
    '3D/3dmodel.model': modelXml(
      '<object id="2"><components><component objectid="1" p:path="/3D/Objects/a.model" transform="1 0 0 0 1 0 0 0 1 10 0 0"/>' +
        '<component objectid="1" p:path="/3D/Objects/a.model" transform="-1 0 0 0 1 0 0 0 1 0 0 0"/></components></object>',
      '<item objectid="2" transform="0 2 0 -2 0 0 0 0 2 0 0 5"/>',
      'unit="inch" requiredextensions="p"',
    ),
    '3D/Objects/a.model': modelXml(`<object id="1">${meshXml(cube)}</object>`, '', 'unit="inch"'),
  })
  const sculpt = await sculptOf(bytes)
  expect(sculpt).toMatchObject({ statedUnit: 'inch', health: { nShells: 2, closed: true, nInsideOutShells: 0 } })
  expect(volumeOf(sculpt)).toBeCloseTo(2 * 64, 9)
  // Row vectors: x goes to y, y to -x; twice as large; z from 5.
  const [x, y, z] = [0, 1, 2].map((k) => sculpt.mesh.positions.filter((_, i) => i % 3 === k))
  expect([Math.min(...x), Math.max(...x), Math.min(...y), Math.max(...y), Math.min(...z), Math.max(...z)]).toEqual([
    -4, 0, -4, 24, 5, 9,
  ])
})

test('3MF faults', async () => {
  const object = `<object id="1">${meshXml(cube)}</object>`
  const packed = (resources: string, build: string, attributes?: string) =>
    threeMf({ 'm.model': modelXml(resources, build, attributes) })
  expect(await refusal(packed(object, '<item objectid="7"/>'))).toMatchObject({
    code: 'mesh/no-object',
    message: expect.stringContaining('"7"'),
  })
  expect((await refusal(packed(object.replace('v1="0"', 'v1="8"'), '<item objectid="1"/>'))).place?.line).toBe(10)
  expect((await refusal(packed(object, '<item objectid="1"/>', 'unit="ell"'))).message).toContain('"ell"')
  expect(
    (
      await refusal(
        packed(object, '<item objectid="1"/>', 'requiredextensions="b" xmlns:b="http://x/beamlattice/2017/02"'),
      )
    ).code,
  ).toBe('mesh/unsupported-extension')
  expect(
    (
      await refusal(
        packed('<object id="1"><components><component objectid="1"/></components></object>', '<item objectid="1"/>'),
      )
    ).code,
  ).toBe('mesh/deep-model')
  const doubling = Array.from(
    { length: 40 },
    (_, i) =>
      `<object id="${i + 2}"><components><component objectid="${i + 1}"/><component objectid="${i + 1}"/></components></object>`,
  )
  expect((await refusal(packed(object + doubling.join(''), '<item objectid="41"/>'))).code).toMatch(
    /too-many-triangles|deep-model/,
  )
  expect((await refusal(packed(`${object}<object`, ''))).code).toBe('mesh/bad-xml')
  expect((await refusal(zipSync({ 'readme.txt': bytesOf('hello') }))).code).toBe('mesh/no-model')
})

test('a zip that swells without measure is stopped', async () => {
  const spaces = ' '.repeat(30_000_000)
  const bytes = threeMf({
    'm.model': modelXml(`${spaces}<object id="1">${meshXml(cube)}</object>`, '<item objectid="1"/>'),
  })
  expect(bytes.length).toBeLessThan(100_000)
  expect((await refusal(bytes)).code).toBe('mesh/unzip-ratio')
  expect((await refusal(bytes, { maxUnzipRatio: 1e6, maxUnzippedBytes: 1e6 })).code).toBe('mesh/unzip-size')
  expect(
    volumeOf(
      await (async () => {
        const read = await readSculpt(bytes, { name: '', limits: { maxUnzipRatio: 2000 } })
        if (!read.ok) throw new Error(read.issues[0].message)
        return read.value
      })(),
    ),
  ).toBeCloseTo(8, 12)
})

test('glTF: node transforms, a mirror, y up', async () => {
  const half = Math.SQRT1_2
  const nodes = [
    { children: [1, 2], translation: [0, 5, 0], rotation: [0, 0, half, half] },
    { mesh: 0, scale: [1, 2, 3] },
    { mesh: 0, matrix: [-1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, -10, 0, 0, 1] },
  ]
  for (const content of [glb(cube, nodes), gltfText(cube, nodes)]) {
    const sculpt = await sculptOf(content)
    expect(sculpt).toMatchObject({
      statedUnit: 'm',
      name: 'part',
      health: { nShells: 2, closed: true, nInsideOutShells: 0 },
    })
    expect(volumeOf(sculpt)).toBeCloseTo(48 + 8, 4)
    // Turned a quarter about z (x to y, y to -x), raised by 5 along y; then y is up.
    const [x, y, z] = [0, 1, 2].map((k) => sculpt.mesh.positions.filter((_, i) => i % 3 === k))
    const box6 = [Math.min(...x), Math.max(...x), Math.min(...y), Math.max(...y), Math.min(...z), Math.max(...z)]
    for (const [i, value] of box6.entries()) expect(value).toBeCloseTo([-4, 0, -6, 0, -7, 7][i], 5)
  }
})

test('glTF faults', async () => {
  expect(
    (await refusal(glb(cube, undefined, { extensionsRequired: ['KHR_draco_mesh_compression'] }))).message,
  ).toContain('compressed geometry')
  expect((await refusal(glb(cube, undefined, { extensionsRequired: ['EXT_something'] }))).code).toBe(
    'mesh/unsupported-extension',
  )
  const { document } = gltfOf(cube)
  document.buffers[0].uri = 'far.bin'
  expect(await refusal(JSON.stringify(document))).toMatchObject({
    code: 'mesh/gltf-external',
    message: expect.stringContaining('far.bin'),
  })
  expect((await refusal(glb(cube, [{ children: [0], mesh: 0 }]))).code).toBe('mesh/gltf-node')
  expect((await refusal(glb(cube, [{ mesh: 3 }]))).code).toBe('mesh/gltf-mesh')
  expect((await refusal(glb(cube, undefined, { asset: { version: '1.0' } }))).code).toBe('mesh/gltf-version')
  expect((await refusal(glb(cube).subarray(0, 400))).code).toBe('mesh/short-file')
  const huge = {
    accessors: [
      { bufferView: 0, componentType: 5126, count: 4e7, type: 'VEC3' },
      { bufferView: 1, componentType: 5125, count: 3, type: 'SCALAR' },
    ],
  }
  expect((await refusal(glb(cube, undefined, huge))).message).toContain('reaches past the end')
  expect((await refusal('{"asset": {"version": "2.0"}, ')).code).toBe('mesh/gltf-json')
})

test('a solid written inside out in a file is turned and reported', async () => {
  const sculpt = await sculptOf(writeStl(insideOut(cylinder(3, 5, 32))))
  expect(sculpt.health.nInsideOutShells).toBe(1)
  expect(volumeOf(sculpt)).toBeGreaterThan(0)
})
