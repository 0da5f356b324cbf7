// Sets shapes one after another at the lowest, then leftmost free spot, on a grid of cells that never lets two meet.
//
// Cells touched by a shape count as taken, those of the piece to be set as well, so outlines keep their gap; up to a cell is lost per side.
// A position that is blocked names the cell that blocks it, and the search goes on beyond that cell.

import type { PolygonKit, Polygons } from '../engine/kernel/index.ts'
import { grownRoom } from './rows.ts'
import { type TrayShape, trayShape } from './shapes.ts'
import type { BedRoom, TrayPlace } from './types.ts'

/** Side of a cell, mm. */
const CELL_MM = 0.5
/** Attitudes of a piece about the vertical. */
const TURNS = 8

/** Cells that a shape touches when its lower left corner stands on a cell's corner: runs of cells, three numbers each. */
interface CellRuns {
  readonly shape: TrayShape
  readonly nX: number
  readonly nY: number
  /** y, first x, last x. */
  readonly runs: Int32Array
}

/** Cells touched by loops, as runs; `x0`, `y0` is the corner of cell (0, 0). */
const touchedRuns = ({ loopStart, points }: Polygons, x0: number, y0: number): Int32Array => {
  const rows = new Map<number, [number, number][]>()
  const put = (row: number, from: number, to: number): void => {
    const list = rows.get(row)
    if (list) list.push([from, to])
    else rows.set(row, [[from, to]])
  }
  const crossings = new Map<number, number[]>()
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const [a, b] = [loopStart[j], loopStart[j + 1]]
    for (let i = a; i < b; i++) {
      const k = i + 1 < b ? i + 1 : a
      let [px, py, qx, qy] = [
        points[2 * i] - x0,
        points[2 * i + 1] - y0,
        points[2 * k] - x0,
        points[2 * k + 1] - y0,
      ].map((v) => v / CELL_MM)
      if (py > qy) [px, py, qx, qy] = [qx, qy, px, py]
      for (let row = Math.floor(py); row <= Math.floor(qy); row++) {
        const at = (y: number): number => (qy > py ? px + ((qx - px) * (y - py)) / (qy - py) : px)
        const u = qy > py ? at(Math.max(py, row)) : px
        const v = qy > py ? at(Math.min(qy, row + 1)) : qx
        put(row, Math.floor(Math.min(u, v)), Math.floor(Math.max(u, v)))
        // Where the middle of the row is crossed, the inside begins or ends.
        const middle = row + 0.5
        if (py <= middle && middle < qy) {
          const list = crossings.get(row)
          if (list) list.push(at(middle))
          else crossings.set(row, [at(middle)])
        }
      }
    }
  }
  for (const [row, list] of crossings) {
    list.sort((p, q) => p - q)
    for (let i = 0; i + 1 < list.length; i += 2) put(row, Math.floor(list[i]), Math.floor(list[i + 1]))
  }
  const out: number[] = []
  for (const [row, list] of rows) {
    list.sort((p, q) => p[0] - q[0])
    let [from, to] = list[0]
    for (const [f, t] of list) {
      if (f > to + 1) {
        out.push(row, from, to)
        ;[from, to] = [f, t]
      } else to = Math.max(to, t)
    }
    out.push(row, from, to)
  }
  return Int32Array.from(out)
}

/** A bed of cells. */
class BedCells {
  readonly nX: number
  readonly nY: number
  private readonly bed: BedRoom
  /** Per cell: the last taken cell at or left of it in its row, -1 for none. */
  private readonly last: Int32Array
  private readonly taken: Uint8Array

  constructor(bed: BedRoom) {
    const { width, depth } = grownRoom(bed)
    this.bed = bed
    this.nX = Math.max(0, Math.floor(width / CELL_MM + 1e-9))
    this.nY = Math.max(0, Math.floor(depth / CELL_MM + 1e-9))
    this.taken = new Uint8Array(this.nX * this.nY)
    this.last = new Int32Array(this.nX * this.nY).fill(-1)
  }

