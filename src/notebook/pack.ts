// Packing bytes for the store: deflated when that saves room; unpacked only up to the size that was stated, and checked by hash.

import { deflateSync, inflateSync } from 'fflate'
import { failed, good, type Outcome } from '../engine/kernel/index.ts'
import { sha256 } from './sha256.ts'
import { NOTEBOOK_LIMITS } from './types.ts'

export interface Packed {
  readonly how: 'plain' | 'deflate'
  /** Bytes before packing. */
  readonly size: number
  readonly data: Uint8Array
}

export const pack = (bytes: Uint8Array): Packed => {
  const data = deflateSync(bytes, { level: 6 })
  return data.length < bytes.length
    ? { how: 'deflate', size: bytes.length, data }
    : { how: 'plain', size: bytes.length, data: bytes }
}

/** Gives the bytes back. Codes "notebook/too-large", "notebook/damaged-bytes". */
export const unpack = (hash: string, how: string, size: number, data: Uint8Array): Outcome<Uint8Array> => {
  if (!(Number.isInteger(size) && size >= 0 && size <= NOTEBOOK_LIMITS.bytesOfOne))
    return failed('notebook/too-large', `The bytes ${hash.slice(0, 12)} state a size of ${size}, which is too large.`)
  const damaged = failed(
    'notebook/damaged-bytes',
    `The bytes ${hash.slice(0, 12)} do not have the hash they are stored under; they are damaged and were left out.`,
  )
  try {
    // The room is given beforehand, so a small text that unpacks to a huge one ends at the stated size.
    const bytes = how === 'plain' ? data : inflateSync(data, { out: new Uint8Array(size) })
    return bytes.length === size && sha256(bytes) === hash ? good(bytes) : damaged
  } catch {
    return damaged
  }
}
