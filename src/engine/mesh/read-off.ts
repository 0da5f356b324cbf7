// OFF: counts, vertices, polygons. Colours, normals and texture places after the coordinates are passed over.

import { breathe, good } from '../kernel/index.ts'
import { GrowingIndices } from './growing.ts'
import { addPolygon } from './polygon-fans.ts'
import { failedAtLine, type Reader, tooManyTriangles } from './raw-mesh.ts'
import { TextScanner } from './text-scanner.ts'

const BATCH = 50_000

/** Reads OFF in text form, with or without the prefixes ST, C and N. */
export const readOff: Reader = async (bytes, limits, task) => {
  const scanner = new TextScanner(bytes)
  const next = (): boolean => {
    while (scanner.word()) {
      if (bytes[scanner.start] !== 35) return true
      scanner.at = scanner.start
      scanner.skipLine()
    }
    return false
  }
  const stop = (expected: string) => {
    const found = scanner.end > scanner.start ? `"${scanner.shown()}"` : 'the end of the file'
    return failedAtLine('mesh/off', scanner.line, `expected ${expected}, found ${found}.`)
  }
  if (!next() || !/^(ST)?C?N?OFF$/.test(scanner.text())) return stop('the word OFF (in three dimensions)')
  const counts: number[] = []
  for (const what of ['vertices', 'faces', 'edges']) {
    if (!next()) return stop(`the number of ${what}`)
    const value = scanner.number()
    if (!Number.isInteger(value) || value < 0) return stop(`the number of ${what}`)
    counts.push(value)
  }
  const [nVertices, nFaces] = counts
  const room = bytes.length - scanner.at
  // "0 0 0" and a line end are the shortest vertex, "3 0 0 0" the shortest face: a count beyond that lies.
  if (6 * nVertices + 8 * nFaces > room + 8) {
    const what = `the file states ${nVertices} vertices and ${nFaces} faces but only ${room} bytes follow; it seems cut off.`
    return failedAtLine('mesh/short-file', scanner.line, what)
  }
  if (nFaces > limits.maxTriangles) return tooManyTriangles(limits, { line: scanner.line })
  const positions = new Float64Array(3 * nVertices)
  for (let v = 0; v < nVertices; v++) {
    if (v % BATCH === 0) await breathe(task)
    for (let k = 0; k < 3; k++) {
      if (!next()) return stop(`coordinate ${k + 1} of vertex ${v}`)
      const value = scanner.number()
      if (Number.isNaN(value)) return stop(`coordinate ${k + 1} of vertex ${v}`)
      positions[3 * v + k] = value
    }
    scanner.skipLine()
  }
  const triangles = new GrowingIndices()
  for (let f = 0; f < nFaces; f++) {
    if (f % BATCH === 0) {
      task?.onProgress?.(scanner.at / bytes.length, 'reading faces')
      await breathe(task)
    }
    const n = next() ? scanner.number() : Number.NaN
    if (!Number.isInteger(n) || n < 0 || 2 * n > bytes.length - scanner.at + 1)
      return stop(`the number of corners of face ${f}`)
    const face: number[] = []
    for (let k = 0; k < n; k++) {
      const v = next() ? scanner.number() : Number.NaN
      if (!Number.isInteger(v) || v < 0 || v >= nVertices)
        return stop(`a vertex number from 0 to ${nVertices - 1} in face ${f}`)
      face.push(v)
    }
    addPolygon(positions, face, triangles)
    if (triangles.length > 3 * limits.maxTriangles) return tooManyTriangles(limits, { line: scanner.line })
    scanner.skipLine()
  }
  return good({ positions, triangles: triangles.take(), unit: null, name: '' })
}
