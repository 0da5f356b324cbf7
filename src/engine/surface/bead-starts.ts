// Where closed outer beads begin, how bare that is, and where it would show least.
//
// A start leaves a small mark. In a fold of the outline the two flanks hide it: it is bare by 1 on a wall or an edge, and less the deeper
// the fold, by the turn of the outline over arms of one bead (a fold of 90 degrees hides it all). Off the front it is seen only from
// behind: the place that shows least is the deepest fold, and on an outline without folds the point farthest from the front.
// Limits: how large the mark is depends on the pressure in the nozzle and is not computed.

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import type { Figure } from '../figure/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { frontOf } from './regions.ts'
import { type BeadStarts, START_COLUMNS, START_ROW, type SurfaceRegions } from './types.ts'

const OUTER = roleIndex('outer shell')
/** Bare enough to be seen. */
export const BARE = 0.5
/** Weight of facing the front against being bare, when the least visible place is chosen. */
const FRONT_WEIGHT = 0.45

/** How bare a place of a closed path is, 0-1, and the outward normal there. */
interface Bareness {
  bare: number
  nx: number
  ny: number
}

/**
 * Looks at one point of a closed path over arms of a length.
 * @param at xy of point i, points 0 to n-1 once round
 */
const lookAt = (
  points: Float64Array,
  stride: number,
  from: number,
  n: number,
  i: number,
  arm: number,
  out: Bareness,
) => {
  const x = points[stride * (from + i)]
  const y = points[stride * (from + i) + 1]
  let [bx, by, ax, ay] = [x, y, x, y]
  for (let way = -1; way <= 1; way += 2) {
    let left = arm
    let [px, py] = [x, y]
    let k = i
    for (let s = 0; s < n && left > 0; s++) {
      k = (k + way + n) % n
      const qx = points[stride * (from + k)]
      const qy = points[stride * (from + k) + 1]
      const l = Math.hypot(qx - px, qy - py)
      const share = l > left ? left / l : 1
      px += (qx - px) * share
      py += (qy - py) * share
      left -= l
    }
    if (way < 0) [bx, by] = [px, py]
    else [ax, ay] = [px, py]
  }
  const [ux, uy, vx, vy] = [x - bx, y - by, ax - x, ay - y]
  const turn = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
  out.bare = turn >= 0 ? 1 : Math.max(0, 1 + turn / (Math.PI / 2))
  const l = Math.hypot(ax - bx, ay - by) || 1
  out.nx = (ay - by) / l
  out.ny = -(ax - bx) / l
}

/** Starts of a plan. */
export const findStarts = (
  plan: BeadPlan,
  figure: Figure,
  layers: LayerStack,
  { face }: SurfaceRegions,
  arm: number,
): BeadStarts => {
  const front = frontOf(figure) ?? [0, -1]
  const rows: number[] = []
  const out: Bareness = { bare: 0, nx: 0, ny: 0 }
  let nBare = 0
  let nBareInFront = 0
  let nBareOnFace = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
      if (plan.role[b] !== OUTER || plan.closed[b] === 0) continue
      const from = plan.beadStart[b]
      const n = plan.beadStart[b + 1] - from - 1
      if (n < 3) continue
      lookAt(plan.points, 3, from, n, 0, arm, out)
      const x = plan.points[3 * from]
      const y = plan.points[3 * from + 1]
      const z = plan.layerTopZ[layer] - plan.layerHeight[layer] / 2
      const inFront = out.nx * front[0] + out.ny * front[1] > 0
      const onFace =
        inFront &&
        face !== null &&
        z >= face.fromMm &&
        z <= face.toMm &&
        x >= face.box[0] &&
        x <= face.box[2] &&
        y >= face.box[1] &&
        y <= face.box[3]
      const isBare = out.bare >= BARE
      if (isBare) nBare++
      if (isBare && inFront) nBareInFront++
      if (isBare && onFace) nBareOnFace++
      const row = new Array<number>(START_COLUMNS).fill(0)
      row[START_ROW.layer] = layer
      row[START_ROW.bead] = b
      row[START_ROW.x] = x
      row[START_ROW.y] = y
      row[START_ROW.z] = z
      row[START_ROW.bareShare] = out.bare
      row[START_ROW.front] = inFront ? 1 : 0
      row[START_ROW.face] = onFace ? 1 : 0
      rows.push(...row)
    }
  }
  return {
    starts: Float64Array.from(rows),
    nStarts: rows.length / START_COLUMNS,
    nBare,
    nBareInFront,
    nBareOnFace,
    ...leastVisible(layers, front, arm),
  }
}

/** On each layer's largest outline, the point where a start shows least. */
const leastVisible = (
  layers: LayerStack,
  front: readonly [number, number],
  arm: number,
): { leastAt: Float64Array; leastBare: Float64Array } => {
  const n = layers.nLayers
  const leastAt = new Float64Array(2 * n).fill(Number.NaN)
  const leastBare = new Float64Array(n).fill(Number.NaN)
  const out: Bareness = { bare: 0, nx: 0, ny: 0 }
  for (let layer = 0; layer < n; layer++) {
    let loop = -1
    for (let i = layers.islandStart[layer]; i < layers.islandStart[layer + 1]; i++) {
      const own = layers.islandLoop[i]
      if (loop < 0 || layers.loopArea[own] > layers.loopArea[loop]) loop = own
    }
    if (loop < 0) continue
    const from = layers.loopStart[loop]
    const count = layers.loopStart[loop + 1] - from
    let least = Infinity
    for (let i = 0; i < count; i++) {
      lookAt(layers.points, 2, from, count, i, arm, out)
      const seen = out.bare + FRONT_WEIGHT * (out.nx * front[0] + out.ny * front[1])
      if (seen >= least) continue
      least = seen
      leastBare[layer] = out.bare
      leastAt[2 * layer] = layers.points[2 * (from + i)]
      leastAt[2 * layer + 1] = layers.points[2 * (from + i) + 1]
    }
  }
  return { leastAt, leastBare }
}
