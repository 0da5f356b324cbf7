// The beads of one layer as shapes in the plane: which loop lies in which, distances, and neighbours of straight pieces.

/** Points xyz; a shape owns points from..to-1. */
export interface Shape {
  readonly points: Float64Array
  readonly from: number
  readonly to: number
  readonly minX: number
  readonly minY: number
  readonly maxX: number
  readonly maxY: number
}

export const shapeOf = (points: Float64Array, from: number, to: number): Shape => {
  let minX = Number.POSITIVE_INFINITY
  let minY = Number.POSITIVE_INFINITY
  let maxX = Number.NEGATIVE_INFINITY
  let maxY = Number.NEGATIVE_INFINITY
  for (let i = from; i < to; i++) {
    const x = points[3 * i]
    const y = points[3 * i + 1]
    if (x < minX) minX = x
    if (x > maxX) maxX = x
    if (y < minY) minY = y
    if (y > maxY) maxY = y
  }
  return { points, from, to, minX, minY, maxX, maxY }
}

/** Whether (x, y) lies inside the loop, by crossings. */
export const isInside = (loop: Shape, x: number, y: number): boolean => {
  if (x < loop.minX || x > loop.maxX || y < loop.minY || y > loop.maxY) return false
  const { points, from, to } = loop
  let inside = false
  for (let i = from, j = to - 1; i < to; j = i++) {
    const yi = points[3 * i + 1]
    const yj = points[3 * j + 1]
    if (yi > y !== yj > y) {
      const xi = points[3 * i]
      if (x < xi + ((points[3 * j] - xi) * (y - yi)) / (yj - yi)) inside = !inside
    }
  }
  return inside
}

/** Signed area and length round, the last point joined to the first. */
export const measureLoop = (loop: Shape): { readonly area: number; readonly length: number } => {
  const { points, from, to } = loop
  let area = 0
  let length = 0
  for (let i = from, j = to - 1; i < to; j = i++) {
    area += points[3 * j] * points[3 * i + 1] - points[3 * i] * points[3 * j + 1]
    length += Math.hypot(points[3 * i] - points[3 * j], points[3 * i + 1] - points[3 * j + 1])
  }
  return { area: area / 2, length }
}

/** Distance from (x, y) to the nearest piece of the path. */
export const distanceTo = (path: Shape, x: number, y: number): number => {
  const { points, from, to } = path
  let best = Number.POSITIVE_INFINITY
  for (let i = from; i < to; i++) {
    const ax = points[3 * i]
    const ay = points[3 * i + 1]
    const next = i + 1 < to ? i + 1 : i
    const dx = points[3 * next] - ax
    const dy = points[3 * next + 1] - ay
    const length2 = dx * dx + dy * dy
    const t = length2 > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length2)) : 0
    const ex = x - ax - t * dx
    const ey = y - ay - t * dy
    const d2 = ex * ex + ey * ey
    if (d2 < best) best = d2
  }
  return Math.sqrt(best)
}

/** About n points evenly spread over the shape's own points and the middles of its pieces: x, y pairs. */
export const samplesOf = (shape: Shape, n: number): number[] => {
  const { points, from, to } = shape
  const pieces = to - from - 1
  if (pieces <= 0) return [points[3 * from], points[3 * from + 1]]
  const samples: number[] = []
  const step = Math.max(1, Math.floor(pieces / n))
  for (let i = from; i < to - 1; i += step) {
    samples.push((points[3 * i] + points[3 * i + 3]) / 2, (points[3 * i + 1] + points[3 * i + 4]) / 2)
  }
  return samples
}

