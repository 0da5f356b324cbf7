// The medial axis of a region between its loops: middles of the largest discs that touch two facing walls.
//
// Method: from samples along the walls a disc that touches the wall there is shrunk until it touches another wall (exact for
// segments and corners). Walking the walls in order visits the axis as a walk round a tree does, every branch twice; the first
// visit of each is kept. Arms that run into convex corners are recognised by the angle between the two contacts and left out.
// Every middle is exact for the polygon; only their number depends on the sample step. Measured against closed forms: rectangle,
// annulus and wedge to 1e-9, ellipse to its chord error.
// Tried and dropped: joining the cells of a point cloud (zigzags of step2/8r between walls that are not sampled alike).

import type { Polygons } from '../kernel/index.ts'
import { nLoopsOf } from './loops.ts'

/** One branch of the axis. */
export interface AxisPath {
  readonly closed: boolean
  readonly n: number
  /** Middles of the discs, xy per point, mm. A closed path does not repeat its first point. */
  readonly points: Float64Array
  /** Radius of each disc, mm. */
  readonly radius: Float64Array
  /** Where each disc touches the walls, x1 y1 x2 y2 per point, mm. */
  readonly contacts: Float64Array
}

export interface AxisOptions {
  /** Distance between samples along the walls, mm. */
  readonly stepMm: number
  /** Discs larger than this are not looked for, mm. */
  readonly mostRadiusMm: number
  /** Least angle between the two contacts seen from the middle, radians: pi between parallel walls, pi - angle in a corner's arm. */
  readonly leastFacing: number
  /** Unevenness of the walls, mm: how far a wall may reach into a disc. */
  readonly unevenMm: number
}

/** Contacts closer together than this angle belong to one wall made of chords. */
const SAME_WALL = 0.8

interface Walls {
  readonly n: number
  /** Start and end of every segment, and its unit direction. */
  readonly ax: Float64Array
  readonly ay: Float64Array
  readonly ux: Float64Array
  readonly uy: Float64Array
  readonly length: Float64Array
  readonly previous: Int32Array
  readonly loopFirst: number[]
}

const wallsOf = ({ loopStart, points }: Polygons): Walls => {
  const total = loopStart[loopStart.length - 1]
  const ax = new Float64Array(total)
  const ay = new Float64Array(total)
  const ux = new Float64Array(total)
  const uy = new Float64Array(total)
  const length = new Float64Array(total)
  const previous = new Int32Array(total)
  const loopFirst: number[] = []
  let n = 0
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const first = n
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const dx = points[2 * k] - points[2 * i]
      const dy = points[2 * k + 1] - points[2 * i + 1]
      const l = Math.hypot(dx, dy)
      if (l < 1e-9) continue
      ax[n] = points[2 * i]
      ay[n] = points[2 * i + 1]
      ux[n] = dx / l
      uy[n] = dy / l
      length[n] = l
      previous[n] = n - 1
      n++
    }
    if (n > first) {
      previous[first] = n - 1
      loopFirst.push(first)
    }
  }
  loopFirst.push(n)
  return { n, ax, ay, ux, uy, length, previous, loopFirst }
}

/** The disc touching the wall at one sample: written in place. */
interface Touch {
  radius: number
  facing: number
  qx: number
  qy: number
  /** Where along all walls the other contact lies: segment + share. */
  at: number
}

/** Shrinks the disc that touches the wall at (px, py), unit normal (nx, ny) into the solid, until it touches another wall. */
const shrink = (walls: Walls, px: number, py: number, nx: number, ny: number, most: number, touch: Touch): void => {
  const { n, ax, ay, ux, uy, length } = walls
  let r = most
  let segment = -1
  let corner = false
  const cosSame = Math.cos(SAME_WALL)
  for (let s = 0; s < n; s++) {
    const vx = ax[s] - px
    const vy = ay[s] - py
    const l = length[s]
    // Whole segment out of reach of the present disc.
    const reach = 2 * r + l
    if (vx > reach || vx < -reach || vy > reach || vy < -reach) continue
    const mx = -uy[s]
    const my = ux[s]
    const nm = nx * mx + ny * my
    if (nm < cosSame) {
      const d0 = -(vx * mx + vy * my)
      if (d0 >= 0) {
        const rs = d0 / (1 - nm)
        if (rs < r) {
          const along = (rs * nx - vx) * ux[s] + (rs * ny - vy) * uy[s]
          if (along >= 0 && along <= l) {
            r = rs
            segment = s
            corner = false
          }
        }
      }
    }
    // The segment's start as a corner; only corners that point into the solid can be the nearest thing, others cost little.
    const nv = nx * vx + ny * vy
    if (nv > 1e-12) {
      const rv = (vx * vx + vy * vy) / (2 * nv)
      if (rv < r && 1 - nv / rv < cosSame) {
        r = rv
        segment = s
        corner = true
      }
    }
  }
  touch.radius = r
  touch.at = -1
  if (segment < 0) return
  const cx = px + r * nx
  const cy = py + r * ny
  if (corner) {
    touch.qx = ax[segment]
    touch.qy = ay[segment]
    touch.at = segment
  } else {
    const along = (cx - ax[segment]) * ux[segment] + (cy - ay[segment]) * uy[segment]
    touch.qx = ax[segment] + along * ux[segment]
    touch.qy = ay[segment] + along * uy[segment]
    touch.at = segment + Math.min(along / length[segment], 1 - 1e-9)
  }
  const cos = -(nx * (touch.qx - cx) + ny * (touch.qy - cy)) / r
  touch.facing = Math.acos(Math.max(-1, Math.min(1, cos)))
}

