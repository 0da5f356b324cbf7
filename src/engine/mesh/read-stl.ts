// STL, binary and text.
// Binary: 80 bytes of header, a count, 50 bytes a triangle (normal, three corners, two spare bytes), little-endian.

import { breathe, good, type Issue } from '../kernel/index.ts'
import { GrowingDoubles } from './growing.ts'
import { failedAtByte, failedAtLine, type Reader, tooManyTriangles } from './raw-mesh.ts'
import { TextScanner } from './text-scanner.ts'

const HEADER = 84
const RECORD = 50
const BATCH = 100_000

/** Reads binary STL. The count in the header may lie, as long as the file ends with a whole triangle. */
export const readStlBinary: Reader = async (bytes, limits, task) => {
  if (bytes.length < HEADER) {
    return failedAtByte('mesh/short-file', bytes.length, 'the file ends inside the 84-byte header of a binary STL.')
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const stated = view.getUint32(80, true)
  const rest = bytes.length - HEADER
  const whole = Math.floor(rest / RECORD)
  const notes: Issue[] = []
  let n = stated
  if (stated !== whole && rest === whole * RECORD) {
    n = whole
    notes.push({
      code: 'mesh/wrong-count',
      message: `The header states ${stated} triangles but the file holds ${whole}; all of them were read.`,
      place: { byte: 80 },
    })
  } else if (stated > whole) {
    return failedAtByte(
      'mesh/short-file',
      bytes.length,
      `the file ends inside triangle ${whole + 1} of the ${stated} that its header states; it seems cut off.`,
    )
  } else if (stated < whole || rest > stated * RECORD) {
    notes.push({
      code: 'mesh/trailing-bytes',
      message: `${rest - stated * RECORD} bytes after the last triangle were left out.`,
      place: { byte: HEADER + stated * RECORD },
    })
  }
  if (n > limits.maxTriangles) return tooManyTriangles(limits, { byte: 80 })
  const positions = new Float32Array(9 * n)
  let at = 0
  for (let t = 0; t < n; t++) {
    if (t % BATCH === 0) {
      task?.onProgress?.(t / n, 'reading triangles')
      await breathe(task)
    }
    const from = HEADER + RECORD * t + 12
    for (let k = 0; k < 9; k++) {
      const value = view.getFloat32(from + 4 * k, true)
      // Also true for NaN, which compares as false.
      if (!(value - value === 0)) {
        return failedAtByte(
          'mesh/not-a-number',
          from + 4 * k,
          `expected a finite coordinate of triangle ${t + 1}, found ${value}.`,
        )
      }
      positions[at++] = value
    }
  }
  return good({ positions, triangles: null, unit: null, name: '' }, notes)
}

/** Reads text STL. Only loops of vertices count; normals are reckoned from them. */
export const readStlText: Reader = async (bytes, limits, task) => {
  const scanner = new TextScanner(bytes)
  const positions = new GrowingDoubles()
  const notes: Issue[] = []
  let name = ''
  /** Corners of the loop that is open, as numbers; -1 when none is open. */
  let nInLoop = -1
  const corner = new Float64Array(9)
  let nextBreath = BATCH
  let hasEnd = false
  while (scanner.word()) {
    if (scanner.is('vertex')) {
      if (nInLoop < 0) nInLoop = 0
      // A loop of more than three corners is cut into a fan from its first one.
      const slot = nInLoop < 3 ? 3 * nInLoop : 6
      if (nInLoop >= 3) corner.copyWithin(3, 6, 9)
      for (let k = 0; k < 3; k++) {
        if (!scanner.word()) return endsInside(scanner, nInLoop, positions.length)
        const value = scanner.number()
        if (Number.isNaN(value)) {
          const what = `expected three numbers after "vertex", found "${scanner.shown()}".`
          return failedAtLine('mesh/not-a-number', scanner.line, what)
        }
        corner[slot + k] = value
      }
      nInLoop++
      if (nInLoop >= 3) {
        for (let k = 0; k < 9; k++) positions.push(corner[k])
        if (positions.length > 9 * limits.maxTriangles) return tooManyTriangles(limits, { line: scanner.line })
      }
      if (positions.length > nextBreath) {
        nextBreath += BATCH
        task?.onProgress?.(scanner.at / bytes.length, 'reading triangles')
        await breathe(task)
      }
    } else if (scanner.is('endloop') || scanner.is('endfacet')) {
      if (nInLoop >= 0 && nInLoop < 3) {
        return failedAtLine(
          'mesh/short-loop',
          scanner.line,
          `expected three vertices before "${scanner.shown()}", found ${nInLoop}.`,
        )
      }
      nInLoop = -1
    } else if (scanner.is('normal')) {
      // Three numbers that are not used; some writers put "nan" or leave them out.
      for (let k = 0; k < 3; k++) if (!scanner.wordOnLine()) break
    } else if (scanner.is('solid')) {
      const rest = scanner.restOfLine()
      if (!name) name = rest.slice(0, 80)
    } else if (scanner.is('endsolid')) {
      hasEnd = true
      scanner.skipLine()
    } else if (!(scanner.is('facet') || scanner.is('outer') || scanner.is('loop'))) {
      return failedAtLine(
        'mesh/unexpected-word',
        scanner.line,
        `expected "facet", "outer loop", "vertex", "endloop", "endfacet" or "endsolid", found "${scanner.shown()}".`,
      )
    }
  }
  if (nInLoop >= 0) return endsInside(scanner, nInLoop, positions.length)
  if (!hasEnd) {
    notes.push({
      code: 'mesh/no-end',
      message: 'The file ends without "endsolid"; it may have been cut off between two triangles.',
      place: { line: scanner.line },
    })
  }
  return good({ positions: positions.take(), triangles: null, unit: null, name }, notes)
}

const endsInside = (scanner: TextScanner, nInLoop: number, nNumbers: number) =>
  failedAtLine(
    'mesh/short-file',
    scanner.line,
    `the file ends inside triangle ${Math.floor(nNumbers / 9) + (nInLoop < 3 ? 1 : 0)}; it seems cut off.`,
  )
