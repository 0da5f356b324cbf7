// SHA-256 of bytes, at once and alike in both worlds: what browsers offer answers later only, inside a transaction that is too late.
// Source: FIPS 180-4, sections 4.1.2 and 6.2; the constants are worked out as the standard defines them.

const firstPrimes = (n: number): number[] => {
  const primes: number[] = []
  for (let k = 2; primes.length < n; k++) if (primes.every((p) => k % p !== 0)) primes.push(k)
  return primes
}

/** First 32 bits of the fraction of a root; doubles hold them exactly enough for the 64 primes used. */
const fraction = (root: number): number => Math.floor((root - Math.floor(root)) * 2 ** 32) | 0

const ROUND = Int32Array.from(firstPrimes(64), (p) => fraction(Math.cbrt(p)))
const START = Int32Array.from(firstPrimes(8), (p) => fraction(Math.sqrt(p)))

/** Adds one block of 64 bytes to the state. `w` is scratch of 64 words. */
const addBlock = (state: Int32Array, bytes: Uint8Array, at: number, w: Int32Array): void => {
  for (let t = 0; t < 16; t++) {
    const i = at + 4 * t
    w[t] = (bytes[i] << 24) | (bytes[i + 1] << 16) | (bytes[i + 2] << 8) | bytes[i + 3]
  }
  for (let t = 16; t < 64; t++) {
    const a = w[t - 15]
    const b = w[t - 2]
    const s0 = ((a >>> 7) | (a << 25)) ^ ((a >>> 18) | (a << 14)) ^ (a >>> 3)
    const s1 = ((b >>> 17) | (b << 15)) ^ ((b >>> 19) | (b << 13)) ^ (b >>> 10)
    w[t] = (w[t - 16] + s0 + w[t - 7] + s1) | 0
  }
  let [a, b, c, d, e, f, g, h] = state
  for (let t = 0; t < 64; t++) {
    const s1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7))
    const t1 = (h + s1 + ((e & f) ^ (~e & g)) + ROUND[t] + w[t]) | 0
    const s0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10))
    const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0
    h = g
    g = f
    f = e
    e = (d + t1) | 0
    d = c
    c = b
    b = a
    a = (t1 + t2) | 0
  }
  state[0] += a
  state[1] += b
  state[2] += c
  state[3] += d
  state[4] += e
  state[5] += f
  state[6] += g
  state[7] += h
}

/** SHA-256 in 64 hex digits. */
export const sha256 = (bytes: Uint8Array): string => {
  const state = START.slice()
  const w = new Int32Array(64)
  const whole = bytes.length - (bytes.length % 64)
  for (let at = 0; at < whole; at += 64) addBlock(state, bytes, at, w)
  const rest = bytes.length - whole
  const tail = new Uint8Array(rest < 56 ? 64 : 128)
  tail.set(bytes.subarray(whole))
  tail[rest] = 0x80
  new DataView(tail.buffer).setBigUint64(tail.length - 8, BigInt(bytes.length) * 8n)
  for (let at = 0; at < tail.length; at += 64) addBlock(state, tail, at, w)
  return Array.from(state, (word) => (word >>> 0).toString(16).padStart(8, '0')).join('')
}
