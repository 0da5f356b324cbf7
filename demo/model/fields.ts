// Signed distance fields: the clay that bodies, heads and hands are modelled from, before they become solids.

/** Signed distance to a surface, mm, negative inside. Exact or a lower bound near the surface. */
export type Field = (x: number, y: number, z: number) => number

/** A point or direction, mm: x, y, z. */
export type Point = readonly [number, number, number]

const length2 = (x: number, y: number): number => Math.sqrt(x * x + y * y)
const length3 = (x: number, y: number, z: number): number => Math.sqrt(x * x + y * y + z * z)

export const ball =
  ([cx, cy, cz]: Point, r: number): Field =>
  (x, y, z) =>
    length3(x - cx, y - cy, z - cz) - r

/** Ellipsoid with half axes along x, y, z. First-order distance (value over gradient), good near the surface. */
export const egg =
  ([cx, cy, cz]: Point, [rx, ry, rz]: Point): Field =>
  (x, y, z) => {
    const px = (x - cx) / rx
    const py = (y - cy) / ry
    const pz = (z - cz) / rz
    const k0 = Math.sqrt(px * px + py * py + pz * pz)
    const qx = px / rx
    const qy = py / ry
    const qz = pz / rz
    const k1 = Math.sqrt(qx * qx + qy * qy + qz * qz)
    return k1 < 1e-9 ? -Math.min(rx, ry, rz) : (k0 * (k0 - 1)) / k1
  }

/** Tapered limb: the hull of a ball of radius ra at a and one of radius rb at b. */
export const limb = (a: Point, b: Point, ra: number, rb: number = ra): Field => {
  const [ax, ay, az] = a
  const bx = b[0] - ax
  const by = b[1] - ay
  const bz = b[2] - az
  const l2 = bx * bx + by * by + bz * bz
  const rr = ra - rb
  const a2 = l2 - rr * rr
  const il2 = 1 / l2
  return (x, y, z) => {
    const px = x - ax
    const py = y - ay
    const pz = z - az
    const along = px * bx + py * by + pz * bz
    const beyond = along - l2
    const cx = px * l2 - bx * along
    const cy = py * l2 - by * along
    const cz = pz * l2 - bz * along
    const x2 = cx * cx + cy * cy + cz * cz
    const y2 = along * along * l2
    const z2 = beyond * beyond * l2
    const k = Math.sign(rr) * rr * rr * x2
    if (Math.sign(beyond) * a2 * z2 > k) return Math.sqrt(x2 + z2) * il2 - rb
    if (Math.sign(along) * a2 * y2 < k) return Math.sqrt(x2 + y2) * il2 - ra
    return (Math.sqrt(x2 * a2 * il2) + along * rr) * il2 - ra
  }
}

/** Limbs end to end through the given points, radius given at each. */
export const chain = (points: readonly Point[], radii: readonly number[]): Field =>
  join(...points.slice(1).map((p, i) => limb(points[i], p, radii[i], radii[i + 1])))

/** Box with rounded edges; half sizes include the rounding. */
export const slab =
  ([cx, cy, cz]: Point, [hx, hy, hz]: Point, round: number): Field =>
  (x, y, z) => {
    const qx = Math.abs(x - cx) - hx + round
    const qy = Math.abs(y - cy) - hy + round
    const qz = Math.abs(z - cz) - hz + round
    const out = length3(Math.max(qx, 0), Math.max(qy, 0), Math.max(qz, 0))
    return out + Math.min(Math.max(qx, qy, qz), 0) - round
  }

/** Half-space: inside where the point lies behind the plane through p with outward normal n (any length). */
export const half = ([px, py, pz]: Point, [nx, ny, nz]: Point): Field => {
  const s = 1 / Math.hypot(nx, ny, nz)
  return (x, y, z) => ((x - px) * nx + (y - py) * ny + (z - pz) * nz) * s
}

/** Ring lying flat: tube of radius r round a circle of radius R about z. */
export const ring =
  ([cx, cy, cz]: Point, R: number, r: number): Field =>
  (x, y, z) =>
    length2(length2(x - cx, y - cy) - R, z - cz) - r

/** Union, edges kept. */
export const join =
  (...fields: readonly Field[]): Field =>
  (x, y, z) => {
    let d = fields[0](x, y, z)
    for (let i = 1; i < fields.length; i++) d = Math.min(d, fields[i](x, y, z))
    return d
  }

