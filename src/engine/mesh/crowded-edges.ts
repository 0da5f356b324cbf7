// Pairs the triangles round an edge that more than two of them share, so that surfaces that touch or overlap there stay closed.

/**
 * Sorts the triangles by angle round the edge and pairs each face behind which the solid begins with the face that ends it, as
 * brackets pair. Two solids that touch along an edge stay apart. Faces without a partner keep -1.
 * @param edge half-edges at this edge: 2*h when it runs from lower to higher, 2*h+1 back
 * @param neighbours gets the pairs
 */
export const pairCrowded = (
  positions: Float64Array,
  triangles: Uint32Array,
  lower: number,
  higher: number,
  edge: readonly number[],
  neighbours: Int32Array,
): void => {
  const x = positions[3 * lower]
  const y = positions[3 * lower + 1]
  const z = positions[3 * lower + 2]
  const axis = [positions[3 * higher] - x, positions[3 * higher + 1] - y, positions[3 * higher + 2] - z]
  const length = Math.hypot(axis[0], axis[1], axis[2])
  const [ax, ay, az] = axis.map((s) => s / length)
  // Two directions across the axis, right-handed with it: u from the world axis least along it, w = axis x u.
  const least = Math.min(Math.abs(ax), Math.abs(ay), Math.abs(az))
  let [ux, uy, uz] = least === Math.abs(ax) ? [0, -az, ay] : least === Math.abs(ay) ? [az, 0, -ax] : [-ay, ax, 0]
  const size = Math.hypot(ux, uy, uz)
  ux /= size
  uy /= size
  uz /= size
  const wx = ay * uz - az * uy
  const wy = az * ux - ax * uz
  const wz = ax * uy - ay * ux
  const faces = edge.map((coded) => {
    const h = coded >> 1
    const third = triangles[h - (h % 3) + ((h + 2) % 3)]
    const dx = positions[3 * third] - x
    const dy = positions[3 * third + 1] - y
    const dz = positions[3 * third + 2] - z
    const angle = Math.atan2(dx * wx + dy * wy + dz * wz, dx * ux + dy * uy + dz * uz)
    return { h, back: coded & 1, angle }
  })
  // Counter-clockwise round the axis the solid begins behind a face that runs back along it, and ends at one that runs forward.
  // Where faces lie on each other the ending comes first, so that solids sharing a face stay apart.
  faces.sort((a, b) => a.angle - b.angle || a.back - b.back || a.h - b.h)
  let depth = 0
  let lowest = 0
  let start = 0
  faces.forEach(({ back }, i) => {
    depth += back ? 1 : -1
    if (depth < lowest) {
      lowest = depth
      start = i + 1
    }
  })
  const begun: number[] = []
  for (let i = 0; i < faces.length; i++) {
    const { h, back } = faces[(start + i) % faces.length]
    if (back) begun.push(h)
    else if (begun.length > 0) {
      const g = begun.pop() as number
      neighbours[h] = g
      neighbours[g] = h
    }
  }
}
