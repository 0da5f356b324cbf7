// Nearest point on the outlines of one layer: segments in a uniform grid, searched ring by ring.

/** Result of a query, written in place: no allocation per query. */
export interface NearestOnSegments {
  /** Index of the segment's first point, or -1 when nothing lies within the radius. */
  segment: number
  /** Squared distance, mm2. */
  d2: number
  x: number
  y: number
  /** Distance along the segment as a share, 0-1. */
  along: number
}

/** A grid over the closed loops points[starts[j]..starts[j+1]-1]. */
export class SegmentGrid {
  private readonly points: Float64Array
  private readonly next: Uint32Array
  private readonly previous: Uint32Array
  private readonly base: number
  private readonly x0: number
  private readonly y0: number
  private readonly cell: number
  private readonly nx: number
  private readonly ny: number
  private readonly cellStart: Uint32Array
  private readonly cellItems: Uint32Array
  /** True when there are no segments at all. */
  readonly empty: boolean

  /**
   * @param points flat xy
   * @param starts point index of every loop's start, the end as last entry
   */
  constructor(points: Float64Array, starts: ArrayLike<number>) {
    const nLoops = starts.length - 1
    const base = nLoops > 0 ? starts[0] : 0
    const n = nLoops > 0 ? starts[nLoops] - base : 0
    this.points = points
    this.base = base
    this.next = new Uint32Array(n)
    this.previous = new Uint32Array(n)
    this.empty = n === 0
    let x0 = Infinity
    let y0 = Infinity
    let x1 = -Infinity
    let y1 = -Infinity
    for (let j = 0; j < nLoops; j++) {
      for (let i = starts[j]; i < starts[j + 1]; i++) {
        const k = i + 1 < starts[j + 1] ? i + 1 : starts[j]
        this.next[i - base] = k
        this.previous[k - base] = i
        const x = points[2 * i]
        const y = points[2 * i + 1]
        if (x < x0) x0 = x
        if (x > x1) x1 = x
        if (y < y0) y0 = y
        if (y > y1) y1 = y
      }
    }
    const width = Math.max(x1 - x0, 1e-9)
    const height = Math.max(y1 - y0, 1e-9)
    // About one segment a cell on average, within sane counts.
    const cell = Math.max(Math.sqrt((width * height) / Math.max(n, 1)), Math.max(width, height) / 512)
    this.x0 = x0
    this.y0 = y0
    this.cell = this.empty ? 1 : cell
    this.nx = this.empty ? 1 : Math.max(1, Math.ceil(width / cell))
    this.ny = this.empty ? 1 : Math.max(1, Math.ceil(height / cell))
    const counts = new Uint32Array(this.nx * this.ny + 1)
    this.eachCell(n, (c) => {
      counts[c + 1]++
    })
    for (let c = 0; c < this.nx * this.ny; c++) counts[c + 1] += counts[c]
    this.cellStart = counts
    this.cellItems = new Uint32Array(counts[this.nx * this.ny])
    const fill = counts.slice(0, this.nx * this.ny)
    this.eachCell(n, (c, i) => {
      this.cellItems[fill[c]++] = i
    })
  }

  /** Calls back for every cell that a segment's box touches and its line passes close to. */
  private eachCell(n: number, visit: (cell: number, segment: number) => void): void {
    const { points, base, cell, nx, ny, x0, y0 } = this
    for (let s = 0; s < n; s++) {
      const i = base + s
      const k = this.next[s]
      const ax = points[2 * i]
      const ay = points[2 * i + 1]
      const bx = points[2 * k]
      const by = points[2 * k + 1]
      const cx0 = Math.min(nx - 1, Math.max(0, Math.floor((Math.min(ax, bx) - x0) / cell)))
      const cx1 = Math.min(nx - 1, Math.max(0, Math.floor((Math.max(ax, bx) - x0) / cell)))
      const cy0 = Math.min(ny - 1, Math.max(0, Math.floor((Math.min(ay, by) - y0) / cell)))
      const cy1 = Math.min(ny - 1, Math.max(0, Math.floor((Math.max(ay, by) - y0) / cell)))
      const dx = bx - ax
      const dy = by - ay
      // Half the cell's extent across the line, so cells that the line misses are left out.
      const across = 0.5 * cell * (Math.abs(dx) + Math.abs(dy)) * 1.0000001 + 1e-12
      for (let cy = cy0; cy <= cy1; cy++) {
        for (let cx = cx0; cx <= cx1; cx++) {
          const mx = x0 + (cx + 0.5) * cell - ax
          const my = y0 + (cy + 0.5) * cell - ay
          if (Math.abs(dx * my - dy * mx) <= across) visit(cy * nx + cx, i)
        }
      }
    }
  }

