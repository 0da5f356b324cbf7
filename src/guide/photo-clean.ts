// A person's photograph made fit to be given away: only what is needed to draw it is kept. Place, camera, times, thumbnails, comments and
// whatever hangs behind the picture are left out. Of the camera's notes one number stays: which way up the picture is.
//
// Sources: ITU-T T.81 (JPEG, annex B), JFIF 1.02, Exif 2.32 for the one tag; W3C PNG 3rd edition; RFC 9649 (WebP).
// Nothing is decoded, so the picture loses nothing.

import { failed, good, type Outcome } from '../engine/kernel/index.ts'

export interface CleanPhoto {
  readonly bytes: Uint8Array
  readonly mime: 'image/jpeg' | 'image/png' | 'image/webp'
  readonly widthPx: number
  readonly heightPx: number
}

export const PHOTO_LIMITS = Object.freeze({
  /** One photograph, after cleaning. */
  bytes: 8_000_000,
  /** Before cleaning: a short film may hang behind it. */
  rawBytes: 60_000_000,
  /** Width or height. */
  pixels: 20_000,
})

class Broken extends Error {}
const broken = (why: string): never => {
  throw new Broken(why)
}

const join = (parts: readonly Uint8Array[]): Uint8Array => {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0))
  let at = 0
  for (const part of parts) {
    bytes.set(part, at)
    at += part.length
  }
  return bytes
}

const textAt = (bytes: Uint8Array, at: number, n: number): string =>
  String.fromCharCode(...bytes.subarray(at, Math.min(bytes.length, at + n)))

const viewOf = (bytes: Uint8Array): DataView => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)

/** Orientation (1-8) of an Exif segment's inside, or 1. Only the first directory is looked at. */
const orientationIn = (segment: Uint8Array): number => {
  if (textAt(segment, 0, 6) !== 'Exif\0\0' || segment.length < 14) return 1
  const view = viewOf(segment)
  const little = textAt(segment, 6, 2) === 'II'
  const directory = 6 + view.getUint32(10, little)
  if (directory + 2 > segment.length) return 1
  const n = Math.min(view.getUint16(directory, little), 200)
  for (let i = 0; i < n; i++) {
    const at = directory + 2 + 12 * i
    if (at + 12 > segment.length) return 1
    if (view.getUint16(at, little) !== 0x0112) continue
    const value = view.getUint16(at + 8, little)
    return value >= 1 && value <= 8 ? value : 1
  }
  return 1
}

/** A segment that says which way up the picture is, and nothing else. */
const orientationSegment = (orientation: number): Uint8Array =>
  Uint8Array.of(
    ...[0xff, 0xe1, 0, 34, ...[...'Exif\0\0MM\0*'].map((c) => c.charCodeAt(0)), 0, 0, 0, 8, 0, 1],
    ...[1, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0, 0, 0, 0, 0],
  )

/** JPEG: frame headers, tables and scans are kept, and the one note of Adobe that says how colours are coded. */
const cleanJpeg = (bytes: Uint8Array): CleanPhoto => {
  const kept: Uint8Array[] = [bytes.subarray(0, 2)]
  let orientation = 1
  let [widthPx, heightPx] = [0, 0]
  let at = 2
  for (;;) {
    while (bytes[at] === 0xff && bytes[at + 1] === 0xff) at++
    if (bytes[at] !== 0xff) broken('a marker is missing')
    const marker = bytes[at + 1]
    if (marker === 0xd9) {
      kept.push(bytes.subarray(at, at + 2))
      break
    }
    const length = (bytes[at + 2] << 8) | bytes[at + 3]
    const end = at + 2 + length
    if (!(length >= 2) || end > bytes.length) broken('it breaks off')
    const inside = bytes.subarray(at + 4, end)
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker)
    if (isFrame) {
      heightPx = (inside[1] << 8) | inside[2]
      widthPx = (inside[3] << 8) | inside[4]
    }
    const isNote = (marker >= 0xe0 && marker <= 0xef) || marker === 0xfe
    const isColourNote = marker === 0xee && textAt(inside, 0, 5) === 'Adobe' && inside.length <= 20
    if (marker === 0xe1) orientation = orientationIn(inside) || orientation
    if (!isNote || isColourNote) kept.push(bytes.subarray(at, end))
    at = end
    if (marker !== 0xda) continue
    // Behind the start of a scan come coded bytes, up to the next marker that is none of theirs.
    const from = at
    while (
      at + 1 < bytes.length &&
      !(bytes[at] === 0xff && bytes[at + 1] !== 0 && !(bytes[at + 1] >= 0xd0 && bytes[at + 1] <= 0xd7))
    )
      at++
    if (at + 1 >= bytes.length) broken('it breaks off')
    kept.push(bytes.subarray(from, at))
  }
  if (orientation !== 1) kept.splice(1, 0, orientationSegment(orientation))
  const turned = orientation > 4
  return {
    bytes: join(kept),
    mime: 'image/jpeg',
    widthPx: turned ? heightPx : widthPx,
    heightPx: turned ? widthPx : heightPx,
  }
}

