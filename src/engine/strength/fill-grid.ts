// Layers into a regular grid of cubes: how much of each is solid, and which of them lie in the infill.

import type { PlanReport } from '../beads/index.ts'
import { breathe, type Task } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import type { Stuffing } from './types.ts'

/** Cells x fastest, then y, then z. */
export interface FillGrid {
  readonly kind: 'fill-grid'
  /** Lower corner of cell (0, 0, 0), mm. */
  readonly origin: readonly [number, number, number]
  readonly cellMm: number
  readonly nx: number
  readonly ny: number
  readonly nz: number
  /** Share of the cell that lies inside the outlines, 0-1. */
  readonly fill: Float32Array
  /** 1 where the cell is infill, 0 where it is solid plastic (shells, caps, gap beads). */
  readonly core: Uint8Array
  /** Distance to the nearest wall of the same layer, mm, within 5 %; 0 outside. */
  readonly depth: Float32Array
}

/** Scan lines a cell: the y share is a sum over these, the x share is exact. */
const LINES = 4

/** A grid over the stack with one empty cell all round in the plane and above. */
const emptyGrid = (stack: LayerStack, cellMm: number): FillGrid => {
  const { points } = stack
  let x0 = Infinity
  let y0 = Infinity
  let x1 = -Infinity
  let y1 = -Infinity
  for (let i = 0; i < points.length; i += 2) {
    x0 = Math.min(x0, points[i])
    x1 = Math.max(x1, points[i])
    y0 = Math.min(y0, points[i + 1])
    y1 = Math.max(y1, points[i + 1])
  }
  if (!(x1 > x0)) [x0, y0, x1, y1] = [0, 0, cellMm, cellMm]
  const nx = Math.ceil((x1 - x0) / cellMm) + 2
  const ny = Math.ceil((y1 - y0) / cellMm) + 2
  const low = stack.faceZ[0] ?? 0
  const nz = Math.max(1, Math.ceil(((stack.faceZ[stack.nLayers] ?? low) - low) / cellMm - 1e-9)) + 1
  // The body stands in the middle of its cells, so that a symmetric body has symmetric cells.
  const origin: [number, number, number] = [(x0 + x1) / 2 - (nx * cellMm) / 2, (y0 + y1) / 2 - (ny * cellMm) / 2, low]
  const n = nx * ny * nz
  return {
    kind: 'fill-grid',
    origin,
    cellMm,
    nx,
    ny,
    nz,
    fill: new Float32Array(n),
    core: new Uint8Array(n),
    depth: new Float32Array(n),
  }
}

/** Adds what one layer covers to the slices it reaches into. */
const addLayer = (grid: FillGrid, stack: LayerStack, layer: number, crossings: Float64Array[]): void => {
  const { origin, cellMm, nx, ny, nz, fill } = grid
  const { points, loopStart, layerStart, faceZ } = stack
  const line = cellMm / LINES
  const nLines = ny * LINES
  for (const row of crossings) row[0] = 0
  let firstLine = nLines
  let lastLine = -1
  for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
    const from = loopStart[j]
    const to = loopStart[j + 1]
    for (let i = from; i < to; i++) {
      const k = i + 1 < to ? i + 1 : from
      const ya = points[2 * i + 1]
      const yb = points[2 * k + 1]
      if (ya === yb) continue
      const lo = Math.max(0, Math.ceil((Math.min(ya, yb) - origin[1]) / line - 0.5))
      const hi = Math.min(nLines, Math.ceil((Math.max(ya, yb) - origin[1]) / line - 0.5))
      const slope = (points[2 * k] - points[2 * i]) / (yb - ya)
      for (let r = lo; r < hi; r++) {
        let row = crossings[r]
        const n = ++row[0]
        if (n >= row.length) {
          row = crossings[r] = Float64Array.from({ length: 2 * row.length }, (_, q) => row[q] ?? 0)
          row[0] = n
        }
        // Kept sorted as they come: rows hold a handful.
        const x = points[2 * i] + slope * (origin[1] + (r + 0.5) * line - ya)
        let q = n
        while (q > 1 && row[q - 1] > x) {
          row[q] = row[q - 1]
          q--
        }
        row[q] = x
      }
      if (lo < firstLine) firstLine = lo
      if (hi - 1 > lastLine) lastLine = hi - 1
    }
  }
  const z0 = (faceZ[layer] - origin[2]) / cellMm
  const z1 = (faceZ[layer + 1] - origin[2]) / cellMm
  for (let k = Math.max(0, Math.floor(z0 + 1e-9)); k < Math.min(nz, Math.ceil(z1 - 1e-9)); k++) {
    const share = (Math.min(z1, k + 1) - Math.max(z0, k)) / LINES
    if (!(share > 0)) continue
    for (let r = firstLine; r <= lastLine; r++) {
      const row = crossings[r]
      const base = (k * ny + Math.floor(r / LINES)) * nx
      for (let q = 1; q + 1 <= row[0]; q += 2) {
        const a = (row[q] - origin[0]) / cellMm
        const b = (row[q + 1] - origin[0]) / cellMm
        const ca = Math.floor(a)
        const cb = Math.floor(b)
        if (ca === cb) fill[base + ca] += share * (b - a)
        else {
          fill[base + ca] += share * (ca + 1 - a)
          for (let c = ca + 1; c < cb; c++) fill[base + c] += share
          fill[base + cb] += share * (b - cb)
        }
      }
    }
  }
}