/** True when no wall reaches into the disc by more than the allowance. */
const isEmptyDisc = (walls: Walls, cx: number, cy: number, radius: number, uneven: number): boolean => {
  const { n, ax, ay, ux, uy, length } = walls
  const limit = radius - uneven
  if (limit <= 0) return true
  const limit2 = limit * limit
  for (let s = 0; s < n; s++) {
    const vx = cx - ax[s]
    const vy = cy - ay[s]
    const reach = limit + length[s]
    if (vx > reach || vx < -reach || vy > reach || vy < -reach) continue
    let along = vx * ux[s] + vy * uy[s]
    along = along < 0 ? 0 : along > length[s] ? length[s] : along
    const dx = vx - along * ux[s]
    const dy = vy - along * uy[s]
    if (dx * dx + dy * dy < limit2) return false
  }
  return true
}

/** Samples of one walk, flat: cx cy r px py qx qy per sample; a break is a sample with r = 0. */
const WALK_COLUMNS = 7

const breakWalk = (walk: number[]): void => {
  const n = walk.length
  if (n > 0 && walk[n - WALK_COLUMNS + 2] > 0) walk.push(0, 0, 0, 0, 0, 0, 0)
}

/** Walks one loop of walls; pushes kept samples and breaks. Returns true when every sample was kept. */
const walkLoop = (walls: Walls, loop: number, options: AxisOptions, walk: number[]): boolean => {
  const { ax, ay, ux, uy, length, previous, loopFirst } = walls
  const first = loopFirst[loop]
  const count = loopFirst[loop + 1] - first
  const touch: Touch = { radius: 0, facing: 0, qx: 0, qy: 0, at: -1 }
  // Start in the sharpest convex corner: there an arm ends, so the walk does not start in the middle of a branch.
  let start = first
  let sharpest = -2
  for (let s = first; s < first + count; s++) {
    const p = previous[s]
    const cross = ux[p] * uy[s] - uy[p] * ux[s]
    const sharp = cross > 0 ? 1 - (ux[p] * ux[s] + uy[p] * uy[s]) : -1
    if (sharp > sharpest) {
      sharpest = sharp
      start = s
    }
  }
  let whole = true
  const sample = (s: number, px: number, py: number, nx: number, ny: number, at: number): void => {
    shrink(walls, px, py, nx, ny, options.mostRadiusMm, touch)
    const cx = px + touch.radius * nx
    const cy = py + touch.radius * ny
    // Parts of a walk are numbered from the start corner so that "first visit" has one meaning round the loop.
    const mine = s >= start ? at : at + count
    const inLoop = touch.at >= first && touch.at < first + count
    const other = inLoop && touch.at < start ? touch.at + count : touch.at
    const again = inLoop ? mine > other : at > touch.at
    if (
      touch.at < 0 ||
      again ||
      touch.facing < options.leastFacing ||
      !isEmptyDisc(walls, cx, cy, touch.radius, options.unevenMm)
    ) {
      whole = false
      breakWalk(walk)
      return
    }
    walk.push(cx, cy, touch.radius, px, py, touch.qx, touch.qy)
  }
  for (let i = 0; i < count; i++) {
    const s = first + ((start - first + i) % count)
    const p = previous[s]
    const cross = ux[p] * uy[s] - uy[p] * ux[s]
    if (cross < -1e-9) {
      // A corner that points into the solid: discs roll round it.
      const turn = Math.atan2(-cross, ux[p] * ux[s] + uy[p] * uy[s])
      const n = Math.ceil(turn / 0.3)
      for (let k = 1; k < n; k++) {
        const a = (-turn * k) / n
        const c = Math.cos(a)
        const d = Math.sin(a)
        const dx = ux[p] * c - uy[p] * d
        const dy = ux[p] * d + uy[p] * c
        sample(s, ax[s], ay[s], -dy, dx, s)
      }
    }
    const n = Math.max(1, Math.ceil(length[s] / options.stepMm))
    for (let k = 0; k < n; k++) {
      const share = (k + 0.5) / n
      sample(s, ax[s] + share * length[s] * ux[s], ay[s] + share * length[s] * uy[s], -uy[s], ux[s], s + share)
    }
  }
  const kept = whole
  if (!kept) breakWalk(walk)
  return kept
}