const PNG_KEPT = ['IHDR', 'PLTE', 'tRNS', 'gAMA', 'cHRM', 'sRGB', 'IDAT', 'IEND']

const cleanPng = (bytes: Uint8Array): CleanPhoto => {
  const view = viewOf(bytes)
  const kept: Uint8Array[] = [bytes.subarray(0, 8)]
  if (textAt(bytes, 12, 4) !== 'IHDR') broken('its head is missing')
  let at = 8
  for (;;) {
    if (at + 12 > bytes.length) broken('it breaks off')
    const length = view.getUint32(at)
    const name = textAt(bytes, at + 4, 4)
    const end = at + 12 + length
    if (end > bytes.length) broken('it breaks off')
    if (PNG_KEPT.includes(name)) kept.push(bytes.subarray(at, end))
    at = end
    if (name === 'IEND') break
  }
  return { bytes: join(kept), mime: 'image/png', widthPx: view.getUint32(16), heightPx: view.getUint32(20) }
}

/** WebP: bits of the extended head that announce Exif (8) and XMP (4), and a colour profile (32). */
const ANNOUNCED = 8 | 4 | 32
const WEBP_KEPT = ['VP8 ', 'VP8L', 'VP8X', 'ALPH']

const cleanWebp = (bytes: Uint8Array): CleanPhoto => {
  const view = viewOf(bytes)
  const kept: Uint8Array[] = []
  let [widthPx, heightPx] = [0, 0]
  const stop = Math.min(bytes.length, 8 + view.getUint32(4, true))
  for (let at = 12; at + 8 <= stop; ) {
    const name = textAt(bytes, at, 4)
    const length = view.getUint32(at + 4, true)
    const end = at + 8 + length + (length % 2)
    if (at + 8 + length > bytes.length) broken('it breaks off')
    const chunk = bytes.slice(at, Math.min(end, bytes.length))
    if (name === 'VP8X') {
      chunk[8] &= ~ANNOUNCED
      widthPx = 1 + (chunk[12] | (chunk[13] << 8) | (chunk[14] << 16))
      heightPx = 1 + (chunk[15] | (chunk[16] << 8) | (chunk[17] << 16))
    } else if (name === 'VP8 ' && widthPx === 0) {
      widthPx = (chunk[14] | (chunk[15] << 8)) & 0x3fff
      heightPx = (chunk[16] | (chunk[17] << 8)) & 0x3fff
    } else if (name === 'VP8L' && widthPx === 0) {
      const bits = (chunk[9] | (chunk[10] << 8) | (chunk[11] << 16) | (chunk[12] << 24)) >>> 0
      widthPx = 1 + (bits & 0x3fff)
      heightPx = 1 + ((bits >>> 14) & 0x3fff)
    } else if (name === 'ANIM') broken('it moves; a still picture is wanted')
    if (WEBP_KEPT.includes(name)) kept.push(chunk)
    at = end
  }
  const inside = join(kept)
  const head = bytes.slice(0, 12)
  viewOf(head).setUint32(4, 4 + inside.length, true)
  return { bytes: join([head, inside]), mime: 'image/webp', widthPx, heightPx }
}

const cleanerFor = (bytes: Uint8Array): ((bytes: Uint8Array) => CleanPhoto) | null => {
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return cleanJpeg
  if (textAt(bytes, 0, 8) === '\u0089PNG\r\n\u001a\n') return cleanPng
  return textAt(bytes, 0, 4) === 'RIFF' && textAt(bytes, 8, 4) === 'WEBP' ? cleanWebp : null
}

/**
 * Cleans a photograph; null when the bytes are none of JPEG, PNG and WebP.
 * Codes "guide/photo-too-large", "guide/photo-broken".
 */
export const cleanPhoto = (bytes: Uint8Array): Outcome<CleanPhoto> | null => {
  const cleaner = cleanerFor(bytes)
  if (!cleaner) return null
  const tooLarge = (words: string) =>
    failed('guide/photo-too-large', `The photograph has ${words}; make it smaller first.`)
  if (bytes.length > PHOTO_LIMITS.rawBytes)
    return tooLarge(`${bytes.length} bytes, ${PHOTO_LIMITS.rawBytes} are the most`)
  try {
    const clean = cleaner(bytes)
    const most = Math.max(clean.widthPx, clean.heightPx)
    if (!(Math.min(clean.widthPx, clean.heightPx) >= 1)) broken('it states no size')
    if (most > PHOTO_LIMITS.pixels) return tooLarge(`${most} pixels in a row, ${PHOTO_LIMITS.pixels} are the most`)
    if (clean.bytes.length > PHOTO_LIMITS.bytes)
      return tooLarge(`${clean.bytes.length} bytes of picture, ${PHOTO_LIMITS.bytes} are the most`)
    return good(clean)
  } catch (fault) {
    if (!(fault instanceof Broken) && !(fault instanceof RangeError)) throw fault
    const why = fault instanceof Broken ? fault.message : 'it breaks off'
    return failed('guide/photo-broken', `The photograph cannot be read: ${why}; save it anew and try again.`)
  }
}
