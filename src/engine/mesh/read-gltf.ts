// glTF and GLB: triangles of all meshes of the scene, each under its node's transform. Metres, y up; turned here so that z is up.
// Own reader instead of a library: it needs no platform, checks every bound before it allocates, and fetches nothing.

import { breathe, failed, good, type Issue, type Outcome } from '../kernel/index.ts'
import {
  type Accessors,
  accessorsOf,
  type Json,
  type JsonObject,
  listAt,
  objectAt,
  unsupportedIn,
} from './gltf-document.ts'
import { GrowingDoubles, GrowingIndices } from './growing.ts'
import { type Matrix, matrixOfNode, product, Z_UP } from './node-matrix.ts'
import { failedAtByte, type Reader, tooManyTriangles } from './raw-mesh.ts'

const MOST_NODES = 1_000_000
const JSON_CHUNK = 0x4e4f534a
const BINARY_CHUNK = 0x004e4942

/** Reads a GLB container. */
export const readGlb: Reader = async (bytes, limits, task) => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (bytes.length < 20)
    return failedAtByte('mesh/short-file', bytes.length, 'the file ends inside the header of a GLB.')
  const version = view.getUint32(4, true)
  if (version !== 2) return failedAtByte('mesh/gltf-version', 4, `expected version 2 of GLB, found ${version}.`)
  let json: Uint8Array | null = null
  let binary: Uint8Array | null = null
  let at = 12
  while (at + 8 <= bytes.length) {
    const length = view.getUint32(at, true)
    const type = view.getUint32(at + 4, true)
    if (at + 8 + length > bytes.length) {
      return failedAtByte(
        'mesh/short-file',
        bytes.length,
        `the GLB ends inside a chunk of ${length} bytes that begins at byte ${at}; it seems cut off.`,
      )
    }
    if (type === JSON_CHUNK) json ??= bytes.subarray(at + 8, at + 8 + length)
    else if (type === BINARY_CHUNK) binary ??= bytes.subarray(at + 8, at + 8 + length)
    at += 8 + length
  }
  if (!json) return failedAtByte('mesh/gltf-json', 12, 'expected a JSON chunk in the GLB.')
  return readDocument(json, binary, limits, task)
}

/** Reads a glTF document with its data inside. */
export const readGltf: Reader = (bytes, limits, task) => readDocument(bytes, null, limits, task)

const readDocument = async (
  json: Uint8Array,
  binary: Uint8Array | null,
  limits: Parameters<Reader>[1],
  task: Parameters<Reader>[2],
): ReturnType<Reader> => {
  let parsed: Json
  try {
    parsed = JSON.parse(new TextDecoder().decode(json))
  } catch (error) {
    const byte = Number(/position (\d+)/.exec(String(error))?.[1] ?? 0)
    return failed('mesh/gltf-json', `Byte ${byte} of the glTF's text: expected sound JSON.`, { byte })
  }
  const document = objectAt(parsed)
  const unsupported = unsupportedIn(document)
  if (unsupported) return unsupported
  const accessors = accessorsOf(document, binary, limits)
  const positions = new GrowingDoubles()
  const triangles = new GrowingIndices()
  const notes: Issue[] = []
  const nodes = listAt(document.nodes)
  const rounds = rootsOf(document, nodes).map((index) => ({ index, map: Z_UP, depth: 0 }))
  let nSeen = 0
  let name = ''
  while (rounds.length > 0) {
    const { index, map, depth } = rounds.pop() as { index: Json; map: Matrix; depth: number }
    const key = `nodes[${String(index)}]`
    const node = typeof index === 'number' ? nodes[index] : undefined
    if (node === undefined) return failed('mesh/gltf-node', `The glTF's ${key} does not exist.`, { key })
    if (++nSeen > MOST_NODES || depth > nodes.length)
      return failed('mesh/gltf-node', "The glTF's nodes contain each other.", { key })
    const { mesh, children, skin } = objectAt(node)
    const own = matrixOfNode(objectAt(node))
    if (!own) return failed('mesh/gltf-node', `The glTF's ${key} has a transform that is not well formed.`, { key })
    const here = product(map, own)
    if (mesh !== undefined) {
      if (skin !== undefined && notes.length === 0) {
        notes.push({
          code: 'mesh/skin',
          message:
            'The figure is bent by a skeleton, which is not followed: it was read in the pose it was modelled in.',
        })
      }
      const given = typeof mesh === 'number' ? listAt(document.meshes)[mesh] : undefined
      if (given === undefined)
        return failed('mesh/gltf-mesh', `The glTF's ${key} names a mesh that does not exist.`, { key })
      const { primitives, name: meshName } = objectAt(given)
      if (!name && typeof meshName === 'string') name = meshName.slice(0, 80)
      for (const primitive of listAt(primitives)) {
        const trouble = addPrimitive(
          objectAt(primitive),
          accessors,
          skin === undefined ? here : Z_UP,
          positions,
          triangles,
        )
        if (trouble) return trouble
        if (triangles.length > 3 * limits.maxTriangles || positions.length > 9 * limits.maxTriangles)
          return tooManyTriangles(limits)
        await breathe(task)
      }
    }
    for (const child of listAt(children)) rounds.push({ index: child, map: here, depth: depth + 1 })
    if (rounds.length > MOST_NODES) return failed('mesh/gltf-node', "The glTF's nodes contain each other.", { key })
  }
  const held = positions.take()
  if (triangles.length === 0) return failed('mesh/no-faces', 'The glTF holds no triangles.')
  if (!held.every(Number.isFinite))
    return failed('mesh/not-a-number', 'The glTF holds a coordinate that is not a finite number.')
  return good({ positions: held, triangles: triangles.take(), unit: 'm', name }, notes)
}

