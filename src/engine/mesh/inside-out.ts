// Tells shells that came inside out from cavities, and turns the former.

import { turnOver } from './orient.ts'
import { groupByShell } from './shells.ts'

/** Triangle visits that the search for enclosing shells may cost; past it, what is left counts as not enclosed. */
const SEARCH_BUDGET = 20_000_000
/** An open shell is turned only when it is clearly inside out: volume against area^1.5 (a sphere has 0.094), and a small opening. */
const CLEARLY_INSIDE_OUT = -0.002
const SMALL_OPENING = 1

export interface TurnedShells {
  readonly nTurned: number
  readonly nCavities: number
}

/**
 * Turns shells that enclose a negative volume, together with all that lies in them. A shell with negative volume that lies wholly
 * within another shell of the same state is a cavity and stays. Works in place on `triangles`.
 * @param open half-edges with nothing across
 */
export const turnInsideOutShells = (
  positions: Float64Array,
  triangles: Uint32Array,
  shellOf: Uint32Array,
  nShells: number,
  neighbours: Int32Array,
  open: readonly number[],
): TurnedShells => {
  const box = new Float64Array(6 * nShells)
  for (let s = 0; s < nShells; s++) box.set([Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity], 6 * s)
  const isClosed = new Uint8Array(nShells).fill(1)
  for (let h = 0, t = 0; h < neighbours.length; h += 3, t++) {
    if (neighbours[h] < 0 || neighbours[h + 1] < 0 || neighbours[h + 2] < 0) isClosed[shellOf[t]] = 0
  }
  // An open shell's volume is reckoned from the middle of its opening: then a small hole leaves it nearly right.
  const origin = new Float64Array(3 * nShells)
  const opening = new Float64Array(nShells)
  for (const h of open) {
    const s = shellOf[(h / 3) | 0]
    const a = 3 * triangles[h]
    const b = 3 * triangles[h % 3 === 2 ? h - 2 : h + 1]
    const side = Math.hypot(...[0, 1, 2].map((k) => positions[b + k] - positions[a + k]))
    opening[s] += side
    for (let k = 0; k < 3; k++) origin[3 * s + k] += side * positions[a + k]
  }
  for (let s = 0; s < nShells; s++) {
    if (opening[s] > 0) for (let k = 0; k < 3; k++) origin[3 * s + k] /= opening[s]
  }
  const hasOrigin = new Uint8Array(nShells)
  for (let s = 0; s < nShells; s++) hasOrigin[s] = opening[s] > 0 ? 1 : 0
  const volume = new Float64Array(nShells)
  const area = new Float64Array(nShells)
  for (let t = 0; t < shellOf.length; t++) {
    const s = shellOf[t]
    const a = 3 * triangles[3 * t]
    const b = 3 * triangles[3 * t + 1]
    const c = 3 * triangles[3 * t + 2]
    if (hasOrigin[s] === 0) {
      hasOrigin[s] = 1
      origin[3 * s] = positions[a]
      origin[3 * s + 1] = positions[a + 1]
      origin[3 * s + 2] = positions[a + 2]
    }
    const ax = positions[a]
    const ay = positions[a + 1]
    const az = positions[a + 2]
    const ux = positions[b] - ax
    const uy = positions[b + 1] - ay
    const uz = positions[b + 2] - az
    const vx = positions[c] - ax
    const vy = positions[c + 1] - ay
    const vz = positions[c + 2] - az
    const nx = uy * vz - uz * vy
    const ny = uz * vx - ux * vz
    const nz = ux * vy - uy * vx
    volume[s] += ((ax - origin[3 * s]) * nx + (ay - origin[3 * s + 1]) * ny + (az - origin[3 * s + 2]) * nz) / 6
    area[s] += Math.sqrt(nx * nx + ny * ny + nz * nz) / 2
    const o = 6 * s
    for (let k = 0; k < 3; k++) {
      const p = positions[a + k]
      const q = positions[b + k]
      const r = positions[c + k]
      const low = p < q ? Math.min(p, r) : Math.min(q, r)
      const high = p > q ? Math.max(p, r) : Math.max(q, r)
      if (low < box[o + k]) box[o + k] = low
      if (high > box[o + k + 3]) box[o + k + 3] = high
    }
  }
  const isNegative = (s: number): boolean =>
    isClosed[s] === 1
      ? volume[s] < 0
      : volume[s] < CLEARLY_INSIDE_OUT * area[s] ** 1.5 && opening[s] < SMALL_OPENING * Math.sqrt(area[s])
  const negative: number[] = []
  for (let s = 0; s < nShells; s++) if (isNegative(s)) negative.push(s)
  if (negative.length === 0) return { nTurned: 0, nCavities: 0 }

  const { start, order } = groupByShell(shellOf, nShells)
  let budget = SEARCH_BUDGET
  const encloses = (outer: number, inner: number): boolean => {
    for (let k = 0; k < 3; k++) {
      if (box[6 * outer + k] > box[6 * inner + k] || box[6 * outer + k + 3] < box[6 * inner + k + 3]) return false
    }
    const nOuter = start[outer + 1] - start[outer]
    const nInner = start[inner + 1] - start[inner]
    const nSamples = Math.min(8, nInner)
    for (let i = 0; i < nSamples; i++) {
      budget -= nOuter
      if (budget < 0) return false
      const t = order[start[inner] + Math.floor((i * nInner) / nSamples)]
      const v = 3 * triangles[3 * t]
      const turns = windingOf(positions, triangles, order, start[outer], start[outer + 1], v)
      if (Math.abs(turns) < 0.5) return false
    }
    return true
  }
  const bySize = Array.from({ length: nShells }, (_, s) => s)
    .filter((s) => isClosed[s] === 1 || opening[s] < SMALL_OPENING * Math.sqrt(area[s]))
    .sort((a, b) => Math.abs(volume[a]) - Math.abs(volume[b]))
  /** Smallest shell right around, -1 for none. */
  const around = new Map<number, number>()
  const aroundOf = (s: number): number => {
    const known = around.get(s)
    if (known !== undefined) return known
    let found = -1
    for (const outer of bySize) {
      if (Math.abs(volume[outer]) <= Math.abs(volume[s]) || outer === s) continue
      if (--budget < 0) break
      if (encloses(outer, s)) {
        found = outer
        break
      }
    }
    around.set(s, found)
    return found
  }
  const turn = new Map<number, boolean>()
  const isTurned = (s: number): boolean => {
    const known = turn.get(s)
    if (known !== undefined) return known
    const outer = aroundOf(s)
    const answer = outer < 0 ? isNegative(s) : isTurned(outer)
    turn.set(s, answer)
    return answer
  }
  const someRootTurns = negative.some((s) => isTurned(s))
  let nTurned = 0
  let nCavities = 0
  for (const s of someRootTurns ? bySize : negative) {
    const isOver = isTurned(s)
    if (isOver) {
      nTurned++
      for (let i = start[s]; i < start[s + 1]; i++) turnOver(triangles, order[i])
    }
    if (isNegative(s) !== isOver && isClosed[s] === 1) nCavities++
  }
  return { nTurned, nCavities }
}

