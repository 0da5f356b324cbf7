// Lost pieces of neighbouring layers that belong together make one vanishing detail.

import type { LayerStack } from '../sections/index.ts'
import type { LostPiece } from './lost-pieces.ts'
import { contains } from './lost-pieces.ts'
import { placeSamples } from './outline-samples.ts'
import { fillCircleField, newCircleField, touchingCircle } from './touching-circle.ts'
import type { VanishingDetail } from './types.ts'

/** Whether two pieces overlap or come within `gap` of each other. */
const meet = (a: LostPiece, b: LostPiece, gap: number): boolean => {
  if (a.box[0] > b.box[2] + gap || b.box[0] > a.box[2] + gap) return false
  if (a.box[1] > b.box[3] + gap || b.box[1] > a.box[3] + gap) return false
  return nearOrIn(a, b, gap) || nearOrIn(b, a, gap)
}

/** Whether a corner of a's outer loop lies in b's or within `gap` of it; or an edge crosses. */
const nearOrIn = (a: LostPiece, b: LostPiece, gap: number): boolean => {
  const p = a.polygons.points
  const q = b.polygons.points
  const n = b.polygons.loopStart[1]
  for (let i = 0; i < a.polygons.loopStart[1]; i++) {
    const x = p[2 * i]
    const y = p[2 * i + 1]
    if (contains(q, 0, n, x, y)) return true
    const next = i + 1 < a.polygons.loopStart[1] ? i + 1 : 0
    const ex = p[2 * next] - x
    const ey = p[2 * next + 1] - y
    for (let k = 0, l = n - 1; k < n; l = k++) {
      if (segmentsNear(x, y, ex, ey, q[2 * l], q[2 * l + 1], q[2 * k], q[2 * k + 1], gap)) return true
    }
  }
  return false
}

/** Whether the segment from (x, y) along (ex, ey) crosses c-d, or starts within `gap` of it. */
const segmentsNear = (
  x: number,
  y: number,
  ex: number,
  ey: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
  gap: number,
): boolean => {
  const fx = dx - cx
  const fy = dy - cy
  const l2 = fx * fx + fy * fy
  const t = l2 > 0 ? Math.max(0, Math.min(1, ((x - cx) * fx + (y - cy) * fy) / l2)) : 0
  const gx = x - cx - t * fx
  const gy = y - cy - t * fy
  if (gx * gx + gy * gy <= gap * gap) return true
  const det = ex * fy - ey * fx
  if (det === 0) return false
  const u = ((cx - x) * fy - (cy - y) * fx) / det
  const v = ((cx - x) * ey - (cy - y) * ex) / det
  return u >= 0 && u <= 1 && v >= 0 && v <= 1
}

/** Share of the widest circle that counts as just as wide: among those the one nearest the middle is shown. */
const AS_WIDE = 0.98

/** Widest circle inside a piece, and the middle of the one of that width nearest to the piece's own middle. */
const widestIn = ({ polygons, box }: LostPiece): { width: number; x: number; y: number } => {
  const { loopStart, points } = polygons
  const placed = placeSamples(loopStart, points, 0.1, 0)
  const field = newCircleField(0)
  fillCircleField(field, points, loopStart, 0, loopStart.length - 1)
  const n = placed.point.length
  const circles = new Float64Array(3 * n)
  let width = 0
  for (let k = 0; k < n; k++) {
    if (placed.isCorner[k] === 1) continue
    const s = placed.point[k]
    const px = placed.samples[2 * k]
    const py = placed.samples[2 * k + 1]
    const r = touchingCircle(field, px, py, field.mx[s], field.my[s], s, field.contact)
    circles[3 * k] = 2 * r
    circles[3 * k + 1] = px + r * field.mx[s]
    circles[3 * k + 2] = py + r * field.my[s]
    if (2 * r > width) width = 2 * r
  }
  const middleX = (box[0] + box[2]) / 2
  const middleY = (box[1] + box[3]) / 2
  let x = middleX
  let y = middleY
  let nearest = Infinity
  for (let k = 0; k < n; k++) {
    if (circles[3 * k] < AS_WIDE * width || width === 0) continue
    const away = (circles[3 * k + 1] - middleX) ** 2 + (circles[3 * k + 2] - middleY) ** 2
    if (away >= nearest) continue
    nearest = away
    x = circles[3 * k + 1]
    y = circles[3 * k + 2]
  }
  return { width, x, y }
}

/** The largest piece of the layer nearest to the middle of what is lost. */
const middlePiece = (group: readonly LostPiece[], middleLayer: number): LostPiece => {
  let chosen = group[0]
  for (const piece of group) {
    const nearer = Math.abs(piece.layer - middleLayer) - Math.abs(chosen.layer - middleLayer)
    if (nearer < 0 || (nearer === 0 && piece.lostArea > chosen.lostArea)) chosen = piece
  }
  return chosen
}

/** Joins pieces (given layer by layer) that meet in neighbouring layers. */
export const followPieces = (pieces: readonly LostPiece[], stack: LayerStack, gap: number): VanishingDetail[] => {
  const leader = pieces.map((_, i) => i)
  const leaderOf = (i: number): number => {
    while (leader[i] !== i) {
      leader[i] = leader[leader[i]]
      i = leader[i]
    }
    return i
  }
  let below = 0
  let start = 0
  for (let i = 0; i < pieces.length; i++) {
    if (i > 0 && pieces[i].layer !== pieces[i - 1].layer) {
      below = start
      start = i
    }
    for (let k = below; k < start; k++) {
      if (pieces[k].layer === pieces[i].layer - 1 && meet(pieces[k], pieces[i], gap)) {
        const [a, b] = [leaderOf(k), leaderOf(i)]
        leader[Math.max(a, b)] = Math.min(a, b)
      }
    }
  }
  const groups = new Map<number, LostPiece[]>()
  pieces.forEach((piece, i) => {
    const group = groups.get(leaderOf(i))
    if (group) group.push(piece)
    else groups.set(leaderOf(i), [piece])
  })
  return [...groups.values()].map((group) => {
    let moment = 0
    let largest = group[0]
    let lengthMm = 0
    let volumeMm3 = 0
    const byKind = { island: 0, tip: 0, neck: 0 }
    for (const piece of group) {
      const volume = piece.lostArea * (stack.faceZ[piece.layer + 1] - stack.faceZ[piece.layer])
      volumeMm3 += volume
      byKind[piece.kind] += volume
      if (piece.length > lengthMm) lengthMm = piece.length
      moment += volume * piece.layer
      if (piece.lostArea > largest.lostArea) largest = piece
    }
    const middle = middlePiece(group, volumeMm3 > 0 ? moment / volumeMm3 : group[0].layer)
    const { width, x, y } = widestIn(middle)
    const widthMm = Math.max(width, widestIn(largest).width)
    const kind =
      byKind.island >= byKind.tip && byKind.island >= byKind.neck ? 'island' : byKind.neck > byKind.tip ? 'neck' : 'tip'
    return {
      fromLayer: group[0].layer,
      toLayer: group[group.length - 1].layer,
      at: [x, y, stack.cutZ[middle.layer]],
      lengthMm,
      widthMm,
      volumeMm3,
      kind,
    }
  })
}
