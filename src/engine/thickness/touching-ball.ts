// The largest ball inside a mesh that touches it at a given point: a search of the triangle tree with a closed form per triangle.
//
// As in the plane (touching-circle.ts): a ball of radius r that touches p with inward normal n keeps clear of a contact q while
// r <= f(q) = |q-p|^2 / (2 n.(q-p)). The balls of growing r lie one in the other, so on a triangle f has one minimum: in its
// plane at r = d / (1 - m.n), else on a side, where the derivative's root is a square root, else at a corner. Boxes clear of
// the ball found so far are passed over. Neighbouring facets of a round may stand inside the ball by up to the roughness.
//
// A ball inside a finely meshed round touches thousands of triangles at once, and every box of them reaches into it. Then all
// contacts are as good as equal: after TRIED_EXACTLY triangles only boxes that reach deeper than a growing share of the radius
// (at most 10 %) are looked into. A radius is too great by that share at most, and only where so many triangles come near.

import type { RayHit, TriangleTree } from '../kernel/index.ts'
import { boxDistance2, firstHit, newRayHit } from '../kernel/index.ts'

/** cos of the angle beyond which two contacts face each other: 120 degrees. */
const FACING_COS = -0.5 - 1e-6
/** Triangles that are tried exactly for one ball; beyond them a box must reach deeper into the ball to be looked into. */
const TRIED_EXACTLY = 200
/** Share of the radius by which that depth grows with each further TRIED_EXACTLY triangles, and at most. */
const DEEPER = 0.02
const DEEPEST = 0.1

/** Search of one mesh; results of the last search are left in it. */
export interface BallSearch {
  readonly tree: TriangleTree
  readonly roughness: number
  /** Whether a triangle bounds the solid (a buried one does not). */
  readonly bounds: (triangle: number) => boolean
  readonly hit: RayHit
  radius: number
  contactCos: number
  facingRadius: number
  facingCos: number
}

export const newBallSearch = (
  tree: TriangleTree,
  roughness: number,
  bounds: (triangle: number) => boolean,
): BallSearch => ({
  tree,
  roughness,
  bounds,
  hit: newRayHit(),
  radius: Infinity,
  contactCos: 1,
  facingRadius: Infinity,
  facingCos: 1,
})

const easing = (roughness: number, cos: number): number =>
  cos <= FACING_COS ? 0 : (roughness * (cos - FACING_COS)) / (1 - FACING_COS)

// Least f found on the sides of a triangle by `meetSide`, and the contact's height over the tangent plane and squared distance.
let sideExact = Infinity
let sideHeight = 0
let sideSquare = 0

/** Least f on the segment from w to w + e (seen from p). */
const meetSide = (
  wx: number,
  wy: number,
  wz: number,
  ex: number,
  ey: number,
  ez: number,
  nx: number,
  ny: number,
  nz: number,
): void => {
  const a = ex * ex + ey * ey + ez * ez
  if (a === 0) return
  const g = nx * ex + ny * ey + nz * ez
  const h = nx * wx + ny * wy + nz * wz
  const b = wx * ex + wy * ey + wz * ez
  const c = wx * wx + wy * wy + wz * wz
  // d/dt of (a t^2 + 2 b t + c) / (h + g t) = 0: the root on the side where h + g t > 0.
  const root = Math.sqrt(Math.max(0, a * (a * h * h - 2 * b * g * h + c * g * g)))
  const low = root + a * h
  let t = h > 0 ? (c * g - 2 * b * h) / low : g !== 0 ? (root - a * h) / (a * g) : -b / a
  t = t < 0 ? 0 : t > 1 ? 1 : t
  const height = h + g * t
  if (!(height > 1e-12)) return
  const square = a * t * t + 2 * b * t + c
  if (square < 1e-18) return
  const exact = square / (2 * height)
  if (exact >= sideExact) return
  sideExact = exact
  sideHeight = height
  sideSquare = square
}

