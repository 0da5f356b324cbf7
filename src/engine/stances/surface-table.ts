// The surface as flat columns for cheap measures, and the measures of one stance over it.
//
// Sums over triangles: projected area |n.d| A, stair-step integral t |n.d| A, outline length sqrt(1-(n.d)2) A / t (the perimeter of all
// sections, summed over layers of height t, is the surface seen sideways), undersides by their slope, contact by clipping near the bed.
// Limits: what one part shades from another is not seen, so room for props is an upper bound.

import { facetNormal, type Mesh } from '../mesh/index.ts'
import { STANCE_ROW } from './types.ts'

/** One entry per triangle; head triangles come first. */
export interface SurfaceTable {
  readonly nTriangles: number
  /** Triangles of the head are 0 to nHead-1. */
  readonly nHead: number
  /** Unit normal and area, mm2. */
  readonly nx: Float64Array
  readonly ny: Float64Array
  readonly nz: Float64Array
  readonly area: Float64Array
  /** Middle, mm, and farthest corner from it, mm. */
  readonly gx: Float64Array
  readonly gy: Float64Array
  readonly gz: Float64Array
  readonly reach: Float64Array
  /** Corners, xyz each, length 9*nTriangles. */
  readonly corners: Float64Array
  /** Vertices as columns, mm. */
  readonly vx: Float64Array
  readonly vy: Float64Array
  readonly vz: Float64Array
  readonly totalArea: number
  readonly headArea: number
}

/** Settings of the measures. */
export interface MeasureSettings {
  readonly layerHeightMm: number
  readonly firstLayerHeightMm: number
  /** Angle from the vertical beyond which a surface counts as an underside, radians. */
  readonly undersideSlope: number
}

/** Steps are not seen on what is flat within a degree: one layer covers it. */
const FLAT = Math.cos(Math.PI / 180)
/** A face on the bed looks down within this cosine. */
const FACES_BED = -0.7

/**
 * Columns of a mesh, or of some of its triangles.
 * @param isHead whether a triangle with this middle counts as head
 * @param chosen triangles to take; all when left out
 * @param isPart true when the chosen ones are a part by itself, whose height is that of its own corners alone
 */
export const surfaceTable = (
  { positions, triangles }: Pick<Mesh, 'positions' | 'triangles'>,
  isHead: (x: number, y: number, z: number) => boolean,
  chosen?: Uint32Array,
  isPart = true,
): SurfaceTable => {
  const n = chosen ? chosen.length : triangles.length / 3
  const heads: number[] = []
  const others: number[] = []
  const corner = (t: number, k: number, c: number): number => positions[3 * triangles[3 * t + k] + c]
  for (let i = 0; i < n; i++) {
    const t = chosen ? chosen[i] : i
    const middle = [0, 1, 2].map((c) => (corner(t, 0, c) + corner(t, 1, c) + corner(t, 2, c)) / 3)
    ;(isHead(middle[0], middle[1], middle[2]) ? heads : others).push(t)
  }
  const column = (): Float64Array => new Float64Array(n)
  const [nx, ny, nz, area, gx, gy, gz, reach] = Array.from({ length: 8 }, column)
  const corners = new Float64Array(9 * n)
  const normal = new Float64Array(3)
  let totalArea = 0
  let headArea = 0
  for (let i = 0; i < n; i++) {
    const t = i < heads.length ? heads[i] : others[i - heads.length]
    for (let k = 0; k < 3; k++) for (let c = 0; c < 3; c++) corners[9 * i + 3 * k + c] = corner(t, k, c)
    const at = (k: number): number => corners[9 * i + k]
    area[i] = facetNormal(positions, triangles, t, normal) / 2
    nx[i] = normal[0]
    ny[i] = normal[1]
    nz[i] = normal[2]
    gx[i] = (at(0) + at(3) + at(6)) / 3
    gy[i] = (at(1) + at(4) + at(7)) / 3
    gz[i] = (at(2) + at(5) + at(8)) / 3
    for (let k = 0; k < 9; k += 3)
      reach[i] = Math.max(reach[i], Math.hypot(at(k) - gx[i], at(k + 1) - gy[i], at(k + 2) - gz[i]))
    totalArea += area[i]
    if (i < heads.length) headArea += area[i]
  }
  const nVertices = positions.length / 3
  const axis = (c: number): Float64Array => Float64Array.from({ length: nVertices }, (_, v) => positions[3 * v + c])
  const isOwn = chosen !== undefined && isPart
  return {
    nTriangles: n,
    nHead: heads.length,
    nx,
    ny,
    nz,
    area,
    gx,
    gy,
    gz,
    reach,
    corners,
    vx: isOwn ? everyThird(corners, 0) : axis(0),
    vy: isOwn ? everyThird(corners, 1) : axis(1),
    vz: isOwn ? everyThird(corners, 2) : axis(2),
    totalArea,
    headArea,
  }
}