/** Turns of a shell round a vertex: 1 inside, 0 outside (Van Oosterom & Strackee 1983, solid angle of a triangle). */
const windingOf = (
  p: Float64Array,
  triangles: Uint32Array,
  order: Uint32Array,
  from: number,
  to: number,
  v: number,
): number => {
  const x = p[v]
  const y = p[v + 1]
  const z = p[v + 2]
  let sum = 0
  for (let i = from; i < to; i++) {
    const t = 3 * order[i]
    const a = 3 * triangles[t]
    const b = 3 * triangles[t + 1]
    const c = 3 * triangles[t + 2]
    const ax = p[a] - x
    const ay = p[a + 1] - y
    const az = p[a + 2] - z
    const bx = p[b] - x
    const by = p[b + 1] - y
    const bz = p[b + 2] - z
    const cx = p[c] - x
    const cy = p[c + 1] - y
    const cz = p[c + 2] - z
    const la = Math.sqrt(ax * ax + ay * ay + az * az)
    const lb = Math.sqrt(bx * bx + by * by + bz * bz)
    const lc = Math.sqrt(cx * cx + cy * cy + cz * cz)
    const det = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    const ab = ax * bx + ay * by + az * bz
    const bc = bx * cx + by * cy + bz * cz
    const ca = cx * ax + cy * ay + cz * az
    sum += Math.atan2(det, la * lb * lc + ab * lc + bc * la + ca * lb)
  }
  return sum / (2 * Math.PI)
}
