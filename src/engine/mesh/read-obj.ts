// OBJ: vertices and polygonal faces. Lines, curves, colours, materials and textures are passed over.

import { breathe, failed, good } from '../kernel/index.ts'
import { GrowingDoubles, GrowingIndices } from './growing.ts'
import { addPolygon } from './polygon-fans.ts'
import { failedAtLine, type Reader, tooManyTriangles } from './raw-mesh.ts'
import { numberIn, TextScanner } from './text-scanner.ts'

const BATCH = 50_000

/** Reads OBJ. Faces may count vertices from the front (from 1) or back from the last one (from -1). */
export const readObj: Reader = async (bytes, limits, task) => {
  const scanner = new TextScanner(bytes)
  const vertices = new GrowingDoubles()
  /** Corners of all faces, and where each face begins; cut into triangles at the end, since a face may name later vertices. */
  const corners = new GrowingIndices()
  const faceStart = new GrowingIndices()
  const faceLine = new GrowingIndices()
  let name = ''
  let nRows = 0
  let nTriangles = 0
  while (scanner.word()) {
    if (++nRows % BATCH === 0) {
      task?.onProgress?.((0.8 * scanner.at) / bytes.length, 'reading lines')
      await breathe(task)
    }
    const line = scanner.line
    if (scanner.is('v')) {
      for (let k = 0; k < 3; k++) {
        const value = wordOfStatement(scanner) ? scanner.number() : Number.NaN
        if (Number.isNaN(value)) {
          const found = scanner.end > scanner.start ? `"${scanner.shown()}"` : 'the end of the line'
          return failedAtLine('mesh/not-a-number', scanner.line, `expected three numbers after "v", found ${found}.`)
        }
        vertices.push(value)
      }
    } else if (scanner.is('f')) {
      const first = corners.length
      while (wordOfStatement(scanner)) {
        // Only the first of v/vt/vn matters.
        let end = scanner.start
        while (end < scanner.end && bytes[end] !== 47) end++
        const index = numberIn(bytes, scanner.start, end)
        const nVertices = vertices.length / 3
        const vertex = index < 0 ? nVertices + index : index - 1
        if (!Number.isInteger(index) || index === 0 || vertex < 0 || vertex > 0xfffffffe) {
          return failedAtLine(
            'mesh/bad-index',
            scanner.line,
            `expected a vertex number from 1 up or from -${nVertices} to -1, found "${scanner.shown()}".`,
          )
        }
        corners.push(vertex)
      }
      if (corners.length - first < 3) {
        return failedAtLine(
          'mesh/short-face',
          line,
          `expected at least three corners after "f", found ${corners.length - first}.`,
        )
      }
      faceStart.push(first)
      faceLine.push(line)
      nTriangles += corners.length - first - 2
      if (nTriangles > limits.maxTriangles) return tooManyTriangles(limits, { line })
    } else if (scanner.is('o') && !name) {
      name = scanner.restOfLine().slice(0, 80)
      continue
    }
    scanner.skipLine()
  }
  if (faceStart.length === 0) {
    return failed('mesh/no-faces', 'The OBJ file has no faces; expected lines that begin with "f".')
  }
  const positions = vertices.take()
  const all = corners.take()
  const starts = faceStart.take()
  const lines = faceLine.take()
  const nVertices = positions.length / 3
  const triangles = new GrowingIndices()
  for (let f = 0; f < starts.length; f++) {
    if (f % BATCH === 0) {
      task?.onProgress?.(0.8 + (0.2 * f) / starts.length, 'cutting faces')
      await breathe(task)
    }
    const to = f + 1 < starts.length ? starts[f + 1] : all.length
    const face: number[] = []
    for (let i = starts[f]; i < to; i++) {
      if (all[i] >= nVertices) {
        return failedAtLine(
          'mesh/bad-index',
          lines[f],
          `a face names vertex ${all[i] + 1}, but the file has ${nVertices}.`,
        )
      }
      face.push(all[i])
    }
    addPolygon(positions, face, triangles)
  }
  return good({ positions, triangles: triangles.take(), unit: null, name })
}

/** Next word of this statement: a backslash at a line's end carries it on, a hash sign ends it. */
const wordOfStatement = (scanner: TextScanner): boolean => {
  while (scanner.wordOnLine()) {
    const c = scanner.bytes[scanner.start]
    if (c === 92 && scanner.end - scanner.start === 1) {
      scanner.skipLine()
      continue
    }
    if (c === 35) {
      scanner.start = scanner.end
      return false
    }
    return true
  }
  return false
}
