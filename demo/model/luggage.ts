// The passenger's things: an umbrella, closed, and a trunk with a domed lid. Every part is a closed solid of its own.

import { UMBRELLA } from '../facts.ts'
import type { Point } from './fields.ts'
import { type Bench, curve, type Solid } from './solids.ts'

/** Umbrella standing upright, held at `gripHeight`: stick, pleated cloth, strap, collar, crook. Five solids. */
export const umbrella = (bench: Bench, [x, y]: readonly [number, number], gripHeight: number): Solid[] => {
  const up = (z: number): Point => [x, y, z]
  const stick = bench.rod(up(2.6), up(gripHeight + 1.2), UMBRELLA.stick / 2, UMBRELLA.stick / 2, 64)
  const profile = [0.5, 0.62, 0.8, 1.0, 1.2, 1.36, 1.46, 1.5, 1.46, 1.3, 0.95, 0.6]
  const path = curve(
    profile.map((_, i) => up(4.4 + 0.92 * i)),
    5,
  )
  const radii = path.map((_, i) => {
    const t = i / 5
    const k = Math.min(profile.length - 2, Math.floor(t))
    return profile[k] + (t - k) * (profile[k + 1] - profile[k])
  })
  const pleats = bench.tube(path, radii, 96, (angle, i) => {
    return 1 - 0.26 * Math.abs(Math.sin(4 * angle)) ** 0.7 * Math.min(1, i / 15)
  })
  const strap = bench
    .turned(
      [
        [0, 0],
        [1.45, 0],
        [1.5, 0.1],
        [1.5, 0.75],
        [1.45, 0.85],
        [0, 0.85],
      ],
      64,
    )
    .translate(up(9.6))
  const collar = bench.rod(up(14.1), up(14.9), 0.75, 0.65)
  const crookPath = curve(
    [
      up(gripHeight + 0.6),
      up(gripHeight + 2.4),
      [x - 0.35, y - 0.25, gripHeight + 3.5],
      [x - 1.3, y - 0.85, gripHeight + 4.0],
      [x - 2.25, y - 1.4, gripHeight + 3.4],
      [x - 2.4, y - 1.5, gripHeight + 2.4],
    ],
    10,
  )
  const crook = bench.tube(
    crookPath,
    crookPath.map((_, i) => (i > crookPath.length - 4 ? 0.5 : 0.45)),
    32,
  )
  return [stick, pleats, strap, collar, crook]
}

/** Trunk standing on the deck with its middle at (x, y), turned by `angle` deg: nine solids. */
export const luggage = (bench: Bench, [x, y]: readonly [number, number], angle: number): Solid[] => {
  const wide = 5.6
  const deep = 3.8
  const high = 3.6
  const chest = bench.box([0, 0, 2.9 + high / 2], [wide, deep, high]).refineToLength(0.4)
  const dome = (r: number, length: number, from: number): Solid =>
    bench.library.Manifold.cylinder(length, r, r, 96, true)
      .rotate([0, 90, 0])
      .scale([1, 1, 0.62])
      .translate([0, 0, from])
      .trimByPlane([0, 0, 1], from - 0.15)
  const lid = dome(deep / 2 + 0.12, wide + 0.24, 2.9 + high)
  const band = (dx: number): Solid =>
    bench.union(
      bench.box([dx, 0, 2.9 + high / 2], [0.6, deep + 0.5, high]),
      dome(deep / 2 + 0.36, 0.6, 2.9 + high).translate([dx, 0, 0]),
    )
  const lock = bench.union(
    bench.box([0, -deep / 2 - 0.1, 6.2], [0.95, 0.5, 1.3]),
    bench.rod([0, -deep / 2 - 0.55, 6.0], [0, -deep / 2, 6.0], 0.3),
  )
  const handlePath = (side: number): Point[] =>
    curve(
      [
        [side * (wide / 2 - 0.2), -0.85, 5.2],
        [side * (wide / 2 + 0.5), -0.75, 5.1],
        [side * (wide / 2 + 0.65), 0, 5.0],
        [side * (wide / 2 + 0.5), 0.75, 5.1],
        [side * (wide / 2 - 0.2), 0.85, 5.2],
      ],
      8,
    )
  const handle = (side: number): Solid =>
    bench.tube(
      handlePath(side),
      handlePath(side).map(() => 0.28),
      16,
    )
  const corner = (sx: number): Solid => bench.box([(sx * wide) / 2, -deep / 2, 3.4], [0.9, 0.9, 0.9])
  return [chest, lid, band(-1.75), band(1.75), lock, handle(-1), handle(1), corner(-1), corner(1)].map((part) =>
    part.rotate([0, 0, angle]).translate([x, y, 0]),
  )
}
