// The parts of a glTF 2.0 document that carry shape: checked access to buffers, accessors, nodes.
// Source: glTF 2.0 Specification (Khronos, ISO/IEC 12113:2022).

import { failed, good, type Outcome } from '../kernel/index.ts'
import { base64Bytes } from './base64.ts'
import { tooManyTriangles } from './raw-mesh.ts'
import type { ReadLimits } from './read-limits.ts'

/** A value of a JSON document whose form is not known yet. */
export type Json = null | boolean | number | string | Json[] | { readonly [key: string]: Json }
export type JsonObject = { readonly [key: string]: Json }

export const objectAt = (value: Json | undefined): JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? value : {}
export const listAt = (value: Json | undefined): Json[] => (Array.isArray(value) ? value : [])

/** Extensions that a document may require and that are either followed here or change no shape. */
const FOLLOWED =
  /^(KHR_mesh_quantization|KHR_materials_.*|KHR_texture_.*|KHR_lights_punctual|KHR_xmp.*|EXT_texture_.*)$/

const COMPRESSED = /draco|meshopt/i

/** Null, or why the document cannot be read. */
export const unsupportedIn = (document: JsonObject): Outcome<never> | null => {
  const version = objectAt(document.asset).version
  if (typeof version !== 'string' || !/^2\./.test(version)) {
    return failed('mesh/gltf-version', `The glTF states version "${String(version).slice(0, 24)}"; expected 2.x.`, {
      key: 'asset.version',
    })
  }
  for (const name of listAt(document.extensionsRequired)) {
    if (typeof name !== 'string' || FOLLOWED.test(name)) continue
    const why = COMPRESSED.test(name) ? 'compressed geometry' : 'an extension'
    return failed(
      'mesh/unsupported-extension',
      `The glTF needs ${why} (${name.slice(0, 60)}), which is not read; save it without it.`,
      { key: 'extensionsRequired' },
    )
  }
  return null
}

/** Reads accessors of one document; buffers are opened once. */
export interface Accessors {
  /** Numbers of accessor `index`, `size` per element, integers made fractions when the accessor says so. */
  read(index: Json | undefined, size: 1 | 3, what: string): Outcome<Float64Array>
}

const COMPONENT_BYTES: Readonly<Record<number, number>> = { 5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4 }
const FULL: Readonly<Record<number, number>> = { 5120: 127, 5121: 255, 5122: 32767, 5123: 65535 }

