// What an opening with a disc takes from the outlines of one layer, piece by piece, and whether a corner of that angle must lose as much.
//
// A disc of radius R cannot reach into a convex corner of angle a: it leaves the area R^2 (1/tan(a/2) - (pi - a)/2) and the
// reach R (1/sin(a/2) - 1) from the corner (plane trigonometry). A piece that hangs on by one cut and loses no more than that
// is the rounding of a corner, not a detail. The angle is read from the piece itself: pi less the turning of the outline along
// it. Corners sharper than 30 degrees are excused only as far as one of 30 degrees would be (area 2.42 R^2, reach 2.86 R).

import type { PolygonKit, Polygons } from '../kernel/index.ts'
import { turningAt } from './outline-samples.ts'
import type { CircleField } from './touching-circle.ts'
import { clearance, fillCircleField } from './touching-circle.ts'

/** One lost piece of one layer. */
export interface LostPiece {
  readonly layer: number
  /** Its outline and holes. */
  readonly polygons: Polygons
  /** Box: least x, least y, greatest x, greatest y. */
  readonly box: Float64Array
  readonly kind: 'island' | 'tip' | 'neck'
  /** Area lost beyond what a corner must lose, mm2. */
  readonly lostArea: number
  /** Greatest distance between two of its points, mm. */
  readonly length: number
}

const SHARPEST = Math.PI / 6
/** Share by which a piece may exceed its corner's rounding: outlines are not quite straight where the disc touches. */
const ALLOWANCE = 1.25
/** Share of the bead width below which a piece's reach is noise of the outline. */
const SHALLOW = 0.03
/** A piece's edge lies on the island's outline when its middle is this near, mm (the polygon library rounds to 1e-8). */
const ON_OUTLINE = 2e-5

/** Area that a disc of radius R leaves in a corner, as a share of R^2. */
export const cornerArea = (angle: number): number => 1 / Math.tan(angle / 2) - (Math.PI - angle) / 2
/** Distance from the corner to that disc, as a share of R. */
export const cornerReach = (angle: number): number => 1 / Math.sin(angle / 2) - 1

/** Square of the distance from a point to the segment a-b. */
const distance2 = (x: number, y: number, ax: number, ay: number, bx: number, by: number): number => {
  const dx = bx - ax
  const dy = by - ay
  const l2 = dx * dx + dy * dy
  const t = l2 > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / l2)) : 0
  const ex = x - ax - t * dx
  const ey = y - ay - t * dy
  return ex * ex + ey * ey
}

/** Outer loops with the holes that lie in each of them: the pieces of a difference. */
export const apart = ({ loopStart, points }: Polygons): Polygons[] => {
  const outers: number[] = []
  const holes: number[] = []
  for (let j = 0; j + 1 < loopStart.length; j++)
    (areaOf(points, loopStart[j], loopStart[j + 1]) > 0 ? outers : holes).push(j)
  return outers.map((outer) => {
    const own = [outer]
    for (const hole of holes) {
      const x = points[2 * loopStart[hole]]
      const y = points[2 * loopStart[hole] + 1]
      if (outers.length === 1 || contains(points, loopStart[outer], loopStart[outer + 1], x, y)) own.push(hole)
    }
    const starts = new Uint32Array(own.length + 1)
    own.forEach((j, i) => {
      starts[i + 1] = starts[i] + loopStart[j + 1] - loopStart[j]
    })
    const taken = new Float64Array(2 * starts[own.length])
    own.forEach((j, i) => {
      taken.set(points.subarray(2 * loopStart[j], 2 * loopStart[j + 1]), 2 * starts[i])
    })
    return { loopStart: starts, points: taken }
  })
}

const areaOf = (points: Float64Array, from: number, to: number): number => {
  let sum = 0
  for (let i = from; i < to; i++) {
    const k = i + 1 < to ? i + 1 : from
    sum += points[2 * i] * points[2 * k + 1] - points[2 * k] * points[2 * i + 1]
  }
  return sum / 2
}

/** Whether a point lies inside a loop (crossings of a ray to the right). */
export const contains = (points: Float64Array, from: number, to: number, x: number, y: number): boolean => {
  let inside = false
  for (let i = from, k = to - 1; i < to; k = i++) {
    const yi = points[2 * i + 1]
    const yk = points[2 * k + 1]
    if (yi > y !== yk > y && x < points[2 * i] + ((y - yi) / (yk - yi)) * (points[2 * k] - points[2 * i]))
      inside = !inside
  }
  return inside
}

