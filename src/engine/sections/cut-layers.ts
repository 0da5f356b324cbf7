// Cuts a figure into layers: raw loops, seams, simplifying, winding, nesting.

import { breathe, type PolygonKit, type Polygons, type Task } from '../kernel/index.ts'
import { edgeNeighbours, type Mesh } from '../mesh/index.ts'
import { bridgeSeams, type OpenChain } from './bridge-seams.ts'
import { crossingRoom, loopsCross } from './crossings.ts'
import { cutHeights } from './cut-heights.ts'
import { nestLoops } from './nest-loops.ts'
import { loopAreaOf, type SimplifyRoom, simplifyLoop } from './simplify-loop.ts'
import { type RawLoops, traceLoops } from './trace-loops.ts'
import type { LayerStack } from './types.ts'

/** How a figure is cut. Lengths in mm. */
export interface CutOptions {
  /** 0.02-1 */
  readonly layerHeightMm: number
  /** 0.02-1 */
  readonly firstLayerHeightMm: number
  /** Greatest distance between a cut and its simplified outline; 0 keeps every point. Default 0.003: under a hundredth of a bead. */
  readonly toleranceMm?: number
  /** Widest open seam that is bridged as a matter of course, mm. Default 1. */
  readonly widestSeamMm?: number
  /** Loops smaller than this are dropped, mm2. Default 0.0004, a square of 0.02 mm. */
  readonly leastAreaMm2?: number
  /** Outlines are grown by half of this, for "what if the sculpt were thicker by so much". Default 0. */
  readonly thickenMm?: number
  /** Only layers that touch this height range. */
  readonly window?: readonly [number, number]
  /** Neighbours of the mesh, when they are known already. */
  readonly neighbours?: Int32Array
}

/** Default options beyond the heights. */
export const CUT_DEFAULTS = Object.freeze({ toleranceMm: 0.003, widestSeamMm: 1, leastAreaMm2: 0.0004, thickenMm: 0 })

/** Growing lists behind a LayerStack. */
class StackBuilder {
  points = new Float64Array(1 << 15)
  nPoints = 0
  loopStart: number[] = [0]
  loopArea: number[] = []
  loopParent: number[] = []
  loopIsland: number[] = []
  layerStart: number[] = [0]
  islandStart: number[] = [0]
  islandLoop: number[] = []
  islandArea: number[] = []
  seams: number[] = []
  nResolvedLayers = 0

  /** Adds one loop's points. */
  addPoints(source: Float64Array, from: number, to: number): void {
    const need = 2 * (this.nPoints + to - from)
    if (need > this.points.length) {
      const more = new Float64Array(Math.max(need, this.points.length * 2))
      more.set(this.points.subarray(0, 2 * this.nPoints))
      this.points = more
    }
    this.points.set(source.subarray(2 * from, 2 * to), 2 * this.nPoints)
    this.nPoints += to - from
    this.loopStart.push(this.nPoints)
  }

  /** Adds the loops of one layer, nested. */
  addLayer(points: Float64Array, starts: ArrayLike<number>, areas: ArrayLike<number>): void {
    if (areas.length > 0) {
      const { order, parent } = nestLoops({ points, starts, areas })
      const firstLoop = this.loopArea.length
      for (let at = 0; at < order.length; at++) {
        const j = order[at]
        const area = areas[j]
        this.addPoints(points, starts[j], starts[j + 1])
        this.loopArea.push(area)
        this.loopParent.push(parent[at] < 0 ? -1 : firstLoop + parent[at])
        if (area > 0) {
          this.islandLoop.push(firstLoop + at)
          this.islandArea.push(area)
        } else {
          this.islandArea[this.islandArea.length - 1] += area
        }
        this.loopIsland.push(this.islandLoop.length - 1)
      }
    }
    this.layerStart.push(this.loopArea.length)
    this.islandStart.push(this.islandLoop.length)
  }

  finish(faceZ: Float64Array, cutZ: Float64Array, toleranceMm: number): LayerStack {
    return {
      kind: 'layer-stack',
      nLayers: cutZ.length,
      faceZ,
      cutZ,
      layerStart: Uint32Array.from(this.layerStart),
      loopStart: Uint32Array.from(this.loopStart),
      points: this.points.slice(0, 2 * this.nPoints),
      loopArea: Float64Array.from(this.loopArea),
      loopParent: Int32Array.from(this.loopParent),
      loopIsland: Uint32Array.from(this.loopIsland),
      islandStart: Uint32Array.from(this.islandStart),
      islandLoop: Uint32Array.from(this.islandLoop),
      islandArea: Float64Array.from(this.islandArea),
      toleranceMm,
      seams: Float64Array.from(this.seams),
      nResolvedLayers: this.nResolvedLayers,
    }
  }
}

