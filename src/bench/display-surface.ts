// A mesh made ready for the screen: single precision, normals, thinned by joining corners in small cells when it is large.

import type { Mesh } from '../engine/mesh/index.ts'
import type { DisplaySurface, SurfaceQuantity } from './messages.ts'

/** Above this many triangles the surface is thinned. */
const MANY_TRIANGLES = 260_000
/** Edge of a cell in which corners become one, mm: under two pixels on a large screen. */
const CELL_MM = 0.09

/** Cell index per vertex by an open-addressed table: 21 bits per axis would not fit one number, so keys are compared by parts. */
const joinCorners = (positions: Float64Array) => {
  const n = positions.length / 3
  let size = 1
  while (size < 2 * n) size *= 2
  const table = new Int32Array(size).fill(-1)
  const cellOf = new Uint32Array(n)
  const firstOf: number[] = []
  const cell = (i: number, axis: number) => Math.floor(positions[3 * i + axis] / CELL_MM)
  for (let i = 0; i < n; i++) {
    const [x, y, z] = [cell(i, 0), cell(i, 1), cell(i, 2)]
    let slot = ((x * 73856093) ^ (y * 19349663) ^ (z * 83492791)) & (size - 1)
    for (;;) {
      const found = table[slot]
      if (found < 0) {
        table[slot] = firstOf.length
        cellOf[i] = firstOf.length
        firstOf.push(i)
        break
      }
      const other = firstOf[found]
      if (cell(other, 0) === x && cell(other, 1) === y && cell(other, 2) === z) {
        cellOf[i] = found
        break
      }
      slot = (slot + 1) & (size - 1)
    }
  }
  return { cellOf, firstOf }
}

const thinned = (mesh: Mesh) => {
  const { cellOf, firstOf } = joinCorners(mesh.positions)
  const positions = new Float32Array(3 * firstOf.length)
  firstOf.forEach((i, k) => {
    for (let axis = 0; axis < 3; axis++) positions[3 * k + axis] = mesh.positions[3 * i + axis]
  })
  const kept = new Uint32Array(mesh.triangles.length)
  let n = 0
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = [cellOf[mesh.triangles[t]], cellOf[mesh.triangles[t + 1]], cellOf[mesh.triangles[t + 2]]]
    if (a === b || b === c || c === a) continue
    kept[n++] = a
    kept[n++] = b
    kept[n++] = c
  }
  return { positions, triangles: kept.slice(0, n), firstOf }
}

/** Normals evened out over the triangles round each vertex, weighted by area. */
export const vertexNormals = (positions: Float32Array, triangles: Uint32Array): Float32Array => {
  const normals = new Float32Array(positions.length)
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const [ux, uy, uz] = [
      positions[b] - positions[a],
      positions[b + 1] - positions[a + 1],
      positions[b + 2] - positions[a + 2],
    ]
    const [vx, vy, vz] = [
      positions[c] - positions[a],
      positions[c + 1] - positions[a + 1],
      positions[c + 2] - positions[a + 2],
    ]
    const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    for (const i of [a, b, c]) {
      normals[i] += nx
      normals[i + 1] += ny
      normals[i + 2] += nz
    }
  }
  for (let i = 0; i < normals.length; i += 3) {
    const length = Math.hypot(normals[i], normals[i + 1], normals[i + 2]) || 1
    normals[i] /= length
    normals[i + 1] /= length
    normals[i + 2] /= length
  }
  return normals
}

/**
 * Makes the surface to show.
 * @param quantities what can be laid over it, each with a value for every vertex of the mesh
 */
export const displaySurface = (mesh: Mesh, quantities: readonly SurfaceQuantity[] = []): DisplaySurface => {
  const many = mesh.triangles.length / 3 > MANY_TRIANGLES
  const { positions, triangles, firstOf } = many
    ? thinned(mesh)
    : { positions: Float32Array.from(mesh.positions), triangles: mesh.triangles.slice(), firstOf: null }
  let square = 0
  for (let i = 0; i < positions.length; i += 3) square = Math.max(square, positions[i] ** 2 + positions[i + 1] ** 2)
  return {
    positions,
    normals: vertexNormals(positions, triangles),
    triangles,
    quantities: quantities.map((quantity) => ({
      ...quantity,
      values: firstOf ? Float32Array.from(firstOf, (i) => quantity.values[i]) : quantity.values.slice(),
    })),
    reachMm: Math.sqrt(square),
  }
}