  /** Marks what a piece covers. */
  take(shape: TrayShape, x: number, y: number): void {
    const edge = this.bed.marginMm - this.bed.gapMm / 2
    const runs = touchedRuns(shape.loops, edge - x, edge - y)
    for (let i = 0; i < runs.length; i += 3) {
      const row = runs[i]
      if (row < 0 || row >= this.nY) continue
      for (let c = Math.max(0, runs[i + 1]); c <= Math.min(this.nX - 1, runs[i + 2]); c++)
        this.taken[row * this.nX + c] = 1
      let before = -1
      for (let c = 0; c < this.nX; c++) {
        if (this.taken[row * this.nX + c]) before = c
        this.last[row * this.nX + c] = before
      }
    }
  }

  /** The lowest, then leftmost free spot: cell of the lower left corner, or null. @param below rows from here on need not be tried */
  spot({ nX, nY, runs }: CellRuns, below: number): [number, number] | null {
    const { last } = this
    for (let y = 0; y + nY <= this.nY && y < below; y++) {
      let x = 0
      while (x + nX <= this.nX) {
        let jump = -1
        for (let i = 0; i < runs.length; i += 3) {
          const block = last[(y + runs[i]) * this.nX + x + runs[i + 2]]
          if (block >= x + runs[i + 1]) {
            jump = Math.max(jump, block + 1 - runs[i + 1])
            if (jump > x + 8) break
          }
        }
        if (jump < 0) return [x, y]
        x = jump
      }
    }
    return null
  }

  /** Where a piece's middle stands when its lower left corner is on that cell. */
  middleAt({ shape }: CellRuns, [cx, cy]: [number, number]): [number, number] {
    const edge = this.bed.marginMm - this.bed.gapMm / 2
    return [edge + cx * CELL_MM - shape.minX, edge + cy * CELL_MM - shape.minY]
  }
}

const runsOf = (shape: TrayShape): CellRuns => {
  const runs = touchedRuns(shape.loops, shape.minX, shape.minY)
  let [nX, nY] = [0, 0]
  for (let i = 0; i < runs.length; i += 3) {
    nY = Math.max(nY, runs[i] + 1)
    nX = Math.max(nX, runs[i + 2] + 1)
  }
  return { shape, nX, nY, runs }
}

/** Shapes of outlines in all attitudes, made once. */
export type ShapeStore = (figure: number, turn: number) => TrayShape

/** Makes each shape once. */
export const shapeStore = (outlines: readonly Polygons[], gapMm: number, kit: PolygonKit): ShapeStore => {
  const store = new Map<string, TrayShape>()
  return (figure, turn) => {
    const key = `${figure}|${turn.toFixed(6)}`
    let shape = store.get(key)
    if (!shape) {
      shape = trayShape(outlines[figure], turn, gapMm, kit)
      store.set(key, shape)
    }
    return shape
  }
}

/**
 * Sets pieces in the given order beside those that stand already.
 * @param wanted figure of each piece, in order
 * @returns all places, and the pieces that found no room (indices into wanted)
 */
export const fillBed = (
  wanted: readonly number[],
  standing: readonly TrayPlace[],
  bed: BedRoom,
  shapes: ShapeStore,
): { places: TrayPlace[]; left: number[] } => {
  const cells = new BedCells(bed)
  for (const place of standing) cells.take(shapes(place.figure, place.turn), place.x, place.y)
  const places = [...standing]
  const left: number[] = []
  const runs = new Map<number, CellRuns[]>()
  const full = new Set<number>()
  wanted.forEach((figure, piece) => {
    // What found no room once finds none later.
    if (full.has(figure)) {
      left.push(piece)
      return
    }
    let turns = runs.get(figure)
    if (!turns) {
      turns = Array.from({ length: TURNS }, (_, k) => runsOf(shapes(figure, (2 * Math.PI * k) / TURNS)))
      runs.set(figure, turns)
    }
    let best: { run: CellRuns; at: [number, number] } | null = null
    for (const run of turns) {
      const at = cells.spot(run, best ? best.at[1] + best.run.nY - run.nY + 1 : Infinity)
      if (!at) continue
      const top = at[1] + run.nY
      const bestTop = best ? best.at[1] + best.run.nY : Infinity
      if (top < bestTop || (best && top === bestTop && at[0] < best.at[0])) best = { run, at }
    }
    if (!best) {
      full.add(figure)
      left.push(piece)
      return
    }
    const [x, y] = cells.middleAt(best.run, best.at)
    const { shape } = best.run
    cells.take(shape, x, y)
    places.push({ figure, x, y, turn: shape.turn })
  })
  return { places, left }
}
