// Do any outlines of one layer cross or touch? A sweep over segments sorted by their left end.

/** Scratch arrays reused from layer to layer. */
export interface CrossingRoom {
  order: Uint32Array
  left: Float64Array
  right: Float64Array
  low: Float64Array
  high: Float64Array
  next: Uint32Array
  loop: Uint32Array
}

/** Empty scratch arrays. */
export const crossingRoom = (): CrossingRoom => ({
  order: new Uint32Array(0),
  left: new Float64Array(0),
  right: new Float64Array(0),
  low: new Float64Array(0),
  high: new Float64Array(0),
  next: new Uint32Array(0),
  loop: new Uint32Array(0),
})

const enlarge = (room: CrossingRoom, n: number): void => {
  if (room.order.length >= n) return
  const size = 2 * n
  room.order = new Uint32Array(size)
  room.left = new Float64Array(size)
  room.right = new Float64Array(size)
  room.low = new Float64Array(size)
  room.high = new Float64Array(size)
  room.next = new Uint32Array(size)
  room.loop = new Uint32Array(size)
}

/**
 * True when two segments of the given loops cross or touch, other than neighbours at their common corner.
 * @param points flat xy
 * @param starts point index where each loop starts, with the end as last entry
 */
export const loopsCross = (points: Float64Array, starts: ArrayLike<number>, room: CrossingRoom): boolean => {
  const nLoops = starts.length - 1
  const base = starts[0]
  const n = starts[nLoops] - base
  enlarge(room, n)
  const { left, right, low, high, next, loop } = room
  for (let j = 0; j < nLoops; j++) {
    for (let i = starts[j]; i < starts[j + 1]; i++) {
      const k = i + 1 < starts[j + 1] ? i + 1 : starts[j]
      const s = i - base
      const xa = points[2 * i]
      const xb = points[2 * k]
      const ya = points[2 * i + 1]
      const yb = points[2 * k + 1]
      left[s] = xa < xb ? xa : xb
      right[s] = xa < xb ? xb : xa
      low[s] = ya < yb ? ya : yb
      high[s] = ya < yb ? yb : ya
      next[s] = k - base
      loop[s] = j
      room.order[s] = s
    }
  }
  const order = room.order.subarray(0, n)
  order.sort((a, b) => left[a] - left[b])
  for (let u = 0; u < n; u++) {
    const a = order[u]
    const reach = right[a]
    for (let v = u + 1; v < n; v++) {
      const b = order[v]
      if (left[b] > reach) break
      if (low[b] > high[a] || high[b] < low[a]) continue
      if (next[a] === b || next[b] === a) continue
      if (segmentsMeet(points, base + a, base + next[a], base + b, base + next[b])) return true
    }
  }
  return false
}

/** True when segments (a, b) and (c, d), given as point indices, share at least one point. */
const segmentsMeet = (points: Float64Array, a: number, b: number, c: number, d: number): boolean => {
  const ax = points[2 * a]
  const ay = points[2 * a + 1]
  const bx = points[2 * b]
  const by = points[2 * b + 1]
  const cx = points[2 * c]
  const cy = points[2 * c + 1]
  const dx = points[2 * d]
  const dy = points[2 * d + 1]
  const c1 = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
  const d1 = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
  if ((c1 > 0 && d1 > 0) || (c1 < 0 && d1 < 0)) return false
  const a1 = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
  const b1 = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
  // Boxes overlap already (checked by the sweep), so collinear pairs meet.
  return !((a1 > 0 && b1 > 0) || (a1 < 0 && b1 < 0))
}
