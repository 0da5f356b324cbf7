// Triangles that fill loops in the plane: holes joined to their outer loop by a bridge, then ears clipped (Meisters 1975; Eberly 2002).
//
// Every edge of every loop is used by exactly one triangle, whatever the loops look like: where no ear is left (loops that touch or cross
// by rounding) the next corner is clipped all the same, so that a solid closed by these caps stays closed.

/** Corners in a ring, by index of the point. */
interface Ring {
  readonly next: Int32Array
  readonly previous: Int32Array
  readonly point: Int32Array
  n: number
}

const cross = (p: ArrayLike<number>, a: number, b: number, c: number): number =>
  (p[2 * b] - p[2 * a]) * (p[2 * c + 1] - p[2 * a + 1]) - (p[2 * b + 1] - p[2 * a + 1]) * (p[2 * c] - p[2 * a])

const isIn = (p: ArrayLike<number>, a: number, b: number, c: number, q: number): boolean =>
  cross(p, a, b, q) >= 0 && cross(p, b, c, q) >= 0 && cross(p, c, a, q) >= 0

const samePlace = (p: ArrayLike<number>, a: number, b: number): boolean =>
  p[2 * a] === p[2 * b] && p[2 * a + 1] === p[2 * b + 1]

/** Node of the outer ring that a hole's rightmost point may be joined to. */
const bridgeTo = (p: ArrayLike<number>, ring: Ring, start: number, hole: number): number => {
  const hx = p[2 * hole]
  const hy = p[2 * hole + 1]
  // Nearest edge that a ray to the right meets; then the corner of it, or a reflex corner within the triangle.
  let best = -1
  let bestX = Infinity
  let i = start
  do {
    const a = ring.point[i]
    const b = ring.point[ring.next[i]]
    const ay = p[2 * a + 1]
    const by = p[2 * b + 1]
    if (ay <= hy && by >= hy && ay !== by) {
      const x = p[2 * a] + ((hy - ay) / (by - ay)) * (p[2 * b] - p[2 * a])
      if (x >= hx && x < bestX) {
        bestX = x
        best = p[2 * a] > p[2 * b] ? i : ring.next[i]
      }
    }
    i = ring.next[i]
  } while (i !== start)
  if (best < 0) return start
  const mx = p[2 * ring.point[best]]
  const my = p[2 * ring.point[best] + 1]
  let least = Infinity
  let chosen = best
  const inTriangle = (x: number, y: number): boolean => {
    const side = (ax: number, ay: number, bx: number, by: number): number => (bx - ax) * (y - ay) - (by - ay) * (x - ax)
    const s1 = side(hx, hy, bestX, hy)
    const s2 = side(bestX, hy, mx, my)
    const s3 = side(mx, my, hx, hy)
    return (s1 >= 0 && s2 >= 0 && s3 >= 0) || (s1 <= 0 && s2 <= 0 && s3 <= 0)
  }
  i = best
  do {
    const q = ring.point[i]
    const x = p[2 * q]
    const y = p[2 * q + 1]
    if (x >= hx && x <= Math.max(mx, bestX) && inTriangle(x, y)) {
      const tangent = Math.abs(y - hy) / Math.max(1e-12, x - hx)
      const reflex = cross(p, ring.point[ring.previous[i]], q, ring.point[ring.next[i]]) <= 0
      if ((i === best || reflex) && (tangent < least || (tangent === least && x > p[2 * ring.point[chosen]]))) {
        // The bridge must lie within the corner.
        const a = ring.point[ring.previous[i]]
        const c = ring.point[ring.next[i]]
        const convex = cross(p, a, q, c) > 0
        const left = cross(p, a, q, hole) >= 0
        const right = cross(p, q, c, hole) >= 0
        if (i === best || (convex ? left && right : left || right)) {
          least = tangent
          chosen = i
        }
      }
    }
    i = ring.next[i]
  } while (i !== best)
  return chosen
}

/**
 * Fills one outer loop with its holes.
 * @param points xy of all points
 * @param loops point index ranges [from, to): the outer loop counter-clockwise, then its holes clockwise
 * @returns three point indices per triangle, counter-clockwise
 */
