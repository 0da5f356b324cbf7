// The largest circle inside one layer's outlines that touches them at a given point: a grid of segments and its search.
//
// A circle of radius r that touches p with inward normal n keeps clear of a contact q exactly while r <= f(q) =
// |q-p|^2 / (2 n.(q-p)); the circles of growing r lie one in the other, so the answer is the least f over all segments, and on
// one segment f falls to a single minimum: on its line at r = d / (1 - m.n) (d: distance of p from the line, m: its inward
// normal), else at an end. Segments that p lies behind are skipped: another one always stands in front of them.
//
// Rough outlines: the chords of a round rod meet in corners, where the exact circle is tiny. A contact that lies beside p (seen
// from the circle's middle under less than 120 degrees) may therefore stand inside the circle by up to `roughness`, in full for
// neighbours in line and falling to nothing at 120 degrees. Facing walls are never eased: between them the result is exact.

/** cos of the angle beyond which two contacts count as facing: 120 degrees; a wedge of exactly 60 degrees does not. */
const FACING_COS = -0.5 - 1e-6

/** Outlines of one layer in a grid; its arrays are used again from layer to layer. */
export interface CircleField {
  nSegments: number
  /** Start, end, inward unit normal, length of each segment. */
  ax: Float64Array
  ay: Float64Array
  bx: Float64Array
  by: Float64Array
  mx: Float64Array
  my: Float64Array
  length: Float64Array
  /** Query that looked at the segment last. */
  seen: Int32Array
  query: number
  x0: number
  y0: number
  cell: number
  nx: number
  ny: number
  cellStart: Uint32Array
  cellItems: Uint32Array
  /** Length of the diagonal of the outlines' box. */
  reach: number
  roughness: number
  /** Result of the last search: radius, cos of the angle between p and the contact, segment of the contact. */
  radius: number
  contactCos: number
  contact: number
  facingRadius: number
  facingCos: number
}

export const newCircleField = (roughness: number): CircleField => ({
  nSegments: 0,
  ax: new Float64Array(0),
  ay: new Float64Array(0),
  bx: new Float64Array(0),
  by: new Float64Array(0),
  mx: new Float64Array(0),
  my: new Float64Array(0),
  length: new Float64Array(0),
  seen: new Int32Array(0),
  query: 0,
  x0: 0,
  y0: 0,
  cell: 1,
  nx: 1,
  ny: 1,
  cellStart: new Uint32Array(0),
  cellItems: new Uint32Array(0),
  reach: 0,
  roughness,
  radius: Infinity,
  contactCos: 1,
  contact: -1,
  facingRadius: Infinity,
  facingCos: 1,
})

/** Calls back for each cell that segment i passes, row by row. */
const eachCell = (field: CircleField, i: number, visit: (cell: number) => void): void => {
  const { x0, y0, cell, nx, ny } = field
  const ax = (field.ax[i] - x0) / cell
  const ay = (field.ay[i] - y0) / cell
  const bx = (field.bx[i] - x0) / cell
  const by = (field.by[i] - y0) / cell
  const row0 = Math.max(0, Math.min(ny - 1, Math.floor(Math.min(ay, by))))
  const row1 = Math.max(0, Math.min(ny - 1, Math.floor(Math.max(ay, by))))
  const slope = (bx - ax) / (by - ay)
  for (let row = row0; row <= row1; row++) {
    let from = Math.min(ax, bx)
    let to = Math.max(ax, bx)
    if (row1 > row0) {
      const atLow = ax + (row - ay) * slope
      const atHigh = atLow + slope
      from = Math.max(from, Math.min(atLow, atHigh) - 1e-9)
      to = Math.min(to, Math.max(atLow, atHigh) + 1e-9)
    }
    const column0 = Math.max(0, Math.min(nx - 1, Math.floor(from)))
    const column1 = Math.max(0, Math.min(nx - 1, Math.floor(to)))
    for (let column = column0; column <= column1; column++) visit(row * nx + column)
  }
}

/**
 * Puts loops fromLoop to toLoop-1 into the field; segment i starts at the i-th point of those loops.
 * A loop walks with the solid on its left.
 */
