// Volume, area, centre and inertia of the solid inside a mesh, exact for its triangles.
// Source: Mirtich, "Fast and accurate computation of polyhedral mass properties", J. Graphics Tools 1(2), 1996, in the per-triangle
// form of Eberly, "Polyhedral mass properties (revisited)".

import type { MassProperties, Mesh } from './types.ts'

/**
 * Mass properties at density 1. A mesh without volume has its centre of area as centre, and no inertia. For a torn mesh they are
 * those of the solid closed by cones from each hole's rim to the middle of the box: near the truth for small holes only.
 */
export const massOf = ({ positions, triangles }: Pick<Mesh, 'positions' | 'triangles'>): MassProperties => {
  const n = positions.length
  if (triangles.length === 0) return { volume: 0, area: 0, centre: [0, 0, 0], inertia: [0, 0, 0, 0, 0, 0] }
  // Reckoned from the middle of the box, or far-off coordinates would eat the digits of the inertia.
  let minX = Infinity
  let minY = Infinity
  let minZ = Infinity
  let maxX = -Infinity
  let maxY = -Infinity
  let maxZ = -Infinity
  for (let i = 0; i < n; i += 3) {
    const x = positions[i]
    const y = positions[i + 1]
    const z = positions[i + 2]
    if (x < minX) minX = x
    if (x > maxX) maxX = x
    if (y < minY) minY = y
    if (y > maxY) maxY = y
    if (z < minZ) minZ = z
    if (z > maxZ) maxZ = z
  }
  const ox = (minX + maxX) / 2
  const oy = (minY + maxY) / 2
  const oz = (minZ + maxZ) / 2
  let area2 = 0
  let areaX = 0
  let areaY = 0
  let areaZ = 0
  let v6 = 0
  let sx = 0
  let sy = 0
  let sz = 0
  let sxx = 0
  let syy = 0
  let szz = 0
  let sxy = 0
  let syz = 0
  let szx = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ax = positions[a] - ox
    const ay = positions[a + 1] - oy
    const az = positions[a + 2] - oz
    const bx = positions[b] - ox
    const by = positions[b + 1] - oy
    const bz = positions[b + 2] - oz
    const cx = positions[c] - ox
    const cy = positions[c + 1] - oy
    const cz = positions[c + 2] - oz
    const nx = (by - ay) * (cz - az) - (bz - az) * (cy - ay)
    const ny = (bz - az) * (cx - ax) - (bx - ax) * (cz - az)
    const nz = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz)
    const gx = ax + bx + cx
    const gy = ay + by + cy
    const gz = az + bz + cz
    area2 += twice
    areaX += twice * gx
    areaY += twice * gy
    areaZ += twice * gz
    // Signed tetrahedron from the origin: its volume times 6, and its moments.
    const d = ax * nx + ay * ny + az * nz
    v6 += d
    sx += d * gx
    sy += d * gy
    sz += d * gz
    sxx += d * (gx * gx + ax * ax + bx * bx + cx * cx)
    syy += d * (gy * gy + ay * ay + by * by + cy * cy)
    szz += d * (gz * gz + az * az + bz * bz + cz * cz)
    sxy += d * (gx * gy + ax * ay + bx * by + cx * cy)
    syz += d * (gy * gz + ay * az + by * bz + cy * cz)
    szx += d * (gz * gx + az * ax + bz * bx + cz * cx)
  }
  const volume = v6 / 6
  const area = area2 / 2
  const box = (maxX - minX) * (maxY - minY) * (maxZ - minZ)
  if (Math.abs(volume) <= 1e-12 * Math.max(box, area ** 1.5)) {
    const share = area2 > 0 ? 1 / (3 * area2) : 0
    return {
      volume,
      area,
      centre: [ox + areaX * share, oy + areaY * share, oz + areaZ * share],
      inertia: [0, 0, 0, 0, 0, 0],
    }
  }
  const mx = sx / (4 * v6)
  const my = sy / (4 * v6)
  const mz = sz / (4 * v6)
  const xx = sxx / 120 - volume * mx * mx
  const yy = syy / 120 - volume * my * my
  const zz = szz / 120 - volume * mz * mz
  return {
    volume,
    area,
    centre: [ox + mx, oy + my, oz + mz],
    inertia: [
      yy + zz,
      zz + xx,
      xx + yy,
      sxy / 120 - volume * mx * my,
      syz / 120 - volume * my * mz,
      szx / 120 - volume * mz * mx,
    ],
  }
}
