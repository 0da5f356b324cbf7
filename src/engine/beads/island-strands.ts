// The beads of one island of one layer: shells, gap beads, caps, infill, not yet in order.

import type { PolygonKit, Polygons } from '../kernel/index.ts'
import { pitchOf, roundingMm } from './bead-section.ts'
import { type FilledRoom, fillGaps } from './gap-beads.ts'
import { areaOf, loopPoints, loopsChosen, nLoopsOf, piecesOf } from './loops.ts'
import type { IslandStrands } from './order-layer.ts'
import type { ReportDraft } from './report.ts'
import type { LayerShells } from './shells.ts'
import { extentAcross, linesAcross } from './straight-lines.ts'
import { type Strand, strandAlong } from './strand.ts'
import type { BeadWishes } from './wishes.ts'

/** From this share on infill is laid line beside line. */
export const FULL_SHARE = 0.999

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

/** Where an island's beads go: its outline's layer and the regions inside its shells. */
export interface IslandRooms {
  readonly island: number
  readonly layer: number
  readonly heightMm: number
  readonly shells: LayerShells
  readonly cap: Polygons
  readonly infill: Polygons
}

const shellStrands = (rooms: IslandRooms, wishes: BeadWishes, beads: IslandStrands, draft: ReportDraft): void => {
  const { island, heightMm, shells } = rooms
  shells.levels.forEach(({ loops }, level) => {
    for (let j = 0; j < nLoopsOf(loops); j++) {
      const role = level === 0 ? 'outer shell' : 'inner shell'
      const strand = strandAlong(role, true, loopPoints(loops, j), wishes.beadWidthMm, heightMm)
      while (beads.shells.length <= level) beads.shells.push([])
      beads.shells[level].push(strand)
      draft.shellArea[island] += strand.volume / heightMm
      draft.shellsLaid[island] = level + 1
    }
  })
}

const gapStrands = (
  rooms: IslandRooms,
  wishes: BeadWishes,
  kit: PolygonKit,
  beads: IslandStrands,
  draft: ReportDraft,
): void => {
  const { island, layer, heightMm, shells } = rooms
  const rules = {
    pitch: pitchOf(wishes.beadWidthMm, heightMm),
    heightMm,
    leastWidthMm: wishes.leastBeadWidthMm,
    mostWidthMm: wishes.mostBeadWidthMm,
    leftoverPoints: wishes.leftoverPoints ?? 'empty',
  }
  const gaps = shells.levels.map(({ gap, gapRim }) => ({ gap, gapRim, isShell: true }))
  gaps.push({ gap: shells.innerGap, gapRim: 0, isShell: false })
  for (const { gap, gapRim, isShell } of gaps) {
    if (nLoopsOf(gap) === 0) continue
    const fill: FilledRoom = { strands: [], emptyArea: 0, emptyPoints: [] }
    if (wishes.gapBeads) fillGaps(gap, gapRim, rules, kit, fill)
    else fill.emptyArea = areaOf(gap)
    if (isShell && (fill.strands.length > 0 || fill.emptyPoints.length > 0)) draft.allShellsFit[island] = 0
    for (const strand of fill.strands) {
      beads.gaps.push(strand)
      draft.gapBeadArea[island] += strand.volume / heightMm
      draft.shellArea[island] += strand.volume / heightMm
    }
    draft.emptyArea[island] += fill.emptyArea
    for (let k = 0; k < fill.emptyPoints.length; k += 3) {
      const [x, y, area] = fill.emptyPoints.slice(k, k + 3)
      draft.emptyPoints.push(layer, x, y, area)
    }
  }
}

/** All beads of one island of one layer; its areas go into the report. */
export const strandsOfIsland = (
  rooms: IslandRooms,
  wishes: BeadWishes,
  kit: PolygonKit,
  draft: ReportDraft,
): IslandStrands => {
  const { island, layer, heightMm, cap, infill } = rooms
  const beads: IslandStrands = { island, shells: [], gaps: [], caps: [], infill: [] }
  shellStrands(rooms, wishes, beads, draft)
  gapStrands(rooms, wishes, kit, beads, draft)
  const angle = layer % 2 === 0 ? Math.PI / 4 : -Math.PI / 4
  draft.capArea[island] = areaOf(cap)
  draft.infillArea[island] = areaOf(infill)
  for (const loops of piecesOf(cap))
    beads.caps.push(...solidLines(loopsChosen(cap, loops), 'cap', angle, wishes, heightMm))
  if (wishes.infillShare >= FULL_SHARE) {
    for (const loops of piecesOf(infill))
      beads.infill.push(...solidLines(loopsChosen(infill, loops), 'infill', angle, wishes, heightMm))
  } else if (wishes.infillShare > 0 && nLoopsOf(infill) > 0) {
    const lines = linesAcross(infill, {
      angle,
      spacing: pitchOf(wishes.beadWidthMm, heightMm) / wishes.infillShare,
      // The same lines in every other layer, so that they stand on each other.
      phase: 0,
      reach: wishes.infillReachShare * wishes.beadWidthMm,
      leastLength: wishes.beadWidthMm,
    })
    beads.infill.push(...lineStrands(lines, 'infill', wishes.beadWidthMm, heightMm))
  }
  return beads
}
