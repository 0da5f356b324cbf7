// The limbs as a frame of Timoshenko beams in space: stiffness, mass, solution for loads, forces inside every piece.
//
// Each piece between two stations is a straight beam with the mean flexibility of its two sections, with shear. Stations on the held
// part move as one rigid body: clamped, or free with the held part's mass (falls). Limits: thick short parts (trunk) are stiffer in
// truth at forks; curvature of fronts is left out. Sources: Przemieniecki 1968, ch. 5; shear factor 0.886 for round sections at
// nu 0.36, Cowper 1966.

import { blockEnvelope, type Envelope, narrowOrder } from './envelope.ts'
import { acrossOf } from './limb-sections.ts'
import { limitsAlong, type StrengthMaterial } from './material.ts'
import type { LimbFrame } from './types.ts'

/** Shear area as a share of the area. */
const SHEAR_SHARE = 0.886

/** How the frame's plastic is laid. */
export interface Laying {
  readonly material: StrengthMaterial
  /** Direction in which layers are piled, unit. */
  readonly layerNormal: readonly [number, number, number]
  /** Share of the full bond at a height, 0-1. */
  readonly weldAt: (z: number) => number
}

/** The assembled frame. */
export interface FrameModel {
  readonly frame: LimbFrame
  readonly laying: Laying
  /** Unknowns: six per body; stations that are held share one body when `heldBody` is set, else they have none (-1). */
  readonly bodyOf: Int32Array
  readonly nBodies: number
  /** Place the held body turns about, mm. */
  readonly pivot: readonly [number, number, number]
  /** Per piece: local directions (rows t, a, b), length, then EA/L and the rest of the local matrix, see pieceMatrix. */
  readonly rows: Float64Array
  readonly local: Float64Array
  /** Envelope position of each body. */
  readonly position: Uint32Array
  readonly graph: { readonly start: Uint32Array; readonly list: Uint32Array }
}

/**
 * Second moments of a station turned, the shortest way, from the limb's direction into the piece's: at forks a piece runs sideways
 * from middle to middle, and the section it was cut with would have no depth along it.
 */
const turnedSecond = ({ along, second }: LimbFrame, who: number, t: readonly number[]): number[] => {
  let n = [along[3 * who], along[3 * who + 1], along[3 * who + 2]]
  let c = n[0] * t[0] + n[1] * t[1] + n[2] * t[2]
  if (c < 0) {
    n = n.map((v) => -v)
    c = -c
  }
  // Rodrigues: R = c I + [w]x + w w^T / (1 + c), w = n x t.
  const w = [n[1] * t[2] - n[2] * t[1], n[2] * t[0] - n[0] * t[2], n[0] * t[1] - n[1] * t[0]]
  const k = 1 / (1 + c)
  const r = [
    [c + k * w[0] * w[0], k * w[0] * w[1] - w[2], k * w[0] * w[2] + w[1]],
    [k * w[1] * w[0] + w[2], c + k * w[1] * w[1], k * w[1] * w[2] - w[0]],
    [k * w[2] * w[0] - w[1], k * w[2] * w[1] + w[0], c + k * w[2] * w[2]],
  ]
  const q = 6 * who
  const s = [
    [second[q], second[q + 3], second[q + 5]],
    [second[q + 3], second[q + 1], second[q + 4]],
    [second[q + 5], second[q + 4], second[q + 2]],
  ]
  const entry = (a: number, b: number): number => {
    let sum = 0
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) sum += r[a][i] * s[i][j] * r[b][j]
    return sum
  }
  return [entry(0, 0), entry(1, 1), entry(2, 2), entry(0, 1), entry(1, 2), entry(2, 0)]
}

/** Numbers kept per piece in `local`: axial, torsion, and 12EI/L3, 6EI/L2, 4EI/L, 2EI/L in both planes. */
const LOCAL = 10

