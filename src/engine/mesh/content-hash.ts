// A short name for a file's content, so that results can be kept by it.

/**
 * Hash of bytes, 32 hex digits: four 32-bit lanes mixed as in the public-domain MurmurHash3 (x86, 128 bits; A. Appleby), with the
 * length mixed in. Good against chance, not against somebody who wants two files to look the same.
 */
export const contentHash = (bytes: Uint8Array): string => {
  const lanes = new Int32Array([0x239b961b, 0xab0e9789, 0x38b34ae5, 0xa1e38b93])
  let [a, b, c, d] = lanes
  const nWhole = bytes.length & ~15
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const rotated = (x: number, by: number): number => (x << by) | (x >>> (32 - by))
  const block = (w: number, x: number, y: number, z: number): void => {
    a = Math.imul(rotated(a ^ Math.imul(rotated(Math.imul(w, 0x239b961b), 15), 0xab0e9789), 19) + b, 5) + 0x561ccd1b
    b = Math.imul(rotated(b ^ Math.imul(rotated(Math.imul(x, 0xab0e9789), 16), 0x38b34ae5), 17) + c, 5) + 0x0bcaa747
    c = Math.imul(rotated(c ^ Math.imul(rotated(Math.imul(y, 0x38b34ae5), 17), 0xa1e38b93), 15) + d, 5) + 0x96cd1c35
    d = Math.imul(rotated(d ^ Math.imul(rotated(Math.imul(z, 0xa1e38b93), 18), 0x239b961b), 13) + a, 5) + 0x32ac3b17
  }
  for (let at = 0; at < nWhole; at += 16) {
    block(
      view.getInt32(at, true),
      view.getInt32(at + 4, true),
      view.getInt32(at + 8, true),
      view.getInt32(at + 12, true),
    )
  }
  const tail = new DataView(new ArrayBuffer(16))
  for (let at = nWhole; at < bytes.length; at++) tail.setUint8(at - nWhole, bytes[at])
  block(tail.getInt32(0, true), tail.getInt32(4, true), tail.getInt32(8, true), tail.getInt32(12, true))
  const finished = (x: number): number => {
    let h = x ^ (x >>> 16)
    h = Math.imul(h, 0x85ebca6b)
    h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
    return h ^ (h >>> 16)
  }
  let words = [a, b, c, d].map((lane) => lane ^ bytes.length)
  for (let round = 0; round < 2; round++) {
    const first = words[0] + words[1] + words[2] + words[3]
    words = words.map((word, k) => finished(k === 0 ? first : word + first))
  }
  return words.map((word) => (word >>> 0).toString(16).padStart(8, '0')).join('')
}
