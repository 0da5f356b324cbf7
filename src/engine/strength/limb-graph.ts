// Limbs of a solid: a wave runs from what is held through the plastic; each piece of a wave front is a station on a limb.
//
// The pieces and their neighbours are the Reeb graph of the distance within the solid (Hilaga et al. 2001; Lazarus & Verroust 1999):
// a limb is a chain of pieces, a fork has three neighbours, two waves that meet close a ring (a shaft held by hand and base).
// Limit: what is joined to nothing that is held is left out; fronts are slanted by up to the error of stepwise distance, 4 %.

import type { FillGrid } from './fill-grid.ts'

/** Pieces of wave fronts and how they hang together. */
export interface LimbGraph {
  readonly nPieces: number
  /** Piece of each cell, -1 for air and what is not reached, -2 for what is held; length of the grid. */
  readonly pieceOf: Int32Array
  /** Solid cells in order of distance. */
  readonly cells: Int32Array
  /** Volume, mm3, and middle xyz of each piece. */
  readonly volume: Float64Array
  readonly middle: Float64Array
  /** Neighbours of each piece, without doubles. */
  readonly neighbours: readonly (readonly number[])[]
  /** 1 where the piece touches what is held. */
  readonly atHold: Uint8Array
  /** Width of a front along the limb, mm. */
  readonly frontMm: number
  /** True when everything below a height is held, a base; false when a ball about the thickest place is. */
  readonly isOnBase: boolean
  /** Volume and middle of what is held, mm3 and mm. */
  readonly heldVolume: number
  readonly heldMiddle: readonly [number, number, number]
  /** Squared radii of gyration of the held part about its middle, about x, y, z, mm2. */
  readonly heldGyration: readonly [number, number, number]
}

/** Cells at least this full carry the wave. */
const CARRIES = 0.4

/** Steps to the 26 neighbours with lengths in tenths of a cell. */
const stepsOf = (nx: number, ny: number): { offset: Int32Array; length: Uint8Array } => {
  const offset: number[] = []
  const length: number[] = []
  for (let dz = -1; dz <= 1; dz++)
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        const far = Math.abs(dx) + Math.abs(dy) + Math.abs(dz)
        if (far === 0) continue
        offset.push((dz * ny + dy) * nx + dx)
        length.push([0, 10, 14, 17][far])
      }
  return { offset: Int32Array.from(offset), length: Uint8Array.from(length) }
}

/** Cells from which the wave starts: everything below the given height, or a ball about the thickest place. */
const startCells = (grid: FillGrid, holdBelowMm: number): number[] => {
  const { nx, ny, nz, fill, depth, cellMm, origin } = grid
  const slice = nx * ny
  const cells: number[] = []
  if (holdBelowMm > origin[2]) {
    const top = Math.min(nz, Math.round((holdBelowMm - origin[2]) / cellMm))
    for (let i = 0; i < top * slice; i++) if (fill[i] >= CARRIES) cells.push(i)
    // Where the cells do not end with the base, its top is a skin of half-filled cells: with nothing above them they belong to what
    // is held, or the whole skin would be a limb of its own, and every limb that stands on it as thick as the base is wide.
    for (let i = top * slice; top > 0 && i < Math.min(nz, top + 1) * slice; i++) {
      const above = i + slice < fill.length ? fill[i + slice] : 0
      if (fill[i] >= CARRIES && above < CARRIES && fill[i - slice] >= CARRIES) cells.push(i)
    }
    return cells
  }
  // Thickest by the least of the way to the wall in its layer and the ways up and down through plastic.
  const down = new Uint16Array(fill.length)
  for (let i = 0; i < fill.length; i++) if (fill[i] >= 0.5) down[i] = 1 + (i >= slice ? down[i - slice] : 0)
  const up = new Uint16Array(slice)
  let best = 0
  let most = 0
  for (let i = fill.length - 1; i >= 0; i--) {
    const column = i % slice
    up[column] = fill[i] >= 0.5 ? up[column] + 1 : 0
    const least = Math.min(depth[i] / cellMm, down[i], up[column])
    if (least > most) {
      most = least
      best = i
    }
  }
  const r = Math.max(1, Math.floor(most))
  for (let dz = -r; dz <= r; dz++)
    for (let dy = -r; dy <= r; dy++)
      for (let dx = -r; dx <= r; dx++) {
        const cell = best + (dz * ny + dy) * nx + dx
        if (dx * dx + dy * dy + dz * dz <= r * r && fill[cell] >= CARRIES) cells.push(cell)
      }
  return cells
}