/** Builds the frame's pieces. @param heldBody whether held stations move as one free rigid body about `pivot` */
export const frameModel = (
  frame: LimbFrame,
  laying: Laying,
  heldBody: boolean,
  pivot: readonly [number, number, number] = [0, 0, 0],
): FrameModel => {
  const { nStations, at, area, torsion, held, pieces } = frame
  const nPieces = pieces.length / 2
  const bodyOf = new Int32Array(nStations)
  let nBodies = heldBody ? 1 : 0
  for (let i = 0; i < nStations; i++) bodyOf[i] = held[i] ? (heldBody ? 0 : -1) : nBodies++
  const rows = new Float64Array(10 * nPieces)
  const local = new Float64Array(LOCAL * nPieces)
  const { material, layerNormal, weldAt } = laying
  for (let p = 0; p < nPieces; p++) {
    const i = pieces[2 * p]
    const j = pieces[2 * p + 1]
    const dx = at[3 * j] - at[3 * i]
    const dy = at[3 * j + 1] - at[3 * i + 1]
    const dz = at[3 * j + 2] - at[3 * i + 2]
    const length = Math.max(Math.hypot(dx, dy, dz), 1e-4)
    const t = [dx / length, dy / length, dz / length]
    const cos = t[0] * layerNormal[0] + t[1] * layerNormal[1] + t[2] * layerNormal[2]
    const { modulusMPa: e } = limitsAlong(material, cos, weldAt((at[3 * i + 2] + at[3 * j + 2]) / 2))
    const g = e / (2 * (1 + material.poissonRatio))
    const ac = acrossOf(t[0], t[1], t[2])
    const turned = [turnedSecond(frame, i, t), turnedSecond(frame, j, t)]
    const inPlane = (end: number, u: number, v: number): number => {
      const second = turned[end]
      const s = 0
      const [ux, uy, uz] = [ac[3 * u], ac[3 * u + 1], ac[3 * u + 2]]
      const [vx, vy, vz] = [ac[3 * v], ac[3 * v + 1], ac[3 * v + 2]]
      return (
        second[s] * ux * vx +
        second[s + 1] * uy * vy +
        second[s + 2] * uz * vz +
        second[s + 3] * (ux * vy + uy * vx) +
        second[s + 4] * (uy * vz + uz * vy) +
        second[s + 5] * (uz * vx + ux * vz)
      )
    }
    // Principal directions of the mean section.
    const saa = inPlane(0, 0, 0) + inPlane(1, 0, 0)
    const sbb = inPlane(0, 1, 1) + inPlane(1, 1, 1)
    const sab = inPlane(0, 0, 1) + inPlane(1, 0, 1)
    const turn = 0.5 * Math.atan2(2 * sab, saa - sbb)
    const c = Math.cos(turn)
    const s = Math.sin(turn)
    const a = [c * ac[0] + s * ac[3], c * ac[1] + s * ac[4], c * ac[2] + s * ac[5]]
    const b = [t[1] * a[2] - t[2] * a[1], t[2] * a[0] - t[0] * a[2], t[0] * a[1] - t[1] * a[0]]
    const along = (end: number, d: readonly number[]): number => {
      const second = turned[end]
      const q = 0
      return Math.max(
        second[q] * d[0] * d[0] +
          second[q + 1] * d[1] * d[1] +
          second[q + 2] * d[2] * d[2] +
          2 * (second[q + 3] * d[0] * d[1] + second[q + 4] * d[1] * d[2] + second[q + 5] * d[2] * d[0]),
        1e-7,
      )
    }
    const mean = (x: number, y: number): number => 2 / (1 / x + 1 / y)
    const A = mean(area[i], area[j])
    const J = mean(torsion[i], torsion[j])
    rows.set([...t, ...a, ...b, length], 10 * p)
    const o = LOCAL * p
    local[o] = (e * A) / length
    local[o + 1] = (g * J) / length
    // Bending that moves along a bends about b: its second moment is that of the a-distances.
    const planes = [mean(along(0, a), along(1, a)), mean(along(0, b), along(1, b))]
    planes.forEach((I, k) => {
      const phi = (12 * e * I) / (g * SHEAR_SHARE * A * length * length)
      const f = (e * I) / (1 + phi)
      local[o + 2 + 4 * k] = (12 * f) / length ** 3
      local[o + 3 + 4 * k] = (6 * f) / length ** 2
      local[o + 4 + 4 * k] = ((4 + phi) * f) / length
      local[o + 5 + 4 * k] = ((2 - phi) * f) / length
    })
  }
  // Which bodies meet.
  const sets = Array.from({ length: nBodies }, () => new Set<number>())
  for (let p = 0; p < nPieces; p++) {
    const i = bodyOf[pieces[2 * p]]
    const j = bodyOf[pieces[2 * p + 1]]
    if (i < 0 || j < 0 || i === j) continue
    sets[i].add(j)
    sets[j].add(i)
  }
  const start = new Uint32Array(nBodies + 1)
  const list: number[] = []
  sets.forEach((set, i) => {
    for (const k of set) list.push(k)
    start[i + 1] = list.length
  })
  const graph = { start, list: Uint32Array.from(list) }
  return { frame, laying, bodyOf, nBodies, pivot, rows, local, position: narrowOrder(graph), graph }
}

/** Movement of a station (three shifts, three turns, in space) from the bodies' unknowns. */
export const stationMove = (model: FrameModel, u: Float64Array, station: number, out: Float64Array): void => {
  const body = model.bodyOf[station]
  if (body < 0) {
    out.fill(0)
    return
  }
  const o = 6 * model.position[body]
  for (let c = 0; c < 6; c++) out[c] = u[o + c]
  if (!model.frame.held[station]) return
  const { at } = model.frame
  const rx = at[3 * station] - model.pivot[0]
  const ry = at[3 * station + 1] - model.pivot[1]
  const rz = at[3 * station + 2] - model.pivot[2]
  out[0] += out[4] * rz - out[5] * ry
  out[1] += out[5] * rx - out[3] * rz
  out[2] += out[3] * ry - out[4] * rx
}