  /** Nearest point of any segment within `radius` of (x, y). */
  nearest(x: number, y: number, radius: number, result: NearestOnSegments): void {
    result.segment = -1
    result.d2 = radius * radius
    if (this.empty) return
    const { cell, nx, ny } = this
    const cx = Math.floor((x - this.x0) / cell)
    const cy = Math.floor((y - this.y0) / cell)
    // Rings of cells outwards; rings wholly outside the grid are skipped.
    const outsideX = cx < 0 ? -cx : cx >= nx ? cx - nx + 1 : 0
    const outsideY = cy < 0 ? -cy : cy >= ny ? cy - ny + 1 : 0
    const firstRing = Math.max(outsideX, outsideY)
    const lastRing = Math.max(cx, nx - 1 - cx, cy, ny - 1 - cy)
    for (let ring = firstRing; ring <= lastRing; ring++) {
      // Everything in this ring is at least this far away.
      const nearestPossible = ring === 0 ? 0 : (ring - 1) * cell
      if (nearestPossible * nearestPossible > result.d2) return
      const y0 = Math.max(0, cy - ring)
      const y1 = Math.min(ny - 1, cy + ring)
      for (let gy = y0; gy <= y1; gy++) {
        if (gy === cy - ring || gy === cy + ring) {
          const a = Math.max(0, cx - ring)
          const b = Math.min(nx - 1, cx + ring)
          for (let gx = a; gx <= b; gx++) this.searchCell(gy * nx + gx, x, y, result)
        } else {
          if (cx - ring >= 0 && cx - ring < nx) this.searchCell(gy * nx + cx - ring, x, y, result)
          if (cx + ring >= 0 && cx + ring < nx) this.searchCell(gy * nx + cx + ring, x, y, result)
        }
      }
    }
  }

  private searchCell(c: number, x: number, y: number, result: NearestOnSegments): void {
    const { points, base, cellItems } = this
    for (let u = this.cellStart[c]; u < this.cellStart[c + 1]; u++) {
      const i = cellItems[u]
      const k = this.next[i - base]
      const ax = points[2 * i]
      const ay = points[2 * i + 1]
      const dx = points[2 * k] - ax
      const dy = points[2 * k + 1] - ay
      const l2 = dx * dx + dy * dy
      let s = l2 > 0 ? ((x - ax) * dx + (y - ay) * dy) / l2 : 0
      s = s < 0 ? 0 : s > 1 ? 1 : s
      const px = ax + s * dx
      const py = ay + s * dy
      const d2 = (px - x) * (px - x) + (py - y) * (py - y)
      if (d2 < result.d2 || (d2 === result.d2 && result.segment < 0)) {
        result.d2 = d2
        result.segment = i
        result.x = px
        result.y = py
        result.along = s
      }
    }
  }

  /** True when (x, y) lies on the solid side (left) of the nearest segment found by `nearest`. */
  isSolidSide(x: number, y: number, found: NearestOnSegments): boolean {
    const { points, base } = this
    const i = found.segment
    const k = this.next[i - base]
    let nx = -(points[2 * k + 1] - points[2 * i + 1])
    let ny = points[2 * k] - points[2 * i]
    if (found.along <= 0 || found.along >= 1) {
      // At a corner the sum of the two unit normals tells the side rightly; one of them alone does not.
      const a = found.along <= 0 ? this.previous[i - base] : k
      const b = this.next[a - base]
      const l1 = Math.hypot(nx, ny) || 1
      const mx = -(points[2 * b + 1] - points[2 * a + 1])
      const my = points[2 * b] - points[2 * a]
      const l2 = Math.hypot(mx, my) || 1
      nx = nx / l1 + mx / l2
      ny = ny / l1 + my / l2
    }
    return (x - found.x) * nx + (y - found.y) * ny > 0
  }
}

/** A fresh result record. */
export const nearestResult = (): NearestOnSegments => ({ segment: -1, d2: 0, x: 0, y: 0, along: 0 })
