// How much of its strength a section uses under the forces that pass through it.

import { type FrameModel, type Laying, pieceForces } from './frame-model.ts'
import { limitsAlong } from './material.ts'
import { N_RIM } from './types.ts'

/** What is needed of a section to turn forces into stress; one row per end of a piece. */
export interface SectionTable {
  readonly model: FrameModel
  /** Per end of a piece: station, and row of numbers (see below). */
  readonly station: Uint32Array
  /** 3 direction, 1 area, 9 inverse of the section's second moments, tension limit, shear limit, c/J, modulus, break strain. */
  readonly row: Float64Array
}

const ROW = 18

/** Inverse of a section's second moments within its plane, as a tensor in space (pseudo-inverse). */
const inverseInPlane = (second: Float64Array, who: number, t: readonly number[]): number[] => {
  const s = 6 * who
  // S + k t t^T is regular; the inverse without its t part is the pseudo-inverse.
  const k = Math.max(second[s] + second[s + 1] + second[s + 2], 1e-9)
  // The section was cut square to the limb's own direction: take the part square to t.
  const S = [
    [second[s], second[s + 3], second[s + 5]],
    [second[s + 3], second[s + 1], second[s + 4]],
    [second[s + 5], second[s + 4], second[s + 2]],
  ]
  const St = S.map((r) => r[0] * t[0] + r[1] * t[1] + r[2] * t[2])
  const tt = t[0] * St[0] + t[1] * St[1] + t[2] * St[2]
  const m = S.map((r, a) => r.map((v, b) => v - t[a] * St[b] - St[a] * t[b] + tt * t[a] * t[b] + k * t[a] * t[b]))
  for (let a = 0; a < 3; a++) m[a][a] += 1e-7 * k * (1 - t[a] * t[a])
  const det =
    m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
    m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
    m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
  const inverse: number[] = []
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++) {
      const [a1, a2, b1, b2] = [(a + 1) % 3, (a + 2) % 3, (b + 1) % 3, (b + 2) % 3]
      inverse.push((m[b1][a1] * m[b2][a2] - m[b1][a2] * m[b2][a1]) / det - (t[a] * t[b]) / k)
    }
  return inverse
}

/** Prepares both ends of all pieces. */
export const sectionTable = (model: FrameModel): SectionTable => {
  const { frame } = model
  const laying: Laying = model.laying
  const nEnds = frame.pieces.length
  const station = frame.pieces
  const row = new Float64Array(ROW * nEnds)
  for (let e = 0; e < nEnds; e++) {
    const who = station[e]
    // Square to the limb as it was cut, not to the piece: they differ at forks.
    const t = [frame.along[3 * who], frame.along[3 * who + 1], frame.along[3 * who + 2]]
    const n = laying.layerNormal
    const cos = t[0] * n[0] + t[1] * n[1] + t[2] * n[2]
    const limits = limitsAlong(laying.material, cos, laying.weldAt(frame.at[3 * who + 2]))
    let c = 0
    for (let r = 0; r < N_RIM; r++) {
      const q = 3 * (who * N_RIM + r)
      c = Math.max(c, Math.hypot(frame.rim[q], frame.rim[q + 1], frame.rim[q + 2]))
    }
    row.set(
      [
        ...t,
        frame.area[who],
        ...inverseInPlane(frame.second, who, t),
        limits.tensionMPa,
        limits.shearMPa,
        c / frame.torsion[who],
        limits.modulusMPa,
        limits.breakStrain,
      ],
      ROW * e,
    )
  }
  return { model, station, row }
}

/** Result of a look at one end of a piece. */
export interface EndUse {
  /** Share of strength used, tension and shear together. */
  use: number
  /** Greatest pull or push along the limb, MPa, and shear, MPa. */
  stress: number
  shear: number
  /** Stretch over the stretch at break. */
  strainUse: number
}

/** Stress and use of one end from the six forces on it (force and couple in space, section middle). */
export const endUse = (table: SectionTable, e: number, f: ArrayLike<number>, base: number, out: EndUse): void => {
  const { row, station } = table
  const { rim } = table.model.frame
  const o = ROW * e
  const tx = row[o]
  const ty = row[o + 1]
  const tz = row[o + 2]
  const fx = f[base]
  const fy = f[base + 1]
  const fz = f[base + 2]
  const mx = f[base + 3]
  const my = f[base + 4]
  const mz = f[base + 5]
  const n = fx * tx + fy * ty + fz * tz
  const torque = mx * tx + my * ty + mz * tz
  const v2 = Math.max(0, fx * fx + fy * fy + fz * fz - n * n)
  // Stress n/A + g.r with S g = t x M.
  const bx = ty * mz - tz * my
  const by = tz * mx - tx * mz
  const bz = tx * my - ty * mx
  const gx = row[o + 4] * bx + row[o + 5] * by + row[o + 6] * bz
  const gy = row[o + 7] * bx + row[o + 8] * by + row[o + 9] * bz
  const gz = row[o + 10] * bx + row[o + 11] * by + row[o + 12] * bz
  let bend = 0
  const q0 = 3 * station[e] * N_RIM
  for (let q = q0; q < q0 + 3 * N_RIM; q += 3) {
    const s = gx * rim[q] + gy * rim[q + 1] + gz * rim[q + 2]
    if (s > bend) bend = s
    else if (-s > bend) bend = -s
  }
  const stress = Math.abs(n) / row[o + 3] + bend
  // Shear of a torque at the rim; a shear force is greatest in the middle, where bending is nothing: the greater of the two cases.
  const twist = Math.abs(torque) * row[o + 15]
  const across = (4 / 3) * (Math.sqrt(v2) / row[o + 3])
  const atRim = Math.hypot(stress / row[o + 13], twist / row[o + 14])
  const inMiddle = Math.hypot(Math.abs(n) / row[o + 3] / row[o + 13], across / row[o + 14])
  out.use = Math.max(atRim, inMiddle)
  out.stress = stress
  out.shear = Math.max(twist, across)
  out.strainUse = stress / row[o + 16] / row[o + 17]
}

/** Greatest use over all ends, with the end; forces of the ends are left in `forces` (12 per piece). */
export const worstUse = (table: SectionTable, u: Float64Array, forces: Float64Array): EndUse & { end: number } => {
  pieceForces(table.model, u, forces)
  const worst = { use: 0, stress: 0, shear: 0, strainUse: 0, end: 0 }
  const here: EndUse = { use: 0, stress: 0, shear: 0, strainUse: 0 }
  for (let e = 0; e < table.station.length; e++) {
    endUse(table, e, forces, 6 * e, here)
    if (here.use > worst.use) {
      worst.use = here.use
      worst.stress = here.stress
      worst.shear = here.shear
      worst.end = e
    }
    worst.strainUse = Math.max(worst.strainUse, here.strainUse)
  }
  return worst
}
