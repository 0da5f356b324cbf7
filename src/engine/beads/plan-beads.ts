// Turns outlines and wishes into beads: shells, gap beads, caps, infill, in laying order, with their volumes.

import type { PolygonKit, Polygons, Task } from '../kernel/index.ts'
import { breathe, NO_POLYGONS } from '../kernel/index.ts'
import { type LayerStack, type SimplifyRoom, simplifyLoop } from '../sections/index.ts'
import { pitchOf, roundingMm } from './bead-section.ts'
import { capReach, runningIntersections, splitInner } from './caps.ts'
import { type FilledRoom, fillGaps } from './gap-beads.ts'
import { areaOf, isInLoop, loopArea, loopsBetween, loopsChosen, nLoopsOf, piecesOf, thinnedLoops } from './loops.ts'
import { type IslandStrands, layLayer, layNearestNext, type TravelGround } from './order-layer.ts'
import { PlanWriter } from './plan-writer.ts'
import { finishReport, type PlanReport, type ReportDraft, reportDraft } from './report.ts'
import { type LayerShells, shellsOf } from './shells.ts'
import { extentAcross, linesAcross } from './straight-lines.ts'
import { type Strand, strandAlong } from './strand.ts'
import type { BeadPlan } from './types.ts'
import type { BeadWishes } from './wishes.ts'

/** How far the outlines are simplified before shells are offset, and before caps are looked for, mm. */
const OUTLINE_TOLERANCE = 0.006
const CAP_TOLERANCE = 0.03

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

/** Finds the island of a point among the islands of one layer. */
const islandFinder = (stack: LayerStack, layer: number): ((x: number, y: number) => number) => {
  const from = stack.islandStart[layer]
  const to = stack.islandStart[layer + 1]
  if (to - from === 1) return () => from
  return (x, y) => {
    let best = -1
    for (let i = from; i < to; i++) {
      const loop = stack.islandLoop[i]
      // An island in another's hole is the smaller of the two.
      if (best >= 0 && stack.loopArea[loop] >= stack.loopArea[stack.islandLoop[best]]) continue
      if (isInLoop(stack, loop, x, y)) best = i
    }
    if (best >= 0) return best
    // A point just outside by rounding: the island with the nearest outline point.
    let least = Infinity
    best = from
    for (let i = from; i < to; i++) {
      const loop = stack.islandLoop[i]
      for (let k = stack.loopStart[loop]; k < stack.loopStart[loop + 1]; k++) {
        const d = (stack.points[2 * k] - x) ** 2 + (stack.points[2 * k + 1] - y) ** 2
        if (d < least) {
          least = d
          best = i
        }
      }
    }
    return best
  }
}

const loopPoints = ({ loopStart, points }: Polygons, loop: number): Float64Array =>
  points.slice(2 * loopStart[loop], 2 * loopStart[loop + 1])

/** Lines as strands. */
const lineStrands = (lines: Float64Array, role: 'cap' | 'infill', widthMm: number, heightMm: number): Strand[] => {
  const strands: Strand[] = []
  for (let i = 0; i < lines.length; i += 4)
    strands.push(strandAlong(role, false, lines.slice(i, i + 4), widthMm, heightMm))
  return strands
}

/** Lines side by side over one piece: their spacing is fitted so that a whole number of them fills it from edge to edge. */
const solidLines = (
  piece: Polygons,
  role: 'cap' | 'infill',
  angle: number,
  wishes: BeadWishes,
  heightMm: number,
): Strand[] => {
  const pitch = pitchOf(wishes.beadWidthMm, heightMm)
  const [least, most] = extentAcross(piece, angle)
  const n = Math.max(1, Math.round((most - least) / pitch))
  const spacing = (most - least) / n
  const widthMm = spacing + roundingMm(heightMm)
  const rules = {
    angle,
    spacing,
    phase: least + spacing / 2,
    reach: wishes.infillReachShare * wishes.beadWidthMm,
    leastLength: 0.25 * pitch,
  }
  return lineStrands(linesAcross(piece, rules), role, widthMm, heightMm)
}