/** Adds a force and couple at a station to the bodies' loads. */
export const addStationLoad = (model: FrameModel, f: Float64Array, station: number, load: ArrayLike<number>): void => {
  const body = model.bodyOf[station]
  if (body < 0) return
  const o = 6 * model.position[body]
  for (let c = 0; c < 6; c++) f[o + c] += load[c]
  if (!model.frame.held[station]) return
  const { at } = model.frame
  const rx = at[3 * station] - model.pivot[0]
  const ry = at[3 * station + 1] - model.pivot[1]
  const rz = at[3 * station + 2] - model.pivot[2]
  f[o + 3] += ry * load[2] - rz * load[1]
  f[o + 4] += rz * load[0] - rx * load[2]
  f[o + 5] += rx * load[1] - ry * load[0]
}

const moveI = new Float64Array(6)
const moveJ = new Float64Array(6)

/**
 * Forces at the two ends of a piece in space, from the stations' movements: what the piece does to its stations, reversed in sign
 * (the load that would hold it so). First six at the first station.
 */
const endForces = (model: FrameModel, piece: number, mi: Float64Array, mj: Float64Array, out: Float64Array): void => {
  const { rows, local } = model
  const r = 10 * piece
  const o = LOCAL * piece
  const dot = (m: Float64Array, k: number, base: number): number =>
    rows[r + 3 * k] * m[base] + rows[r + 3 * k + 1] * m[base + 1] + rows[r + 3 * k + 2] * m[base + 2]
  const force = [0, 0, 0]
  const coupleI = [0, 0, 0]
  const coupleJ = [0, 0, 0]
  force[0] = local[o] * (dot(mi, 0, 0) - dot(mj, 0, 0))
  coupleI[0] = local[o + 1] * (dot(mi, 0, 3) - dot(mj, 0, 3))
  coupleJ[0] = -coupleI[0]
  // Plane along a, turning about b; plane along b, turning about -a.
  for (let k = 0; k < 2; k++) {
    const q = o + 2 + 4 * k
    const turn = k === 0 ? 2 : 1
    const sign = k === 0 ? 1 : -1
    const w = dot(mi, 1 + k, 0) - dot(mj, 1 + k, 0)
    const ti = sign * dot(mi, turn, 3)
    const tj = sign * dot(mj, turn, 3)
    force[1 + k] = local[q] * w + local[q + 1] * (ti + tj)
    coupleI[turn] = sign * (local[q + 1] * w + local[q + 2] * ti + local[q + 3] * tj)
    coupleJ[turn] = sign * (local[q + 1] * w + local[q + 3] * ti + local[q + 2] * tj)
  }
  for (let c = 0; c < 3; c++) {
    let f = 0
    let mi3 = 0
    let mj3 = 0
    for (let k = 0; k < 3; k++) {
      f += force[k] * rows[r + 3 * k + c]
      mi3 += coupleI[k] * rows[r + 3 * k + c]
      mj3 += coupleJ[k] * rows[r + 3 * k + c]
    }
    out[c] = f
    out[3 + c] = mi3
    out[6 + c] = -f
    out[9 + c] = mj3
  }
}

/** Forces at both ends of every piece: 12 numbers each, loads on the piece in space, first station first. */
export const pieceForces = (model: FrameModel, u: Float64Array, out: Float64Array): void => {
  const { pieces } = model.frame
  for (let p = 0; p < pieces.length / 2; p++) {
    stationMove(model, u, pieces[2 * p], moveI)
    stationMove(model, u, pieces[2 * p + 1], moveJ)
    endForces(model, p, moveI, moveJ, out.subarray(12 * p, 12 * p + 12))
  }
}

/** Stiffness of the frame, not factored; `extra` is added to each diagonal entry (mass times a shift). */
export const frameStiffness = (model: FrameModel, extra?: Float64Array): Envelope => {
  const { frame, bodyOf, position, graph } = model
  const matrix = blockEnvelope(graph, position, 6)
  const nPieces = frame.pieces.length / 2
  const zero = new Float64Array(6)
  const column = new Float64Array(6)
  const forces = new Float64Array(12)
  const u = new Float64Array(6 * model.nBodies)
  const f = new Float64Array(6 * model.nBodies)
  for (let p = 0; p < nPieces; p++) {
    const ends = [frame.pieces[2 * p], frame.pieces[2 * p + 1]]
    const bodies = ends.map((s) => bodyOf[s])
    if (bodies[0] === bodies[1]) continue
    for (let e = 0; e < 2; e++) {
      if (bodies[e] < 0) continue
      const oe = 6 * position[bodies[e]]
      for (let c = 0; c < 6; c++) {
        u[oe + c] = 1
        stationMove(model, u, ends[e], column)
        u[oe + c] = 0
        endForces(model, p, e === 0 ? column : zero, e === 0 ? zero : column, forces)
        for (let d = 0; d < 2; d++) {
          if (bodies[d] < 0) continue
          const od = 6 * position[bodies[d]]
          f.fill(0, od, od + 6)
          addStationLoad(model, f, ends[d], forces.subarray(6 * d, 6 * d + 6))
          for (let r = 0; r < 6; r++) if (oe + c <= od + r) matrix.add(od + r, oe + c, f[od + r])
        }
      }
    }
  }
  if (extra) for (let i = 0; i < extra.length; i++) matrix.add(i, i, extra[i])
  return matrix
}
