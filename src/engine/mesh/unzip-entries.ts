// Opens a zip: lists its entries from the directory at its end, and unpacks one of them piece by piece within limits.
// Format: PKWARE APPNOTE 6.3 (end record, central directory, zip64 sizes). Only stored and deflated entries.

import { Inflate } from 'fflate'
import { breathe, good, type Outcome, type Task } from '../kernel/index.ts'
import { failedAtByte } from './raw-mesh.ts'
import type { ReadLimits } from './read-limits.ts'

export interface ZipEntry {
  /** Path without a leading slash. */
  readonly path: string
  readonly method: number
  readonly isEncrypted: boolean
  readonly packedBytes: number
  /** Byte of the entry's local header. */
  readonly headerAt: number
}

const END_RECORD = 0x06054b50
const CENTRAL = 0x02014b50
const LOCAL = 0x04034b50

/** Lists the entries. */
export const listZip = (bytes: Uint8Array): Outcome<ZipEntry[]> => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  let end = bytes.length - 22
  const stopAt = Math.max(0, end - 65_535)
  while (end >= stopAt && view.getUint32(end, true) !== END_RECORD) end--
  if (end < stopAt || end < 0) {
    return failedAtByte('mesh/zip', bytes.length, 'expected the end record of a zip; the file seems cut off.')
  }
  let n = view.getUint16(end + 10, true)
  let at = view.getUint32(end + 16, true)
  if (at === 0xffffffff || n === 0xffff) {
    // Zip64: the locator before the end record tells where the larger record is.
    const record =
      end >= 20 && view.getUint32(end - 20, true) === 0x07064b50 ? Number(view.getBigUint64(end - 12, true)) : -1
    if (record < 0 || record + 56 > bytes.length) return failedAtByte('mesh/zip', end, 'expected a zip64 end record.')
    n = Number(view.getBigUint64(record + 32, true))
    at = Number(view.getBigUint64(record + 48, true))
  }
  const entries: ZipEntry[] = []
  for (let i = 0; i < n; i++) {
    if (at + 46 > bytes.length || view.getUint32(at, true) !== CENTRAL) {
      return failedAtByte('mesh/zip', Math.min(at, bytes.length), `expected entry ${i + 1} of the zip's directory.`)
    }
    const nName = view.getUint16(at + 28, true)
    const nExtra = view.getUint16(at + 30, true)
    const nComment = view.getUint16(at + 32, true)
    const next = at + 46 + nName + nExtra + nComment
    if (next > bytes.length) return failedAtByte('mesh/zip', at, "an entry of the zip's directory is cut off.")
    const path = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nName)).replace(/^\/+/, '')
    let packedBytes = view.getUint32(at + 20, true)
    let headerAt = view.getUint32(at + 42, true)
    const plainIsLong = view.getUint32(at + 24, true) === 0xffffffff
    if (plainIsLong || packedBytes === 0xffffffff || headerAt === 0xffffffff) {
      const long = zip64Fields(view, at + 46 + nName, nExtra)
      let field = plainIsLong ? 1 : 0
      if (packedBytes === 0xffffffff) packedBytes = long[field++] ?? -1
      if (headerAt === 0xffffffff) headerAt = long[field] ?? -1
    }
    entries.push({
      path,
      method: view.getUint16(at + 10, true),
      isEncrypted: (view.getUint16(at + 8, true) & 1) === 1,
      packedBytes,
      headerAt,
    })
    at = next
  }
  return good(entries)
}

const zip64Fields = (view: DataView, from: number, length: number): number[] => {
  const to = from + length
  let at = from
  while (at + 4 <= to) {
    const size = view.getUint16(at + 2, true)
    if (view.getUint16(at, true) === 1) {
      const fields: number[] = []
      for (let k = 0; k + 8 <= size && at + 12 + k <= to; k += 8)
        fields.push(Number(view.getBigUint64(at + 4 + k, true)))
      return fields
    }
    at += 4 + size
  }
  return []
}

/** How much of the whole zip has been unpacked so far; shared by all entries of one file. */
export interface UnzipMeter {
  unpackedBytes: number
}

const CHUNK = 1 << 16
/** Small entries may pack better than any limit allows for; the ratio is watched from here on. */
const RATIO_FROM = 1 << 20

/**
 * Unpacks one entry and hands its pieces to `take`, which may return an issue to stop.
 * @returns null when all went well
 */
export const unzipEntry = async (
  bytes: Uint8Array,
  entry: ZipEntry,
  limits: ReadLimits,
  meter: UnzipMeter,
  take: (piece: Uint8Array, isLast: boolean) => Outcome<never> | null,
  task?: Task,
): Promise<Outcome<never> | null> => {
  const { headerAt, packedBytes, path } = entry
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const name = path.slice(-60)
  if (entry.isEncrypted)
    return failedAtByte('mesh/zip', headerAt, `"${name}" is encrypted; save the file without a password.`)
  if (headerAt < 0 || headerAt + 30 > bytes.length || view.getUint32(headerAt, true) !== LOCAL) {
    return failedAtByte('mesh/zip', Math.min(Math.max(headerAt, 0), bytes.length), `expected the zip entry "${name}".`)
  }
  const from = headerAt + 30 + view.getUint16(headerAt + 26, true) + view.getUint16(headerAt + 28, true)
  const to = from + packedBytes
  if (packedBytes < 0 || to > bytes.length) {
    return failedAtByte('mesh/short-file', bytes.length, `the zip entry "${name}" is cut off.`)
  }
  if (entry.method !== 0 && entry.method !== 8) {
    return failedAtByte(
      'mesh/zip',
      headerAt,
      `"${name}" is packed by method ${entry.method}; expected 0 (stored) or 8 (deflated).`,
    )
  }
  let trouble: Outcome<never> | null = null
  let nOut = 0
  let isDone = false
  const give = (piece: Uint8Array, isLast: boolean): void => {
    if (trouble) return
    nOut += piece.length
    meter.unpackedBytes += piece.length
    if (nOut > RATIO_FROM && nOut > limits.maxUnzipRatio * packedBytes) {
      trouble = failedAtByte(
        'mesh/unzip-ratio',
        from,
        `"${name}" unpacks to more than ${limits.maxUnzipRatio} times its size, which no honest mesh does.`,
      )
    } else if (meter.unpackedBytes > limits.maxUnzippedBytes) {
      trouble = failedAtByte('mesh/unzip-size', from, `the zip unpacks to more than ${limits.maxUnzippedBytes} bytes.`)
    } else {
      isDone ||= isLast
      trouble = take(piece, isLast)
    }
  }
  const inflate = entry.method === 8 ? new Inflate(give) : null
  for (let at = from; at < to || at === from; at += CHUNK) {
    const isLast = at + CHUNK >= to
    const piece = bytes.subarray(at, Math.min(to, at + CHUNK))
    if (inflate) {
      try {
        inflate.push(piece, isLast)
      } catch {
        return trouble ?? failedAtByte('mesh/zip', at, `"${name}" does not unpack; the file is damaged.`)
      }
    } else give(piece, isLast)
    if (trouble) return trouble
    task?.onProgress?.((at - from) / Math.max(1, packedBytes), 'unpacking')
    await breathe(task)
  }
  return isDone ? null : failedAtByte('mesh/zip', to, `"${name}" ends early; the file is damaged.`)
}
