// Cuts a polygon of a mesh file into triangles.

import type { GrowingIndices } from './growing.ts'

/** Past this many corners the search for ears would cost too long: the polygon is cut as a fan. */
const MOST_EARS = 1000

/** Coordinates of vertex v are at 3*v; a plain array or a typed one. */
type Coordinates = ArrayLike<number>

/**
 * Adds a polygon's triangles, n-2 of them, all with the polygon's own sense of turning. Dents are respected (ears are cut off in the
 * plane that the polygon lies along); a polygon that crosses itself is cut somehow, but always into n-2.
 * @param corner vertex numbers, all valid
 */
export const addPolygon = (p: Coordinates, corner: readonly number[], triangles: GrowingIndices): void => {
  const n = corner.length
  if (n < 3) return
  if (n === 3 || n > MOST_EARS) {
    for (let i = 1; i + 1 < n; i++) push(triangles, corner[0], corner[i], corner[i + 1])
    return
  }
  // Newell's normal: twice the area vector, sound for dented and slightly warped polygons.
  let nx = 0
  let ny = 0
  let nz = 0
  for (let i = 0; i < n; i++) {
    const a = 3 * corner[i]
    const b = 3 * corner[(i + 1) % n]
    nx += (p[a + 1] - p[b + 1]) * (p[a + 2] + p[b + 2])
    ny += (p[a + 2] - p[b + 2]) * (p[a] + p[b])
    nz += (p[a] - p[b]) * (p[a + 1] + p[b + 1])
  }
  const most = Math.max(Math.abs(nx), Math.abs(ny), Math.abs(nz))
  // The two axes to look along, so that the polygon turns counter-clockwise.
  const [u, w] =
    most === Math.abs(nz)
      ? nz > 0
        ? [0, 1]
        : [1, 0]
      : most === Math.abs(nx)
        ? nx > 0
          ? [1, 2]
          : [2, 1]
        : ny > 0
          ? [2, 0]
          : [0, 2]
  const turn = (a: number, b: number, c: number): number =>
    (p[3 * b + u] - p[3 * a + u]) * (p[3 * c + w] - p[3 * a + w]) -
    (p[3 * b + w] - p[3 * a + w]) * (p[3 * c + u] - p[3 * a + u])
  const left = corner.slice()
  while (left.length > 3) {
    const m = left.length
    let ear = -1
    for (let i = 0; i < m && ear < 0; i++) {
      const a = left[(i + m - 1) % m]
      const b = left[i]
      const c = left[(i + 1) % m]
      if (turn(a, b, c) <= 0) continue
      const isEmpty = left.every(
        (q) => q === a || q === b || q === c || turn(a, b, q) < 0 || turn(b, c, q) < 0 || turn(c, a, q) < 0,
      )
      if (isEmpty) ear = i
    }
    if (ear < 0) ear = 1
    push(triangles, left[(ear + m - 1) % m], left[ear], left[(ear + 1) % m])
    left.splice(ear, 1)
  }
  push(triangles, left[0], left[1], left[2])
}

const push = (triangles: GrowingIndices, a: number, b: number, c: number): void => {
  triangles.push(a)
  triangles.push(b)
  triangles.push(c)
}
