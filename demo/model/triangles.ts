// Triangles of finished solids in flat arrays, and the file they are written to.

import type { Manifold } from 'manifold-3d'

/** Triangles over shared vertices, mm. */
export interface Triangles {
  /** xyz per vertex. */
  readonly positions: Float32Array
  /** Three corners per triangle, counter-clockwise seen from outside. */
  readonly triangles: Uint32Array
}

/** The solids' triangles one after the other, nothing merged between them. Throws when the library marks one as faulty. */
export const trianglesOf = (solids: readonly Manifold[]): Triangles => {
  const meshes = solids.map((solid, i) => {
    if (solid.status() !== 'NoError') throw new Error(`demo: solid ${i} is faulty (${solid.status()}): check its parts`)
    return solid.getMesh()
  })
  const positions = new Float32Array(meshes.reduce((n, m) => n + m.vertProperties.length, 0))
  const triangles = new Uint32Array(meshes.reduce((n, m) => n + m.triVerts.length, 0))
  let v = 0
  let t = 0
  for (const { vertProperties, triVerts } of meshes) {
    positions.set(vertProperties, v)
    for (let i = 0; i < triVerts.length; i++) triangles[t + i] = triVerts[i] + v / 3
    v += vertProperties.length
    t += triVerts.length
  }
  unpinch(positions, triangles)
  return { positions, triangles }
}

/**
 * Parts vertices that came to lie in one place, where a crevice pinches: each moves a fifth of the way to the middle of
 * its own neighbours. A reader that joins equal places would else make edges of more than two faces there.
 */
const unpinch = (positions: Float32Array, triangles: Uint32Array): void => {
  const firstAt = new Map<string, number>()
  const pinched = new Map<number, { n: number; sum: [number, number, number] }>()
  for (let v = 0; v < positions.length / 3; v++) {
    const place = [0, 1, 2].map((k) => Math.round(positions[3 * v + k] * 1e4)).join()
    const first = firstAt.get(place)
    if (first === undefined) firstAt.set(place, v)
    else for (const w of [first, v]) pinched.set(w, { n: 0, sum: [0, 0, 0] })
  }
  for (let t = 0; t < triangles.length; t++) {
    const one = pinched.get(triangles[t])
    if (one === undefined) continue
    const next = triangles[t % 3 === 2 ? t - 2 : t + 1]
    one.n++
    for (let k = 0; k < 3; k++) one.sum[k] += positions[3 * next + k]
  }
  for (const [v, { n, sum }] of pinched)
    for (let k = 0; k < 3; k++) positions[3 * v + k] += 0.2 * (sum[k] / n - positions[3 * v + k])
}

/** Binary PLY, little endian: float x y z per vertex, then lists of three corner numbers. `comment` goes in the header. */
export const writePly = ({ positions, triangles }: Triangles, comment: string): Uint8Array => {
  const nVertices = positions.length / 3
  const nFaces = triangles.length / 3
  const header = new TextEncoder().encode(
    `ply\nformat binary_little_endian 1.0\ncomment ${comment}\nelement vertex ${nVertices}\n` +
      'property float x\nproperty float y\nproperty float z\n' +
      `element face ${nFaces}\nproperty list uchar uint vertex_indices\nend_header\n`,
  )
  const bytes = new Uint8Array(header.length + 12 * nVertices + 13 * nFaces)
  bytes.set(header)
  const view = new DataView(bytes.buffer, header.length)
  for (let i = 0; i < positions.length; i++) view.setFloat32(4 * i, positions[i], true)
  let at = 12 * nVertices
  for (let i = 0; i < nFaces; i++) {
    view.setUint8(at, 3)
    for (let k = 0; k < 3; k++) view.setUint32(at + 1 + 4 * k, triangles[3 * i + k], true)
    at += 13
  }
  return bytes
}

/**
 * Takes out the triangles round one vertex, as a careless deletion does: of the vertices within `reach` of a point, the
 * one whose ring of triangles is nearest to `across` wide. One hole, one rim.
 */
export const pierce = (
  { positions, triangles }: Triangles,
  near: readonly number[],
  reach: number,
  across: number,
): Triangles => {
  const ringOf = new Map<number, number[]>()
  const away = (v: number, w: number) =>
    Math.hypot(
      positions[3 * v] - positions[3 * w],
      positions[3 * v + 1] - positions[3 * w + 1],
      positions[3 * v + 2] - positions[3 * w + 2],
    )
  for (let v = 0; v < positions.length / 3; v++)
    if (Math.hypot(positions[3 * v] - near[0], positions[3 * v + 1] - near[1], positions[3 * v + 2] - near[2]) <= reach)
      ringOf.set(v, [])
  for (let t = 0; t < triangles.length; t++) {
    const corners = ringOf.get(triangles[t])
    if (corners === undefined) continue
    const first = t - (t % 3)
    for (let k = 0; k < 3; k++) if (triangles[first + k] !== triangles[t]) corners.push(triangles[first + k])
  }
  let chosen = -1
  let best = Number.POSITIVE_INFINITY
  for (const [v, corners] of ringOf) {
    let widest = 0
    for (const a of corners) for (const b of corners) widest = Math.max(widest, away(a, b))
    if (Math.abs(widest - across) < best) {
      best = Math.abs(widest - across)
      chosen = v
    }
  }
  if (chosen < 0)
    throw new Error(`demo: no vertex within ${reach} mm of ${near.join(', ')}: move the hole onto the surface`)
  const kept: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]]
    if (a !== chosen && b !== chosen && c !== chosen) kept.push(a - +(a > chosen), b - +(b > chosen), c - +(c > chosen))
  }
  const left = new Float32Array(positions.length - 3)
  left.set(positions.subarray(0, 3 * chosen))
  left.set(positions.subarray(3 * chosen + 3), 3 * chosen)
  return { positions: left, triangles: Uint32Array.from(kept) }
}
