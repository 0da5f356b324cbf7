// Makes a mesh of loose triangles: welds, drops what has no area or stands twice, turns triangles and shells the right way, counts faults.

import { markDoubled } from './doubled-triangles.ts'
import { pairEdges } from './edge-pairs.ts'
import { removeFlat, withoutTriangles } from './flat-triangles.ts'
import { findHoles } from './holes.ts'
import { turnInsideOutShells } from './inside-out.ts'
import { orientPieces } from './orient.ts'
import { labelShells } from './shells.ts'
import type { Mesh, MeshHealth } from './types.ts'
import { weld } from './weld.ts'

/** A mesh and what is known of its health. */
export interface PreparedMesh {
  readonly mesh: Mesh
  readonly health: MeshHealth
  /** Half-edge across each half-edge, as edgeNeighbours gives it. */
  readonly neighbours: Int32Array
}

/**
 * Prepares triangles for the rooms that follow. Every shell is kept, also where shells overlap.
 * @param positions xyz per vertex, finite
 * @param triangles three vertices per triangle, or null when every three positions are a triangle; not changed
 */
export const prepareMesh = (
  positions: Float32Array | Float64Array,
  triangles: Uint32Array | null = null,
): PreparedMesh => {
  const welded = weld(positions)
  const cornerVertices = triangles ? triangles.map((v) => welded.vertexOf[v]) : welded.vertexOf
  const { corners, nRepeated } = dropRepeatedCorners(cornerVertices)
  const flatless = removeFlat(welded.positions, corners)
  let list = flatless.triangles
  let pairs = pairEdges(welded.positions, list)
  const doubled = markDoubled(list, pairs)
  let nDoubled = 0
  if (doubled) {
    const before = list.length
    list = withoutTriangles(list, (t) => doubled[t] === 1)
    nDoubled = (before - list.length) / 3
    pairs = pairEdges(welded.positions, list)
  }
  const nTurnedTriangles = orientPieces(list, pairs)
  if (nTurnedTriangles > 0) pairs = pairEdges(welded.positions, list)
  let shells = labelShells(pairs.neighbours)
  const turned = turnInsideOutShells(
    welded.positions,
    list,
    shells.shellOf,
    shells.nShells,
    pairs.neighbours,
    pairs.open,
  )
  if (turned.nTurned > 0) {
    pairs = pairEdges(welded.positions, list)
    shells = labelShells(pairs.neighbours)
  }
  const used = dropUnusedVertices(welded.positions, list)
  const holes = findHoles(used, list, pairs.neighbours, pairs.open)
  const mesh: Mesh = { kind: 'mesh', positions: used, triangles: list, ...shells }
  const health: MeshHealth = {
    nTriangles: list.length / 3,
    nVertices: used.length / 3,
    nShells: shells.nShells,
    nOpenEdges: pairs.open.length,
    nHoles: holes.length / 4,
    holes,
    nCrowdedEdges: pairs.nCrowdedEdges,
    nDoubledTriangles: nDoubled,
    nFlatTriangles: nRepeated + flatless.nFlat,
    nInsideOutShells: turned.nTurned,
    nTurnedTriangles,
    nCavities: turned.nCavities,
    closed: list.length > 0 && !pairs.neighbours.includes(-1),
  }
  return { mesh, health, neighbours: pairs.neighbours }
}

const dropRepeatedCorners = (given: Uint32Array): { corners: Uint32Array; nRepeated: number } => {
  let nRepeated = 0
  for (let t = 0; t + 2 < given.length; t += 3) {
    if (given[t] === given[t + 1] || given[t + 1] === given[t + 2] || given[t + 2] === given[t]) nRepeated++
  }
  if (nRepeated === 0) return { corners: given, nRepeated }
  const corners = withoutTriangles(given, (t) => {
    const [a, b, c] = [given[3 * t], given[3 * t + 1], given[3 * t + 2]]
    return a === b || b === c || c === a
  })
  return { corners, nRepeated }
}

/** Drops vertices that no triangle uses, and renumbers the triangles in place. */
const dropUnusedVertices = (positions: Float64Array, triangles: Uint32Array): Float64Array => {
  const n = positions.length / 3
  const newNumber = new Uint32Array(n)
  for (let i = 0; i < triangles.length; i++) newNumber[triangles[i]] = 1
  let nUsed = 0
  for (let v = 0; v < n; v++) if (newNumber[v] === 1) newNumber[v] = nUsed++
  if (nUsed === n) return positions
  const kept = new Float64Array(3 * nUsed)
  const isUsed = new Uint8Array(n)
  for (let i = 0; i < triangles.length; i++) {
    const v = triangles[i]
    if (isUsed[v] === 0) {
      isUsed[v] = 1
      kept.set(positions.subarray(3 * v, 3 * v + 3), 3 * newNumber[v])
    }
    triangles[i] = newNumber[v]
  }
  return kept
}
