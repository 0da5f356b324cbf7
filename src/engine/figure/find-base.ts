// Recognises a flat base under a standing figure.

import type { Mesh } from '../mesh/index.ts'
import type { AreaByHeight } from './area-by-height.ts'

/** A base in the unit of the mesh. */
export interface FoundBase {
  /** Height of its top above the lowest point. */
  readonly top: number
  /** Section area of the base. */
  readonly area: number
  readonly isRound: boolean
  /** Middle of the box round the base, x and y. */
  readonly middle: readonly [number, number]
}

/** A base is at most this share of the whole height; a plinth higher than that counts as part of the figure. */
const MOST_HEIGHT = 0.3
/** The section must fall to this share of the base's when passing its top. */
const FALL = 0.55
/** The base's own section may vary by this much (chamfers, tapers, texture). */
const LEAST_OF_OWN = 0.55
/** A circle fills pi/4 of its box; 4 % for chords of coarse circles and texture. */
const ROUNDNESS = 0.04

/**
 * The base of a mesh that stands along z: a low part whose section is nearly constant and much larger than what stands on it.
 * Null when there is none.
 */
export const findBase = (mesh: Mesh, { from, step, area }: AreaByHeight): FoundBase | null => {
  const last = Math.min(area.length - 4, Math.floor(MOST_HEIGHT * area.length))
  let most = 0
  let best = -1
  let bestFall = FALL
  for (let k = 0; k < last; k++) {
    most = Math.max(most, area[k])
    // The lowest quarter may be chamfered; above it the base keeps its section.
    if (area[k] < LEAST_OF_OWN * most) break
    // Two levels on, so that a rounded rim does not hide the fall.
    const fall = Math.max(area[k + 2], area[k + 3]) / most
    if (fall < bestFall) {
      bestFall = fall
      best = k
    }
  }
  if (best < 0) return null
  const height = (best + 2) * step
  const { positions: p, triangles } = mesh
  const box = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < p.length; i += 3) {
    if (p[i + 2] > from + height) continue
    box[0] = Math.min(box[0], p[i])
    box[1] = Math.min(box[1], p[i + 1])
    box[2] = Math.max(box[2], p[i])
    box[3] = Math.max(box[3], p[i + 1])
  }
  // Where exactly the top is: the mean height of the level faces about there that look up.
  let sum = 0
  let weight = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]]
    const z = (p[a + 2] + p[b + 2] + p[c + 2]) / 3 - from
    if (z < height - 3 * step || z > height + 2 * step) continue
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]]
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]]
    const nz = ux * vy - uy * vx
    if (nz <= 0 || nz < 0.95 * Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, nz)) continue
    sum += nz * z
    weight += nz
  }
  // The middle value: chamfers shrink it at the bottom, parts that are sunk into the base count twice towards its top.
  const own = area.slice(0, best + 1).sort()[best >> 1]
  const [width, depth] = [box[2] - box[0], box[3] - box[1]]
  const isEven = Math.abs(width - depth) <= ROUNDNESS * Math.max(width, depth)
  const isFull = Math.abs(own / (width * depth) - Math.PI / 4) <= ROUNDNESS
  return {
    // Faces that cover a good part of the step settle the height; a textured top is where the section falls.
    top: weight / 2 > 0.3 * own ? sum / weight : (best + 1) * step,
    area: own,
    isRound: isEven && isFull,
    middle: [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2],
  }
}
