// Beads of varying width in room that no whole bead fits, laid along the medial axis of that room.
//
// Across the room the nearest whole number of beads is taken (one or two: wider room has a closed shell), as wide as makes them
// fill it. Ends are drawn out so that the half-round end of the bead, or in a closed-in room the whole room, is paid for. Room
// without an axis long enough for a bead is a point: a closed ring, a standing deposit, or left empty.

import type { PolygonKit, Polygons } from '../kernel/index.ts'
import { roundingMm, widthOfPitch } from './bead-section.ts'
import { areaOf, isInLoop, loopArea, loopsChosen, nLoopsOf, piecesOf, thinnedLine } from './loops.ts'
import { type AxisPath, medialAxis } from './medial-axis.ts'
import { type Strand, strandAlong } from './strand.ts'

export interface GapRules {
  readonly pitch: number
  readonly heightMm: number
  readonly leastWidthMm: number
  readonly mostWidthMm: number
  readonly leftoverPoints: 'deposit' | 'empty'
}

export interface FilledRoom {
  readonly strands: Strand[]
  /** Room that stays empty, mm2. */
  emptyArea: number
  /** Points where a leftover without length was left empty: x, y, area each. */
  readonly emptyPoints: number[]
}

/** Stretches shorter than this many pitches take the class of what is beside them. */
const SHORT_STRETCH = 2.5
/** Room between walls that lean together by less than 60 degrees is worth a bead; wider corners are reached by mitred shells. */
const LEAST_FACING = (2 * Math.PI) / 3 - 0.05

/** Moving mean of the room's width along the axis. */
const smoothed = (path: AxisPath, rim: number, reach: number): Float64Array => {
  const { n, points, radius, closed } = path
  const room = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    let sum = 0
    let weight = 0
    for (const way of [-1, 1]) {
      let distance = 0
      let at = i
      for (let k = 0; k < n; k++) {
        if (k > 0 || way > 0) {
          sum += 2 * (radius[at] - rim)
          weight++
        }
        let to = at + way
        if (closed) to = (to + n) % n
        if (to < 0 || to >= n || to === i) break
        distance += Math.hypot(points[2 * to] - points[2 * at], points[2 * to + 1] - points[2 * at + 1])
        if (distance > reach) break
        at = to
      }
    }
    room[i] = sum / weight
  }
  return room
}

interface Run {
  from: number
  to: number
  beads: number
  length: number
}

/** Stretches of the axis with the same number of beads across; short ones join their neighbours where widths allow. */
const runsOf = (path: AxisPath, room: Float64Array, rules: GapRules): Run[] => {
  const { n, points } = path
  const wide = (i: number, beads: number) => widthOfPitch(room[i] / beads, rules.heightMm)
  const classOf = (i: number): number => {
    if (room[i] >= 1.5 * rules.pitch || wide(i, 1) > rules.mostWidthMm) return 2
    return room[i] > 0 && wide(i, 1) >= rules.leastWidthMm ? 1 : 0
  }
  let runs: Run[] = []
  for (let i = 0; i < n; i++) {
    const beads = classOf(i)
    const last = runs[runs.length - 1]
    const step = i > 0 ? Math.hypot(points[2 * i] - points[2 * i - 2], points[2 * i + 1] - points[2 * i - 1]) : 0
    if (last && last.beads === beads) {
      last.to = i
      last.length += step
    } else runs.push({ from: i, to: i, beads, length: step })
  }
  const may = (run: Run, beads: number): boolean => {
    for (let i = run.from; i <= run.to; i++) {
      const w = wide(i, beads)
      // A narrow place in a longer bead is laid at the least width rather than broken off.
      if (w > rules.mostWidthMm || w < 0.8 * rules.leastWidthMm) return false
    }
    return true
  }
  for (let changed = true; changed && runs.length > 1; ) {
    changed = false
    for (let k = 0; k < runs.length && !changed; k++) {
      const run = runs[k]
      if (run.length > SHORT_STRETCH * rules.pitch) continue
      const beside = [runs[k - 1], runs[k + 1]].filter((r): r is Run => r !== undefined && r.beads > 0)
      const taken = beside.find((r) => may(run, r.beads))
      if (!taken) continue
      run.beads = taken.beads
      const merged: Run[] = []
      for (const r of runs) {
        const last = merged[merged.length - 1]
        if (last && last.beads === r.beads) {
          last.to = r.to
          last.length += r.length
        } else merged.push(r)
      }
      runs = merged
      changed = true
    }
  }
  return runs
}

