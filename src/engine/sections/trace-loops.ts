// Raw closed loops of all layers from triangles and their neighbours.
//
// Every vertex gets the number of cuts at or below it, so "above the cut" is a comparison of whole numbers: vertices that lie
// exactly on a plane count as above, in every triangle alike, and the loops of a closed mesh always close. A triangle's piece
// of outline runs from its falling edge to its rising edge, with the solid on the left; the walk goes on across the rising edge.
// Time grows with triangles plus pieces (the bound of Minetto et al., Computer-Aided Design 92, 2017, for sorted planes).

import type { Mesh } from '../mesh/index.ts'

/** Loops of all layers, closed, plus chains that ended at an open edge. */
export interface RawLoops {
  /** Points of chain j are chainStart[j] to chainStart[j+1]-1. */
  readonly chainStart: Uint32Array
  /** xy per point, mm. */
  readonly points: Float64Array
  /** 1 when the chain closes on itself. */
  readonly closed: Uint8Array
  /** Chains of layer i are layerStart[i] to layerStart[i+1]-1; length nLayers+1. */
  readonly layerStart: Uint32Array
}

/** Number of cuts at or below every vertex. */
const levelsOf = (positions: Float64Array, cutZ: Float64Array): Uint32Array => {
  const n = positions.length / 3
  const level = new Uint32Array(n)
  const nCuts = cutZ.length
  const low = cutZ[0]
  const step = nCuts > 1 ? (cutZ[nCuts - 1] - low) / (nCuts - 1) : 1
  for (let v = 0; v < n; v++) {
    const z = positions[3 * v + 2]
    let k = Math.floor((z - low) / step) + 1
    if (!(k > 0)) k = 0
    else if (k > nCuts) k = nCuts
    // The guess is right up to rounding and the odd first layer; settle it by comparing.
    while (k > 0 && cutZ[k - 1] > z) k--
    while (k < nCuts && cutZ[k] <= z) k++
    level[v] = k
  }
  return level
}

/** Triangles that cross each cut, in the compressed-row manner. */
const trianglesByCut = (
  triangles: Uint32Array,
  level: Uint32Array,
  nCuts: number,
): { start: Uint32Array; items: Uint32Array } => {
  const nTriangles = triangles.length / 3
  // Differences first, then running sums: long triangles cost no more than short ones here.
  const change = new Int32Array(nCuts + 1)
  for (let t = 0, c = 0; t < nTriangles; t++, c += 3) {
    const a = level[triangles[c]]
    const b = level[triangles[c + 1]]
    const d = level[triangles[c + 2]]
    const lo = a < b ? (a < d ? a : d) : b < d ? b : d
    const hi = a > b ? (a > d ? a : d) : b > d ? b : d
    if (lo !== hi) {
      change[lo]++
      change[hi]--
    }
  }
  const start = new Uint32Array(nCuts + 1)
  let crossing = 0
  for (let k = 0; k < nCuts; k++) {
    crossing += change[k]
    start[k + 1] = start[k] + crossing
  }
  const items = new Uint32Array(start[nCuts])
  const fill = start.slice(0, nCuts)
  for (let t = 0, c = 0; t < nTriangles; t++, c += 3) {
    const a = level[triangles[c]]
    const b = level[triangles[c + 1]]
    const d = level[triangles[c + 2]]
    const lo = a < b ? (a < d ? a : d) : b < d ? b : d
    const hi = a > b ? (a > d ? a : d) : b > d ? b : d
    for (let k = lo; k < hi; k++) items[fill[k]++] = t
  }
  return { start, items }
}

/**
 * Traces the outlines of a mesh at every cut height.
 * @param neighbours for half-edge 3*t+e the half-edge on the other side, or -1; see edgeNeighbours in the mesh room
 * @param cutZ heights of the cuts, mm, rising
 */
