// Sections square to every limb's axis: area, second moments, rim, torsion constant, mass, notches.
//
// The grid of filled shares is read on a plane square to the axis, joined to the middle, and only within the pieces near the
// station. Reading between cells smears the body by a tent and a box, h2/6 + h2/12 in each direction: that is taken off the second
// moments, which makes them exact for straight limbs up to the sampling. Torsion constant: Saint-Venant's A^4 / (4 pi2 Ip),
// exact for ellipses, within 8 % for a square (Timoshenko & Goodier, ch. 10).

import type { FillGrid } from './fill-grid.ts'
import type { LimbGraph } from './limb-graph.ts'
import { notchOfStep } from './notch.ts'
import type { PrunedLimbs } from './prune-limbs.ts'
import { type LimbBranch, type LimbFrame, N_RIM } from './types.ts'

/** What the sections need to know of the material. */
export interface SectionWeights {
  /** Modulus of infill within layers as a share of the solid plastic's. */
  readonly coreShare: number
  /** Plastic in infill as a share of solid. */
  readonly corePlastic: number
  readonly densityGPerCm3: number
  /** Radius that a printed inside corner has, mm: half a bead. */
  readonly cornerMm: number
}

const unit = (x: number, y: number, z: number): [number, number, number] => {
  const l = Math.hypot(x, y, z) || 1
  return [x / l, y / l, z / l]
}

/** Two directions square to a unit vector and to each other. */
export const acrossOf = (tx: number, ty: number, tz: number): [number, number, number, number, number, number] => {
  const a = Math.abs(tx) < 0.6 ? unit(0, -tz, ty) : unit(tz, 0, -tx)
  return [...a, ty * a[2] - tz * a[1], tz * a[0] - tx * a[2], tx * a[1] - ty * a[0]]
}

/** Direction of the limb at each station: from the middles of its neighbours two steps either way. */
const directions = (at: Float64Array, neighbours: readonly (readonly number[])[], atHold: Uint8Array): Float64Array => {
  const n = neighbours.length
  const along = new Float64Array(3 * n)
  for (let i = 0; i < n; i++) {
    // Walk outwards while the way is clear; a fork ends the walk.
    const ends: number[] = []
    for (const first of neighbours[i]) {
      let before = i
      let here = first
      for (let k = 0; k < 2 && neighbours[here].length === 2; k++) {
        const next = neighbours[here].find((j) => j !== before)
        if (next === undefined) break
        before = here
        here = next
      }
      ends.push(here)
    }
    let x = 0
    let y = 0
    let z = 0
    if (ends.length === 0) z = 1
    else if (ends.length === 1 || (ends.length > 2 && atHold[i])) {
      x = at[3 * ends[0]] - at[3 * i]
      y = at[3 * ends[0] + 1] - at[3 * i + 1]
      z = at[3 * ends[0] + 2] - at[3 * i + 2]
    } else {
      // The straightest pair through the station.
      let best = Infinity
      for (let a = 0; a < ends.length; a++)
        for (let b = a + 1; b < ends.length; b++) {
          const u = unit(
            at[3 * ends[a]] - at[3 * i],
            at[3 * ends[a] + 1] - at[3 * i + 1],
            at[3 * ends[a] + 2] - at[3 * i + 2],
          )
          const v = unit(
            at[3 * ends[b]] - at[3 * i],
            at[3 * ends[b] + 1] - at[3 * i + 1],
            at[3 * ends[b] + 2] - at[3 * i + 2],
          )
          const dot = u[0] * v[0] + u[1] * v[1] + u[2] * v[2]
          if (dot < best) {
            best = dot
            x = at[3 * ends[b]] - at[3 * ends[a]]
            y = at[3 * ends[b] + 1] - at[3 * ends[a] + 1]
            z = at[3 * ends[b] + 2] - at[3 * ends[a] + 2]
          }
        }
    }
    along.set(unit(x, y, z), 3 * i)
  }
  return along
}

/** Chains between forks, from the held side outwards. */
const branchesOf = (
  neighbours: readonly (readonly number[])[],
  held: Uint8Array,
  hops: Int32Array,
): { chains: number[][]; branchOf: Uint32Array } => {
  const n = neighbours.length
  const branchOf = new Uint32Array(n).fill(0xffffffff)
  const chains: number[][] = []
  const isFork = (i: number) => neighbours[i].length > 2
  const order = Array.from({ length: n }, (_, i) => i).sort((a, b) => hops[a] - hops[b])
  for (const seed of order) {
    if (branchOf[seed] !== 0xffffffff || isFork(seed)) continue
    const chain = [seed]
    branchOf[seed] = chains.length
    for (const side of [0, 1]) {
      let at = seed
      for (;;) {
        const next = neighbours[at].find((k) => branchOf[k] === 0xffffffff && !isFork(k) && !(held[k] && held[at]))
        if (next === undefined) break
        branchOf[next] = chains.length
        if (side === 0) chain.push(next)
        else chain.unshift(next)
        at = next
      }
    }
    if (hops[chain[chain.length - 1]] < hops[chain[0]]) chain.reverse()
    chains.push(chain)
  }
  for (const fork of order) {
    if (branchOf[fork] !== 0xffffffff) continue
    branchOf[fork] = chains.length
    chains.push([fork])
  }
  return { chains, branchOf }
}