export const fillCircleField = (
  field: CircleField,
  points: Float64Array,
  loopStart: ArrayLike<number>,
  fromLoop: number,
  toLoop: number,
): void => {
  const first = loopStart[fromLoop]
  const n = loopStart[toLoop] - first
  field.nSegments = n
  if (field.ax.length < n) {
    const size = Math.ceil(n * 1.5)
    for (const key of ['ax', 'ay', 'bx', 'by', 'mx', 'my', 'length'] as const) field[key] = new Float64Array(size)
    field.seen = new Int32Array(size)
  }
  field.seen.fill(0)
  field.query = 0
  let x0 = Infinity
  let y0 = Infinity
  let x1 = -Infinity
  let y1 = -Infinity
  for (let j = fromLoop; j < toLoop; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const next = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const s = i - first
      const ax = points[2 * i]
      const ay = points[2 * i + 1]
      const bx = points[2 * next]
      const by = points[2 * next + 1]
      const dx = bx - ax
      const dy = by - ay
      const length = Math.sqrt(dx * dx + dy * dy)
      field.ax[s] = ax
      field.ay[s] = ay
      field.bx[s] = bx
      field.by[s] = by
      field.length[s] = length
      field.mx[s] = length > 0 ? -dy / length : 0
      field.my[s] = length > 0 ? dx / length : 0
      if (ax < x0) x0 = ax
      if (ax > x1) x1 = ax
      if (ay < y0) y0 = ay
      if (ay > y1) y1 = ay
    }
  }
  if (n === 0) return
  const width = Math.max(x1 - x0, 1e-6)
  const height = Math.max(y1 - y0, 1e-6)
  // About one segment to a cell on the way round; never more than 128 cells a side.
  const cell = Math.max(Math.sqrt((width * height) / n), Math.max(width, height) / 128)
  field.x0 = x0
  field.y0 = y0
  field.cell = cell
  field.nx = Math.max(1, Math.ceil(width / cell))
  field.ny = Math.max(1, Math.ceil(height / cell))
  field.reach = Math.sqrt(width * width + height * height)
  const nCells = field.nx * field.ny
  if (field.cellStart.length < nCells + 2) field.cellStart = new Uint32Array(Math.ceil(nCells * 1.5) + 2)
  const { cellStart } = field
  cellStart.fill(0, 0, nCells + 2)
  for (let i = 0; i < n; i++)
    eachCell(field, i, (cell) => {
      cellStart[cell + 2]++
    })
  for (let cell = 0; cell < nCells; cell++) cellStart[cell + 2] += cellStart[cell + 1]
  const nItems = cellStart[nCells + 1]
  if (field.cellItems.length < nItems) field.cellItems = new Uint32Array(Math.ceil(nItems * 1.5))
  const { cellItems } = field
  for (let i = 0; i < n; i++)
    eachCell(field, i, (cell) => {
      cellItems[cellStart[cell + 1]++] = i
    })
}

/** How far a contact may stand inside the circle, by the cos of the angle between it and p. */
const easing = (roughness: number, cos: number): number =>
  cos <= FACING_COS ? 0 : (roughness * (cos - FACING_COS)) / (1 - FACING_COS)

/** Lowers the field's result by segment i as seen from p with normal n. */
const meetSegment = (field: CircleField, i: number, px: number, py: number, nx: number, ny: number): void => {
  const ux = field.ax[i] - px
  const uy = field.ay[i] - py
  const mx = field.mx[i]
  const my = field.my[i]
  const d = -(mx * ux + my * uy)
  if (d < -1e-9) return
  const vx = field.bx[i] - px
  const vy = field.by[i] - py
  const ha = nx * ux + ny * uy
  const hb = nx * vx + ny * vy
  if (ha <= 1e-12 && hb <= 1e-12) return
  let cos = mx * nx + my * ny
  const open = 1 - cos
  if (open < 1e-9) return
  let radius = d > 0 ? d / open : 0
  // Where the contact falls along the segment: its direction is (my, -mx).
  const qx = radius * (nx - mx) - ux
  const qy = radius * (ny - my) - uy
  const along = qx * my - qy * mx
  const length = field.length[i]
  let exact: number
  if (along > -1e-12 && along < length + 1e-12) {
    exact = radius
    radius = ((d > 0 ? d : 0) + easing(field.roughness, cos)) / open
  } else {
    const h = along <= 0 ? ha : hb
    const ex = along <= 0 ? ux : vx
    const ey = along <= 0 ? uy : vy
    const e2 = ex * ex + ey * ey
    if (h <= 1e-12 || e2 < 1e-18) return
    exact = e2 / (2 * h)
    cos = 1 - (2 * h * h) / e2
    const ease = easing(field.roughness, cos)
    if (h <= ease) return
    // |middle - q| = r - ease, solved for r.
    radius = ease > 0 ? Math.max(exact, (e2 - ease * ease) / (2 * (h - ease))) : exact
  }
  if (radius < field.radius) {
    field.radius = radius
    field.contactCos = cos
    field.contact = i
  }
  if (cos <= FACING_COS && exact < field.facingRadius) {
    field.facingRadius = exact
    field.facingCos = cos
  }
}