export const capLoops = (points: ArrayLike<number>, loops: readonly (readonly [number, number])[]): number[] => {
  let most = 0
  for (const [from, to] of loops) most += to - from + 2
  const ring: Ring = { next: new Int32Array(most), previous: new Int32Array(most), point: new Int32Array(most), n: 0 }
  const addLoop = ([from, to]: readonly [number, number]): number => {
    const first = ring.n
    const count = to - from
    for (let i = 0; i < count; i++) {
      ring.point[first + i] = from + i
      ring.next[first + i] = first + ((i + 1) % count)
      ring.previous[first + i] = first + ((i - 1 + count) % count)
    }
    ring.n += count
    return first
  }
  const [outer, ...holes] = loops
  if (outer[1] - outer[0] < 3) return []
  let start = addLoop(outer)
  const rightmost = ([from, to]: readonly [number, number]): number => {
    let best = from
    for (let i = from; i < to; i++) if (points[2 * i] > points[2 * best]) best = i
    return best
  }
  // Rightmost hole first, so that later bridges may end on holes already joined.
  const ordered = holes
    .filter(([from, to]) => to - from >= 3)
    .map((loop) => ({ loop, at: rightmost(loop) }))
    .sort((a, b) => points[2 * b.at] - points[2 * a.at])
  for (const { loop, at } of ordered) {
    const first = addLoop(loop)
    const node = first + (at - loop[0])
    const to = bridgeTo(points, ring, start, at)
    // Two copies of both ends make the bridge a slit.
    const a2 = ring.n++
    const b2 = ring.n++
    ring.point[a2] = ring.point[to]
    ring.point[b2] = ring.point[node]
    const afterTo = ring.next[to]
    const beforeNode = ring.previous[node]
    ring.next[to] = node
    ring.previous[node] = to
    ring.next[beforeNode] = b2
    ring.previous[b2] = beforeNode
    ring.next[b2] = a2
    ring.previous[a2] = b2
    ring.next[a2] = afterTo
    ring.previous[afterTo] = a2
    start = to
  }
  return clipEars(points, ring, start)
}

const isEar = (p: ArrayLike<number>, { next, previous, point }: Ring, i: number): boolean => {
  const a = point[previous[i]]
  const b = point[i]
  const c = point[next[i]]
  if (cross(p, a, b, c) <= 0) return false
  const x0 = Math.min(p[2 * a], p[2 * b], p[2 * c])
  const x1 = Math.max(p[2 * a], p[2 * b], p[2 * c])
  const y0 = Math.min(p[2 * a + 1], p[2 * b + 1], p[2 * c + 1])
  const y1 = Math.max(p[2 * a + 1], p[2 * b + 1], p[2 * c + 1])
  for (let k = next[next[i]]; k !== previous[i]; k = next[k]) {
    const q = point[k]
    const x = p[2 * q]
    if (x < x0 || x > x1) continue
    const y = p[2 * q + 1]
    if (y < y0 || y > y1 || !isIn(p, a, b, c, q)) continue
    if (samePlace(p, q, a) || samePlace(p, q, b) || samePlace(p, q, c)) continue
    // Only corners that turn inwards can reach into an ear.
    if (cross(p, point[previous[k]], q, point[next[k]]) <= 0) return false
  }
  return true
}

const clipEars = (p: ArrayLike<number>, ring: Ring, start: number): number[] => {
  const { next, previous, point } = ring
  const triangles: number[] = []
  let count = 1
  for (let i = next[start]; i !== start; i = next[i]) count++
  let i = start
  let tried = 0
  while (count > 3) {
    if (isEar(p, ring, i) || tried > count) {
      triangles.push(point[previous[i]], point[i], point[next[i]])
      next[previous[i]] = next[i]
      previous[next[i]] = previous[i]
      count--
      tried = 0
      // Ears are taken all round, not from one fan: triangles stay stout.
      i = next[next[i]]
      continue
    }
    i = next[i]
    tried++
  }
  if (count === 3) triangles.push(point[previous[i]], point[i], point[next[i]])
  return triangles
}
