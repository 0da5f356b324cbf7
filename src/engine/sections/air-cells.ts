// Cells of a layer with nothing below: how far each lies from what carries it, and what holds a stretch of them.

import type { RasterFrame } from './label-raster.ts'

/** Working arrays over a raster frame. */
export class AirCells {
  private readonly frame: RasterFrame
  /** Cell that carries this one by the shortest way through plastic, -1 when none does. */
  readonly carrier: Int32Array
  /** Squared distance to the carrier in cells. */
  readonly d2: Float32Array
  /** Cells without anything below in this layer. */
  readonly list: Int32Array
  n = 0
  private readonly queue: Int32Array
  private readonly queued: Uint8Array
  private readonly steps: Int32Array

  constructor(frame: RasterFrame) {
    const size = frame.nx * frame.ny
    this.frame = frame
    this.carrier = new Int32Array(size).fill(-1)
    this.d2 = new Float32Array(size)
    this.list = new Int32Array(size)
    this.queue = new Int32Array(size)
    this.queued = new Uint8Array(size)
    const { nx } = frame
    this.steps = Int32Array.of(1, -1, nx, -nx, nx + 1, nx - 1, -nx + 1, -nx - 1)
  }

  /**
   * Spreads distances from carried cells into the air cells joined to them within the same island.
   * Nearest carriers are handed on from cell to cell, as in vector distance transforms (Danielsson 1980): exact but for rare
   * errors far below one cell.
   */
  spread(now: Int32Array, below: Int32Array): void {
    const { carrier, d2, list, queue, queued, steps } = this
    const { nx } = this.frame
    const size = queue.length
    let head = 0
    let tail = 0
    let waiting = 0
    const offer = (cell: number, source: number): void => {
      const dx = (cell % nx) - (source % nx)
      const dy = ((cell / nx) | 0) - ((source / nx) | 0)
      const d = dx * dx + dy * dy
      if (carrier[cell] >= 0 && d2[cell] <= d) return
      carrier[cell] = source
      d2[cell] = d
      if (!queued[cell]) {
        queued[cell] = 1
        queue[tail] = cell
        tail = tail + 1 === size ? 0 : tail + 1
        waiting++
      }
    }
    for (let u = 0; u < this.n; u++) carrier[list[u]] = -1
    for (let u = 0; u < this.n; u++) {
      const cell = list[u]
      for (let s = 0; s < 8; s++) {
        const other = cell + steps[s]
        if (now[other] === now[cell] && below[other] !== 0) offer(cell, other)
      }
    }
    while (waiting > 0) {
      const cell = queue[head]
      head = head + 1 === size ? 0 : head + 1
      waiting--
      queued[cell] = 0
      for (let s = 0; s < 8; s++) {
        const other = cell + steps[s]
        if (now[other] === now[cell] && below[other] === 0) offer(other, carrier[cell])
      }
    }
  }

  /**
   * Looks from one cell all round, through plastic of this layer, for carried cells.
   * @returns holds: separate arcs of directions that end on carried plastic (0, 1, or 2 and more with two of them opposite);
   * spanMm: shortest free length between two opposite holds, 0 when there are none
   */
  holdsAround(cell: number, now: Int32Array, below: Int32Array): { holds: number; spanMm: number } {
    const { nx, cell: side } = this.frame
    const directions = 32
    const reach = new Float64Array(directions)
    const cx = (cell % nx) + 0.5
    const cy = ((cell / nx) | 0) + 0.5
    const island = now[cell]
    for (let d = 0; d < directions; d++) {
      const ux = Math.cos((2 * Math.PI * d) / directions) / 2
      const uy = Math.sin((2 * Math.PI * d) / directions) / 2
      for (let step = 1; ; step++) {
        const at = Math.floor(cy + step * uy) * nx + Math.floor(cx + step * ux)
        if (now[at] !== island) break
        if (below[at] !== 0) {
          reach[d] = (step / 2) * side
          break
        }
      }
    }
    let arcs = 0
    for (let d = 0; d < directions; d++) if (reach[d] > 0 && reach[(d + 1) % directions] === 0) arcs++
    const all = reach.every((r) => r > 0)
    let span = Infinity
    for (let d = 0; d < directions; d++) {
      const opposite = reach[(d + directions / 2) % directions]
      if (reach[d] > 0 && opposite > 0) span = Math.min(span, reach[d] + opposite)
    }
    if (span === Infinity) return { holds: arcs > 0 ? 1 : 0, spanMm: 0 }
    return { holds: all ? 2 : Math.max(2, arcs), spanMm: span }
  }
}