/** Looks at every segment that comes near the circle of the given radius. */
const searchCircle = (
  field: CircleField,
  own: number,
  px: number,
  py: number,
  nx: number,
  ny: number,
  r: number,
): void => {
  const { x0, y0, cell, cellStart, cellItems, seen } = field
  const query = ++field.query
  const cx = (px + r * nx - x0) / cell
  const cy = (py + r * ny - y0) / cell
  const rc = r / cell + 1e-9
  const row0 = Math.max(0, Math.floor(cy - rc))
  const row1 = Math.min(field.ny - 1, Math.floor(cy + rc))
  for (let row = row0; row <= row1; row++) {
    // Half width of the circle within this row of cells.
    const off = row > cy ? row - cy : row + 1 < cy ? cy - row - 1 : 0
    const half = Math.sqrt(Math.max(0, rc * rc - off * off))
    const column0 = Math.max(0, Math.floor(cx - half))
    const column1 = Math.min(field.nx - 1, Math.floor(cx + half))
    if (column1 < column0) continue
    // Cells of a row stand together, so the row's items are one run.
    const to = cellStart[row * field.nx + column1 + 1]
    for (let k = cellStart[row * field.nx + column0]; k < to; k++) {
      const i = cellItems[k]
      if (seen[i] === query) continue
      seen[i] = query
      if (i !== own) meetSegment(field, i, px, py, nx, ny)
    }
  }
}

/**
 * Largest circle inside the outlines that touches them at p with inward normal n; the result is left in the field.
 * @param own segment that p lies on, -1 at a corner
 * @param hint segment likely to be the contact, -1 for none
 * @returns the radius; `facingRadius` holds the nearest contact across (120 degrees or more), when within the roughness of it
 */
export const touchingCircle = (
  field: CircleField,
  px: number,
  py: number,
  nx: number,
  ny: number,
  own: number,
  hint: number,
): number => {
  field.radius = Infinity
  field.facingRadius = Infinity
  field.contact = -1
  field.contactCos = 1
  field.facingCos = 1
  const { roughness } = field
  const most = field.reach + roughness
  if (hint >= 0 && hint !== own) meetSegment(field, hint, px, py, nx, ny)
  let r = field.radius < most ? field.radius + roughness : Math.min(most, field.cell)
  for (;;) {
    searchCircle(field, own, px, py, nx, ny, r)
    if (field.radius + roughness <= r || r >= most) break
    r = Math.min(most, field.radius < most ? field.radius + roughness : 2 * r)
  }
  // Nothing in front: only a broken outline, of no thickness that could be told.
  if (field.radius === Infinity) field.radius = 0
  if (field.facingRadius > field.radius + roughness) field.facingRadius = Infinity
  return field.radius
}

/** Distance from a point to the nearest segment, or r when that is less. */
export const clearance = (field: CircleField, x: number, y: number, r: number): number => {
  const { x0, y0, cell, cellStart, cellItems } = field
  let best = r * r
  const row0 = Math.max(0, Math.floor((y - r - y0) / cell))
  const row1 = Math.min(field.ny - 1, Math.floor((y + r - y0) / cell))
  const column0 = Math.max(0, Math.floor((x - r - x0) / cell))
  const column1 = Math.min(field.nx - 1, Math.floor((x + r - x0) / cell))
  if (column1 < column0) return r
  for (let row = row0; row <= row1; row++) {
    const to = cellStart[row * field.nx + column1 + 1]
    for (let k = cellStart[row * field.nx + column0]; k < to; k++) {
      const i = cellItems[k]
      const ux = x - field.ax[i]
      const uy = y - field.ay[i]
      const along = Math.max(0, Math.min(field.length[i], ux * field.my[i] - uy * field.mx[i]))
      const ex = ux - along * field.my[i]
      const ey = uy + along * field.mx[i]
      const d2 = ex * ex + ey * ey
      if (d2 < best) best = d2
    }
  }
  return Math.sqrt(best)
}
