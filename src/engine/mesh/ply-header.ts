// The header of a PLY file: elements, their properties and where the data begins.

import type { Outcome } from '../kernel/index.ts'
import { good } from '../kernel/index.ts'
import { failedAtLine } from './raw-mesh.ts'
import { TextScanner } from './text-scanner.ts'

/** Bytes of each scalar type, by both families of names. */
export const PLY_SIZES: Readonly<Record<string, number>> = {
  char: 1,
  int8: 1,
  uchar: 1,
  uint8: 1,
  short: 2,
  int16: 2,
  ushort: 2,
  uint16: 2,
  int: 4,
  int32: 4,
  uint: 4,
  uint32: 4,
  float: 4,
  float32: 4,
  double: 8,
  float64: 8,
}

export interface PlyProperty {
  readonly name: string
  readonly type: string
  /** Type of the count in front of a list, null for a single number. */
  readonly countType: string | null
}

export interface PlyElement {
  readonly name: string
  readonly count: number
  readonly properties: PlyProperty[]
}

export interface PlyHeader {
  readonly format: 'ascii' | 'binary_little_endian' | 'binary_big_endian'
  readonly elements: readonly PlyElement[]
  /** First byte and line of the data. */
  readonly dataAt: number
  readonly dataLine: number
}

const MOST_HEADER_LINES = 10_000

/** Reads the header. */
export const readPlyHeader = (bytes: Uint8Array): Outcome<PlyHeader> => {
  const scanner = new TextScanner(bytes)
  let format: PlyHeader['format'] | null = null
  const elements: PlyElement[] = []
  for (let n = 0; n < MOST_HEADER_LINES && !scanner.isAtEnd; n++) {
    const line = scanner.line
    const stop = (sentence: string) => failedAtLine('mesh/ply-header', line, sentence)
    const words = scanner.restOfLine().split(/\s+/)
    const [key] = words
    if (line === 1) {
      if (key !== 'ply') return stop('expected "ply".')
    } else if (key === 'format') {
      const [, form, version] = words
      if (form !== 'ascii' && form !== 'binary_little_endian' && form !== 'binary_big_endian') {
        return stop(`expected "ascii", "binary_little_endian" or "binary_big_endian", found "${shown(form)}".`)
      }
      if (version !== '1.0') return stop(`expected version 1.0 of the format, found "${shown(version)}".`)
      format = form
    } else if (key === 'element') {
      const count = Number(words[2])
      if (words.length !== 3 || !Number.isInteger(count) || count < 0) return stop('expected "element NAME COUNT".')
      elements.push({ name: words[1], count, properties: [] })
    } else if (key === 'property') {
      const isList = words[1] === 'list'
      const type = words[isList ? 3 : 1]
      const countType = isList ? words[2] : null
      const name = words[isList ? 4 : 2]
      if (elements.length === 0) return stop('a property stands before any element.')
      const isKnown = Object.hasOwn(PLY_SIZES, type ?? '') && (!isList || Object.hasOwn(PLY_SIZES, countType ?? ''))
      if (!isKnown || !name) {
        return stop(
          'expected "property TYPE NAME" or "property list TYPE TYPE NAME" with types such as uchar, int, float.',
        )
      }
      elements[elements.length - 1].properties.push({ name, type, countType })
    } else if (key === 'end_header') {
      if (!format) return stop('expected a line "format ..." before the end of the header.')
      return good({ format, elements, dataAt: scanner.at, dataLine: scanner.line })
    } else if (key !== 'comment' && key !== 'obj_info' && key !== '') {
      return stop(`expected "element", "property", "comment" or "end_header", found "${shown(key)}".`)
    }
  }
  return failedAtLine('mesh/ply-header', scanner.line, 'the file ends inside its header; expected "end_header".')
}

const shown = (word: string | undefined): string => (word ?? '').slice(0, 24)
