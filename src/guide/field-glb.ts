// The figure's surface with one quantity of the whole field as vertex colour, as binary glTF 2.0 (ISO/IEC 12113).
//
// The numbers themselves stand beside the colours in an attribute of their own; what is not known is grey and NaN there is -1. glTF is in
// metres with y up, so the node turns and shrinks the millimetres.

import type { Mesh } from '../engine/mesh/index.ts'
import { cividisBytes } from '../picture/index.ts'

/** A number per vertex, and the range that the colours span. */
export interface SurfaceQuantity {
  readonly name: string
  readonly unit: string
  readonly values: Float32Array
  readonly from: number
  readonly to: number
}

/** What is not known. */
const GREY = 0.35

/** Light that a colour as written stands for (IEC 61966-2-1). */
const linear = (byte: number): number => {
  const c = byte / 255
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
}

const padded = (bytes: Uint8Array, fill: number): Uint8Array => {
  const out = new Uint8Array(4 * Math.ceil(bytes.length / 4)).fill(fill)
  out.set(bytes)
  return out
}

/** The file's bytes. */
export const fieldGlb = (mesh: Mesh, quantity: SurfaceQuantity, name: string): Uint8Array => {
  const { from, to, values } = quantity
  const n = mesh.positions.length / 3
  const positions = Float32Array.from(mesh.positions)
  const low = [Infinity, Infinity, Infinity]
  const high = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < positions.length; i++) {
    low[i % 3] = Math.min(low[i % 3], positions[i])
    high[i % 3] = Math.max(high[i % 3], positions[i])
  }
  const scale = cividisBytes()
  const colours = new Float32Array(3 * n)
  const numbers = new Float32Array(n)
  for (let v = 0; v < n; v++) {
    const known = !Number.isNaN(values[v])
    const share = Math.max(0, Math.min(1, (values[v] - from) / (to - from)))
    numbers[v] = known ? values[v] : -1
    for (let c = 0; c < 3; c++) colours[3 * v + c] = known ? linear(scale[4 * Math.round(255 * share) + c]) : GREY
  }
  const arrays = [positions, colours, numbers, Uint32Array.from(mesh.triangles)]
  const nBytes = arrays.reduce((sum, a) => sum + a.byteLength, 0)
  const binary = new Uint8Array(nBytes)
  const views: object[] = []
  let at = 0
  arrays.forEach((a, i) => {
    binary.set(new Uint8Array(a.buffer, a.byteOffset, a.byteLength), at)
    // 34962 vertices, 34963 indices.
    views.push({ buffer: 0, byteOffset: at, byteLength: a.byteLength, target: i === 3 ? 34_963 : 34_962 })
    at += a.byteLength
  })
  const FLOAT = 5126
  const document = {
    asset: { version: '2.0', generator: 'fettle' },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes: [{ mesh: 0, name, rotation: [-Math.SQRT1_2, 0, 0, Math.SQRT1_2], scale: [0.001, 0.001, 0.001] }],
    meshes: [
      {
        name,
        extras: { quantity: quantity.name, unit: quantity.unit, from, to, colours: 'cividis' },
        primitives: [{ attributes: { POSITION: 0, COLOR_0: 1, _QUANTITY: 2 }, indices: 3, material: 0 }],
      },
    ],
    materials: [{ doubleSided: true, pbrMetallicRoughness: { metallicFactor: 0, roughnessFactor: 1 } }],
    accessors: [
      { bufferView: 0, componentType: FLOAT, count: n, type: 'VEC3', min: low, max: high },
      { bufferView: 1, componentType: FLOAT, count: n, type: 'VEC3' },
      { bufferView: 2, componentType: FLOAT, count: n, type: 'SCALAR' },
      { bufferView: 3, componentType: 5125, count: mesh.triangles.length, type: 'SCALAR' },
    ],
    bufferViews: views,
    buffers: [{ byteLength: nBytes }],
  }
  const json = padded(new TextEncoder().encode(JSON.stringify(document)), 0x20)
  const body = padded(binary, 0)
  const out = new Uint8Array(28 + json.length + body.length)
  const words = new DataView(out.buffer)
  const header = [0x46546c67, 2, out.length, json.length, 0x4e4f534a]
  header.forEach((word, i) => {
    words.setUint32(4 * i, word, true)
  })
  out.set(json, 20)
  words.setUint32(20 + json.length, body.length, true)
  words.setUint32(24 + json.length, 0x004e4942, true)
  out.set(body, 28 + json.length)
  return out
}
