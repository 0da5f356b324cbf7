// Shape that beads cannot hold: details that vanish, upright edges rounded by the bead, the first layer squeezed outwards.
//
// An upright edge of inner angle phi is rounded by a disc of half a bead: at the edge r (1/sin(phi/2) - 1) is lost, in plan
// r2 (cot(phi/2) - (pi - phi)/2). The turn at a corner is seen over arms of one such radius, so that fine chords of a round are no corners.
// First layer: a nozzle that stands too low by a lack presses the same plastic into less height; half of the bead's growth in width comes
// out of the outline. The lack of 0.05 mm is common practice for a bed levelled by hand, no source.
// Limits: edges that slant are taken layer by layer; rounding inside concave corners fills them and loses nothing.

import { beadArea, widthOfPitch } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import type { VanishingDetail } from '../thickness/index.ts'
import type { ShapeLost } from './types.ts'

/** How much too low the nozzle stands over the bed, mm. */
export const BED_LACK_MM = 0.05
/** Edges that lose more than this are counted, mm. */
const TOLD_EDGE_MM = 0.02

/** Edges sharper than 60 degrees are tips: what they lose counts among the details that vanish. */
const SHARPEST = Math.PI / 3

/** Loss at an edge, mm, square to it. @param innerAngle radians, of the plastic */
export const edgeLossMm = (radiusMm: number, innerAngle: number): number =>
  radiusMm * (1 / Math.sin(Math.min(innerAngle, Math.PI) / 2) - 1)

/** Area lost at an edge in plan, mm2. */
export const edgeLossMm2 = (radiusMm: number, innerAngle: number): number =>
  radiusMm * radiusMm * (1 / Math.tan(innerAngle / 2) - (Math.PI - innerAngle) / 2)

/** How far the first layer comes out of its outline when its gap is too low by a lack, mm. */
export const firstLayerSqueezeMm = (widthMm: number, heightMm: number, lackMm: number): number => {
  const left = Math.max(0.25 * heightMm, heightMm - lackMm)
  return Math.max(0, (widthOfPitch(beadArea(widthMm, heightMm) / left, left) - widthMm) / 2)
}

/** Turn at a point of a loop over arms of a length, radians, positive at convex corners; 0 where the point itself is not convex. */
const turnAt = (points: Float64Array, from: number, to: number, i: number, arm: number): number => {
  const n = to - from
  const x = points[2 * i]
  const y = points[2 * i + 1]
  const before = i > from ? i - 1 : to - 1
  const after = i + 1 < to ? i + 1 : from
  const ex = x - points[2 * before]
  const ey = y - points[2 * before + 1]
  const fx = points[2 * after] - x
  const fy = points[2 * after + 1] - y
  if (ex * fy - ey * fx <= 1e-12) return 0
  const chord = (way: number): [number, number] => {
    let left = arm
    let px = x
    let py = y
    let at = i - from
    for (let k = 0; k < n; k++) {
      at = (at + way + n) % n
      const qx = points[2 * (from + at)]
      const qy = points[2 * (from + at) + 1]
      const l = Math.hypot(qx - px, qy - py)
      if (l >= left) return [px + ((qx - px) * left) / l - x, py + ((qy - py) * left) / l - y]
      left -= l
      px = qx
      py = qy
    }
    return [px - x, py - y]
  }
  const [bx, by] = chord(-1)
  const [ax, ay] = chord(1)
  return Math.atan2(ay * -bx - ax * -by, ax * -bx + ay * -by)
}

/** Sums over the stack. */
export const shapeLost = (
  layers: LayerStack,
  vanishing: readonly VanishingDetail[],
  beadWidthMm: number,
  firstLayerHeightMm: number,
): ShapeLost => {
  const radius = beadWidthMm / 2
  const { points, loopStart, layerStart, faceZ, cutZ } = layers
  // Below this turn an edge of full sharpness loses less than a thousandth.
  const leastTurn = 2 * Math.acos(1 / (1 + 0.001 / radius))
  let edgeMm = 0
  let edgeAt: [number, number, number] = [0, 0, 0]
  let nEdges = 0
  let volume = 0
  for (let layer = 0; layer < layers.nLayers; layer++) {
    const height = faceZ[layer + 1] - faceZ[layer]
    for (let j = layerStart[layer]; j < layerStart[layer + 1]; j++) {
      const from = loopStart[j]
      const to = loopStart[j + 1]
      if (to - from < 3) continue
      // A run of points that turn together is one corner: its sharpest point counts.
      let last = -2
      let lastTurn = 0
      const close = (): void => {
        if (lastTurn <= leastTurn) return
        const inner = Math.max(Math.PI - lastTurn, SHARPEST)
        const loss = edgeLossMm(radius, inner)
        volume += edgeLossMm2(radius, inner) * height
        if (loss > TOLD_EDGE_MM) nEdges++
        if (loss > edgeMm) {
          edgeMm = loss
          edgeAt = [points[2 * last], points[2 * last + 1], cutZ[layer]]
        }
      }
      for (let i = from; i < to; i++) {
        const turn = turnAt(points, from, to, i, radius)
        if (turn <= leastTurn) continue
        const near =
          last >= 0 && Math.hypot(points[2 * i] - points[2 * last], points[2 * i + 1] - points[2 * last + 1]) < radius
        if (!near) {
          close()
          last = i
          lastTurn = turn
        } else if (turn > lastTurn) {
          last = i
          lastTurn = turn
        }
      }
      close()
    }
  }
  return {
    nVanished: vanishing.length,
    vanishedMm3: vanishing.reduce((sum, { volumeMm3 }) => sum + volumeMm3, 0),
    edgeMm,
    edgeAt,
    nEdges,
    edgesMm3: volume,
    squeezeMm: firstLayerSqueezeMm(beadWidthMm, firstLayerHeightMm, BED_LACK_MM),
  }
}