export const traceLoops = (mesh: Mesh, neighbours: Int32Array, cutZ: Float64Array): RawLoops => {
  const { positions, triangles } = mesh
  const nCuts = cutZ.length
  const nTriangles = triangles.length / 3
  const level = levelsOf(positions, cutZ)
  const { start, items } = trianglesByCut(triangles, level, nCuts)
  const open = neighbours.indexOf(-1) >= 0

  const visited = new Uint32Array(nTriangles)
  let points = new Float64Array(2 * items.length + 4096)
  let chainStart = new Uint32Array(1024)
  let closedFlags = new Uint8Array(1024)
  const layerStart = new Uint32Array(nCuts + 1)
  let nChains = 0
  let at = 0

  const grow = (): void => {
    const more = new Uint32Array(chainStart.length * 2)
    more.set(chainStart)
    chainStart = more
    const flags = new Uint8Array(closedFlags.length * 2)
    flags.set(closedFlags)
    closedFlags = flags
  }
  const emit = (below: number, above: number, z: number): void => {
    const za = positions[3 * below + 2]
    const zb = positions[3 * above + 2]
    const s = (z - za) / (zb - za)
    const xa = positions[3 * below]
    const ya = positions[3 * below + 1]
    points[2 * at] = xa + s * (positions[3 * above] - xa)
    points[2 * at + 1] = ya + s * (positions[3 * above + 1] - ya)
    at++
  }
  /** Walks from a triangle across rising edges until it returns or meets an open edge; true when it closed. */
  const walk = (first: number, k: number, z: number): boolean => {
    let t = first
    for (;;) {
      visited[t] = k + 1
      const c = 3 * t
      const v0 = triangles[c]
      const v1 = triangles[c + 1]
      const v2 = triangles[c + 2]
      const up0 = level[v0] > k
      const up1 = level[v1] > k
      const up2 = level[v2] > k
      let half: number
      if (!up0 && up1) {
        emit(v0, v1, z)
        half = c
      } else if (!up1 && up2) {
        emit(v1, v2, z)
        half = c + 1
      } else {
        emit(v2, v0, z)
        half = c + 2
      }
      const other = neighbours[half]
      if (other < 0) return false
      t = (other / 3) | 0
      if (t === first) return true
      // Only a wrongly paired mesh can meet an old piece here; end the chain rather than run round for ever.
      if (visited[t] === k + 1) return false
    }
  }
  const finishChain = (from: number, closes: boolean): void => {
    if (nChains + 2 > chainStart.length) grow()
    chainStart[nChains] = from
    closedFlags[nChains] = closes ? 1 : 0
    nChains++
  }

  for (let k = 0; k < nCuts; k++) {
    const z = cutZ[k]
    layerStart[k] = nChains
    const lo = start[k]
    const hi = start[k + 1]
    // Chains at open edges add one starting point each beyond one point a triangle.
    if (open && points.length < 2 * (at + 2 * (hi - lo) + 2)) {
      const more = new Float64Array(Math.max(points.length * 2, 2 * (at + 2 * (hi - lo) + 2)))
      more.set(points)
      points = more
    }
    if (open) {
      for (let i = lo; i < hi; i++) {
        const t = items[i]
        const c = 3 * t
        for (let e = 0; e < 3; e++) {
          const a = triangles[c + e]
          const b = triangles[c + ((e + 1) % 3)]
          if (level[a] > k && level[b] <= k && neighbours[c + e] < 0 && visited[t] !== k + 1) {
            const from = at
            emit(b, a, z)
            walk(t, k, z)
            finishChain(from, false)
          }
        }
      }
    }
    for (let i = lo; i < hi; i++) {
      const t = items[i]
      if (visited[t] === k + 1) continue
      const from = at
      finishChain(from, walk(t, k, z))
    }
  }
  layerStart[nCuts] = nChains
  chainStart[nChains] = at
  return {
    chainStart: chainStart.slice(0, nChains + 1),
    points: points.subarray(0, 2 * at),
    closed: closedFlags.slice(0, nChains),
    layerStart,
  }
}
