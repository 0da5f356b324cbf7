// Reads a mesh file of any known format and prepares its mesh.

import { breathe, failed, good, type Outcome, partOf, type Task } from '../kernel/index.ts'
import { contentHash } from './content-hash.ts'
import { prepareMesh } from './prepare-mesh.ts'
import type { Reader } from './raw-mesh.ts'
import { readThreeMf } from './read-3mf.ts'
import { readGlb, readGltf } from './read-gltf.ts'
import { READ_LIMITS, type ReadLimits } from './read-limits.ts'
import { readObj } from './read-obj.ts'
import { readOff } from './read-off.ts'
import { readPly } from './read-ply.ts'
import { readStlBinary, readStlText } from './read-stl.ts'
import { tellFormat } from './tell-format.ts'
import type { MeshFormat, Sculpt } from './types.ts'

/** How to read. */
export interface ReadOptions {
  /** Name of the file; its folder and ending are left out of the sculpt's name. */
  readonly name: string
  /** Limits other than READ_LIMITS. */
  readonly limits?: Partial<ReadLimits>
}

const READERS: Readonly<Record<MeshFormat, Reader>> = {
  'stl-binary': readStlBinary,
  'stl-text': readStlText,
  obj: readObj,
  ply: readPly,
  off: readOff,
  '3mf': readThreeMf,
  gltf: readGltf,
  glb: readGlb,
}

/**
 * Reads a sculpt. The format is told by the content. Never throws on any content: what cannot be read is an issue with a code
 * "mesh/..." and a place (byte, line or key).
 * @param bytes the whole file; not changed
 */
export const readSculpt = async (bytes: Uint8Array, options: ReadOptions, task?: Task): Promise<Outcome<Sculpt>> => {
  const limits: ReadLimits = { ...READ_LIMITS, ...options.limits }
  if (bytes.length === 0) return failed('mesh/empty-file', 'The file is empty; expected a mesh.', { byte: 0 })
  if (bytes.length > limits.maxBytes) {
    return failed('mesh/too-large', `The file has ${bytes.length} bytes; at most ${limits.maxBytes} are read.`)
  }
  const format = tellFormat(bytes)
  if (!format) {
    return failed(
      'mesh/unknown-format',
      'Byte 0: expected the beginning of an STL, OBJ, PLY, OFF, 3MF, glTF or GLB file, found something else.',
      { byte: 0 },
    )
  }
  const read = await READERS[format](bytes, limits, partOf(task, 0, 0.6))
  if (!read.ok) return read
  await breathe(task)
  task?.onProgress?.(0.6, 'joining triangles')
  const { mesh, health } = prepareMesh(read.value.positions, read.value.triangles)
  await breathe(task)
  if (health.nTriangles === 0) {
    return failed('mesh/no-faces', 'The file holds no triangle with an area; expected the surface of a solid.')
  }
  task?.onProgress?.(0.95, 'naming the content')
  const hash = contentHash(bytes)
  task?.onProgress?.(1, 'read')
  const name =
    options.name.replace(/^.*[/\\]/, '').replace(/(?<=.)\.[A-Za-z0-9]{1,5}$/, '') || read.value.name || 'sculpt'
  return good({ kind: 'sculpt', name, format, mesh, statedUnit: read.value.unit, health, hash }, read.notes)
}
