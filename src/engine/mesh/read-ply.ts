// PLY, text and binary of both byte orders: vertices, polygon lists and triangle strips. All other elements are passed over.

import { breathe, failed, good, type Outcome, type Task } from '../kernel/index.ts'
import { GrowingIndices } from './growing.ts'
import { type PlyData, plyData } from './ply-data.ts'
import { PLY_SIZES, type PlyElement, readPlyHeader } from './ply-header.ts'
import { addPolygon } from './polygon-fans.ts'
import { failedAtByte, failedAtLine, type RawMesh, type Reader, tooManyTriangles } from './raw-mesh.ts'
import type { ReadLimits } from './read-limits.ts'

const BATCH = 50_000

/** Reads PLY. */
export const readPly: Reader = async (bytes, limits, task) => {
  const parsed = readPlyHeader(bytes)
  if (!parsed.ok) return parsed
  const header = parsed.value
  const data = plyData(bytes, header)
  const vertexElement = header.elements.find((element) => element.name === 'vertex')
  if (!vertexElement) return failed('mesh/ply-header', 'The PLY header has no element "vertex".')
  let positions: Float64Array | null = null
  const lists: FaceLists = { corners: new GrowingIndices(), start: new GrowingIndices(), isStrip: new GrowingIndices() }
  for (const element of header.elements) {
    const least = leastBytes(element, data.isText)
    if (element.count * least > data.room() + 1) {
      return stop(
        data,
        'mesh/short-file',
        `the header states ${element.count} of "${element.name.slice(0, 24)}" but only ${data.room()} bytes follow; the file seems cut off.`,
        bytes.length,
      )
    }
    if (least === 0) continue
    if (element === vertexElement) {
      const read = await readVertices(element, data, task)
      if (!read.ok) return read
      positions = read.value
    } else {
      const trouble = await readLists(element, data, lists, limits, task)
      if (trouble) return trouble
    }
  }
  if (!positions) return failed('mesh/no-faces', 'The PLY file has no vertices.')
  if (lists.start.length === 0) {
    return failed('mesh/no-faces', 'The PLY file has points but no faces; expected a list "vertex_indices".')
  }
  return assemble(positions, lists, limits)
}

interface FaceLists {
  /** Vertices of all faces and strips; 0xffffffff ends a strip and begins another. */
  readonly corners: GrowingIndices
  readonly start: GrowingIndices
  readonly isStrip: GrowingIndices
}

const STRIP_BREAK = 0xffffffff

/** Fewest bytes that one row can take. */
const leastBytes = ({ properties }: PlyElement, isText: boolean): number => {
  if (isText) return 2 * properties.length
  let sum = 0
  for (const { type, countType } of properties) sum += PLY_SIZES[countType ?? type]
  return sum
}

const stop = (data: PlyData, code: string, sentence: string, byte?: number): Outcome<never> =>
  data.isText ? failedAtLine(code, data.place(), sentence) : failedAtByte(code, byte ?? data.place(), sentence)

const readVertices = async (element: PlyElement, data: PlyData, task?: Task): Promise<Outcome<Float64Array>> => {
  const axes = element.properties.map(({ name, countType }) => (countType ? -1 : ['x', 'y', 'z'].indexOf(name)))
  if (![0, 1, 2].every((axis) => axes.includes(axis))) {
    return failed('mesh/ply-header', 'The PLY element "vertex" lacks one of the properties x, y, z.')
  }
  const positions = new Float64Array(3 * element.count)
  for (let v = 0; v < element.count; v++) {
    if (v % BATCH === 0) {
      task?.onProgress?.((0.5 * v) / element.count, 'reading vertices')
      await breathe(task)
    }
    for (let k = 0; k < axes.length; k++) {
      const { type, countType } = element.properties[k]
      if (countType) {
        const n = data.next(countType)
        if (!(n >= 0 && n <= data.room()))
          return stop(data, 'mesh/bad-list', `expected the length of a list in vertex ${v}.`)
        data.skip(type, n)
        continue
      }
      const value = data.next(type)
      if (axes[k] < 0) continue
      if (!Number.isFinite(value))
        return stop(data, 'mesh/not-a-number', `expected a finite coordinate of vertex ${v}.`)
      positions[3 * v + axes[k]] = value
    }
  }
  return good(positions)
}

