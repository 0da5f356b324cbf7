// Simple closed solids as loose vertices and triangles, outside counter-clockwise, for tests and benchmarks.

/** Vertices and triangles of a solid. */
export interface Solid {
  readonly positions: Float64Array
  readonly triangles: Uint32Array
}

/** Closed solid of revolution about z. The profile runs from the bottom to the top on the outside: r, z pairs; r 0 closes it at the axis. */
export const revolved = (profile: readonly (readonly [number, number])[], parts: number): Solid => {
  const positions: number[] = []
  const triangles: number[] = []
  const rings = profile.map(([r, z]) => {
    const first = positions.length / 3
    const n = r === 0 ? 1 : parts
    for (let i = 0; i < n; i++) {
      const angle = (2 * Math.PI * i) / parts
      positions.push(r * Math.cos(angle), r * Math.sin(angle), z)
    }
    return { first, n }
  })
  for (let k = 0; k + 1 < rings.length; k++) {
    const low = rings[k]
    const high = rings[k + 1]
    for (let i = 0; i < parts; i++) {
      const j = (i + 1) % parts
      const [a, b] = low.n === 1 ? [low.first, low.first] : [low.first + i, low.first + j]
      const [d, c] = high.n === 1 ? [high.first, high.first] : [high.first + i, high.first + j]
      if (a !== b) triangles.push(a, b, c)
      if (c !== d) triangles.push(a, c, d)
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

/** Box with one corner at the origin. */
export const box = (sx: number, sy: number, sz: number): Solid => ({
  positions: Float64Array.from([0, 0, 0, sx, 0, 0, sx, sy, 0, 0, sy, 0, 0, 0, sz, sx, 0, sz, sx, sy, sz, 0, sy, sz]),
  triangles: Uint32Array.from([
    0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4, 1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7,
  ]),
})

/** Sphere about the origin, as rings of latitude; parts round, half as many up. */
export const sphere = (r: number, parts: number): Solid => {
  const up = Math.max(2, parts >> 1)
  return revolved(
    Array.from({ length: up + 1 }, (_, k) => {
      if (k === 0) return [0, -r] as const
      if (k === up) return [0, r] as const
      const angle = -Math.PI / 2 + (Math.PI * k) / up
      return [r * Math.cos(angle), r * Math.sin(angle)] as const
    }),
    parts,
  )
}

/** Cylinder standing on z = 0, axis z. With parts = n it is a regular prism whose corners lie on radius r. */
export const cylinder = (r: number, h: number, parts: number): Solid =>
  revolved(
    [
      [0, 0],
      [r, 0],
      [r, h],
      [0, h],
    ],
    parts,
  )

/** Cone standing on z = 0, tip up. */
export const cone = (r: number, h: number, parts: number): Solid =>
  revolved(
    [
      [0, 0],
      [r, 0],
      [0, h],
    ],
    parts,
  )

/** Regular prism of n sides standing on z = 0, corners on radius r. */
export const prism = cylinder

/** Torus about z in the plane z = 0: radius R of the middle line, r of the tube. */
export const torus = (R: number, r: number, partsRound: number, partsTube: number): Solid => {
  const positions = new Float64Array(3 * partsRound * partsTube)
  const triangles = new Uint32Array(6 * partsRound * partsTube)
  let at = 0
  for (let i = 0; i < partsRound; i++) {
    const around = (2 * Math.PI * i) / partsRound
    for (let j = 0; j < partsTube; j++) {
      const tube = (2 * Math.PI * j) / partsTube
      const rho = R + r * Math.cos(tube)
      positions.set([rho * Math.cos(around), rho * Math.sin(around), r * Math.sin(tube)], 3 * (i * partsTube + j))
      const a = i * partsTube + j
      const b = ((i + 1) % partsRound) * partsTube + j
      const c = ((i + 1) % partsRound) * partsTube + ((j + 1) % partsTube)
      const d = i * partsTube + ((j + 1) % partsTube)
      triangles.set([a, b, c, a, c, d], at)
      at += 6
    }
  }
  return { positions, triangles }
}

/** Corner tetrahedron: origin and the unit points of the three axes. */
export const cornerTetrahedron = (): Solid => ({
  positions: Float64Array.from([0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1]),
  triangles: Uint32Array.from([0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3]),
})

/** The solid moved by a vector. */
export const moved = ({ positions, triangles }: Solid, x: number, y: number, z: number): Solid => ({
  positions: positions.map((p, i) => p + [x, y, z][i % 3]),
  triangles,
})

/** The solid turned inside out. */
export const insideOut = ({ positions, triangles }: Solid): Solid => ({
  positions,
  triangles: triangles.map((_, i) => triangles[i - (i % 3) + [0, 2, 1][i % 3]]),
})

/** Several solids in one list, not united. */
export const together = (...solids: readonly Solid[]): Solid => {
  const positions: number[] = []
  const triangles: number[] = []
  for (const solid of solids) {
    const first = positions.length / 3
    for (const p of solid.positions) positions.push(p)
    for (const v of solid.triangles) triangles.push(first + v)
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

/** The solid as loose triangles, nine numbers each, as a file without shared vertices gives them. */
export const asSoup = ({ positions, triangles }: Solid): Float64Array => {
  const soup = new Float64Array(3 * triangles.length)
  for (let i = 0; i < triangles.length; i++) {
    soup.set(positions.subarray(3 * triangles[i], 3 * triangles[i] + 3), 3 * i)
  }
  return soup
}
