// Solids that several of the crew share: clay made solid, rods, bent tubes, the deck they stand on, plates.

import type { CrossSection, Manifold, ManifoldToplevel } from 'manifold-3d'
import { BASE } from '../facts.ts'
import type { Field, Point } from './fields.ts'

/** What one figure becomes: solids merged into one, or kept as they are. */
export type Solid = Manifold

const BASE_RADIUS = BASE.diameter / 2
const BASE_HEIGHT = BASE.height

/** Tools bound to a loaded boolean library. What they make lives as long as the instance. */
export interface Bench {
  readonly library: ManifoldToplevel
  /** Solid of a field inside the box from `from` to `to`; triangle edges about `edge` long. */
  fromField(field: Field, from: Point, to: Point, edge: number): Solid
  /** Round rod between two points; with `rb` a tapered one. Ends are flat. */
  rod(a: Point, b: Point, ra: number, rb?: number, sides?: number): Solid
  /**
   * Tube through points, radius per point, ends flat. `shape(angle, i)` scales the radius round the section at
   * point i: strands of a rope, pleats. A path must not come nearer to itself than the tube is thick.
   */
  tube(
    path: readonly Point[],
    radii: readonly number[],
    sides?: number,
    shape?: (angle: number, i: number) => number,
  ): Solid
  box(centre: Point, size: Point): Solid
  /** Solid turned about z from half an outline in (radius, height). */
  turned(outline: readonly (readonly [number, number])[], sides?: number): Solid
  union(...parts: readonly Solid[]): Solid
}

export const benchOf = (library: ManifoldToplevel): Bench => {
  const { Manifold: Made, CrossSection: Flat } = library
  const union = (...parts: readonly Solid[]): Solid => Made.union([...parts])
  const tube: Bench['tube'] = (path, radii, sides = 24, shape = () => 1) => sweep(library, path, radii, sides, shape)
  return {
    library,
    fromField: (field, from, to, edge) => {
      const quick = farSkipped(field, from, to, edge)
      return Made.levelSet((p) => -quick(p[0], p[1], p[2]), { min: [...from], max: [...to] }, edge).simplify(0.01)
    },
    rod: (a, b, ra, rb = ra, sides = 48) => tube([a, b], [ra, rb], sides),
    tube,
    box: (centre, size) => Made.cube([...size], true).translate([...centre]),
    turned: (outline, sides = 96) => {
      const half: CrossSection = Flat.ofPolygons([outline.map(([r, h]) => [r, h] as [number, number])], 'NonZero')
      return Made.revolve(half, sides)
    },
    union,
  }
}

/** Cell of the coarse grid, mm. */
const CELL = 0.6

/**
 * The same field, asked once per coarse cell where that is far from the surface: there the solid needs its sign only.
 * Saves a quarter of the time of the four figures; the crew comes out byte for byte the same with and without.
 */
const farSkipped = (field: Field, from: Point, to: Point, edge: number): Field => {
  // half the diagonal of a cell, and the ends of edges that cross the surface with room to spare
  const near = CELL + 2 * edge
  const [nx, ny, nz] = [0, 1, 2].map((k) => Math.ceil((to[k] - from[k]) / CELL) + 4)
  const far = new Float64Array(nx * ny * nz).fill(Number.NaN)
  return (x, y, z) => {
    const i = Math.floor((x - from[0]) / CELL) + 2
    const j = Math.floor((y - from[1]) / CELL) + 2
    const k = Math.floor((z - from[2]) / CELL) + 2
    if (i < 0 || j < 0 || k < 0 || i >= nx || j >= ny || k >= nz) return field(x, y, z)
    const at = (k * ny + j) * nx + i
    if (Number.isNaN(far[at]))
      far[at] = field(from[0] + (i - 1.5) * CELL, from[1] + (j - 1.5) * CELL, from[2] + (k - 1.5) * CELL)
    return Math.abs(far[at]) > near ? far[at] : field(x, y, z)
  }
}