/** Roots of the scene that is shown; without scenes, all nodes that are no child. */
const rootsOf = (document: JsonObject, nodes: Json[]): Json[] => {
  const scenes = listAt(document.scenes)
  const shown = typeof document.scene === 'number' ? scenes[document.scene] : scenes[0]
  if (shown !== undefined) return listAt(objectAt(shown).nodes)
  const children = new Set(nodes.flatMap((node) => listAt(objectAt(node).children)))
  return nodes.map((_, i) => i).filter((i) => !children.has(i))
}

const TRIANGLES = 4
const STRIP = 5
const FAN = 6

const addPrimitive = (
  primitive: JsonObject,
  accessors: Accessors,
  map: Matrix,
  positions: GrowingDoubles,
  triangles: GrowingIndices,
): Outcome<never> | null => {
  const mode = primitive.mode ?? TRIANGLES
  // Points and lines have no body.
  if (mode !== TRIANGLES && mode !== STRIP && mode !== FAN) return null
  const place = accessors.read(objectAt(primitive.attributes).POSITION, 3, 'positions')
  if (!place.ok) return place
  const p = place.value
  const nVertices = p.length / 3
  let index: Float64Array | null = null
  if (primitive.indices !== undefined) {
    const read = accessors.read(primitive.indices, 1, 'indices')
    if (!read.ok) return read
    index = read.value
    const bad = index.find((v) => !(v < nVertices))
    if (bad !== undefined) {
      return failed(
        'mesh/bad-index',
        `A triangle of the glTF names vertex ${bad}, but there are ${nVertices} (numbered from 0).`,
        {
          key: `accessors[${String(primitive.indices)}]`,
        },
      )
    }
  }
  const first = positions.length / 3
  for (let v = 0; v < p.length; v += 3) {
    for (let k = 0; k < 3; k++) {
      positions.push(map[k] * p[v] + map[4 + k] * p[v + 1] + map[8 + k] * p[v + 2] + map[12 + k])
    }
  }
  const [a, b, c, , d, e, f, , g, h, i] = map
  const isMirror = a * (e * i - f * h) - d * (b * i - c * h) + g * (b * f - c * e) < 0
  const n = index ? index.length : nVertices
  const step = mode === TRIANGLES ? 3 : 1
  for (let t = 0; t + 2 < n; t += step) {
    const isOdd = mode === STRIP && t % 2 === 1
    const corner = [mode === FAN ? 0 : t, t + 1, t + 2].map((at) => first + (index ? index[at] : at))
    const isTurned = isOdd !== isMirror
    triangles.push(corner[0])
    triangles.push(corner[isTurned ? 2 : 1])
    triangles.push(corner[isTurned ? 1 : 2])
  }
  return null
}