/** The graph of the limbs of a grid. */
export const limbGraph = (grid: FillGrid, holdBelowMm: number, frontCells = 2): LimbGraph => {
  const { nx, ny, nz, fill, cellMm, origin } = grid
  const slice = nx * ny
  const { offset, length } = stepsOf(nx, ny)
  const total = nx * ny * nz
  const distance = new Int32Array(total).fill(-1)
  const ring: number[][] = Array.from({ length: 18 }, () => [])
  const from = startCells(grid, holdBelowMm)
  const order: number[] = []
  const heldMiddle: [number, number, number] = [0, 0, 0]
  let heldVolume = 0
  for (const cell of from) {
    distance[cell] = 0
    const w = fill[cell]
    heldVolume += w
    heldMiddle[0] += w * (cell % nx)
    heldMiddle[1] += w * (Math.floor(cell / nx) % ny)
    heldMiddle[2] += w * Math.floor(cell / slice)
  }
  for (let c = 0; c < 3; c++) heldMiddle[c] = origin[c] + cellMm * (heldMiddle[c] / Math.max(heldVolume, 1e-12) + 0.5)
  heldVolume *= cellMm ** 3
  const spread = [0, 0, 0]
  for (const cell of from) {
    const w = fill[cell] * cellMm ** 3
    const x = [cell % nx, Math.floor(cell / nx) % ny, Math.floor(cell / slice)]
    for (let c = 0; c < 3; c++) spread[c] += (w * (origin[c] + cellMm * (x[c] + 0.5) - heldMiddle[c]) ** 2) / heldVolume
  }
  for (const cell of from) ring[0].push(cell)
  const done = new Uint8Array(total)
  let waiting = from.length
  for (let now = 0; waiting > 0; now++) {
    const list = ring[now % 18]
    for (let q = 0; q < list.length; q++) {
      const cell = list[q]
      waiting--
      if (done[cell] || distance[cell] !== now) continue
      done[cell] = 1
      if (now > 0) order.push(cell)
      for (let s = 0; s < offset.length; s++) {
        const to = cell + offset[s]
        if (to < 0 || to >= total || fill[to] < CARRIES || done[to]) continue
        const d = now + length[s]
        if (distance[to] >= 0 && distance[to] <= d) continue
        distance[to] = d
        ring[d % 18].push(to)
        waiting++
      }
    }
    list.length = 0
  }
  const front = 10 * frontCells
  const bandOf = (cell: number): number => Math.floor((distance[cell] - 1) / front)
  const pieceOf = new Int32Array(total).fill(-1)
  for (const cell of from) pieceOf[cell] = -2
  const volume: number[] = []
  const middle: number[] = []
  const atHold: number[] = []
  const stack: number[] = []
  for (const seed of order) {
    if (pieceOf[seed] !== -1) continue
    const piece = volume.length
    const band = bandOf(seed)
    let v = 0
    let mx = 0
    let my = 0
    let mz = 0
    let touches = 0
    pieceOf[seed] = piece
    stack.push(seed)
    while (stack.length > 0) {
      const cell = stack.pop() as number
      const w = fill[cell]
      v += w
      mx += w * (cell % nx)
      my += w * (Math.floor(cell / nx) % ny)
      mz += w * Math.floor(cell / slice)
      for (let s = 0; s < offset.length; s++) {
        const to = cell + offset[s]
        if (to < 0 || to >= total || !done[to]) continue
        if (band === 0 && distance[to] === 0) touches = 1
        if (pieceOf[to] === -1 && distance[to] > 0 && bandOf(to) === band) {
          pieceOf[to] = piece
          stack.push(to)
        }
      }
    }
    volume.push(v * cellMm ** 3)
    middle.push(
      origin[0] + cellMm * (mx / v + 0.5),
      origin[1] + cellMm * (my / v + 0.5),
      origin[2] + cellMm * (mz / v + 0.5),
    )
    atHold.push(touches)
  }
  const nPieces = volume.length
  const sets = Array.from({ length: nPieces }, () => new Set<number>())
  for (const cell of order) {
    const a = pieceOf[cell]
    let last = -1
    for (let s = 0; s < offset.length; s++) {
      const to = cell + offset[s]
      if (to < 0 || to >= total) continue
      const b = pieceOf[to]
      if (b <= a || b === last) continue
      last = b
      sets[a].add(b)
      sets[b].add(a)
    }
  }
  return {
    nPieces,
    pieceOf,
    cells: Int32Array.from(order),
    volume: Float64Array.from(volume),
    middle: Float64Array.from(middle),
    neighbours: sets.map((set) => [...set]),
    atHold: Uint8Array.from(atHold),
    frontMm: (front / 10) * cellMm,
    isOnBase: holdBelowMm > origin[2],
    heldVolume,
    heldMiddle,
    heldGyration: [spread[1] + spread[2], spread[2] + spread[0], spread[0] + spread[1]],
  }
}
