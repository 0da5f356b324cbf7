// The normal of one triangle, and its area.

/**
 * Writes the outward unit normal of a triangle, zero where it has no area.
 * @param normal xyz, written to
 * @returns twice the triangle's area, mm2
 */
export const facetNormal = (
  positions: ArrayLike<number>,
  triangles: ArrayLike<number>,
  triangle: number,
  normal: Float64Array,
): number => {
  const a = 3 * triangles[3 * triangle]
  const b = 3 * triangles[3 * triangle + 1]
  const c = 3 * triangles[3 * triangle + 2]
  const ux = positions[b] - positions[a]
  const uy = positions[b + 1] - positions[a + 1]
  const uz = positions[b + 2] - positions[a + 2]
  const vx = positions[c] - positions[a]
  const vy = positions[c + 1] - positions[a + 1]
  const vz = positions[c + 2] - positions[a + 2]
  const x = uy * vz - uz * vy
  const y = uz * vx - ux * vz
  const z = ux * vy - uy * vx
  const twice = Math.sqrt(x * x + y * y + z * z)
  normal[0] = twice > 0 ? x / twice : 0
  normal[1] = twice > 0 ? y / twice : 0
  normal[2] = twice > 0 ? z / twice : 0
  return twice
}