/** A bead-to-be along the axis: xy and room per point, and how far each end may be drawn out. */
interface Draft {
  points: number[]
  room: number[]
  closed: boolean
  freeStart: number
  freeEnd: number
}

const draftsOf = (path: AxisPath, room: Float64Array, runs: Run[], rim: number, endShare: number): Draft[] => {
  const drafts: Draft[] = []
  const { points, contacts, radius, n } = path
  for (const run of runs) {
    if (run.beads === 0) continue
    const closed = path.closed && run.from === 0 && run.to === n - 1
    const atEnd = (i: number) => (i === 0 || i === n - 1 ? endShare * Math.max(0, radius[i] - rim) : 0)
    const sides = run.beads === 1 ? [0] : [1, -1]
    for (const side of sides) {
      const draft: Draft = { points: [], room: [], closed, freeStart: atEnd(run.from), freeEnd: atEnd(run.to) }
      for (let i = run.from; i <= run.to; i++) {
        let x = points[2 * i]
        let y = points[2 * i + 1]
        if (side !== 0) {
          // Which contact lies left of the way: a path may have been joined from walks on either wall.
          const a = Math.max(run.from, i - 1)
          const b = Math.min(run.to, i + 1)
          const tx = points[2 * b] - points[2 * a]
          const ty = points[2 * b + 1] - points[2 * a + 1]
          const left = tx * (contacts[4 * i + 1] - y) - ty * (contacts[4 * i] - x) > 0
          const at = 4 * i + (left === side > 0 ? 0 : 2)
          const share = (rim + room[i] / 4) / radius[i]
          x = contacts[at] + (x - contacts[at]) * share
          y = contacts[at + 1] + (y - contacts[at + 1]) * share
        }
        draft.points.push(x, y)
        draft.room.push(room[i] / run.beads)
      }
      drafts.push(draft)
    }
  }
  return drafts
}

const lengthOfDraft = ({ points, closed }: Draft): number => {
  let length = 0
  const n = points.length / 2
  for (let i = closed ? 0 : 1; i < n; i++) {
    const h = i === 0 ? n - 1 : i - 1
    length += Math.hypot(points[2 * i] - points[2 * h], points[2 * i + 1] - points[2 * h + 1])
  }
  return length
}

const filledBy = (draft: Draft): number => {
  const { points, room, closed } = draft
  let area = 0
  const n = room.length
  for (let i = closed ? 0 : 1; i < n; i++) {
    const h = i === 0 ? n - 1 : i - 1
    const length = Math.hypot(points[2 * i] - points[2 * h], points[2 * i + 1] - points[2 * h + 1])
    area += ((room[i] + room[h]) / 2) * length
  }
  return area
}

/** True when the point lies in the piece, by crossings. */
const isInPiece = (piece: Polygons, x: number, y: number): boolean => {
  let inside = false
  for (let j = 0; j < nLoopsOf(piece); j++) if (isInLoop(piece, j, x, y)) inside = !inside
  return inside
}