/** Distance to the wall within each slice: two sweeps with steps 0.955 and 1.369 (Borgefors 1986), at most 4.5 % off. */
const fillDepth = (grid: FillGrid): void => {
  const { nx, ny, nz, fill, depth, cellMm } = grid
  const straight = 0.95509 * cellMm
  const slanting = 1.3693 * cellMm
  for (let k = 0; k < nz; k++) {
    const base = k * nx * ny
    for (let y = 1; y < ny - 1; y++) {
      for (let i = base + y * nx + 1, end = i + nx - 2; i < end; i++) {
        if (fill[i] < 0.5) continue
        depth[i] = Math.min(
          depth[i - 1] + straight,
          depth[i - nx] + straight,
          depth[i - nx - 1] + slanting,
          depth[i - nx + 1] + slanting,
        )
      }
    }
    for (let y = ny - 2; y > 0; y--) {
      for (let i = base + y * nx + nx - 2, end = i - nx + 2; i > end; i--) {
        if (depth[i] === 0) continue
        depth[i] = Math.min(
          depth[i],
          depth[i + 1] + straight,
          depth[i + nx] + straight,
          depth[i + nx - 1] + slanting,
          depth[i + nx + 1] + slanting,
        )
      }
    }
  }
}

/** Marks infill: deeper than the shells in its layer, and covered by more than a cap above and below. */
const markCore = (grid: FillGrid, stuffing: Stuffing, stack: LayerStack, plan: PlanReport | null): void => {
  const { nx, ny, nz, depth, core, cellMm, fill } = grid
  const pitch = stuffing.beadWidthMm - stuffing.layerHeightMm * (1 - Math.PI / 4)
  // Walls lie half a cell from the middle of the first solid cell.
  const shells = stuffing.nShells * pitch + (stuffing.beadWidthMm - pitch) - 0.5 * cellMm
  const cap = Math.max(0, Math.round(stuffing.capThicknessMm / cellMm))
  const slice = nx * ny
  const covered = new Uint16Array(slice)
  const below = new Uint16Array(nx * ny * nz)
  for (let k = 0; k < nz; k++) {
    for (let i = 0; i < slice; i++) {
      below[k * slice + i] = covered[i]
      covered[i] = fill[k * slice + i] >= 0.5 ? covered[i] + 1 : 0
    }
  }
  covered.fill(0)
  let layer = stack.nLayers - 1
  for (let k = nz - 1; k >= 0; k--) {
    const z = grid.origin[2] + (k + 0.5) * cellMm
    while (layer > 0 && stack.faceZ[layer] > z) layer--
    const without = plan !== null && plan.layerInfillArea[layer] === 0
    for (let i = 0; i < slice; i++) {
      const at = k * slice + i
      if (!without && depth[at] > shells && below[at] >= cap && covered[i] >= cap) core[at] = 1
      covered[i] = fill[at] >= 0.5 ? covered[i] + 1 : 0
    }
  }
}

/**
 * Fills the grid.
 * @param stuffing null: solid throughout
 * @param plan keeps layers solid in which the plan lays no infill; null when there is no plan
 */
export const fillGrid = async (
  stack: LayerStack,
  cellMm: number,
  stuffing: Stuffing | null,
  plan: PlanReport | null,
  task?: Task,
): Promise<FillGrid> => {
  const grid = emptyGrid(stack, cellMm)
  const crossings = Array.from({ length: grid.ny * LINES }, () => new Float64Array(17))
  for (let layer = 0; layer < stack.nLayers; layer++) {
    addLayer(grid, stack, layer, crossings)
    if (layer % 16 === 0) {
      task?.onProgress?.((0.8 * layer) / stack.nLayers, 'filling the grid')
      await breathe(task)
    }
  }
  fillDepth(grid)
  if (stuffing && stuffing.infillShare < 1) markCore(grid, stuffing, stack, plan)
  return grid
}