/** One plane section; results in `out`: area, middle shift along a and b, second moments aa, bb, ab. */
interface PlaneSection {
  area: number
  a: number
  b: number
  aa: number
  bb: number
  ab: number
}

/** The frame of a figure's limbs with its sections. */
export const limbSections = (
  grid: FillGrid,
  graph: LimbGraph,
  pruned: PrunedLimbs,
  weights: SectionWeights,
): LimbFrame => {
  const { nx, ny, nz, cellMm, origin, fill, core } = grid
  const { stationOf, pieces, neighbours } = pruned
  const n = pieces.length
  const slice = nx * ny
  const total = slice * nz
  const at = new Float64Array(3 * n)
  const massG = new Float64Array(n)
  const held = new Uint8Array(n)
  for (let i = 0; i < n; i++) {
    at.set(graph.middle.subarray(3 * pieces[i], 3 * pieces[i] + 3), 3 * i)
    held[i] = graph.atHold[pieces[i]]
  }
  const gPerCell = (weights.densityGPerCm3 * cellMm ** 3) / 1000
  for (const cell of graph.cells) {
    const station = stationOf[graph.pieceOf[cell]]
    if (station >= 0) massG[station] += gPerCell * fill[cell] * (core[cell] ? weights.corePlastic : 1)
  }
  // Cells of each station's own piece, in the compressed-row manner.
  const cellStart = new Uint32Array(n + 1)
  const stationOfPiece = new Int32Array(graph.nPieces).fill(-1)
  for (let i = 0; i < n; i++) stationOfPiece[pieces[i]] = i
  for (const cell of graph.cells) cellStart[stationOfPiece[graph.pieceOf[cell]] + 1]++
  cellStart[0] = 0
  for (let i = 0; i < n; i++) cellStart[i + 1] += cellStart[i]
  const cellsOf = new Int32Array(cellStart[n])
  const fillAt = cellStart.slice(0, n)
  for (const cell of graph.cells) {
    const station = stationOfPiece[graph.pieceOf[cell]]
    if (station >= 0) cellsOf[fillAt[station]++] = cell
  }
  const hops = new Int32Array(n).fill(1 << 20)
  const queue: number[] = []
  for (let i = 0; i < n; i++)
    if (held[i]) {
      hops[i] = 0
      queue.push(i)
    }
  for (let q = 0; q < queue.length; q++)
    for (const k of neighbours[queue[q]])
      if (hops[k] > hops[queue[q]] + 1) {
        hops[k] = hops[queue[q]] + 1
        queue.push(k)
      }
  const along = directions(at, neighbours, held)

  const area = new Float64Array(n)
  const second = new Float64Array(6 * n)
  const torsion = new Float64Array(n)
  const rim = new Float64Array(3 * N_RIM * n)
  const thickMm = new Float64Array(n)
  const near = new Int32Array(n).fill(-1)
  const smear = (cellMm * cellMm) / 4
  // Room for the flood of one section.
  const side = 2 * Math.ceil(Math.hypot(nx, ny, nz)) + 3
  const stamp = new Int32Array(side * side).fill(-1)
  const flood = new Int32Array(side * side)

  /** True when a piece belongs to a station within reach of this one. */
  const isNear = (piece: number, who: number): boolean =>
    piece >= 0 && stationOf[piece] >= 0 && near[stationOf[piece]] === who

  /** True for a cell too thin to carry the wave that has plastic above it: the edge of a limb, not the skin of a flat top. */
  const isEdge = (cell: number): boolean =>
    graph.pieceOf[cell] === -1 && fill[cell] > 0 && cell + slice < total && fill[cell + slice] > 0

  /** True when what stands on a held cell, one or two cells above it, belongs to this station. */
  const bears = (cell: number, who: number): boolean => {
    for (let above = cell + slice, k = 0; k < 2 && above < total; above += slice, k++)
      if (isNear(graph.pieceOf[above], who) || isEdge(above)) return true
    return false
  }

  const sample = (x: number, y: number, z: number, who: number, solid: boolean): number => {
    const u = (x - origin[0]) / cellMm - 0.5
    const v = (y - origin[1]) / cellMm - 0.5
    const w = (z - origin[2]) / cellMm - 0.5
    const i = Math.floor(u)
    const j = Math.floor(v)
    const k = Math.floor(w)
    if (i < 0 || j < 0 || i + 1 >= nx || j + 1 >= ny || k + 1 >= nz || k < -1) return 0
    const fu = u - i
    const fv = v - j
    const fw = w - k
    let sum = 0
    for (let c = 0; c < 8; c++) {
      const dz = c >> 2
      if (k + dz < 0) continue
      const cell = ((k + dz) * ny + j + ((c >> 1) & 1)) * nx + i + (c & 1)
      const weight = (c & 1 ? fu : 1 - fu) * (c & 2 ? fv : 1 - fv) * (dz ? fw : 1 - fw)
      const f = fill[cell]
      if (f === 0 || cell >= total) continue
      const piece = graph.pieceOf[cell]
      // Cells too thin to carry the wave belong to whoever is beside them; held cells to the stations at the hold. Of a base only what
      // lies under the limb counts, and none of the thin skin on its top: a section must not run over the whole base.
      const isSkin =
        piece === -1 && graph.isOnBase && cell >= slice && graph.pieceOf[cell - slice] === -2 && !isEdge(cell)
      const mine =
        piece === -2
          ? held[who] === 1 && (!graph.isOnBase || bears(cell, who))
          : (piece === -1 && !isSkin) || isNear(piece, who)
      if (!mine) continue
      sum += weight * f * (solid || !core[cell] ? 1 : weights.coreShare)
    }
    return sum
  }

  const section = (who: number, step: number): PlaneSection => {
    const [ax, ay, az, bx, by, bz] = acrossOf(along[3 * who], along[3 * who + 1], along[3 * who + 2])
    const half = (side - 1) >> 1
    let head = 0
    let tail = 0
    // From every cell of the station's own piece: a ring has nothing in its middle.
    for (let k = cellStart[who]; k < cellStart[who + 1]; k++) {
      const cell = cellsOf[k]
      const dx = origin[0] + cellMm * ((cell % nx) + 0.5) - at[3 * who]
      const dy = origin[1] + cellMm * ((Math.floor(cell / nx) % ny) + 0.5) - at[3 * who + 1]
      const dz = origin[2] + cellMm * (Math.floor(cell / slice) + 0.5) - at[3 * who + 2]
      const i = Math.round((dx * ax + dy * ay + dz * az) / step)
      const j = Math.round((dx * bx + dy * by + dz * bz) / step)
      if (Math.abs(i) >= half || Math.abs(j) >= half) continue
      const key = (half + j) * side + half + i
      if (stamp[key] === who) continue
      stamp[key] = who
      flood[tail++] = key
    }
    const s: PlaneSection = { area: 0, a: 0, b: 0, aa: 0, bb: 0, ab: 0 }
    while (head < tail) {
      const key = flood[head++]
      const p = ((key % side) - half) * step
      const q = (Math.floor(key / side) - half) * step
      const f = sample(
        at[3 * who] + p * ax + q * bx,
        at[3 * who + 1] + p * ay + q * by,
        at[3 * who + 2] + p * az + q * bz,
        who,
        false,
      )
      if (f < 0.02) continue
      s.area += f
      s.a += f * p
      s.b += f * q
      s.aa += f * p * p
      s.bb += f * q * q
      s.ab += f * p * q
      for (const next of [key + 1, key - 1, key + side, key - side]) {
        if (stamp[next] === who) continue
        stamp[next] = who
        flood[tail++] = next
      }
    }
    const da = step * step
    if (s.area > 0) {
      s.a /= s.area
      s.b /= s.area
      s.aa = s.aa / s.area - s.a * s.a - smear
      s.bb = s.bb / s.area - s.b * s.b - smear
      s.ab = s.ab / s.area - s.a * s.b
    }
    s.area *= da
    return s
  }

  for (let who = 0; who < n; who++) {
    // Pieces within reach of the section: as many fronts as half its thickness.
    const rough = graph.volume[pieces[who]] / graph.frontMm
    const reach = Math.ceil((0.6 * Math.sqrt(rough)) / graph.frontMm) + 1
    let ring = [who]
    near[who] = who
    for (let k = 0; k < reach; k++) {
      const next: number[] = []
      for (const i of ring)
        for (const j of neighbours[i])
          if (near[j] !== who) {
            near[j] = who
            next.push(j)
          }
      ring = next
    }
    const step = Math.max(0.25 * cellMm, Math.min(cellMm, Math.sqrt(rough) / 16))
    const s = section(who, step)
    const [ax, ay, az, bx, by, bz] = acrossOf(along[3 * who], along[3 * who + 1], along[3 * who + 2])
    const floor = (cellMm * cellMm) / 64
    const aa = s.area * Math.max(s.aa, floor)
    const bb = s.area * Math.max(s.bb, floor)
    const ab = s.area * s.ab
    area[who] = Math.max(s.area, cellMm * cellMm * 0.05)
    at[3 * who] += s.a * ax + s.b * bx
    at[3 * who + 1] += s.a * ay + s.b * by
    at[3 * who + 2] += s.a * az + s.b * bz
    second.set(
      [
        aa * ax * ax + bb * bx * bx + 2 * ab * ax * bx,
        aa * ay * ay + bb * by * by + 2 * ab * ay * by,
        aa * az * az + bb * bz * bz + 2 * ab * az * bz,
        aa * ax * ay + bb * bx * by + ab * (ax * by + ay * bx),
        aa * ay * az + bb * by * bz + ab * (ay * bz + az * by),
        aa * az * ax + bb * bz * bx + ab * (az * bx + ax * bz),
      ],
      6 * who,
    )
    torsion[who] = area[who] ** 4 / (4 * Math.PI * Math.PI * Math.max(aa + bb, 1e-12))
    const mean = (aa + bb) / 2
    const least = mean - Math.hypot((aa - bb) / 2, ab)
    thickMm[who] = 2 * ((4 * Math.max(least, 1e-9)) / Math.PI) ** 0.25
    const extent = 2.5 * Math.sqrt(Math.max(aa, bb) / area[who]) + 2 * cellMm
    for (let r = 0; r < N_RIM; r++) {
      const angle = (2 * Math.PI * r) / N_RIM
      const cx = Math.cos(angle) * ax + Math.sin(angle) * bx
      const cy = Math.cos(angle) * ay + Math.sin(angle) * by
      const cz = Math.cos(angle) * az + Math.sin(angle) * bz
      // Outwards until the body ends: the half-filled place between two samples.
      let far = 0
      let before = sample(at[3 * who], at[3 * who + 1], at[3 * who + 2], who, true)
      // A hollow middle: look from outside inwards instead.
      if (before < 0.5) {
        for (let d = extent; d > step; d -= step) {
          if (sample(at[3 * who] + d * cx, at[3 * who + 1] + d * cy, at[3 * who + 2] + d * cz, who, true) < 0.5)
            continue
          far = d
          break
        }
      }
      for (let d = step; d <= extent && before >= 0.5; d += step) {
        const f = sample(at[3 * who] + d * cx, at[3 * who + 1] + d * cy, at[3 * who + 2] + d * cz, who, true)
        if (f < 0.5) {
          far = d - (step * (0.5 - f)) / Math.max(before - f, 1e-6)
          break
        }
        before = f
        far = d
      }
      far = Math.max(far, 0.25 * thickMm[who])
      rim.set([far * cx, far * cy, far * cz], 3 * (who * N_RIM + r))
    }
  }

  const { chains, branchOf } = branchesOf(neighbours, held, hops)
  const branches = chains.map((stations): LimbBranch => {
    let lengthMm = graph.frontMm
    let gyration = Infinity
    let thinnest = Infinity
    stations.forEach((i, k) => {
      if (k > 0) {
        const j = stations[k - 1]
        lengthMm += Math.hypot(at[3 * i] - at[3 * j], at[3 * i + 1] - at[3 * j + 1], at[3 * i + 2] - at[3 * j + 2])
      }
      thinnest = Math.min(thinnest, thickMm[i])
      gyration = Math.min(gyration, Math.sqrt((Math.PI * (thickMm[i] / 2) ** 4) / 4 / area[i]))
    })
    const tip = stations[stations.length - 1]
    const root = stations[0]
    const freeEnd = (neighbours[tip].length <= 1 && !held[tip]) || (neighbours[root].length <= 1 && !held[root])
    return { stations, lengthMm, slenderness: lengthMm / gyration, thinnestMm: thinnest, freeEnd }
  })
  const pairs: number[] = []
  for (let i = 0; i < n; i++) for (const j of neighbours[i]) if (j > i) pairs.push(i, j)
  const notch = new Float64Array(n).fill(1)
  for (let i = 0; i < n; i++) {
    for (const j of neighbours[i]) {
      // A step within two fronts: look one further where the way is clear.
      const beyond = neighbours[j].length === 2 ? (neighbours[j].find((k) => k !== i) ?? j) : j
      notch[i] = Math.max(notch[i], notchOfStep(Math.max(thickMm[j], thickMm[beyond]), thickMm[i], weights.cornerMm))
    }
    if (held[i]) notch[i] = Math.max(notch[i], notchOfStep(4 * thickMm[i], thickMm[i], weights.cornerMm))
  }
  return {
    kind: 'limb-frame',
    nStations: n,
    at,
    along,
    area,
    second,
    torsion,
    rim,
    massG,
    thickMm,
    notch,
    held,
    pieces: Uint32Array.from(pairs),
    branchOf,
    branches,
  }
}