/** Draws the ends of all drafts out, together by what the room still lacks, each by at most its own limit and never out of the room. */
const drawOut = (drafts: Draft[], lacking: number, piece: Polygons): void => {
  let possible = 0
  for (const d of drafts) {
    if (d.closed) continue
    possible += d.freeStart * d.room[0] + d.freeEnd * d.room[d.room.length - 1]
  }
  if (possible <= 0 || lacking <= 0) return
  const share = Math.min(1, lacking / possible)
  for (const d of drafts) {
    if (d.closed) continue
    const n = d.room.length
    const extend = (from: number, at: number, by: number): [number, number] | null => {
      const dx = d.points[2 * at] - d.points[2 * from]
      const dy = d.points[2 * at + 1] - d.points[2 * from + 1]
      const l = Math.hypot(dx, dy)
      if (l < 1e-9) return null
      for (let reach = by; reach > 0.2 * by && reach > 1e-6; reach -= 0.25 * by) {
        const x = d.points[2 * at] + (dx / l) * reach
        const y = d.points[2 * at + 1] + (dy / l) * reach
        if (isInPiece(piece, x, y)) return [x, y]
      }
      return null
    }
    const back = Math.min(n - 1, 3)
    const start = extend(back, 0, d.freeStart * share)
    const end = extend(n - 1 - back, n - 1, d.freeEnd * share)
    if (end) {
      d.points.push(...end)
      d.room.push(d.room[n - 1])
    }
    if (start) {
      d.points.unshift(...start)
      d.room.unshift(d.room[0])
    }
  }
}

const strandOf = (draft: Draft, rules: GapRules): Strand => {
  const { heightMm, leastWidthMm, mostWidthMm } = rules
  const n = draft.room.length
  const rows = new Float64Array(3 * n)
  for (let i = 0; i < n; i++) {
    rows[3 * i] = draft.points[2 * i]
    rows[3 * i + 1] = draft.points[2 * i + 1]
    rows[3 * i + 2] = Math.min(mostWidthMm, Math.max(leastWidthMm, widthOfPitch(draft.room[i], heightMm)))
  }
  const kept = thinnedLine(rows, 3, n, 0.004)
  const points = new Float64Array(2 * kept.length)
  const widths = new Float64Array(kept.length)
  kept.forEach((i, k) => {
    points[2 * k] = rows[3 * i]
    points[2 * k + 1] = rows[3 * i + 1]
    widths[k] = rows[3 * i + 2]
  })
  return strandAlong('gap bead', draft.closed, points, widths, heightMm)
}

/** Beads of a leftover may hold this share of its room and no more. */
const MOST_OVERFILL = 1.02

/** True for a piece nearly as round as a disc: its outline squared is not much longer than a circle's of the same area. */
const isCompact = ({ loopStart, points }: Polygons, area: number): boolean => {
  if (loopStart.length !== 2) return false
  let length = 0
  for (let i = loopStart[0]; i < loopStart[1]; i++) {
    const k = i + 1 < loopStart[1] ? i + 1 : loopStart[0]
    length += Math.hypot(points[2 * k] - points[2 * i], points[2 * k + 1] - points[2 * i + 1])
  }
  return length * length < 1.25 * 4 * Math.PI * area
}

/** Centre of area of a piece. */
const centreOf = ({ loopStart, points }: Polygons): [number, number] => {
  let area = 0
  let x = 0
  let y = 0
  const x0 = points[0]
  const y0 = points[1]
  for (let j = 0; j + 1 < loopStart.length; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const ax = points[2 * i] - x0
      const ay = points[2 * i + 1] - y0
      const bx = points[2 * k] - x0
      const by = points[2 * k + 1] - y0
      const c = ax * by - bx * ay
      area += c
      x += c * (ax + bx)
      y += c * (ay + by)
    }
  }
  return [x0 + x / (3 * area), y0 + y / (3 * area)]
}

