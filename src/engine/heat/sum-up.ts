// From cells to beads and layers: means weighed by plastic, and the greatest values with their places.

import type { BeadPlan } from '../beads/index.ts'
import { type CellRecord, slotOf } from './cell-record.ts'
import type { Pieces } from './find-pieces.ts'
import { healingShare } from './healing.ts'
import type { LaidCells } from './lay-cells.ts'
import type { BeadHeat, LayerHeat } from './types.ts'

/** @param softToC upper end of the softening band, deg C @param realS layer times */
export const sumUp = (
  plan: BeadPlan,
  laid: LaidCells,
  pieces: Pieces,
  record: CellRecord,
  softToC: number,
  realS: Float64Array,
): { beads: BeadHeat; layers: LayerHeat } => {
  const { nBeads, nLayers } = plan
  const nan = (n: number): Float64Array => new Float64Array(n).fill(Number.NaN)
  const blank = (): Float32Array => new Float32Array(nBeads).fill(Number.NaN)
  const beads = {
    belowC: blank(),
    belowMostC: blank(),
    softDepthMm: blank(),
    softDepthLayers: blank(),
    standingSoftMm: blank(),
    softS: blank(),
    resoftenedTimes: blank(),
    resoftenedS: blank(),
    healing: blank(),
  }
  const layers = {
    belowC: nan(nLayers),
    belowPieceC: nan(nLayers),
    belowPieceAt: nan(2 * nLayers),
    belowPieceWidthMm: nan(nLayers),
    belowMostC: nan(nLayers),
    onSoftShare: nan(nLayers),
    onSoftThroughoutShare: nan(nLayers),
    softDepthMm: nan(nLayers),
    softDepthMostMm: nan(nLayers),
    softDepthLayers: nan(nLayers),
    softDepthPieceMm: nan(nLayers),
    standingSoftMm: nan(nLayers),
    standingSoftMostMm: nan(nLayers),
    softStub: nan(nLayers),
    softS: nan(nLayers),
    resoftenedTimes: nan(nLayers),
    resoftenedS: nan(nLayers),
    healing: nan(nLayers),
    healingLeast: nan(nLayers),
    endC: nan(nLayers),
    realS,
  }
  const nColumns = (laid.grid.nX + 2) * (laid.grid.nY + 2)
  /** Plastic on plastic, and that weighed with temperature below and depth, by piece. */
  const ofPiece = new Float64Array(3 * pieces.n)
  const most = (of: Float32Array | Float64Array, at: number, value: number): boolean => {
    if (!(value > of[at]) && !Number.isNaN(of[at])) return false
    of[at] = value
    return true
  }

  /** Sums of one bead, and of one layer, over their landings: plastic in all, plastic that lies on plastic, and the weighed values. */
  const N = 10
  const ofBead = new Float64Array(N)
  const ofLayer = new Float64Array(N + 4)
  const add = (sums: Float64Array, slot: number, v: number): void => {
    sums[0] += v
    sums[1] += v * record.firstS[slot]
    sums[2] += v * Math.max(0, record.times[slot] - 1)
    sums[3] += v * record.laterS[slot]
    const below = record.belowC[slot]
    if (Number.isNaN(below)) return
    sums[4] += v
    sums[5] += v * below
    sums[6] += v * record.depthMm[slot]
    sums[7] += v * record.depthLayers[slot]
    sums[8] += v * record.standingMm[slot]
    sums[9] += v * healingShare(record.healing[slot])
  }
  const closeBead = (b: number): void => {
    if (b < 0 || !(ofBead[0] > 0)) return
    beads.softS[b] = ofBead[1] / ofBead[0]
    beads.resoftenedTimes[b] = ofBead[2] / ofBead[0]
    beads.resoftenedS[b] = ofBead[3] / ofBead[0]
    if (ofBead[4] > 0) {
      beads.belowC[b] = ofBead[5] / ofBead[4]
      beads.healing[b] = ofBead[9] / ofBead[4]
    }
    ofBead.fill(0)
  }
  let e = 0
  for (let layer = 0; layer < nLayers; layer++) {
    ofLayer.fill(0)
    let bead = -1
    for (; e < laid.nLandings && laid.cell[e] < (layer + 1) * nColumns; e++) {
      const b = laid.bead[e]
      if (b !== bead) closeBead(bead)
      bead = b
      const cell = laid.cell[e]
      const slot = slotOf(record, cell)
      const v = laid.volume[e]
      add(ofBead, slot, v)
      add(ofLayer, slot, v)
      if (!Number.isNaN(record.endC[slot])) {
        ofLayer[N] += v
        ofLayer[N + 1] += v * record.endC[slot]
      }
      const below = record.belowC[slot]
      if (Number.isNaN(below)) continue
      if (below >= record.softC) ofLayer[N + 2] += v
      if (below >= softToC) ofLayer[N + 3] += v
      most(beads.belowMostC, b, below)
      most(beads.softDepthMm, b, record.depthMm[slot])
      most(beads.softDepthLayers, b, record.depthLayers[slot])
      most(beads.standingSoftMm, b, record.standingMm[slot])
      most(layers.softDepthMostMm, layer, record.depthMm[slot])
      most(layers.standingSoftMostMm, layer, record.standingMm[slot])
      most(layers.softStub, layer, record.standingMm[slot] / pieces.widthMm[pieces.of[cell]])
      const healed = healingShare(record.healing[slot])
      if (!(healed >= layers.healingLeast[layer])) layers.healingLeast[layer] = healed
      most(layers.belowMostC, layer, below)
      const piece = 3 * pieces.of[cell]
      ofPiece[piece] += v
      ofPiece[piece + 1] += v * below
      ofPiece[piece + 2] += v * record.depthMm[slot]
    }
    for (let i = pieces.layerStart[layer]; i < pieces.layerStart[layer + 1]; i++) {
      if (!(ofPiece[3 * i] > 0)) continue
      if (!most(layers.belowPieceC, layer, ofPiece[3 * i + 1] / ofPiece[3 * i])) continue
      layers.softDepthPieceMm[layer] = ofPiece[3 * i + 2] / ofPiece[3 * i]
      layers.belowPieceWidthMm[layer] = pieces.widthMm[i]
      layers.belowPieceAt[2 * layer] = pieces.middle[2 * i]
      layers.belowPieceAt[2 * layer + 1] = pieces.middle[2 * i + 1]
    }
    closeBead(bead)
    const [all, first, times, later, on, belowC, depth, depthLayers, standing, healing] = ofLayer
    if (!(all > 0)) continue
    layers.softS[layer] = first / all
    layers.resoftenedTimes[layer] = times / all
    layers.resoftenedS[layer] = later / all
    if (ofLayer[N] > 0) layers.endC[layer] = ofLayer[N + 1] / ofLayer[N]
    if (!(on > 0)) continue
    layers.belowC[layer] = belowC / on
    layers.softDepthMm[layer] = depth / on
    layers.softDepthLayers[layer] = depthLayers / on
    layers.standingSoftMm[layer] = standing / on
    layers.healing[layer] = healing / on
    layers.onSoftShare[layer] = ofLayer[N + 2] / all
    layers.onSoftThroughoutShare[layer] = ofLayer[N + 3] / all
  }
  return { beads, layers }
}