const meetSlot = (
  search: BallSearch,
  slot: number,
  px: number,
  py: number,
  pz: number,
  nx: number,
  ny: number,
  nz: number,
): void => {
  const { corners } = search.tree
  const at = 9 * slot
  const ax = corners[at] - px
  const ay = corners[at + 1] - py
  const az = corners[at + 2] - pz
  const bx = corners[at + 3] - px
  const by = corners[at + 4] - py
  const bz = corners[at + 5] - pz
  const cx = corners[at + 6] - px
  const cy = corners[at + 7] - py
  const cz = corners[at + 8] - pz
  if (nx * ax + ny * ay + nz * az <= 1e-9 && nx * bx + ny * by + nz * bz <= 1e-9 && nx * cx + ny * cy + nz * cz <= 1e-9)
    return
  const ux = bx - ax
  const uy = by - ay
  const uz = bz - az
  const vx = cx - ax
  const vy = cy - ay
  const vz = cz - az
  // Inward normal: against the outward one.
  let mx = uz * vy - uy * vz
  let my = ux * vz - uz * vx
  let mz = uy * vx - ux * vy
  const size = Math.sqrt(mx * mx + my * my + mz * mz)
  if (size === 0) return
  mx /= size
  my /= size
  mz /= size
  const d = -(mx * ax + my * ay + mz * az)
  if (d < -1e-9) return
  let cos = mx * nx + my * ny + mz * nz
  const open = 1 - cos
  if (open < 1e-9) return
  let exact = d > 0 ? d / open : 0
  // The whole plane keeps clear of the ball, so the triangle does: most triangles end here.
  if (exact >= search.radius && (exact >= search.facingRadius || exact > search.radius + search.roughness)) return
  const qx = exact * (nx - mx)
  const qy = exact * (ny - my)
  const qz = exact * (nz - mz)
  const sx = qx - ax
  const sy = qy - ay
  const sz = qz - az
  const uu = ux * ux + uy * uy + uz * uz
  const uv = ux * vx + uy * vy + uz * vz
  const vv = vx * vx + vy * vy + vz * vz
  const su = sx * ux + sy * uy + sz * uz
  const sv = sx * vx + sy * vy + sz * vz
  const det = uu * vv - uv * uv
  const s = su * vv - sv * uv
  const t = sv * uu - su * uv
  const slop = -1e-12 * det
  let ease: number
  let radius: number
  if (s >= slop && t >= slop && det - s - t >= slop) {
    ease = easing(search.roughness, cos)
    radius = ((d > 0 ? d : 0) + ease) / open
  } else {
    sideExact = Infinity
    meetSide(ax, ay, az, ux, uy, uz, nx, ny, nz)
    meetSide(ax, ay, az, vx, vy, vz, nx, ny, nz)
    meetSide(bx, by, bz, cx - bx, cy - by, cz - bz, nx, ny, nz)
    if (sideExact === Infinity) return
    exact = sideExact
    cos = 1 - (2 * sideHeight * sideHeight) / sideSquare
    ease = easing(search.roughness, cos)
    if (sideHeight <= ease) return
    radius = ease > 0 ? Math.max(exact, (sideSquare - ease * ease) / (2 * (sideHeight - ease))) : exact
  }
  if (radius >= search.radius && !(cos <= FACING_COS && exact < search.facingRadius)) return
  if (!search.bounds(search.tree.triangleOf[slot])) return
  if (radius < search.radius) {
    search.radius = radius
    search.contactCos = cos
  }
  if (cos <= FACING_COS && exact < search.facingRadius) {
    search.facingRadius = exact
    search.facingCos = cos
  }
}

/**
 * Largest ball inside the solid that touches its surface at p, a point of triangle `own`, with inward normal n.
 * @returns its radius; `facingRadius` holds the nearest contact across, when within the roughness of it. NaN when no wall lies before n.
 */
export const touchingBall = (
  search: BallSearch,
  px: number,
  py: number,
  pz: number,
  nx: number,
  ny: number,
  nz: number,
  own: number,
): number => {
  const { tree, hit, roughness, bounds } = search
  search.radius = Infinity
  search.facingRadius = Infinity
  search.contactCos = 1
  search.facingCos = 1
  const leaves = (triangle: number, sign: number): boolean => sign > 0 && triangle !== own && bounds(triangle)
  if (!firstHit(tree, px, py, pz, nx, ny, nz, 1e-7, Infinity, hit, leaves)) return Number.NaN
  // The wall met straight ahead bounds the ball from above.
  search.radius = hit.t / 2 + roughness
  const { boxes, second, nSlots, triangleOf, pending } = tree
  let tried = 0
  let n = 0
  pending[n++] = 0
  while (n > 0) {
    const node = pending[--n]
    // Beyond the radius only a facing contact nearer than the one known is of use.
    const r = Math.max(search.radius, Math.min(search.facingRadius, search.radius + roughness))
    const x = px + r * nx
    const y = py + r * ny
    const z = pz + r * nz
    const within = tried < TRIED_EXACTLY ? r : r * (1 - Math.min(DEEPEST, DEEPER * (tried / TRIED_EXACTLY - 1)))
    const r2 = within * within * (1 + 1e-12)
    if (boxDistance2(boxes, node, x, y, z) > r2) continue
    if (nSlots[node] === 0) {
      const a = node + 1
      const b = second[node]
      const da = boxDistance2(boxes, a, x, y, z)
      const db = boxDistance2(boxes, b, x, y, z)
      // The nearer one is walked first: it shrinks the ball soonest.
      if (da <= db) {
        if (db <= r2) pending[n++] = b
        if (da <= r2) pending[n++] = a
      } else {
        if (da <= r2) pending[n++] = a
        if (db <= r2) pending[n++] = b
      }
      continue
    }
    const from = -1 - second[node]
    tried += nSlots[node]
    for (let slot = from; slot < from + nSlots[node]; slot++)
      if (triangleOf[slot] !== own) meetSlot(search, slot, px, py, pz, nx, ny, nz)
  }
  if (search.facingRadius > search.radius + roughness) search.facingRadius = Infinity
  return search.radius
}