/** Simplified loops of one layer, in one flat buffer that is reused. */
class LayerBuffer {
  points = new Float64Array(1 << 14)
  starts: number[] = [0]
  areas: number[] = []
  private readonly room: SimplifyRoom = { points: new Float64Array(1 << 12) }
  private readonly toleranceMm: number
  private readonly leastAreaMm2: number

  constructor(toleranceMm: number, leastAreaMm2: number) {
    this.toleranceMm = toleranceMm
    this.leastAreaMm2 = leastAreaMm2
  }

  clear(): void {
    this.starts = [0]
    this.areas = []
  }

  add(points: Float64Array, from: number, to: number): void {
    let source = points
    let start = from
    let n = to - from
    if (this.toleranceMm > 0) {
      n = simplifyLoop(points, from, to, this.toleranceMm, this.room)
      source = this.room.points
      start = 0
    }
    if (n < 3) return
    const area = loopAreaOf(source, start, start + n)
    if (Math.abs(area) < this.leastAreaMm2) return
    const at = this.starts[this.starts.length - 1]
    if (2 * (at + n) > this.points.length) {
      const more = new Float64Array(Math.max(2 * (at + n), this.points.length * 2))
      more.set(this.points.subarray(0, 2 * at))
      this.points = more
    }
    this.points.set(source.subarray(2 * start, 2 * (start + n)), 2 * at)
    this.starts.push(at + n)
    this.areas.push(area)
  }

  /** Replaces the loops by those of a library result, dropping slivers. */
  take(polygons: Polygons): void {
    this.clear()
    for (let j = 0; j + 1 < polygons.loopStart.length; j++) {
      this.add(polygons.points, polygons.loopStart[j], polygons.loopStart[j + 1])
    }
  }

  polygons(): Polygons {
    return {
      loopStart: Uint32Array.from(this.starts),
      points: this.points.subarray(0, 2 * this.starts[this.starts.length - 1]),
    }
  }
}

const closeChains = (
  raw: RawLoops,
  layer: number,
  widestSeamMm: number,
  buffer: LayerBuffer,
  seams: number[],
): void => {
  const chains: OpenChain[] = []
  for (let j = raw.layerStart[layer]; j < raw.layerStart[layer + 1]; j++) {
    if (raw.closed[j]) continue
    chains.push({ points: raw.points.slice(2 * raw.chainStart[j], 2 * raw.chainStart[j + 1]) })
  }
  if (chains.length === 0) return
  const bridged = bridgeSeams(chains, widestSeamMm)
  for (const loop of bridged.loops) buffer.add(loop, 0, loop.length / 2)
  for (const [x, y, gap] of bridged.gaps) seams.push(layer, x, y, gap)
}

/**
 * Outlines of every layer of a mesh that stands on z = 0, in mm. Closed or torn, with overlapping or nested shells: the result is
 * the region of positive winding number, as outer loops and holes that do not cross.
 * @param kit general polygon library, used only for layers whose loops cross
 */
export const cutLayers = async (
  mesh: Mesh,
  totalHeightMm: number,
  options: CutOptions,
  kit: PolygonKit,
  task?: Task,
): Promise<LayerStack> => {
  const { toleranceMm, widestSeamMm, leastAreaMm2, thickenMm } = { ...CUT_DEFAULTS, ...options }
  const { faceZ, cutZ } = cutHeights(totalHeightMm, options.layerHeightMm, options.firstLayerHeightMm, options.window)
  const raw = traceLoops(mesh, options.neighbours ?? edgeNeighbours(mesh), cutZ)
  await breathe(task)
  const builder = new StackBuilder()
  const buffer = new LayerBuffer(toleranceMm, leastAreaMm2)
  const room = crossingRoom()
  for (let layer = 0; layer < cutZ.length; layer++) {
    if (layer % 16 === 0) {
      task?.onProgress?.(layer / cutZ.length, 'cutting layers')
      await breathe(task)
    }
    buffer.clear()
    let torn = false
    for (let j = raw.layerStart[layer]; j < raw.layerStart[layer + 1]; j++) {
      if (raw.closed[j]) buffer.add(raw.points, raw.chainStart[j], raw.chainStart[j + 1])
      else torn = true
    }
    if (torn) closeChains(raw, layer, widestSeamMm, buffer, builder.seams)
    if (loopsCross(buffer.points, buffer.starts, room)) {
      buffer.take(kit.union(buffer.polygons(), 'positive'))
      builder.nResolvedLayers++
    }
    if (thickenMm !== 0 && buffer.areas.length > 0) {
      buffer.take(kit.offset(buffer.polygons(), thickenMm / 2, 'round', Math.max(toleranceMm / 5, 0.0005)))
    }
    builder.addLayer(buffer.points, buffer.starts, buffer.areas)
  }
  task?.onProgress?.(1, 'cutting layers')
  return builder.finish(faceZ, cutZ, toleranceMm)
}
