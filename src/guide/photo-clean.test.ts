import fc from 'fast-check'
import { expect, test } from 'vitest'
import { TINY_PNG } from '../../tests/guide-sample.ts'
import { cleanPhoto } from './photo-clean.ts'

const ascii = (text: string) => [...text].map((c) => c.charCodeAt(0))
const segment = (marker: number, inside: readonly number[]) => [
  0xff,
  marker,
  (inside.length + 2) >> 8,
  (inside.length + 2) & 255,
  ...inside,
]
/** Exif with an orientation and a place. */
const exif = (orientation: number) =>
  segment(0xe1, [
    ...ascii('Exif\0\0II*\0'),
    ...[8, 0, 0, 0, 2, 0],
    ...[0x25, 0x88, 4, 0, 1, 0, 0, 0, 26, 0, 0, 0],
    ...[0x12, 0x01, 3, 0, 1, 0, 0, 0, orientation, 0, 0, 0],
    ...[0, 0, 0, 0],
    ...ascii('GPS 52 12 N 4 23 E'),
  ])
const frame = segment(0xc2, [8, 0, 30, 0, 40, 1, 1, 0x11, 0])
const scan = [...segment(0xda, [1, 1, 0, 0, 63, 0]), 1, 2, 0xff, 0, 3, 0xff, 0xd0, 4]
const jpeg = (orientation: number, behind: readonly number[] = []) =>
  Uint8Array.of(
    ...[0xff, 0xd8],
    ...segment(0xe0, ascii('JFIF\0')),
    ...exif(orientation),
    ...segment(0xe2, ascii('MPF\0 second picture')),
    ...segment(0xee, ascii('Adobe\0d\0\0\0\0\0')),
    ...segment(0xfe, ascii('taken at home')),
    ...segment(0xdb, [0, ...new Array(64).fill(1)]),
    ...frame,
    ...scan,
    ...segment(0xc4, [0, ...new Array(16).fill(0)]),
    ...scan,
    ...[0xff, 0xd9],
    ...behind,
  )
const textOf = (bytes: Uint8Array) => String.fromCharCode(...bytes)

test('a JPEG loses place, notes, further pictures and what hangs behind it; tables, scans and colour note stay', () => {
  const clean = cleanPhoto(jpeg(1, ascii('ftypmp4 a film with its place')))
  if (!clean?.ok) throw new Error('refused')
  const text = textOf(clean.value.bytes)
  for (const gone of ['GPS', 'Exif', 'MPF', 'JFIF', 'home', 'ftyp']) expect(text).not.toContain(gone)
  expect(text).toContain('Adobe')
  expect(clean.value).toMatchObject({ mime: 'image/jpeg', widthPx: 40, heightPx: 30 })
  expect([...clean.value.bytes.slice(-2)]).toEqual([0xff, 0xd9])
  // Both scans whole, coded bytes included.
  expect(text.split(textOf(Uint8Array.from(scan))).length).toBe(3)
  // Cleaning what is clean changes nothing.
  const again = cleanPhoto(clean.value.bytes)
  expect(again?.ok && again.value.bytes).toEqual(clean.value.bytes)
})

test('which way up it is stays, and nothing else of the camera', () => {
  const clean = cleanPhoto(jpeg(6))
  if (!clean?.ok) throw new Error('refused')
  const text = textOf(clean.value.bytes)
  expect(text).toContain('Exif')
  expect(text).not.toContain('GPS')
  expect(clean.value).toMatchObject({ widthPx: 30, heightPx: 40 })
  const again = cleanPhoto(clean.value.bytes)
  expect(again?.ok && again.value).toEqual(clean.value)
})

const chunk = (name: string, inside: readonly number[]) => [
  0,
  0,
  0,
  inside.length,
  ...ascii(name),
  ...inside,
  0,
  0,
  0,
  0,
]

test('a PNG keeps what draws it', () => {
  const noted = Uint8Array.of(
    ...TINY_PNG.slice(0, 33),
    ...chunk('tEXt', ascii('Author\0somebody')),
    ...chunk('eXIf', ascii('MM*GPS')),
    ...chunk('tIME', [7, 234, 11, 25, 18, 0, 0]),
    ...TINY_PNG.slice(33),
    ...ascii('behind'),
  )
  const clean = cleanPhoto(noted)
  expect(clean?.ok && clean.value.bytes).toEqual(TINY_PNG)
  expect(clean?.ok && clean.value).toMatchObject({ mime: 'image/png', widthPx: 1, heightPx: 1 })
})

const webp = (...parts: readonly (readonly [string, readonly number[]])[]) => {
  const inside = parts.flatMap(([name, bytes]) => [
    ...ascii(name),
    bytes.length,
    0,
    0,
    0,
    ...bytes,
    ...(bytes.length % 2 ? [0] : []),
  ])
  return Uint8Array.of(...ascii('RIFF'), inside.length + 4, 0, 0, 0, ...ascii('WEBP'), ...inside)
}

test('a WebP loses its notes, and its head no longer announces them', () => {
  const clean = cleanPhoto(
    webp(
      ['VP8X', [8 | 4 | 16, 0, 0, 0, 99, 0, 0, 49, 0, 0]],
      ['VP8 ', [1, 2, 3]],
      ['EXIF', ascii('GPS')],
      ['XMP ', ascii('home')],
    ),
  )
  if (!clean?.ok) throw new Error('refused')
  expect(clean.value).toMatchObject({ mime: 'image/webp', widthPx: 100, heightPx: 50 })
  expect(clean.value.bytes[20]).toBe(16)
  expect(clean.value.bytes[4]).toBe(clean.value.bytes.length - 8)
  expect(textOf(clean.value.bytes)).not.toMatch(/GPS|home|EXIF|XMP/)
})

test('broken pictures are refused with a sentence; anything else is no picture; nothing throws', () => {
  const whole = jpeg(3)
  for (let at = 4; at < whole.length; at += 7) {
    const cut = cleanPhoto(whole.slice(0, at))
    expect(cut?.ok).toBe(false)
  }
  for (let at = 9; at < TINY_PNG.length; at += 5) expect(cleanPhoto(TINY_PNG.slice(0, at))?.ok).toBe(false)
  expect(cleanPhoto(Uint8Array.of(1, 2, 3))).toBeNull()
  fc.assert(
    fc.property(fc.constantFrom(whole, TINY_PNG), fc.nat(200), fc.integer({ min: 0, max: 255 }), (bytes, at, value) => {
      const changed = bytes.slice()
      changed[at % bytes.length] = value
      cleanPhoto(changed)
    }),
    { numRuns: 300 },
  )
})
