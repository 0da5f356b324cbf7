// Bytes as base64 text and back, alike in browsers and Node. Source: RFC 4648, section 4.

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/'

/** Bytes as base64. Written in pieces, so that long inputs do not grow one string step by step. */
export const toBase64 = (bytes: Uint8Array): string => {
  const pieces: string[] = []
  let piece = ''
  for (let i = 0; i < bytes.length; i += 3) {
    const word = (bytes[i] << 16) | ((bytes[i + 1] ?? 0) << 8) | (bytes[i + 2] ?? 0)
    piece +=
      DIGITS[word >> 18] +
      DIGITS[(word >> 12) & 63] +
      (i + 1 < bytes.length ? DIGITS[(word >> 6) & 63] : '=') +
      (i + 2 < bytes.length ? DIGITS[word & 63] : '=')
    if (piece.length > 8000) {
      pieces.push(piece)
      piece = ''
    }
  }
  pieces.push(piece)
  return pieces.join('')
}
