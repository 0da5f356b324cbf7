// Writes small mesh files of every format, for the readers' tests.

import { strToU8, zipSync } from 'fflate'
import { writePly, writeStl } from '../src/engine/mesh/index.ts'
import type { Solid } from './solids.ts'

/** Bytes of a text. */
export const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

const rows = (list: ArrayLike<number>, before = '', add = 0): string[] =>
  Array.from({ length: list.length / 3 }, (_, i) =>
    [before, ...[0, 1, 2].map((k) => list[3 * i + k] + add)].join(' ').trim(),
  )

export const stlText = ({ positions, triangles }: Solid, name = 'thing'): string => {
  const at = (v: number) => positions.subarray(3 * v, 3 * v + 3).join(' ')
  const facets: string[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [0, 1, 2].map((k) => `      vertex ${at(triangles[t + k])}`)
    facets.push(`  facet normal 0 0 0\n    outer loop\n${corners.join('\n')}\n    endloop\n  endfacet`)
  }
  return `solid ${name}\n${facets.join('\n')}\nendsolid ${name}\n`
}

export const obj = ({ positions, triangles }: Solid): string =>
  [...rows(positions, 'v'), ...rows(triangles, 'f', 1)].join('\n')

export const off = ({ positions, triangles }: Solid): string =>
  ['OFF', `${positions.length / 3} ${triangles.length / 3} 0`, ...rows(positions), ...rows(triangles, '3')].join('\n')

export const plyText = ({ positions, triangles }: Solid): string =>
  [
    'ply',
    'format ascii 1.0',
    'comment made by a test',
    `element vertex ${positions.length / 3}`,
    'property float x',
    'property float y',
    'property float z',
    `element face ${triangles.length / 3}`,
    'property list uchar int vertex_index',
    'end_header',
    ...rows(positions),
    ...rows(triangles, '3'),
    '',
  ].join('\n')

/** Big-endian PLY with a colour on each vertex and an extra number on each face. */
export const plyBigEndian = ({ positions, triangles }: Solid): Uint8Array => {
  const header = bytesOf(
    `ply\nformat binary_big_endian 1.0\nelement vertex ${positions.length / 3}\nproperty double x\nproperty uchar red\n` +
      `property double y\nproperty double z\nelement face ${triangles.length / 3}\nproperty list uchar ushort vertex_indices\n` +
      'property short flag\nend_header\n',
  )
  const bytes = new Uint8Array(header.length + (positions.length / 3) * 25 + (triangles.length / 3) * 9)
  bytes.set(header)
  const view = new DataView(bytes.buffer)
  let at = header.length
  for (let v = 0; v < positions.length; v += 3) {
    view.setFloat64(at, positions[v])
    bytes[at + 8] = 200
    view.setFloat64(at + 9, positions[v + 1])
    view.setFloat64(at + 17, positions[v + 2])
    at += 25
  }
  for (let t = 0; t < triangles.length; t += 3) {
    bytes[at] = 3
    for (let k = 0; k < 3; k++) view.setUint16(at + 1 + 2 * k, triangles[t + k])
    at += 9
  }
  return bytes
}

/** XML of one object's mesh. */
export const meshXml = ({ positions, triangles }: Solid): string => {
  const vertices = rows(positions).map((row) => {
    const [x, y, z] = row.split(' ')
    return `<vertex x="${x}" y="${y}" z="${z}"/>`
  })
  const faces = rows(triangles).map((row) => {
    const [a, b, c] = row.split(' ')
    return `<triangle v1="${a}" v2="${b}" v3="${c}"/>`
  })
  return `<mesh><vertices>${vertices.join('\n')}</vertices><triangles>${faces.join('\n')}</triangles></mesh>`
}

export const modelXml = (resources: string, build: string, attributes = 'unit="millimeter"'): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<model ${attributes} xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" ` +
  `xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">\n` +
  `<resources>${resources}</resources>\n<build>${build}</build>\n</model>`

/** A 3MF package of these parts; the first one is its root. */
export const threeMf = (parts: Readonly<Record<string, string>>): Uint8Array =>
  zipSync({
    '_rels/.rels': strToU8(
      `<Relationships><Relationship Id="r0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/${Object.keys(parts)[0]}"/></Relationships>`,
    ),
    ...Object.fromEntries(Object.entries(parts).map(([path, text]) => [path, strToU8(text)])),
  })

export const threeMfOf = (solid: Solid): Uint8Array =>
  threeMf({
    '3D/3dmodel.model': modelXml(`<object id="1" name="part">${meshXml(solid)}</object>`, '<item objectid="1"/>'),
  })

/** glTF document and its data: one mesh of one primitive, used by the nodes given. */
export const gltfOf = ({ positions, triangles }: Solid, nodes: readonly object[] = [{ mesh: 0 }]) => {
  const data = new Uint8Array(4 * positions.length + 4 * triangles.length)
  data.set(new Uint8Array(Float32Array.from(positions).buffer))
  data.set(new Uint8Array(Uint32Array.from(triangles).buffer), 4 * positions.length)
  const document = {
    asset: { version: '2.0' },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes,
    meshes: [{ name: 'part', primitives: [{ attributes: { POSITION: 0 }, indices: 1 }] }],
    accessors: [
      { bufferView: 0, componentType: 5126, count: positions.length / 3, type: 'VEC3', min: [0, 0, 0], max: [9, 9, 9] },
      { bufferView: 1, componentType: 5125, count: triangles.length, type: 'SCALAR' },
    ],
    bufferViews: [
      { buffer: 0, byteOffset: 0, byteLength: 4 * positions.length },
      { buffer: 0, byteOffset: 4 * positions.length, byteLength: 4 * triangles.length },
    ],
    buffers: [{ byteLength: data.length }] as { byteLength: number; uri?: string }[],
  }
  return { document, data }
}

export const gltfText = (solid: Solid, nodes?: readonly object[]): string => {
  const { document, data } = gltfOf(solid, nodes)
  document.buffers[0].uri = `data:application/octet-stream;base64,${Buffer.from(data).toString('base64')}`
  return JSON.stringify(document)
}

export const glb = (solid: Solid, nodes?: readonly object[], more: object = {}): Uint8Array => {
  const { document, data } = gltfOf(solid, nodes)
  const text = JSON.stringify({ ...document, ...more })
  const json = bytesOf(text.padEnd(Math.ceil(text.length / 4) * 4))
  const bytes = new Uint8Array(28 + json.length + data.length)
  const view = new DataView(bytes.buffer)
  bytes.set(bytesOf('glTF'))
  view.setUint32(4, 2, true)
  view.setUint32(8, bytes.length, true)
  view.setUint32(12, json.length, true)
  view.setUint32(16, 0x4e4f534a, true)
  bytes.set(json, 20)
  view.setUint32(20 + json.length, data.length, true)
  view.setUint32(24 + json.length, 0x004e4942, true)
  bytes.set(data, 28 + json.length)
  return bytes
}

/** The solid in every format, by name. */
export const everyFormat = (solid: Solid): Readonly<Record<string, Uint8Array>> => ({
  'stl-binary': writeStl(solid),
  'stl-text': bytesOf(stlText(solid)),
  obj: bytesOf(obj(solid)),
  off: bytesOf(off(solid)),
  'ply text': bytesOf(plyText(solid)),
  'ply little': writePly(solid),
  'ply big': plyBigEndian(solid),
  '3mf': threeMfOf(solid),
  gltf: bytesOf(gltfText(solid)),
  glb: glb(solid),
})