/** Tube with circular sections square to a path; the frame is carried along without twist. */
const sweep = (
  library: ManifoldToplevel,
  path: readonly Point[],
  radii: readonly number[],
  sides: number,
  shape: (angle: number, i: number) => number,
): Solid => {
  const n = path.length
  const verts = new Float32Array(3 * (n * sides + 2))
  const at = (i: number, k: number) => path[Math.min(n - 1, Math.max(0, i))][k]
  let side: [number, number, number] | null = null
  for (let i = 0; i < n; i++) {
    const t = [0, 1, 2].map((k) => at(i + 1, k) - at(i - 1, k))
    const tl = Math.hypot(t[0], t[1], t[2])
    for (let k = 0; k < 3; k++) t[k] /= tl
    if (side === null) side = Math.abs(t[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0]
    const along = side[0] * t[0] + side[1] * t[1] + side[2] * t[2]
    const u: number[] = [side[0] - along * t[0], side[1] - along * t[1], side[2] - along * t[2]]
    const ul = Math.hypot(u[0], u[1], u[2])
    for (let k = 0; k < 3; k++) u[k] /= ul
    side = [u[0], u[1], u[2]]
    const v = [t[1] * u[2] - t[2] * u[1], t[2] * u[0] - t[0] * u[2], t[0] * u[1] - t[1] * u[0]]
    for (let j = 0; j < sides; j++) {
      const a = (2 * Math.PI * j) / sides
      const r = radii[i] * shape(a, i)
      for (let k = 0; k < 3; k++)
        verts[3 * (i * sides + j) + k] = path[i][k] + r * (Math.cos(a) * u[k] + Math.sin(a) * v[k])
    }
  }
  verts.set(path[0], 3 * n * sides)
  verts.set(path[n - 1], 3 * n * sides + 3)
  const tris: number[] = []
  for (let j = 0; j < sides; j++) {
    const m = (j + 1) % sides
    tris.push(n * sides, m, j, n * sides + 1, (n - 1) * sides + j, (n - 1) * sides + m)
    for (let i = 0; i + 1 < n; i++) {
      const a = i * sides
      const b = a + sides
      tris.push(a + j, a + m, b + m, a + j, b + m, b + j)
    }
  }
  return library.Manifold.ofMesh(
    new library.Mesh({ numProp: 3, vertProperties: verts, triVerts: new Uint32Array(tris) }),
  )
}

/** Points of a smooth curve (Catmull-Rom) through the given ones, `steps` per span. */
export const curve = (through: readonly Point[], steps: number): Point[] => {
  const out: Point[] = []
  const p = (i: number) => through[Math.min(through.length - 1, Math.max(0, i))]
  for (let i = 0; i + 1 < through.length; i++)
    for (let s = 0; s < steps; s++) {
      const t = s / steps
      const at = (k: number) =>
        0.5 *
        (2 * p(i)[k] +
          t * (p(i + 1)[k] - p(i - 1)[k]) +
          t * t * (2 * p(i - 1)[k] - 5 * p(i)[k] + 4 * p(i + 1)[k] - p(i + 2)[k]) +
          t * t * t * (3 * p(i)[k] - p(i - 1)[k] - 3 * p(i + 1)[k] + p(i + 2)[k]))
      out.push([at(0), at(1), at(2)])
    }
  out.push(through[through.length - 1])
  return out
}

/** The one piece that the parts make together, without the closed-in voids that their overlaps leave. Throws when they make several. */
export const onePiece = (bench: Bench, ...parts: readonly Solid[]): Solid => {
  const pieces = bench
    .union(...parts)
    .decompose()
    .filter((piece) => piece.volume() > 0)
  if (pieces.length !== 1) throw new Error(`demo: the parts make ${pieces.length} pieces: let them overlap`)
  return pieces[0]
}

/** The base: a round of ferry deck, 25 mm across and 3 mm high, bevelled, with planks and nail heads. */
export const deck = (bench: Bench, plankAngle: number): Solid => {
  const round = bench.turned(
    [
      [0, 0],
      [BASE_RADIUS, 0],
      [BASE_RADIUS, BASE_HEIGHT - BASE.bevel.height],
      [BASE_RADIUS - BASE.bevel.inset, BASE_HEIGHT],
      [0, BASE_HEIGHT],
    ],
    192,
  )
  const gaps: Solid[] = []
  const nails: Solid[] = []
  const pitch = 3.4
  for (let i = -3; i <= 3; i++) {
    const y = i * pitch + pitch / 2
    gaps.push(bench.box([0, y, BASE_HEIGHT], [26, 0.32, 0.7]))
    const end = ((i * 37) % 11) - 3
    gaps.push(bench.box([end, y - pitch / 2, BASE_HEIGHT], [0.32, pitch, 0.7]))
    for (const dx of [-0.75, 0.75])
      for (const dy of [-0.95, 0.95])
        nails.push(
          bench.rod([end + dx, y - pitch / 2 + dy, BASE_HEIGHT - 0.5], [end + dx, y - pitch / 2 + dy, 3.12], 0.26),
        )
  }
  const cutGaps = bench.union(...gaps).rotate([0, 0, plankAngle])
  const inner = bench.turned([
    [0, 0],
    [BASE_RADIUS - 0.8, 0],
    [BASE_RADIUS - 0.8, 4],
    [0, 4],
  ])
  const kept = bench
    .union(...nails)
    .rotate([0, 0, plankAngle])
    .intersect(inner)
  return bench.union(round.subtract(cutGaps), kept)
}

/** Rope of three strands along a path of evenly spaced points. */
export const rope = (bench: Bench, path: readonly Point[], radius: number, turnsPerPoint: number): Solid =>
  bench.tube(
    path,
    path.map(() => radius),
    24,
    (angle, i) => 0.86 + 0.14 * Math.abs(Math.cos(1.5 * (angle + 2 * Math.PI * turnsPerPoint * i))),
  )