/** Accessors of a document. `binary` is the chunk of a GLB that stands for its first buffer, null for none. */
export const accessorsOf = (document: JsonObject, binary: Uint8Array | null, limits: ReadLimits): Accessors => {
  const mostElements = 3 * limits.maxTriangles
  const buffers = new Map<number, Outcome<Uint8Array>>()
  const buffer = (index: number): Outcome<Uint8Array> => {
    const known = buffers.get(index)
    if (known) return known
    const opened = openBuffer(index)
    buffers.set(index, opened)
    return opened
  }
  const openBuffer = (index: number): Outcome<Uint8Array> => {
    const key = `buffers[${index}]`
    const uri = objectAt(listAt(document.buffers)[index]).uri
    if (uri === undefined) {
      return index === 0 && binary
        ? good(binary)
        : failed('mesh/gltf-buffer', `The glTF's ${key} has no data.`, { key })
    }
    if (typeof uri !== 'string' || !uri.startsWith('data:')) {
      return failed(
        'mesh/gltf-external',
        `The glTF keeps its data in another file ("${String(uri).slice(0, 60)}"), which is not fetched; save it as one file (GLB).`,
        { key },
      )
    }
    const comma = uri.indexOf(',')
    const bytes = /;base64$/.test(uri.slice(0, Math.max(0, comma))) ? base64Bytes(uri.slice(comma + 1)) : null
    return bytes ? good(bytes) : failed('mesh/gltf-buffer', `Expected base64 data in the glTF's ${key}.`, { key })
  }
  /** Numbers at a view; checks every bound before it makes an array. */
  const numbers = (
    viewIndex: Json | undefined,
    offset: Json | undefined,
    type: number,
    count: number,
    size: number,
    isNormalized: boolean,
    key: string,
  ): Outcome<Float64Array> => {
    const bad = (what: string) => failed('mesh/gltf-accessor', `The glTF's ${key} ${what}.`, { key })
    const view = typeof viewIndex === 'number' ? listAt(document.bufferViews)[viewIndex] : undefined
    if (view === undefined) return bad('names no buffer view')
    const { buffer: bufferIndex, byteOffset = 0, byteLength, byteStride = 0, extensions } = objectAt(view)
    if (Object.keys(objectAt(extensions)).some((name) => COMPRESSED.test(name)) && typeof bufferIndex !== 'number') {
      return bad('is compressed, which is not read')
    }
    if (typeof bufferIndex !== 'number') return bad('names no buffer')
    const opened = buffer(bufferIndex)
    if (!opened.ok) return opened
    const bytes = opened.value
    const itemBytes = COMPONENT_BYTES[type] * size
    const stride = byteStride === 0 ? itemBytes : byteStride
    const from = [offset ?? 0, byteOffset, byteLength, stride]
    if (!from.every((n) => typeof n === 'number' && Number.isInteger(n) && n >= 0))
      return bad('has an offset, length or stride that is no whole number')
    const [inView, viewAt, viewLength, step] = from as number[]
    if (step < itemBytes) return bad('has a stride shorter than its elements')
    const needed = count === 0 ? 0 : (count - 1) * step + itemBytes
    if (viewAt + viewLength > bytes.length || inView + needed > viewLength)
      return bad(`reaches past the end of its data (${bytes.length} bytes)`)
    const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    const out = new Float64Array(count * size)
    const scale = isNormalized && FULL[type] ? 1 / FULL[type] : 1
    for (let i = 0, to = 0; i < count; i++) {
      let at = viewAt + inView + i * step
      for (let k = 0; k < size; k++, at += COMPONENT_BYTES[type]) {
        let value: number
        if (type === 5126) value = data.getFloat32(at, true)
        else if (type === 5125) value = data.getUint32(at, true)
        else if (type === 5123) value = data.getUint16(at, true)
        else if (type === 5121) value = data.getUint8(at)
        else if (type === 5122) value = data.getInt16(at, true)
        else value = data.getInt8(at)
        out[to++] = scale === 1 ? value : Math.max(value * scale, -1)
      }
    }
    return good(out)
  }
  return {
    read: (index, size, what) => {
      const key = `accessors[${String(index)}]`
      const bad = (sentence: string) =>
        failed('mesh/gltf-accessor', `The glTF's ${key} (${what}) ${sentence}.`, { key })
      const given = typeof index === 'number' ? listAt(document.accessors)[index] : undefined
      if (given === undefined) return bad('does not exist')
      const { bufferView, byteOffset, componentType, count, type, normalized, sparse } = objectAt(given)
      if (type !== (size === 3 ? 'VEC3' : 'SCALAR'))
        return bad(`has type "${String(type).slice(0, 12)}"; expected ${size === 3 ? 'VEC3' : 'SCALAR'}`)
      if (typeof componentType !== 'number' || !COMPONENT_BYTES[componentType])
        return bad('has an unknown component type')
      if (typeof count !== 'number' || !Number.isInteger(count) || count < 0) return bad('has a count out of range')
      if (count > mostElements) return tooManyTriangles(limits, { key })
      const base =
        bufferView === undefined
          ? good(new Float64Array(sparse === undefined ? 0 : count * size))
          : numbers(bufferView, byteOffset, componentType, count, size, normalized === true, key)
      if (!base.ok) return base
      if (base.value.length !== count * size)
        return bad('has no data (its geometry may be compressed, which is not read)')
      if (sparse === undefined) return base
      const { count: nSparse, indices, values } = objectAt(sparse)
      const where = objectAt(indices)
      const what2 = objectAt(values)
      if (typeof nSparse !== 'number' || !Number.isInteger(nSparse) || nSparse < 0 || nSparse > count)
        return bad('has a sparse count out of range')
      if (typeof where.componentType !== 'number' || !COMPONENT_BYTES[where.componentType])
        return bad('has sparse indices of unknown type')
      const at = numbers(where.bufferView, where.byteOffset, where.componentType, nSparse, 1, false, key)
      if (!at.ok) return at
      const to = numbers(what2.bufferView, what2.byteOffset, componentType, nSparse, size, normalized === true, key)
      if (!to.ok) return to
      for (let i = 0; i < nSparse; i++) {
        if (!(at.value[i] < count)) return bad('has a sparse index out of range')
        base.value.set(to.value.subarray(i * size, i * size + size), at.value[i] * size)
      }
      return base
    },
  }
}