/** A leftover without length: a ring where two beads go round its middle, else a deposit, else empty. */
const fillPoint = (piece: Polygons, rim: number, rules: GapRules, kit: PolygonKit, fill: FilledRoom): void => {
  const { heightMm, pitch, leastWidthMm, leftoverPoints } = rules
  const inside = rim > 0 ? kit.offset(piece, -rim, 'round', 0.002) : piece
  const area = areaOf(inside)
  if (!(area > 0)) return
  const across = 2 * Math.sqrt(area / Math.PI)
  // A long sliver is no point: it is too narrow for a bead all along, and stays empty.
  if (nLoopsOf(kit.offset(inside, -0.3 * across, 'mitre', 0.01)) === 0) {
    fill.emptyArea += area
    return
  }
  if (across >= 1.5 * pitch) {
    const ring = kit.offset(inside, -across / 4, 'round', 0.002)
    if (nLoopsOf(ring) === 1) {
      // As wide as makes the ring hold the room's plastic.
      const thin = strandAlong('gap bead', true, ring.points, widthOfPitch(across / 2, heightMm), heightMm)
      fill.strands.push({ ...thin, volume: area * heightMm })
      return
    }
  }
  if (widthOfPitch(across, heightMm) < leastWidthMm) {
    fill.emptyArea += area
    return
  }
  const [x, y] = centreOf(inside)
  if (leftoverPoints === 'empty') {
    fill.emptyArea += area
    fill.emptyPoints.push(x, y, area)
    return
  }
  fill.strands.push({
    role: 'point deposit',
    closed: false,
    points: Float64Array.of(x, y),
    widths: across,
    volume: area * heightMm,
  })
}

/**
 * Fills the pieces of room left by one level of shells.
 * @param rim strip along the room's walls that the flanks of beads leave free, mm (0 between beads)
 */
export const fillGaps = (gap: Polygons, rim: number, rules: GapRules, kit: PolygonKit, fill: FilledRoom): void => {
  const { pitch, heightMm, leastWidthMm } = rules
  const leastRoom = Math.max(0, leastWidthMm - roundingMm(heightMm))
  for (const loops of piecesOf(gap)) {
    let area = 0
    for (const j of loops) area += loopArea(gap, j)
    // Too little for the smallest deposit.
    if (area < 0.5 * leastRoom * leastRoom) {
      fill.emptyArea += Math.max(0, area)
      continue
    }
    const piece = loopsChosen(gap, loops)
    const paths = medialAxis(piece, {
      stepMm: 0.2 * pitch,
      mostRadiusMm: 1.6 * pitch + rim,
      leastFacing: LEAST_FACING,
      unevenMm: 0.006,
    })
    const drafts: Draft[] = []
    for (const path of paths) {
      const room = smoothed(path, rim, 0.5 * pitch)
      // Free faces: only the half-round end of the bead is paid for. Between beads: the whole room up to the wall.
      drafts.push(...draftsOf(path, room, runsOf(path, room, rules), rim, rim > 0 ? Math.PI / 4 : 1))
    }
    // A deposit is better than a bead shorter than half its width.
    const laid = drafts.filter((d) => d.closed || lengthOfDraft(d) >= 0.5 * Math.max(...d.room))
    if (laid.length === 0) {
      fillPoint(piece, rim, rules, kit, fill)
      continue
    }
    let perimeter = 0
    if (rim > 0) {
      const { loopStart, points } = piece
      for (let j = 0; j + 1 < loopStart.length; j++)
        for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
          const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
          perimeter += Math.hypot(points[2 * k] - points[2 * i], points[2 * k + 1] - points[2 * i + 1])
        }
    }
    const free = area - rim * perimeter
    drawOut(laid, free - laid.reduce((sum, d) => sum + filledBy(d), 0), piece)
    // Room is never laid twice: a nearly round leftover has no true axis, and pieces of one on either side of its middle overfill it.
    const over = laid.reduce((sum, d) => sum + filledBy(d), 0) / Math.max(free, 1e-9)
    if (over > MOST_OVERFILL) {
      if (isCompact(piece, area)) {
        fillPoint(piece, rim, rules, kit, fill)
        continue
      }
      for (const draft of laid) draft.room = draft.room.map((r) => r / over)
    }
    fill.emptyArea += Math.max(0, free - laid.reduce((sum, d) => sum + filledBy(d), 0))
    for (const draft of laid) fill.strands.push(strandOf(draft, rules))
  }
}