/** Beads and areas of one layer, island by island. */
const strandsOfLayer = (
  stack: LayerStack,
  layer: number,
  shells: LayerShells,
  split: { cap: Polygons; infill: Polygons },
  wishes: BeadWishes,
  kit: PolygonKit,
  draft: ReportDraft,
): IslandStrands[] => {
  const heightMm = stack.faceZ[layer + 1] - stack.faceZ[layer]
  const pitch = pitchOf(wishes.beadWidthMm, heightMm)
  const from = stack.islandStart[layer]
  const to = stack.islandStart[layer + 1]
  const islandAt = islandFinder(stack, layer)
  const islands: IslandStrands[] = []
  for (let i = from; i < to; i++) islands.push({ island: i, shells: [], gaps: [], caps: [], infill: [] })

  shells.levels.forEach(({ loops }, level) => {
    for (let j = 0; j < nLoopsOf(loops); j++) {
      const path = loopPoints(loops, j)
      const i = islandAt(path[0], path[1])
      const beads = islands[i - from]
      while (beads.shells.length <= level) beads.shells.push([])
      const strand = strandAlong(level === 0 ? 'outer shell' : 'inner shell', true, path, wishes.beadWidthMm, heightMm)
      beads.shells[level].push(strand)
      draft.shellArea[i] += strand.volume / heightMm
      draft.shellsLaid[i] = Math.max(draft.shellsLaid[i], level + 1)
    }
  })

  const rules = {
    pitch,
    heightMm,
    leastWidthMm: wishes.leastBeadWidthMm,
    mostWidthMm: wishes.mostBeadWidthMm,
    leftoverPoints: wishes.leftoverPoints ?? 'empty',
  }
  const gaps = shells.levels.map(({ gap, gapRim }) => ({ gap, gapRim, isShell: true }))
  gaps.push({ gap: shells.innerGap, gapRim: 0, isShell: false })
  for (const { gap, gapRim, isShell } of gaps) {
    for (const loops of piecesOf(gap)) {
      const start = 2 * gap.loopStart[loops[0]]
      const i = islandAt(gap.points[start], gap.points[start + 1])
      const fill: FilledRoom = { strands: [], emptyArea: 0, emptyPoints: [] }
      if (wishes.gapBeads) fillGaps(loopsChosen(gap, loops), gapRim, rules, kit, fill)
      else for (const j of loops) fill.emptyArea += loopArea(gap, j)
      if (isShell && (fill.strands.length > 0 || fill.emptyPoints.length > 0)) draft.allShellsFit[i] = 0
      for (const strand of fill.strands) {
        islands[i - from].gaps.push(strand)
        draft.gapBeadArea[i] += strand.volume / heightMm
        draft.shellArea[i] += strand.volume / heightMm
      }
      draft.emptyArea[i] += fill.emptyArea
      for (let k = 0; k < fill.emptyPoints.length; k += 3) {
        const [x, y, area] = fill.emptyPoints.slice(k, k + 3)
        draft.emptyPoints.push(layer, x, y, area)
      }
    }
  }

  const angle = layer % 2 === 0 ? Math.PI / 4 : -Math.PI / 4
  const isFull = wishes.infillShare >= 0.999
  const regions = [
    { region: split.cap, role: 'cap' as const, full: true, area: draft.capArea },
    { region: split.infill, role: 'infill' as const, full: isFull, area: draft.infillArea },
  ]
  for (const { region, role, full, area } of regions) {
    for (const loops of piecesOf(region)) {
      const piece = loopsChosen(region, loops)
      const i = islandAt(piece.points[0], piece.points[1])
      area[i] += areaOf(piece)
      const beads = role === 'cap' ? islands[i - from].caps : islands[i - from].infill
      if (full) beads.push(...solidLines(piece, role, angle, wishes, heightMm))
      else if (wishes.infillShare > 0) {
        const reach = wishes.infillReachShare * wishes.beadWidthMm
        const lines = linesAcross(piece, {
          angle,
          spacing: pitch / wishes.infillShare,
          // The same lines in every other layer, so that they stand on each other.
          phase: 0,
          reach,
          leastLength: wishes.beadWidthMm,
        })
        beads.push(...lineStrands(lines, 'infill', wishes.beadWidthMm, heightMm))
      }
    }
  }
  return islands
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
  const isFull = wishes.infillShare >= 0.999
  const room: SimplifyRoom = { points: new Float64Array(4096) }
  for (let i = 0; i < nLayers; i++) {
    const heightMm = faceZ[i + 1] - faceZ[i]
    const raw = loopsBetween(stack, layerStart[i], layerStart[i + 1])
    const outline = simplified(raw, OUTLINE_TOLERANCE, room)
    const pitch = pitchOf(wishes.beadWidthMm, heightMm)
    shells.push(shellsOf(outline, wishes.nShells, pitch, roundingMm(heightMm) / 2, kit))
    outlines.push(isFull ? NO_POLYGONS : simplified(outline, CAP_TOLERANCE, room))
    for (let k = stack.islandStart[i]; k < stack.islandStart[i + 1]; k++) draft.islandLayer[k] = i
    if (i % 4 === 3) {
      task?.onProgress?.((0.6 * i) / nLayers, 'laying shells')
      await breathe(task)
    }
  }
  let longest = 1
  for (let i = 0; i < nLayers; i++) {
    const [low, high] = capReach(faceZ, i, wishes.capThicknessMm)
    longest = Math.max(longest, high - low + 1)
  }
  const solidIn = runningIntersections(outlines, longest, kit)
  for (let i = 0; i < nLayers; i++) {
    const heightMm = faceZ[i + 1] - faceZ[i]
    const { inner } = shells[i]
    let split = { cap: NO_POLYGONS, infill: inner }
    if (nLoopsOf(inner) > 0 && !isFull) {
      const [low, high] = capReach(faceZ, i, wishes.capThicknessMm)
      const through = low < 0 || high >= nLayers ? NO_POLYGONS : solidIn(low, high)
      split = splitInner(inner, through, wishes.beadWidthMm, kit)
    }
    const ground: TravelGround = {
      points: stack.points,
      loopStart: stack.loopStart,
      firstLoop: layerStart[i],
      endLoop: layerStart[i + 1],
      leastTravelToRetractMm: wishes.leastTravelToRetractMm,
    }
    if (i === 0 && wishes.nPrimingLoops > 0) {
      const outline = loopsBetween(stack, layerStart[0], layerStart[1])
      if (nLoopsOf(outline) > 0) layPrimingLoops(outline, wishes, heightMm, kit, writer)
    }
    const islands = strandsOfLayer(stack, i, shells[i], split, wishes, kit, draft)
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
