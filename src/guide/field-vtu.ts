// The whole field as an open VTK XML unstructured grid: cubes as hexahedra, movement at their corners, stress and strength use in them.
//
// Source: the VTK file formats, XML section, as published by its makers: inline binary data in base64, each array led by its length in bytes.
// Heights in mm, stress in MPa.

import type { FieldAnswer, WholeField, WholeLoad } from '../engine/strength/index.ts'

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/'
const LETTERS = Uint8Array.from(ALPHABET, (c) => c.charCodeAt(0))
const PAD = '='.charCodeAt(0)

/** Bytes as base64 letters (RFC 4648). */
const base64 = (bytes: Uint8Array): Uint8Array => {
  const out = new Uint8Array(4 * Math.ceil(bytes.length / 3))
  let at = 0
  for (let i = 0; i < bytes.length; i += 3) {
    const b = i + 1 < bytes.length ? bytes[i + 1] : 0
    const c = i + 2 < bytes.length ? bytes[i + 2] : 0
    const held = (bytes[i] << 16) | (b << 8) | c
    out[at++] = LETTERS[held >> 18]
    out[at++] = LETTERS[(held >> 12) & 63]
    out[at++] = i + 1 < bytes.length ? LETTERS[(held >> 6) & 63] : PAD
    out[at++] = i + 2 < bytes.length ? LETTERS[held & 63] : PAD
  }
  return out
}

const TYPES = [
  [Float32Array, 'Float32'],
  [Int32Array, 'Int32'],
  [Uint8Array, 'UInt8'],
] as const

/** A number per layer that goes into every cell of it, e.g. a temperature. */
export interface LayerQuantity {
  readonly name: string
  readonly values: ArrayLike<number>
  /** Faces of the layers, mm. */
  readonly faceZ: ArrayLike<number>
}

const named = (text: string): string => text.replace(/[^A-Za-z0-9 .()%-]/g, ' ')

/** Loads whose stress goes into the file: all would be a hundred megabytes and more. */
const TOLD_HANDS = 3

const toldLoads = (loads: readonly WholeLoad[]): readonly WholeLoad[] => [
  ...loads.filter(({ kind }) => kind === 'push' || kind === 'pull').slice(0, TOLD_HANDS),
  ...loads.filter(({ kind }) => kind === 'fall'),
]

/** The file's bytes. @param layerQuantities numbers of layers to write into their cells */
export const fieldVtu = (field: WholeField, layerQuantities: readonly LayerQuantity[] = []): Uint8Array => {
  const { mesh } = field
  const { nNodes, nCells, nodeAt, cellNode, cellAt, origin, cellMm, share, kindOf } = mesh
  const parts: Uint8Array[] = []
  const encoder = new TextEncoder()
  const write = (text: string): void => {
    parts.push(encoder.encode(text))
  }
  const array = (name: string, values: Float32Array | Int32Array | Uint8Array, components: number): void => {
    const type = TYPES.find(([kind]) => values instanceof kind)?.[1]
    const body = new Uint8Array(4 + values.byteLength)
    new DataView(body.buffer).setUint32(0, values.byteLength, true)
    body.set(new Uint8Array(values.buffer, values.byteOffset, values.byteLength), 4)
    const wide = components > 1 ? ` NumberOfComponents="${components}"` : ''
    write(`<DataArray type="${type}" Name="${named(name)}"${wide} format="binary">`)
    parts.push(base64(body))
    write('</DataArray>\n')
  }
  const loads = toldLoads(field.loads)
  write(
    `<?xml version="1.0"?>\n<VTKFile type="UnstructuredGrid" version="1.0" byte_order="LittleEndian" header_type="UInt32">\n` +
      `<UnstructuredGrid>\n<Piece NumberOfPoints="${nNodes}" NumberOfCells="${nCells}">\n<PointData>\n`,
  )
  for (const { name, answer } of loads) array(`movement mm, ${loadWords(name, answer)}`, answer.move, 3)
  write('</PointData>\n<CellData>\n')
  array('filled share', Float32Array.from(share), 1)
  array('infill', kindOf, 1)
  for (const { name, answer } of loads) {
    const words = loadWords(name, answer)
    array(`stress MPa xx yy zz xy yz zx, ${words}`, answer.stress, 6)
    array(`strength use within layers, ${words}`, answer.useWithin, 1)
    array(`strength use between layers, ${words}`, answer.useBetween, 1)
  }
  for (const { name, values, faceZ } of layerQuantities) {
    const ofCell = new Float32Array(nCells)
    let layer = 0
    for (let c = 0; c < nCells; c++) {
      const z = origin[2] + cellMm * (cellAt[3 * c + 2] + 0.5)
      while (layer > 0 && faceZ[layer] > z) layer--
      while (layer + 1 < values.length && faceZ[layer + 1] <= z) layer++
      ofCell[c] = values[layer]
    }
    array(name, ofCell, 1)
  }
  write('</CellData>\n<Points>\n')
  const points = new Float32Array(3 * nNodes)
  for (let i = 0; i < points.length; i++) points[i] = origin[i % 3] + cellMm * nodeAt[i]
  array('Points', points, 3)
  write('</Points>\n<Cells>\n')
  const corners = new Int32Array(8 * nCells)
  const ends = new Int32Array(nCells)
  for (let c = 0; c < nCells; c++) {
    const [a, b, d, e] = cellNode.subarray(4 * c, 4 * c + 4)
    // Round the lower face, then round the upper one.
    corners.set([a, a + 1, b + 1, b, d, d + 1, e + 1, e], 8 * c)
    ends[c] = 8 * (c + 1)
  }
  array('connectivity', corners, 1)
  array('offsets', ends, 1)
  // 12 is the hexahedron.
  array('types', new Uint8Array(nCells).fill(12), 1)
  write('</Cells>\n</Piece>\n</UnstructuredGrid>\n</VTKFile>\n')
  const whole = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}

const loadWords = (name: string, { load }: FieldAnswer): string =>
  name.startsWith('fall') ? name : `${name} by ${Number(Math.hypot(...load.forceN).toPrecision(2))} N`