const everyThird = (corners: Float64Array, c: number): Float64Array =>
  Float64Array.from({ length: corners.length / 3 }, (_, v) => corners[3 * v + c])

/** Lowest and highest point in a direction, and the vertex that lies lowest. */
export const reachAlong = (
  { vx, vy, vz }: Pick<SurfaceTable, 'vx' | 'vy' | 'vz'>,
  dx: number,
  dy: number,
  dz: number,
): { low: number; high: number; lowest: number } => {
  let low = Infinity
  let high = -Infinity
  let lowest = 0
  for (let v = 0; v < vx.length; v++) {
    const h = vx[v] * dx + vy[v] * dy + vz[v] * dz
    if (h < low) {
      low = h
      lowest = v
    }
    if (h > high) high = h
  }
  return { low, high, lowest }
}

/** Share of a triangle that lies below a height, by corner heights. */
const shareBelow = (a: number, b: number, c: number, top: number): number => {
  if (a > b) [a, b] = [b, a]
  if (b > c) [b, c] = [c, b]
  if (a > b) [a, b] = [b, a]
  if (top >= c) return 1
  if (top <= a) return 0
  if (top <= b) return ((top - a) * (top - a)) / ((b - a) * (c - a) || 1)
  return 1 - ((c - top) * (c - top)) / ((c - a) * (c - b) || 1)
}

/** Fills height, shadow, undersides, steps, outline and contact of one stance into a row. */
export const measureSurfaceOf = (
  table: SurfaceTable,
  dx: number,
  dy: number,
  dz: number,
  low: number,
  high: number,
  settings: MeasureSettings,
  row: Float64Array,
  at: number,
): void => {
  const { nTriangles, nHead, nx, ny, nz, area, gx, gy, gz, reach, corners } = table
  const steep = -Math.sin(settings.undersideSlope)
  const bed = low + settings.firstLayerHeightMm
  let shadow = 0
  let steps = 0
  let headSteps = 0
  let outline = 0
  let underside = 0
  let propRoom = 0
  let contact = 0
  for (let i = 0; i < nTriangles; i++) {
    const c = nx[i] * dx + ny[i] * dy + nz[i] * dz
    const a = area[i]
    const flat = a * (c < 0 ? -c : c)
    shadow += flat
    outline += a * Math.sqrt(Math.max(0, 1 - c * c))
    if (c < FLAT && c > -FLAT) {
      steps += flat
      if (i < nHead) headSteps += flat
    }
    if (c >= steep && c >= FACES_BED) continue
    const h = gx[i] * dx + gy[i] * dy + gz[i] * dz
    let off = 1
    if (h - reach[i] < bed) {
      const k = 9 * i
      off =
        1 -
        shareBelow(
          corners[k] * dx + corners[k + 1] * dy + corners[k + 2] * dz,
          corners[k + 3] * dx + corners[k + 4] * dy + corners[k + 5] * dz,
          corners[k + 6] * dx + corners[k + 7] * dy + corners[k + 8] * dz,
          bed,
        )
      if (c < FACES_BED) contact += (1 - off) * flat
    }
    if (c < steep) {
      underside += off * a
      propRoom += off * flat * Math.max(0, h - low)
    }
  }
  const t = settings.layerHeightMm
  row[at + STANCE_ROW.height] = high - low
  row[at + STANCE_ROW.shadow] = shadow / 2
  row[at + STANCE_ROW.underside] = underside
  row[at + STANCE_ROW.propRoom] = propRoom
  row[at + STANCE_ROW.steps] = t * steps
  row[at + STANCE_ROW.headStepUm] = table.headArea > 0 ? (1000 * t * headSteps) / table.headArea : Number.NaN
  row[at + STANCE_ROW.outline] = outline / t
  row[at + STANCE_ROW.contact] = contact
}