/** What a piece's outline tells: cuts in it, turning of the longest stretch of the island's own outline, reach from the cuts. */
const readPiece = (piece: Polygons, field: CircleField): { nCuts: number; turning: number; reach: number } => {
  const { loopStart, points } = piece
  let nCuts = 0
  let turning = 0
  let longest = -1
  const cuts: number[] = []
  const onOutline: boolean[] = []
  for (let i = 0; i < loopStart[loopStart.length - 1]; i++) onOutline.push(false)
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const from = loopStart[j]
    const n = loopStart[j + 1] - from
    for (let i = 0; i < n; i++) {
      const a = from + i
      const b = from + ((i + 1) % n)
      const x = (points[2 * a] + points[2 * b]) / 2
      const y = (points[2 * a + 1] + points[2 * b + 1]) / 2
      onOutline[a] = clearance(field, x, y, ON_OUTLINE) < ON_OUTLINE
      if (!onOutline[a]) cuts.push(points[2 * a], points[2 * a + 1], points[2 * b], points[2 * b + 1])
    }
    // Walk the stretches of the island's own outline, from the end of a cut to the start of the next.
    for (let i = 0; i < n; i++) {
      if (onOutline[from + i] || !onOutline[from + ((i + 1) % n)]) continue
      nCuts++
      let turned = 0
      let length = 0
      for (let k = (i + 1) % n; onOutline[from + k]; k = (k + 1) % n) {
        const a = from + k
        const b = from + ((k + 1) % n)
        const c = from + ((k + 2) % n)
        length += Math.hypot(points[2 * b] - points[2 * a], points[2 * b + 1] - points[2 * a + 1])
        if (onOutline[b]) {
          turned += turningAt(
            points[2 * a],
            points[2 * a + 1],
            points[2 * b],
            points[2 * b + 1],
            points[2 * c],
            points[2 * c + 1],
          )
        }
      }
      if (length > longest) {
        longest = length
        turning = turned
      }
    }
  }
  let reach2 = 0
  for (let j = 0; j + 1 < loopStart.length; j++) {
    let k = loopStart[j + 1] - 1
    for (let i = loopStart[j]; i < loopStart[j + 1]; k = i++) {
      // Corners, and middles of edges: a neck's sides run from cut to cut.
      for (let share = 0; share < 1; share += 0.5) {
        const x = points[2 * i] + share * (points[2 * k] - points[2 * i])
        const y = points[2 * i + 1] + share * (points[2 * k + 1] - points[2 * i + 1])
        let least = Infinity
        for (let c = 0; c < cuts.length && least > reach2; c += 4) {
          const d2 = distance2(x, y, cuts[c], cuts[c + 1], cuts[c + 2], cuts[c + 3])
          if (d2 < least) least = d2
        }
        if (least > reach2 && least < Infinity) reach2 = least
      }
    }
  }
  return { nCuts, turning, reach: Math.sqrt(reach2) }
}

/** Greatest distance between two points of a piece, and its box. */
const extentOf = (points: Float64Array): { length: number; box: Float64Array } => {
  const box = new Float64Array([Infinity, Infinity, -Infinity, -Infinity])
  let far = 0
  for (let i = 0; i < points.length; i += 2) {
    box[0] = Math.min(box[0], points[i])
    box[1] = Math.min(box[1], points[i + 1])
    box[2] = Math.max(box[2], points[i])
    box[3] = Math.max(box[3], points[i + 1])
    for (let k = 0; k < i; k += 2) {
      const d2 = (points[i] - points[k]) ** 2 + (points[i + 1] - points[k + 1]) ** 2
      if (d2 > far) far = d2
    }
  }
  return { length: Math.sqrt(far), box }
}

/**
 * Pieces that an opening takes from some islands of a layer, corners' roundings left out.
 * @param islands whole islands, clear of each other
 * @param radius of the disc, mm
 * @param arcError greatest error of the arcs, mm; pieces thinner than twice that are not seen
 * @param field scratch, used again from layer to layer
 */
export const lostPieces = (
  islands: Polygons,
  layer: number,
  radius: number,
  arcError: number,
  kit: PolygonKit,
  field: CircleField,
): LostPiece[] => {
  // Grown a little beyond what was taken off, so that the chords of the arcs leave no slivers along the outline.
  const removed = kit.lostByOpening(islands, radius, radius + 2 * arcError, arcError)
  if (removed.loopStart.length < 2) return []
  fillCircleField(field, islands.points, islands.loopStart, 0, islands.loopStart.length - 1)
  const lost: LostPiece[] = []
  for (const polygons of apart(removed)) {
    let area = 0
    for (let j = 0; j + 1 < polygons.loopStart.length; j++)
      area += areaOf(polygons.points, polygons.loopStart[j], polygons.loopStart[j + 1])
    const { nCuts, turning, reach } = readPiece(polygons, field)
    const shallow = SHALLOW * 2 * radius
    let lostArea = area
    if (nCuts > 0 && reach < shallow) continue
    if (nCuts === 1) {
      const angle = Math.min(Math.PI, Math.max(SHARPEST, Math.PI - turning))
      const allowed = radius * radius * cornerArea(angle)
      if (area <= ALLOWANCE * allowed && reach <= ALLOWANCE * radius * cornerReach(angle) + shallow) continue
      lostArea = Math.max(0, area - allowed)
    }
    const { length, box } = extentOf(polygons.points)
    lost.push({ layer, polygons, box, kind: nCuts === 0 ? 'island' : nCuts === 1 ? 'tip' : 'neck', lostArea, length })
  }
  return lost
}
