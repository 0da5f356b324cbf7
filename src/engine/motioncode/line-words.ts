// One line of bytes into words: the word grammar of RS-274 / ISO 6983 (NIST IR 6556, appendix E) with semicolon comments and checksums.
// Blanks may stand anywhere outside comments, even inside numbers; case does not matter; numbers have no exponent.

/** 10^n for n = 0..22, exact in double precision: mantissa / power is then the nearest double, as a library parser gives. */
const POWERS = Float64Array.from({ length: 23 }, (_, n) => Number(`1e${n}`))
const MOST_DIGITS = 22
const G = 6
const M = 12
const N = 13

const LETTER = (k: number): string => String.fromCharCode(65 + k)

/** The words of one line. Reused from line to line. */
export class LineWords {
  /** Value by letter, A = 0. */
  readonly value = new Float64Array(26)
  /** Bit k is set when letter k has a number, or (bare) stands without one. */
  seen = 0
  bare = 0
  /** G and M codes times ten, in the order of the line. */
  readonly g = new Int32Array(8)
  nG = 0
  readonly m = new Int32Array(8)
  nM = 0
  nWords = 0
  /** The first word is an M word. */
  mFirst = false
  /** The line begins with a stroke. */
  marked = false
  /** Empty when the line is well formed; else what is wrong, and the byte of the line it is at, from 0. */
  fault = ''
  faultAt = 0
  bareAt = 0

  has(letter: number): boolean {
    return (this.seen & (1 << letter)) !== 0
  }

  #fail(fault: string, at: number): boolean {
    this.fault = fault
    this.faultAt = at
    return false
  }

  /** Reads bytes from..end-1, a line without its end. False when it is malformed; what was read before the fault stays. */
  read(bytes: Uint8Array, from: number, end: number): boolean {
    this.seen = 0
    this.bare = 0
    this.nG = 0
    this.nM = 0
    this.nWords = 0
    this.mFirst = false
    this.marked = false
    this.fault = ''
    let i = from
    let longNumber = -1
    let checked = false
    while (i < end) {
      const c = bytes[i]
      if (c === 32 || c === 9) {
        i++
        continue
      }
      const upper = c & 0xdf
      if (upper >= 65 && upper <= 90 && (c & 0x80) === 0) {
        if (checked) return this.#fail('nothing may follow a checksum', i - from)
        const at = i - from
        const letter = upper - 65
        i++
        let mantissa = 0
        let digits = 0
        let decimals = -1
        let sign = 0
        for (; i < end; i++) {
          const d = bytes[i]
          if (d >= 48 && d <= 57) {
            mantissa = mantissa * 10 + (d - 48)
            digits++
            if (decimals >= 0) decimals++
          } else if (d === 46) {
            if (decimals >= 0) return this.#fail('a number has two points', i - from)
            decimals = 0
          } else if (d === 45 || d === 43) {
            if (digits > 0 || decimals >= 0 || sign !== 0) return this.#fail('a sign inside a number', i - from)
            sign = d === 45 ? -1 : 1
          } else if (d !== 32 && d !== 9) break
        }
        this.nWords++
        const bit = 1 << letter
        if (letter !== G && letter !== M && ((this.seen | this.bare) & bit) !== 0)
          return this.#fail(`${LETTER(letter)} stands twice`, at)
        if (digits === 0) {
          if (sign !== 0 || decimals >= 0) return this.#fail(`${LETTER(letter)} has a number without digits`, at)
          if (letter === G || letter === M || letter === N)
            return this.#fail(`${LETTER(letter)} stands without a number`, at)
          if (this.bare === 0) this.bareAt = at
          this.bare |= bit
          continue
        }
        if (digits > MOST_DIGITS) return this.#fail('a number is too long', at)
        const size = decimals > 0 ? mantissa / POWERS[decimals] : mantissa
        const value = sign < 0 ? -size : size
        if (letter === G || letter === M) {
          const code = Math.round(value * 10)
          if (sign < 0 || code > 99990 || Math.abs(value * 10 - code) > 1e-6)
            return this.#fail(`${LETTER(letter)}${value} is no code`, at)
          if (letter === G) {
            if (this.nG === 8) return this.#fail('too many G words', at)
            this.g[this.nG++] = code
          } else {
            if (this.nM === 4) return this.#fail('more than four M words', at)
            if (this.nWords === 1 || (this.nWords === 2 && (this.seen & (1 << N)) !== 0)) this.mFirst = true
            this.m[this.nM++] = code
          }
          continue
        }
        if (letter === N) {
          if (sign !== 0 || decimals >= 0) return this.#fail('a line number has only digits', at)
          if (digits > 5) longNumber = at
        }
        this.seen |= bit
        this.value[letter] = value
        continue
      }
      if (c === 59) break
      if (c === 40) {
        const start = i
        for (i++; i < end && bytes[i] !== 41; i++)
          if (bytes[i] === 40) return this.#fail('a comment inside a comment', i - from)
        if (i === end) return this.#fail('a comment is not closed', start - from)
        i++
        continue
      }
      if (c === 42) {
        const at = i - from
        let sum = 0
        for (let j = from; j < i; j++) sum ^= bytes[j]
        let stated = 0
        let digits = 0
        for (i++; i < end && bytes[i] >= 48 && bytes[i] <= 57; i++) {
          stated = stated * 10 + bytes[i] - 48
          if (++digits > 3) break
        }
        if (digits === 0 || stated > 255) return this.#fail('a checksum is a number from 0 to 255', at)
        if (stated !== sum) return this.#fail(`the checksum is ${stated}, the line gives ${sum}`, at)
        checked = true
        continue
      }
      if (c === 47 && this.nWords === 0 && !this.marked) {
        this.marked = true
        i++
        continue
      }
      if (c === 37 && this.nWords === 0) break
      if (c === 35 || c === 91 || c === 61) return this.#fail('parameters and expressions are not read', i - from)
      if (c >= 48 && c <= 57) return this.#fail('a number without a letter', i - from)
      return this.#fail(
        c > 32 && c < 127 ? `"${String.fromCharCode(c)}" has no meaning here` : `byte ${c} is no text of a motion code`,
        i - from,
      )
    }
    if (longNumber >= 0 && !checked) return this.#fail('a line number has at most 5 digits', longNumber)
    return true
  }
}
