// Base64 to bytes (RFC 4648), for data that is written inside a text file.

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/'
const VALUES = new Int8Array(128).fill(-1)
for (let i = 0; i < 64; i++) VALUES[ALPHABET.charCodeAt(i)] = i

/** Decoded bytes, null when the text is not base64. Line breaks are not allowed; padding may be missing. */
export const base64Bytes = (text: string): Uint8Array | null => {
  const digits = text.replace(/={1,2}$/, '')
  if (digits.length % 4 === 1) return null
  const bytes = new Uint8Array(Math.floor((digits.length * 3) / 4))
  let held = 0
  let nBits = 0
  let at = 0
  for (let i = 0; i < digits.length; i++) {
    const c = digits.charCodeAt(i)
    const value = c < 128 ? VALUES[c] : -1
    if (value < 0) return null
    held = ((held << 6) | value) & 0xfffff
    nBits += 6
    if (nBits >= 8) {
      nBits -= 8
      bytes[at++] = held >> nBits
    }
  }
  return bytes
}
