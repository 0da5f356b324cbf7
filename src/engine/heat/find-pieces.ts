// The pieces of every layer, with the air they meet: area, width, outer side, what they rest on.
//
// A piece is what hangs together in one layer. Its width is 4 area / perimeter, the diameter of a round one: it sets how the air cools it.
// Its perimeter comes from the outer shells' lengths, which are exact; where there is none, from counting cell faces in eight directions
// (weights that are right for straight walls along the cells and at 45 degrees, Crofton's way).

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import type { LaidCells } from './lay-cells.ts'

export interface Pieces {
  readonly n: number
  /** Piece of each cell, -1 for empty cells. */
  readonly of: Int32Array
  /** Pieces of layer i are layerStart[i] to layerStart[i+1]-1. */
  readonly layerStart: Int32Array
  /** Plastic, mm2; outline with what it shuts in, mm2; perimeter, mm; width 4 A / P, mm; middle, xy. */
  readonly plasticMm2: Float64Array
  readonly outlineMm2: Float64Array
  readonly perimeterMm: Float64Array
  readonly widthMm: Float64Array
  readonly middle: Float64Array
  /** When it is laid: mean over its plastic, s. */
  readonly timeS: Float64Array
  /** Side of each cell that meets outside air, and that meets a hollow inside the figure, mm2. */
  readonly outsideMm2: Float32Array
  readonly insideMm2: Float32Array
  /** What piece i rests on: below[belowStart[i]] .. with the area they share, mm2. */
  readonly belowStart: Int32Array
  readonly below: Int32Array
  readonly sharedMm2: Float64Array
}

const OUTER = roleIndex('outer shell')
const FACE = Math.SQRT2 - 1
const CORNER = FACE / Math.SQRT2

/** Area inside a bead's path, positive when it runs against the clock, mm2, and its length, mm. */
const loopOf = (plan: BeadPlan, b: number): { area: number; length: number } => {
  let area = 0
  let length = 0
  for (let p = plan.beadStart[b] + 1; p < plan.beadStart[b + 1]; p++) {
    const ax = plan.points[3 * p - 3]
    const ay = plan.points[3 * p - 2]
    const bx = plan.points[3 * p]
    const by = plan.points[3 * p + 1]
    area += (ax * by - bx * ay) / 2
    length += Math.hypot(bx - ax, by - ay)
  }
  return { area, length }
}

