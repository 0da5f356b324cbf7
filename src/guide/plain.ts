// The codec between typed arrays and JSON: plain arrays of numbers rounded to what they can mean.

/** Significant digits kept: a micrometre in ten metres, finer than any number here is known. */
const DIGITS = 7

const rounded = (value: number): number | null =>
  Number.isFinite(value) ? Number(value.toPrecision(DIGITS)) + 0 : null

/** A JSON value. */
export type Plain = null | boolean | number | string | readonly Plain[] | { readonly [key: string]: Plain }

/** Turns records, arrays and typed arrays into plain JSON values; NaN and infinities become null, undefined keys are left out. */
export const plain = (value: unknown): Plain => {
  if (typeof value === 'number') return rounded(value)
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return value
  if (ArrayBuffer.isView(value)) return Array.from(value as unknown as ArrayLike<number>, rounded)
  if (Array.isArray(value)) return value.map(plain)
  if (typeof value === 'object')
    return Object.fromEntries(
      Object.entries(value)
        .filter(([, inner]) => inner !== undefined)
        .map(([key, inner]) => [key, plain(inner)]),
    )
  throw new TypeError(`guide/plain: a ${typeof value} has no place in a file`)
}