/** A branch while it is put together: sample numbers of the walk. */
interface Branch {
  samples: number[]
  closed: boolean
}

/** Joins branches whose ends meet and run on in the same direction. */
const joinBranches = (walk: number[], branches: Branch[], gap: number): Branch[] => {
  const x = (i: number) => walk[WALK_COLUMNS * i]
  const y = (i: number) => walk[WALK_COLUMNS * i + 1]
  const open = branches.filter((b) => !b.closed)
  for (let a = 0; a < open.length; a++) {
    for (let grown = true; grown; ) {
      grown = false
      for (let b = 0; b < open.length && !grown; b++) {
        for (let way = 0; way < 4 && !grown; way++) {
          const one = open[a].samples
          const two = open[b].samples
          if (a === b || one.length === 0 || two.length === 0) continue
          const head = way & 1 ? [...one].reverse() : one
          const tail = way & 2 ? [...two].reverse() : two
          const e = head[head.length - 1]
          const f = tail[0]
          const dx = x(f) - x(e)
          const dy = y(f) - y(e)
          if (dx * dx + dy * dy > gap * gap) continue
          // The direction must carry on; ends of one sample have none and always fit.
          const e2 = head[Math.max(0, head.length - 3)]
          const f2 = tail[Math.min(tail.length - 1, 2)]
          const along = (x(e) - x(e2)) * (x(f2) - x(f)) + (y(e) - y(e2)) * (y(f2) - y(f))
          const lengths = Math.hypot(x(e) - x(e2), y(e) - y(e2)) * Math.hypot(x(f2) - x(f), y(f2) - y(f))
          if (lengths > 0 && along < 0.5 * lengths) continue
          open[a].samples = [...head, ...tail]
          open[b].samples = []
          grown = true
        }
      }
    }
  }
  return [...branches.filter((b) => b.closed), ...open.filter((b) => b.samples.length > 0)]
}

/** Branches of the medial axis of a region, without the arms into its convex corners. */
export const medialAxis = (region: Polygons, options: AxisOptions): AxisPath[] => {
  const walls = wallsOf(region)
  const branches: Branch[] = []
  const walk: number[] = []
  for (let j = 0; j + 1 < walls.loopFirst.length && j < nLoopsOf(region); j++) {
    const from = walk.length / WALK_COLUMNS
    const whole = walkLoop(walls, j, options, walk)
    const to = walk.length / WALK_COLUMNS
    let run: number[] = []
    const jump = 4 * options.stepMm
    for (let i = from; i < to; i++) {
      const r = walk[WALK_COLUMNS * i + 2]
      const last = run[run.length - 1]
      const far =
        run.length > 0 &&
        Math.hypot(
          walk[WALK_COLUMNS * i] - walk[WALK_COLUMNS * last],
          walk[WALK_COLUMNS * i + 1] - walk[WALK_COLUMNS * last + 1],
        ) > jump
      if ((r === 0 || far) && run.length > 0) {
        branches.push({ samples: run, closed: false })
        run = []
      }
      if (r > 0) run.push(i)
    }
    if (run.length > 0) {
      const a = WALK_COLUMNS * run[0]
      const b = WALK_COLUMNS * run[run.length - 1]
      const closed =
        whole && run.length === to - from && Math.hypot(walk[a] - walk[b], walk[a + 1] - walk[b + 1]) < jump
      branches.push({ samples: run, closed })
    }
    breakWalk(walk)
  }
  return joinBranches(walk, branches, 3 * options.stepMm).map(({ samples, closed }) => {
    const n = samples.length
    const points = new Float64Array(2 * n)
    const radius = new Float64Array(n)
    const contacts = new Float64Array(4 * n)
    samples.forEach((i, k) => {
      const at = WALK_COLUMNS * i
      points[2 * k] = walk[at]
      points[2 * k + 1] = walk[at + 1]
      radius[k] = walk[at + 2]
      for (let d = 0; d < 4; d++) contacts[4 * k + d] = walk[at + 3 + d]
    })
    return { closed, n, points, radius, contacts }
  })
}