const readLists = async (
  element: PlyElement,
  data: PlyData,
  lists: FaceLists,
  limits: ReadLimits,
  task?: Task,
): Promise<Outcome<never> | null> => {
  const { properties, name } = element
  const isStrip = name === 'tristrips' || name === 'tristrip'
  const isFaces = name === 'face' || isStrip
  for (let row = 0; row < element.count; row++) {
    if (row % BATCH === 0) {
      task?.onProgress?.(0.5 + (0.5 * row) / element.count, 'reading faces')
      await breathe(task)
    }
    for (const { type, countType, name: property } of properties) {
      if (!countType) {
        data.skip(type, 1)
        continue
      }
      const n = data.next(countType)
      const least = data.isText ? 2 : PLY_SIZES[type]
      if (!(Number.isInteger(n) && n >= 0 && n * least <= data.room() + 1)) {
        return stop(
          data,
          'mesh/bad-list',
          `expected the length of list "${property.slice(0, 24)}" in row ${row} of "${name.slice(0, 24)}".`,
        )
      }
      if (!isFaces || (property !== 'vertex_indices' && property !== 'vertex_index')) {
        data.skip(type, n)
        continue
      }
      lists.start.push(lists.corners.length)
      lists.isStrip.push(isStrip ? 1 : 0)
      for (let i = 0; i < n; i++) {
        const v = data.next(type)
        if (!Number.isInteger(v) || v >= STRIP_BREAK || (v < 0 && !(isStrip && v === -1))) {
          return stop(data, 'mesh/bad-index', `expected a vertex number in row ${row} of "${name}".`)
        }
        lists.corners.push(v < 0 ? STRIP_BREAK : v)
      }
      if (lists.corners.length > 8 * limits.maxTriangles) return tooManyTriangles(limits)
    }
  }
  return null
}

const assemble = (positions: Float64Array, lists: FaceLists, limits: ReadLimits): Outcome<RawMesh> => {
  const nVertices = positions.length / 3
  const corners = lists.corners.take()
  const starts = lists.start.take()
  const isStrip = lists.isStrip.take()
  const triangles = new GrowingIndices()
  for (let f = 0; f < starts.length; f++) {
    const to = f + 1 < starts.length ? starts[f + 1] : corners.length
    const from = starts[f]
    // Nearly all faces are plain triangles: no list is made for them.
    if (
      to - from === 3 &&
      !isStrip[f] &&
      corners[from] < nVertices &&
      corners[from + 1] < nVertices &&
      corners[from + 2] < nVertices
    ) {
      triangles.push(corners[from])
      triangles.push(corners[from + 1])
      triangles.push(corners[from + 2])
      continue
    }
    let face: number[] = []
    const finish = (): void => {
      if (!isStrip[f]) addPolygon(positions, face, triangles)
      else {
        for (let i = 0; i + 2 < face.length; i++) {
          triangles.push(face[i])
          triangles.push(face[i + 1 + (i % 2)])
          triangles.push(face[i + 2 - (i % 2)])
        }
      }
      face = []
    }
    for (let i = from; i < to; i++) {
      if (isStrip[f] && corners[i] === STRIP_BREAK) finish()
      else if (corners[i] >= nVertices) {
        return failed(
          'mesh/bad-index',
          `Face ${f} names vertex ${corners[i]}, but the PLY file has only ${nVertices} (numbered from 0).`,
          { key: `face ${f}` },
        )
      } else face.push(corners[i])
    }
    finish()
    if (triangles.length > 3 * limits.maxTriangles) return tooManyTriangles(limits)
  }
  return good({ positions, triangles: triangles.take(), unit: null, name: '' })
}