export const findPieces = (plan: BeadPlan, laid: LaidCells): Pieces => {
  const { grid, fill } = laid
  const { cellMm, nLayers: nZ } = grid
  const rowX = grid.nX + 2
  const nColumns = rowX * (grid.nY + 2)
  const of = new Int32Array(fill.length).fill(-1)
  const outsideMm2 = new Float32Array(fill.length)
  const insideMm2 = new Float32Array(fill.length)
  const layerStart = new Int32Array(nZ + 1)
  const rows: { plastic: number; outline: number; faces: number; x: number; y: number }[] = []
  // Per column of the layer at hand: 1 outside air; and the piece.
  const outside = new Uint8Array(nColumns)
  const stack = new Int32Array(nColumns)
  const four = [1, -1, rowX, -rowX]
  const diagonal = [rowX + 1, rowX - 1, -rowX + 1, -rowX - 1]
  const eight = [...four, ...diagonal]

  for (let z = 0; z < nZ; z++) {
    layerStart[z] = rows.length
    outside.fill(0)
    let top = 0
    stack[top++] = 0
    outside[0] = 1
    while (top > 0) {
      const c = stack[--top]
      for (const step of four) {
        const next = c + step
        if (next < 0 || next >= nColumns || outside[next] === 1 || fill[z * nColumns + next] > 0) continue
        // The border is one frame: a step that leaves a row at its end comes out in the border again.
        outside[next] = 1
        stack[top++] = next
      }
    }
    for (let c = 0; c < nColumns; c++) {
      if (fill[z * nColumns + c] === 0 || of[z * nColumns + c] >= 0) continue
      const id = rows.length
      const row = { plastic: 0, outline: 0, faces: 0, x: 0, y: 0 }
      of[z * nColumns + c] = id
      stack[top++] = c
      while (top > 0) {
        const at = stack[--top]
        const f = fill[z * nColumns + at]
        row.plastic += f
        row.x += f * (at % rowX)
        row.y += f * Math.floor(at / rowX)
        let open = 0
        let shut = 0
        for (const step of eight) {
          const next = at + step
          const i = z * nColumns + next
          if (fill[i] > 0) {
            if (of[i] < 0) {
              of[i] = id
              stack[top++] = next
            }
            continue
          }
          const w = step === 1 || step === -1 || step === rowX || step === -rowX ? FACE : CORNER
          if (outside[next] === 1) open += w
          else shut += w
        }
        outsideMm2[z * nColumns + at] = open
        insideMm2[z * nColumns + at] = shut
        row.faces += open
      }
      rows.push(row)
    }
    // Hollows belong to the piece beside them.
    let holder = -1
    for (let c = 0; c < nColumns; c++) {
      const id = of[z * nColumns + c]
      if (id >= 0) holder = id
      else if (outside[c] === 0 && holder >= 0) rows[holder].outline++
    }
  }
  layerStart[nZ] = rows.length

  const n = rows.length
  const shells = new Float64Array(n)
  const timeS = new Float64Array(n)
  const volume = new Float64Array(n)
  for (let e = 0; e < laid.nLandings; e++) {
    const id = of[laid.cell[e]]
    volume[id] += laid.volume[e]
    timeS[id] += laid.volume[e] * laid.timeS[e]
  }
  for (let i = 0; i < n; i++) timeS[i] /= volume[i]
  let bead = -1
  for (let e = 0; e < laid.nLandings; e++) {
    if (laid.bead[e] === bead) continue
    bead = laid.bead[e]
    if (plan.role[bead] !== OUTER || plan.closed[bead] === 0) continue
    const { area, length } = loopOf(plan, bead)
    if (area > 0) shells[of[laid.cell[e]]] += length + Math.PI * plan.width[bead]
  }
  const plasticMm2 = new Float64Array(n)
  const outlineMm2 = new Float64Array(n)
  const perimeterMm = new Float64Array(n)
  const widthMm = new Float64Array(n)
  const middle = new Float64Array(2 * n)
  const scale = new Float64Array(n)
  rows.forEach((row, i) => {
    const square = cellMm * cellMm
    plasticMm2[i] = row.plastic * square
    outlineMm2[i] = (row.plastic + row.outline) * square
    const counted = row.faces * cellMm
    perimeterMm[i] = shells[i] > 0 ? Math.min(1.6, Math.max(0.5, shells[i] / counted)) * counted : counted
    widthMm[i] = (4 * outlineMm2[i]) / perimeterMm[i]
    middle[2 * i] = grid.x0 + (row.x / row.plastic - 0.5) * cellMm
    middle[2 * i + 1] = grid.y0 + (row.y / row.plastic - 0.5) * cellMm
    scale[i] = perimeterMm[i] / counted
  })

  const belowStart = new Int32Array(n + 1)
  const below: number[] = []
  const shared: number[] = []
  const found = new Map<number, number>()
  const links: Map<number, number>[] = rows.map(() => found)
  for (let z = 0; z < nZ; z++)
    for (let c = 0; c < nColumns; c++) {
      const i = z * nColumns + c
      const id = of[i]
      if (id < 0) continue
      const side = cellMm * plan.layerHeight[z]
      outsideMm2[i] *= side * scale[id]
      insideMm2[i] *= side
      if (z === 0 || of[i - nColumns] < 0) continue
      if (links[id] === found) links[id] = new Map()
      const area = Math.min(1, fill[i], fill[i - nColumns]) * cellMm * cellMm
      links[id].set(of[i - nColumns], (links[id].get(of[i - nColumns]) ?? 0) + area)
    }
  for (let i = 0; i < n; i++) {
    for (const [id, area] of links[i]) {
      below.push(id)
      shared.push(area)
    }
    belowStart[i + 1] = below.length
  }
  return {
    n,
    of,
    layerStart,
    plasticMm2,
    outlineMm2,
    perimeterMm,
    widthMm,
    middle,
    timeS,
    outsideMm2,
    insideMm2,
    belowStart,
    below: Int32Array.from(below),
    sharedMm2: Float64Array.from(shared),
  }
}
