// Transforms of glTF nodes: 4x4 matrices in column order.

import { type JsonObject, listAt } from './gltf-document.ts'

/** Sixteen numbers, column after column. */
export type Matrix = readonly number[]

export const SAME: Matrix = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]
/** glTF has y up and looks along z; here z is up. */
export const Z_UP: Matrix = [1, 0, 0, 0, 0, 0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 1]

/** First b, then a. */
export const product = (a: Matrix, b: Matrix): Matrix => {
  const out: number[] = []
  for (let column = 0; column < 4; column++) {
    for (let row = 0; row < 4; row++) {
      let sum = 0
      for (let k = 0; k < 4; k++) sum += a[4 * k + row] * b[4 * column + k]
      out.push(sum)
    }
  }
  return out
}

const numbersOr = (given: JsonObject[string] | undefined, usual: readonly number[]): number[] | null => {
  if (given === undefined) return [...usual]
  const list = listAt(given)
  return list.length === usual.length && list.every((n) => typeof n === 'number' && Number.isFinite(n))
    ? (list as number[])
    : null
}

/** A node's own transform; null when it is not well formed. Quaternions are x, y, z, w and are brought to length one. */
export const matrixOfNode = (node: JsonObject): Matrix | null => {
  if (node.matrix !== undefined) return numbersOr(node.matrix, SAME)
  const shift = numbersOr(node.translation, [0, 0, 0])
  const turn = numbersOr(node.rotation, [0, 0, 0, 1])
  const scale = numbersOr(node.scale, [1, 1, 1])
  if (!shift || !turn || !scale) return null
  const length = Math.hypot(...turn)
  if (length === 0) return null
  const [x, y, z, w] = turn.map((q) => q / length)
  const [sx, sy, sz] = scale
  return [
    sx * (1 - 2 * (y * y + z * z)),
    sx * 2 * (x * y + w * z),
    sx * 2 * (x * z - w * y),
    0,
    sy * 2 * (x * y - w * z),
    sy * (1 - 2 * (x * x + z * z)),
    sy * 2 * (y * z + w * x),
    0,
    sz * 2 * (x * z + w * y),
    sz * 2 * (y * z - w * x),
    sz * (1 - 2 * (x * x + y * y)),
    0,
    ...shift,
    1,
  ]
}
