// Turns outlines and wishes into beads: shells, gap beads, caps, infill, in laying order, with their volumes.

import type { PolygonKit, Polygons, Task } from '../kernel/index.ts'
import { breathe, NO_POLYGONS } from '../kernel/index.ts'
import { islandPolygons, type LayerStack, layerPolygons, type SimplifyRoom, simplifyLoop } from '../sections/index.ts'
import { pitchOf, roundingMm } from './bead-section.ts'
import { capReach, commonRegions, type Run, splitInner } from './caps.ts'
import { FULL_SHARE, strandsOfIsland } from './island-strands.ts'
import { loopArea, loopPoints, nLoopsOf, thinnedLoops } from './loops.ts'
import { type IslandStrands, layLayer, layNearestNext, type TravelGround } from './order-layer.ts'
import { PlanWriter } from './plan-writer.ts'
import { finishReport, type PlanReport, reportDraft } from './report.ts'
import { type LayerShells, shellsOf } from './shells.ts'
import { type Strand, strandAlong } from './strand.ts'
import type { BeadPlan } from './types.ts'
import type { BeadWishes } from './wishes.ts'

/** How far the outlines are simplified before shells are offset, and before caps are looked for, mm. */
const OUTLINE_TOLERANCE = 0.01
const CAP_TOLERANCE = 0.05

/** Loops with fewer points and the same area. */
const simplified = ({ loopStart, points }: Polygons, tolerance: number, room: SimplifyRoom): Polygons => {
  const out = new Float64Array(points.length)
  const starts = [0]
  let n = 0
  for (let j = 0; j + 1 < loopStart.length; j++) {
    const kept = simplifyLoop(points, loopStart[j], loopStart[j + 1], tolerance, room)
    if (kept < 3) continue
    out.set(room.points.subarray(0, 2 * kept), 2 * n)
    n += kept
    starts.push(n)
  }
  return { loopStart: Uint32Array.from(starts), points: out.slice(0, 2 * n) }
}

export interface PlannedBeads {
  readonly plan: BeadPlan
  readonly report: PlanReport
}

/** Lays loops beside the figure on the first layer, the outermost first. */
const layPrimingLoops = (
  outline: Polygons,
  wishes: BeadWishes,
  heightMm: number,
  kit: PolygonKit,
  writer: PlanWriter,
) => {
  for (let k = wishes.nPrimingLoops - 1; k >= 0; k--) {
    const distance = wishes.primingLoopGapMm + wishes.beadWidthMm * (k + 0.5)
    const around = thinnedLoops(kit.offset(outline, distance, 'round', 0.02), 0.01)
    const strands: Strand[] = []
    for (let j = 0; j < nLoopsOf(around); j++)
      if (loopArea(around, j) > 0)
        strands.push(strandAlong('priming loop', true, loopPoints(around, j), wishes.beadWidthMm, heightMm))
    layNearestNext(strands, -1, 0, null, false, writer)
  }
}

/**
 * Plans the beads of a whole figure.
 * @param stack outlines of every layer, mm
 * @param wishes recipe and what the printer card says about leftovers; a recipe fits as it is
 * @param kit polygon library
 * @returns beads in laying order, and what they mean per island and layer
 */
export const planBeads = async (
  stack: LayerStack,
  wishes: BeadWishes,
  kit: PolygonKit,
  task?: Task,
): Promise<PlannedBeads> => {
  const { nLayers, faceZ, layerStart } = stack
  const draft = reportDraft(stack.islandLoop.length, stack.islandArea)
  const writer = new PlanWriter(wishes, faceZ)
  const shells: LayerShells[] = []
  const outlines: Polygons[] = []
  const isFull = wishes.infillShare >= FULL_SHARE
  const room: SimplifyRoom = { points: new Float64Array(4096) }
  for (let i = 0; i < nLayers; i++) {
    const heightMm = faceZ[i + 1] - faceZ[i]
    const pitch = pitchOf(wishes.beadWidthMm, heightMm)
    // Island by island: a thin one always has narrow places, and must not make the work of a broad one longer.
    for (let k = stack.islandStart[i]; k < stack.islandStart[i + 1]; k++) {
      const outline = simplified(islandPolygons(stack, k), OUTLINE_TOLERANCE, room)
      shells.push(shellsOf(outline, wishes.nShells, pitch, roundingMm(heightMm) / 2, kit))
      draft.islandLayer[k] = i
    }
    outlines.push(isFull ? NO_POLYGONS : simplified(layerPolygons(stack, i), CAP_TOLERANCE, room))
    if (i % 4 === 3) {
      task?.onProgress?.((0.6 * i) / nLayers, 'laying shells')
      await breathe(task)
    }
  }
  // Layers with an inside that has layers enough above and below: what do all of those have in common?
  const runs: Run[] = []
  const runOf = new Int32Array(nLayers).fill(-1)
  for (let i = 0; i < nLayers && !isFull; i++) {
    let hasInner = false
    for (let k = stack.islandStart[i]; k < stack.islandStart[i + 1]; k++) hasInner ||= nLoopsOf(shells[k].inner) > 0
    const [low, high] = capReach(faceZ, i, wishes.capThicknessMm)
    if (!hasInner || low < 0 || high >= nLayers) continue
    runOf[i] = runs.length
    runs.push([low, high])
  }
  const common = await commonRegions(outlines, runs, kit, task)
  for (let i = 0; i < nLayers; i++) {
    const heightMm = faceZ[i + 1] - faceZ[i]
    const islands: IslandStrands[] = []
    const through = runOf[i] < 0 ? NO_POLYGONS : common[runOf[i]]
    for (let k = stack.islandStart[i]; k < stack.islandStart[i + 1]; k++) {
      const { inner } = shells[k]
      let split = { cap: NO_POLYGONS, infill: inner }
      if (nLoopsOf(inner) > 0 && !isFull) {
        split = splitInner(inner, through, wishes.beadWidthMm, kit)
      }
      islands.push(strandsOfIsland({ island: k, layer: i, heightMm, shells: shells[k], ...split }, wishes, kit, draft))
    }
    const ground: TravelGround = {
      points: stack.points,
      loopStart: stack.loopStart,
      firstLoop: layerStart[i],
      endLoop: layerStart[i + 1],
      leastTravelToRetractMm: wishes.leastTravelToRetractMm,
    }
    if (i === 0 && wishes.nPrimingLoops > 0) {
      const outline = layerPolygons(stack, 0)
      if (nLoopsOf(outline) > 0) layPrimingLoops(outline, wishes, heightMm, kit, writer)
    }
    layLayer(islands, i, ground, wishes.outerShellFirst ?? false, writer)
    writer.endLayer()
    if (i % 4 === 3) {
      task?.onProgress?.(0.6 + (0.4 * i) / nLayers, 'laying caps and infill')
      await breathe(task)
    }
  }
  const plan = writer.plan()
  let volume = 0
  for (const v of plan.volume) volume += v
  return { plan, report: finishReport(draft, faceZ, wishes.infillShare, wishes.densityGPerCm3 ?? 1.24, volume) }
}
