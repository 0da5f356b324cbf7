// Plastic against room in one layer alone, place by place, for a picture of that layer.

import type { BeadPlan } from '../beads/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { fieldOfLayer, groundOf } from './laid-field.ts'

/** A grid over one layer. What is carried up from the layers below is left out. */
export interface LayerSurplus {
  readonly cellMm: number
  /** Corner of the first cell, mm. */
  readonly x0: number
  readonly y0: number
  readonly nx: number
  readonly ny: number
  /** Plastic less room as a share of the layer height, row by row: 0 just fits; NaN outside, and where room is left on purpose. */
  readonly share: Float32Array
}

/** Cells less covered than this, share of the layer height after spreading, are not in the figure. */
const IN_FIGURE = 0.45

/**
 * Where one layer has too much plastic and where too little, spread over the reach to which plastic yields.
 * @param flowShare flow share that the plan's volumes contain and with which it is fed
 * @param infillShare share the plan was made with
 */
export const surplusOfLayer = (
  plan: BeadPlan,
  stack: LayerStack,
  layer: number,
  flowShare: number,
  infillShare: number,
): LayerSurplus => {
  const ground = groundOf(plan, stack, flowShare, infillShare)
  const { cellMm } = ground
  const { ix, iy, nx, ny, heightMm, ...field } = fieldOfLayer(plan, stack, layer, ground)
  const share = new Float32Array(nx * ny).fill(Number.NaN)
  for (let k = 0; k < share.length; k++) {
    if (field.roomSpread[k] < IN_FIGURE * heightMm) continue
    const surplus = field.nominalSpread[k] * flowShare - field.roomSpread[k]
    const missing = field.solidNominalSpread[k] * flowShare - field.solidRoomSpread[k]
    if (surplus > 0) share[k] = surplus / heightMm
    else if (field.solid[k]) share[k] = Math.min(0, missing) / heightMm
  }
  return { cellMm, x0: ground.x0 + ix * cellMm, y0: ground.y0 + iy * cellMm, nx, ny, share }
}