/** Loops inside loops: the smallest loop around each (-1: none). Order of `loops` is free. */
export const nestingOf = (loops: readonly Shape[]): Int32Array => {
  const parent = new Int32Array(loops.length).fill(-1)
  const areas = loops.map((loop) => Math.abs(measureLoop(loop).area))
  const order = loops.map((_, i) => i).sort((a, b) => areas[b] - areas[a])
  for (let k = 1; k < order.length; k++) {
    const i = order[k]
    const loop = loops[i]
    const x = loop.points[3 * loop.from]
    const y = loop.points[3 * loop.from + 1]
    for (let m = k - 1; m >= 0; m--) {
      const other = loops[order[m]]
      if (loop.minX < other.minX || loop.maxX > other.maxX || loop.minY < other.minY || loop.maxY > other.maxY) continue
      if (isInside(other, x, y)) {
        parent[i] = order[m]
        break
      }
    }
  }
  return parent
}

/** Entries of one grid; a hostile file with endless lines is looked at only in part. */
const MOST_ENTRIES = 3_000_000
/** Pieces of one cell; a place where more lie is overlaid many times, and the first ones tell as much as all. */
const MOST_IN_CELL = 400

/** Straight pieces of paths in a grid, to find what runs alongside. */
export class PieceGrid {
  readonly #cell: number
  readonly #cells = new Map<number, number[]>()
  /** x, y, dx, dy and index of the first point, by piece. */
  readonly #pieces: number[] = []
  #room = MOST_ENTRIES

  constructor(cellMm: number) {
    this.#cell = cellMm
  }

  #key(x: number, y: number): number {
    return (Math.floor(x / this.#cell) + 1_000_000) * 4_000_000 + Math.floor(y / this.#cell) + 1_000_000
  }

  /** Adds every piece of a shape. */
  add(shape: Shape): void {
    const { points, from, to } = shape
    for (let i = from; i + 1 < to; i++) {
      const ax = points[3 * i]
      const ay = points[3 * i + 1]
      const dx = points[3 * i + 3] - ax
      const dy = points[3 * i + 4] - ay
      const id = this.#pieces.length
      this.#pieces.push(ax, ay, dx, dy, i)
      const steps = Math.min(4000, Math.ceil(Math.hypot(dx, dy) / (0.5 * this.#cell)))
      let last = -1
      for (let s = 0; s <= steps; s++) {
        const key = this.#key(ax + (dx * s) / Math.max(1, steps), ay + (dy * s) / Math.max(1, steps))
        if (key === last) continue
        last = key
        if (this.#room-- <= 0) return
        const cell = this.#cells.get(key)
        if (cell) {
          if (cell.length < MOST_IN_CELL) cell.push(id)
        } else this.#cells.set(key, [id])
      }
    }
  }

  /**
   * Nearest piece on each side of (x, y) within reach (at most one cell), seen across direction (ux, uy), that runs within 15 degrees of it.
   * Piece `self` is left out. Distances to the left and right; Infinity where there is none.
   */
  alongside(x: number, y: number, ux: number, uy: number, self: number): { left: number; right: number } {
    const pieces = this.#pieces
    let left = Number.POSITIVE_INFINITY
    let right = Number.POSITIVE_INFINITY
    for (let cx = -1; cx <= 1; cx++)
      for (let cy = -1; cy <= 1; cy++)
        for (const id of this.#cells.get(this.#key(x + cx * this.#cell, y + cy * this.#cell)) ?? []) {
          if (pieces[id + 4] === self) continue
          const ax = pieces[id]
          const ay = pieces[id + 1]
          const dx = pieces[id + 2]
          const dy = pieces[id + 3]
          const length = Math.hypot(dx, dy)
          if (length < 1e-9 || Math.abs(ux * dy - uy * dx) > 0.26 * length) continue
          // Where the normal through (x, y) meets the piece.
          const along = ((x - ax) * ux + (y - ay) * uy) / (dx * ux + dy * uy)
          if (along < -0.05 || along > 1.05) continue
          const across = (ax + along * dx - x) * -uy + (ay + along * dy - y) * ux
          if (across > 1e-6 && across < left) left = across
          if (across < -1e-6 && -across < right) right = -across
        }
    return { left, right }
  }
}
