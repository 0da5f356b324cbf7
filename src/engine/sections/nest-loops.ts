// Which loop lies in which, and which of them bound solid: the winding number left of a loop is the sum of the loops around it.

/** Loops of one layer that do not cross. */
export interface LayerLoops {
  /** Flat xy. */
  readonly points: Float64Array
  /** Start of every loop, with the end as last entry. */
  readonly starts: ArrayLike<number>
  /** Signed areas. */
  readonly areas: ArrayLike<number>
}

/** Loops that bound the region of positive winding, outer loops first by size, each followed by its holes. */
export interface NestedLoops {
  /** Indices into the given loops, in the order to keep them. */
  readonly order: Int32Array
  /** For each kept loop, the position in `order` of the loop right around it, or -1. */
  readonly parent: Int32Array
}

/** True when (x, y) lies inside the loop (crossings of a ray to the right). */
export const isInsideLoop = (points: Float64Array, from: number, to: number, x: number, y: number): boolean => {
  let inside = false
  let px = points[2 * (to - 1)]
  let py = points[2 * (to - 1) + 1]
  for (let i = from; i < to; i++) {
    const qx = points[2 * i]
    const qy = points[2 * i + 1]
    if (qy > y !== py > y && x < ((px - qx) * (y - qy)) / (py - qy) + qx) inside = !inside
    px = qx
    py = qy
  }
  return inside
}

/** Nests the loops of one layer by winding; loops inside solid of their own kind (a shell inside another) are dropped. */
export const nestLoops = ({ points, starts, areas }: LayerLoops): NestedLoops => {
  const n = areas.length
  if (n === 1) {
    return areas[0] > 0
      ? { order: new Int32Array([0]), parent: new Int32Array([-1]) }
      : { order: new Int32Array(0), parent: new Int32Array(0) }
  }
  const bySize = Array.from({ length: n }, (_, j) => j).sort((a, b) => Math.abs(areas[b]) - Math.abs(areas[a]) || a - b)
  const boxes = new Float64Array(4 * n)
  for (let j = 0; j < n; j++) {
    let x0 = Infinity
    let y0 = Infinity
    let x1 = -Infinity
    let y1 = -Infinity
    for (let i = starts[j]; i < starts[j + 1]; i++) {
      const x = points[2 * i]
      const y = points[2 * i + 1]
      if (x < x0) x0 = x
      if (x > x1) x1 = x
      if (y < y0) y0 = y
      if (y > y1) y1 = y
    }
    boxes.set([x0, y0, x1, y1], 4 * j)
  }
  const contains = (outer: number, inner: number): boolean => {
    if (
      boxes[4 * outer] > boxes[4 * inner] ||
      boxes[4 * outer + 1] > boxes[4 * inner + 1] ||
      boxes[4 * outer + 2] < boxes[4 * inner + 2] ||
      boxes[4 * outer + 3] < boxes[4 * inner + 3]
    )
      return false
    // Three edge middles vote: one may lie on the other loop where two loops touch in a corner.
    const from = starts[inner]
    const m = starts[inner + 1] - from
    let votes = 0
    for (let s = 0; s < 3; s++) {
      const i = from + Math.floor((s * m) / 3)
      const k = i + 1 < from + m ? i + 1 : from
      const x = (points[2 * i] + points[2 * k]) / 2
      const y = (points[2 * i + 1] + points[2 * k + 1]) / 2
      if (isInsideLoop(points, starts[outer], starts[outer + 1], x, y)) votes++
    }
    return votes >= 2
  }
  // Larger loops first, so the last one found that contains a loop is the tightest.
  const around = new Int32Array(n).fill(-1)
  const winding = new Int32Array(n)
  const kept: number[] = []
  const keptParent = new Int32Array(n).fill(-1)
  for (let u = 0; u < n; u++) {
    const j = bySize[u]
    for (let v = u - 1; v >= 0; v--) {
      if (contains(bySize[v], j)) {
        around[j] = bySize[v]
        break
      }
    }
    const outside = around[j] < 0 ? 0 : winding[around[j]]
    winding[j] = outside + (areas[j] > 0 ? 1 : -1)
    if (winding[j] > 0 !== outside > 0) kept.push(j)
  }
  const isKept = new Uint8Array(n)
  for (const j of kept) isKept[j] = 1
  for (const j of kept) {
    let p = around[j]
    while (p >= 0 && !isKept[p]) p = around[p]
    keptParent[j] = p
  }
  const order: number[] = []
  for (const j of kept) {
    if (areas[j] < 0) continue
    order.push(j)
    for (const h of kept) if (areas[h] < 0 && keptParent[h] === j) order.push(h)
  }
  const position = new Int32Array(n).fill(-1)
  order.forEach((j, at) => {
    position[j] = at
  })
  return {
    order: Int32Array.from(order),
    parent: Int32Array.from(order, (j) => (keptParent[j] < 0 ? -1 : position[keptParent[j]])),
  }
}
