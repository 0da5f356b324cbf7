// Closed chains of open edges: where they are and how long they are.

/**
 * Walks round every hole.
 * @param open half-edges with nothing across
 * @returns x, y, z of the middle and the length round, four numbers a hole
 */
export const findHoles = (
  positions: Float64Array,
  triangles: Uint32Array,
  neighbours: Int32Array,
  open: readonly number[],
): Float64Array => {
  if (open.length === 0) return new Float64Array(0)
  const seen = new Uint8Array(neighbours.length)
  const holes: number[] = []
  for (const first of open) {
    if (seen[first]) continue
    let length = 0
    let x = 0
    let y = 0
    let z = 0
    let h = first
    while (!seen[h]) {
      seen[h] = 1
      let after = h % 3 === 2 ? h - 2 : h + 1
      const a = 3 * triangles[h]
      const b = 3 * triangles[after]
      const side = Math.hypot(
        positions[b] - positions[a],
        positions[b + 1] - positions[a + 1],
        positions[b + 2] - positions[a + 2],
      )
      length += side
      x += (side * (positions[a] + positions[b])) / 2
      y += (side * (positions[a + 1] + positions[b + 1])) / 2
      z += (side * (positions[a + 2] + positions[b + 2])) / 2
      // Turn round the far vertex, from triangle to triangle, to the next edge with nothing across. The turn ends, because
      // stepping across is one to one and the edge it came from has nothing across.
      while (neighbours[after] >= 0) {
        const g = neighbours[after]
        after = g % 3 === 2 ? g - 2 : g + 1
      }
      h = after
    }
    if (length > 0) holes.push(x / length, y / length, z / length, length)
  }
  return Float64Array.from(holes)
}
