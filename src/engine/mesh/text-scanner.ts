// Walks through the bytes of a text file word by word, counting lines, without making strings of numbers.

const POWERS = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`))
const NEWLINE = 10
const SPACE = 32

/** Scanner over ASCII or UTF-8 bytes. Lines end with LF, CR LF or CR. */
export class TextScanner {
  at: number
  /** Line of `at`, counted from 1. */
  line = 1
  readonly bytes: Uint8Array
  /** Bounds of the last word. */
  start = 0
  end = 0

  constructor(bytes: Uint8Array) {
    this.bytes = bytes
    // A byte-order mark stands before the text, not in it.
    this.at = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0
  }

  get isAtEnd(): boolean {
    return this.at >= this.bytes.length
  }

  private countLine(c: number): void {
    if (c === NEWLINE || (c === 13 && this.bytes[this.at + 1] !== NEWLINE)) this.line++
  }

  /** Next word on any line; false at the end of the file. */
  word(): boolean {
    const { bytes } = this
    while (this.at < bytes.length && bytes[this.at] <= SPACE) {
      this.countLine(bytes[this.at])
      this.at++
    }
    return this.takeWord()
  }

  /** Next word on this line; false at the line's end, which is not passed. */
  wordOnLine(): boolean {
    const { bytes } = this
    while (this.at < bytes.length) {
      const c = bytes[this.at]
      if (c > SPACE || c === NEWLINE || c === 13) break
      this.at++
    }
    return this.takeWord()
  }

  private takeWord(): boolean {
    const { bytes } = this
    this.start = this.at
    while (this.at < bytes.length && bytes[this.at] > SPACE) this.at++
    this.end = this.at
    return this.end > this.start
  }

  /** Passes the end of this line. */
  skipLine(): void {
    const { bytes } = this
    while (this.at < bytes.length) {
      const c = bytes[this.at]
      this.countLine(c)
      const isEnd = c === NEWLINE || (c === 13 && bytes[this.at + 1] !== NEWLINE)
      this.at++
      if (isEnd) return
    }
  }

  /** The rest of this line without the spaces around it; passes the line's end. */
  restOfLine(): string {
    const from = this.at
    this.skipLine()
    return textOf(this.bytes, from, this.at).trim()
  }

  /** True when the last word is this one, which must be given in lower case; case does not matter. */
  is(lower: string): boolean {
    if (this.end - this.start !== lower.length) return false
    for (let i = 0; i < lower.length; i++) {
      const c = this.bytes[this.start + i]
      if ((c >= 65 && c <= 90 ? c + 32 : c) !== lower.charCodeAt(i)) return false
    }
    return true
  }

  /** The last word, shortened for a message. */
  shown(): string {
    const text = textOf(this.bytes, this.start, Math.min(this.end, this.start + 24))
    return this.end - this.start > 24 ? `${text}...` : text
  }

  /** The last word, whole. */
  text(): string {
    return textOf(this.bytes, this.start, this.end)
  }

  /** The last word as a finite number, NaN when it is none. */
  number(): number {
    return numberIn(this.bytes, this.start, this.end)
  }
}

/** One for all: making a decoder costs more than a word's decoding. */
const decoder = new TextDecoder()
const textOf = (bytes: Uint8Array, from: number, to: number): string => decoder.decode(bytes.subarray(from, to))

/**
 * The decimal number that bytes from..to-1 spell, NaN when they spell none or an infinite one. Up to 15 digits with a small
 * exponent are exact in one step (whole number times or over a power of ten); all else goes the long way.
 */
export const numberIn = (bytes: Uint8Array, from: number, to: number): number => {
  let i = from
  let c = bytes[i]
  const isNegative = c === 45
  if (isNegative || c === 43) c = bytes[++i]
  let whole = 0
  let nDigits = 0
  let shift = 0
  let any = false
  while (i < to && c >= 48 && c <= 57) {
    whole = whole * 10 + (c - 48)
    if (whole > 0) nDigits++
    any = true
    c = bytes[++i]
  }
  if (i < to && c === 46) {
    c = bytes[++i]
    while (i < to && c >= 48 && c <= 57) {
      whole = whole * 10 + (c - 48)
      if (whole > 0) nDigits++
      any = true
      shift--
      c = bytes[++i]
    }
  }
  if (!any) return Number.NaN
  if (i < to && (c === 101 || c === 69)) {
    c = bytes[++i]
    const isDown = c === 45
    if (i < to && (isDown || c === 43)) c = bytes[++i]
    let exponent = 0
    let anyExponent = false
    while (i < to && c >= 48 && c <= 57) {
      if (exponent < 10000) exponent = exponent * 10 + (c - 48)
      anyExponent = true
      c = bytes[++i]
    }
    if (!anyExponent) return Number.NaN
    shift += isDown ? -exponent : exponent
  }
  if (i !== to) return Number.NaN
  if (nDigits <= 15 && shift >= -22 && shift <= 22) {
    const value = shift < 0 ? whole / POWERS[-shift] : whole * POWERS[shift]
    return isNegative ? -value : value
  }
  const value = Number(textOf(bytes, from, to))
  return Number.isFinite(value) ? value : Number.NaN
}
