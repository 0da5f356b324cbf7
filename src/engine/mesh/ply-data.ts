// The numbers of a PLY file one after another, whatever its form: text, little-endian or big-endian.

import type { PlyHeader } from './ply-header.ts'
import { PLY_SIZES } from './ply-header.ts'
import { TextScanner } from './text-scanner.ts'

/** Gives the numbers of the data in order. NaN means: no number there, or the end. */
export interface PlyData {
  next(type: string): number
  /** Passes n numbers of one type. */
  skip(type: string, n: number): void
  /** Bytes not read yet. */
  room(): number
  isText: boolean
  /** Place of the number read last: byte, or line in a text file. */
  place(): number
}

/** Numbers of a text file. */
const textData = (bytes: Uint8Array, header: PlyHeader): PlyData => {
  const scanner = new TextScanner(bytes)
  scanner.at = header.dataAt
  scanner.line = header.dataLine
  return {
    isText: true,
    next: () => (scanner.word() ? scanner.number() : Number.NaN),
    skip: (_type, n) => {
      for (let i = 0; i < n && scanner.word(); i++);
    },
    room: () => bytes.length - scanner.at,
    place: () => scanner.line,
  }
}

/** Numbers of a binary file. */
const binaryData = (bytes: Uint8Array, header: PlyHeader): PlyData => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const isLittle = header.format === 'binary_little_endian'
  let at = header.dataAt
  let last = at
  return {
    isText: false,
    next: (type) => {
      last = at
      const size = PLY_SIZES[type]
      if (at + size > bytes.length) return Number.NaN
      at += size
      switch (type) {
        case 'uchar':
        case 'uint8':
          return bytes[last]
        case 'float':
        case 'float32':
          return view.getFloat32(last, isLittle)
        case 'int':
        case 'int32':
          return view.getInt32(last, isLittle)
        case 'uint':
        case 'uint32':
          return view.getUint32(last, isLittle)
        case 'double':
        case 'float64':
          return view.getFloat64(last, isLittle)
        case 'short':
        case 'int16':
          return view.getInt16(last, isLittle)
        case 'ushort':
        case 'uint16':
          return view.getUint16(last, isLittle)
        default:
          return view.getInt8(last)
      }
    },
    skip: (type, n) => {
      last = at
      at = Math.min(bytes.length, at + n * PLY_SIZES[type])
    },
    room: () => bytes.length - at,
    place: () => last,
  }
}

/** The data of a file with this header. */
export const plyData = (bytes: Uint8Array, header: PlyHeader): PlyData =>
  header.format === 'ascii' ? textData(bytes, header) : binaryData(bytes, header)