const soft = (a: number, b: number, k: number): number => {
  const h = k - Math.abs(a - b)
  return h <= 0 ? Math.min(a, b) : Math.min(a, b) - (h * h) / (4 * k)
}

/** Union with a fillet that reaches about k. */
export const blend =
  (k: number, ...fields: readonly Field[]): Field =>
  (x, y, z) => {
    let d = fields[0](x, y, z)
    for (let i = 1; i < fields.length; i++) d = soft(d, fields[i](x, y, z), k)
    return d
  }

/** Intersection with its edge eased over k (> 0). */
export const meet =
  (k: number, ...fields: readonly Field[]): Field =>
  (x, y, z) => {
    let d = -fields[0](x, y, z)
    for (let i = 1; i < fields.length; i++) d = soft(d, -fields[i](x, y, z), k)
    return -d
  }

/** The first field less the others, with the cut's edge eased over k (> 0). */
export const carve =
  (k: number, field: Field, ...cutters: readonly Field[]): Field =>
  (x, y, z) => {
    let d = -field(x, y, z)
    for (const cutter of cutters) d = soft(d, cutter(x, y, z), k)
    return -d
  }

/** Something laid on a surface: the surface raised by `rise` (mm) wherever `where` is inside. */
export interface Layer {
  readonly rise: number
  readonly where: Field
}

/** Layers (lapels, belts, bands) on a surface, edges eased. The surface is asked once. */
export const layered = (base: Field, ...layers: readonly Layer[]): Field => {
  const highest = Math.max(...layers.map((l) => l.rise))
  return (x, y, z) => {
    const d = base(x, y, z)
    if (d > highest + 0.5 || d < -0.4) return d > 0 ? d - highest : d
    let out = d
    for (const { rise, where } of layers) out = soft(out, -soft(rise - d, -where(x, y, z), 0.18), 0.08)
    return out
  }
}

/** The field's surface moved outwards by t. */
export const grown =
  (field: Field, t: number): Field =>
  (x, y, z) =>
    field(x, y, z) - t

/** Mirror image in the plane x = 0. */
export const mirrored =
  (field: Field): Field =>
  (x, y, z) =>
    field(-x, y, z)

/** Skips a costly field far away: beyond a ball round it the distance to that ball stands in. */
export const within =
  ([cx, cy, cz]: Point, r: number, field: Field): Field =>
  (x, y, z) => {
    const d = length3(x - cx, y - cy, z - cz) - r
    return d > 0.8 ? d : field(x, y, z)
  }

const unit = ([x, y, z]: Point): Point => {
  const s = 1 / Math.hypot(x, y, z)
  return [x * s, y * s, z * s]
}
const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]

/** Three perpendicular axes: z along the first direction, y as near to the second as that allows. */
export const axes = (zDirection: Point, yHint: Point): readonly [Point, Point, Point] => {
  const ez = unit(zDirection)
  const ex = unit(cross(yHint, ez))
  return [ex, cross(ez, ex), ez]
}

/** Places a field modelled about the origin: its origin goes to `at`, its axes to the given ones, its size times `size`. */
export const placed = (field: Field, at: Point, frame: readonly [Point, Point, Point], size = 1): Field => {
  const [ex, ey, ez] = frame
  const s = 1 / size
  return (x, y, z) => {
    const px = (x - at[0]) * s
    const py = (y - at[1]) * s
    const pz = (z - at[2]) * s
    return (
      size *
      field(
        px * ex[0] + py * ex[1] + pz * ex[2],
        px * ey[0] + py * ey[1] + pz * ey[2],
        px * ez[0] + py * ez[1] + pz * ez[2],
      )
    )
  }
}

/** 0 below a, 1 above b, smooth between (b may be below a). */
export const ease = (a: number, b: number, v: number): number => {
  const t = Math.min(1, Math.max(0, (v - a) / (b - a)))
  return t * t * (3 - 2 * t)
}

/** y of the field's surface seen from the front (-y) at x, z. */
export const frontOf = (field: Field, x: number, z: number): number => {
  let y = -10
  for (let d = field(x, y, z); y < 10 && d > 0.01; d = field(x, y, z)) y += Math.max(0.01, 0.5 * d)
  return y
}
