// Rows of one shape on a bed: as many as fit in straight, staggered, stretched and turned rows. Beats square and hexagonal rows of discs.
//
// Every row has one pitch; every other row is shifted, and turned half round where that packs closer. A pitch stretched to the full width
// lets the next row sink between its pieces (two, one, two in a square instead of two and two).

import type { PolygonKit, Polygons } from '../engine/kernel/index.ts'
import { discRows } from './disc-rows.ts'
import { clearance, type TrayShape, trayShape } from './shapes.ts'
import type { BedRoom, TrayPlace } from './types.ts'

/** Places of one figure and the words for how they lie. */
export interface RowLayout {
  readonly places: readonly Omit<TrayPlace, 'figure'>[]
  readonly layout: string
}

/** Room for grown shapes, mm: half a gap of every shape may hang over the margin. */
export interface GrownRoom {
  readonly width: number
  readonly depth: number
}

export const grownRoom = ({ xMm, yMm, marginMm, gapMm }: BedRoom): GrownRoom => ({
  width: xMm - 2 * marginMm + gapMm,
  depth: yMm - 2 * marginMm + gapMm,
})

const SHIFTS = [0, 0.5, 0.25, 0.75, 0.125, 0.375, 0.625, 0.875]
const TURNS = 12
const EPS = 1e-9

/** How far the next row must stand above this one when all its pieces are shifted. */
const rowPitch = (low: TrayShape, high: TrayShape, pitch: number, shift: number): number => {
  const reach = Math.ceil((low.maxX - low.minX + high.maxX - high.minX) / pitch) + 1
  let need = 0
  for (let k = -reach; k <= reach; k++) need = Math.max(need, clearance(low.overX, high.overX, shift + k * pitch))
  return need
}

interface Trial {
  readonly count: number
  readonly n: readonly [number, number]
  readonly pitch: number
  readonly shift: number
  readonly up: readonly [number, number]
  readonly nRows: number
}

/** Rows of `a` and `b` in turn. */
const tryRows = (
  a: TrayShape,
  b: TrayShape,
  pitch: number,
  shift: number,
  { width, depth }: GrownRoom,
): Trial | null => {
  const n = (shape: TrayShape, from: number): number => {
    const room = width - (shape.maxX - shape.minX) - from
    return room < -EPS ? 0 : Math.floor((room + EPS) / pitch) + 1
  }
  // Left edges of both rows in line, then shifted.
  const across = shift + (a.minX - b.minX)
  const nA = n(a, 0)
  const nB = n(b, shift)
  if (nA === 0) return null
  let up1 = rowPitch(a, b, pitch, across)
  let up2 = rowPitch(b, a, pitch, -across)
  // Rows two apart must not meet either.
  const two = Math.max(rowPitch(a, a, pitch, 0), rowPitch(b, b, pitch, 0))
  if (up1 + up2 < two) {
    up1 += (two - up1 - up2) / 2
    up2 = two - up1
  }
  let top = a.maxY - a.minY
  if (top > depth + EPS) return null
  let [count, nRows, y] = [nA, 1, 0]
  for (;;) {
    const isB = nRows % 2 === 1
    y += isB ? up1 : up2
    const shape = isB ? b : a
    top = y + shape.maxY - a.minY
    const bottom = y + shape.minY - a.minY
    if (top > depth + EPS || bottom < -EPS || (isB ? nB : nA) === 0) break
    count += isB ? nB : nA
    nRows++
    if (nRows > 10000) break
  }
  return { count, n: [nA, nB], pitch, shift, up: [up1, up2], nRows }
}

const placesOf = (a: TrayShape, b: TrayShape, trial: Trial, bed: BedRoom): Omit<TrayPlace, 'figure'>[] => {
  const places: Omit<TrayPlace, 'figure'>[] = []
  const edge = bed.marginMm - bed.gapMm / 2
  let y = 0
  for (let row = 0; row < trial.nRows; row++) {
    const isB = row % 2 === 1
    const shape = isB ? b : a
    for (let k = 0; k < trial.n[isB ? 1 : 0]; k++)
      places.push({
        x: edge - shape.minX + (isB ? trial.shift : 0) + k * trial.pitch,
        y: edge - a.minY + y,
        turn: shape.turn,
      })
    y += trial.up[isB ? 1 : 0]
  }
  return places
}

/** The most that fit in rows along x. */
const rowsAlongX = (outline: Polygons, bed: BedRoom, kit: PolygonKit): RowLayout => {
  const room = grownRoom(bed)
  const shapes = Array.from({ length: 2 * TURNS }, (_, k) => trayShape(outline, (k * Math.PI) / TURNS, bed.gapMm, kit))
  let best: { trial: Trial; a: TrayShape; b: TrayShape } | null = null
  const consider = (a: TrayShape, b: TrayShape, trial: Trial | null): void => {
    if (trial && (!best || trial.count > best.trial.count)) best = { trial, a, b }
  }
  for (let k = 0; k < shapes.length; k++) {
    const a = shapes[k]
    const partners = [a, shapes[(k + TURNS) % shapes.length]]
    for (const b of partners) {
      const least = Math.max(clearance(a.overY, a.overY, 0), clearance(b.overY, b.overY, 0))
      const most = Math.floor((room.width - (a.maxX - a.minX) + EPS) / least) + 1
      if (most < 1) continue
      for (let n = most; n >= Math.max(1, most - 2); n--) {
        const stretched = n > 1 ? (room.width - (a.maxX - a.minX)) / (n - 1) : least
        for (const pitch of n === most ? [least, stretched] : [stretched])
          for (const shift of SHIFTS) {
            if (shift === 0 && pitch !== least) continue
            consider(a, b, tryRows(a, b, pitch, shift * pitch, room))
          }
      }
    }
  }
  if (!best) return { places: [], layout: 'it does not fit the bed' }
  const { trial, a, b } = best as { trial: Trial; a: TrayShape; b: TrayShape }
  const how = trial.shift === 0 ? 'straight' : 'staggered'
  const turned = a.turn === b.turn ? '' : ', every other row turned round'
  return { places: placesOf(a, b, trial, bed), layout: `${trial.nRows} ${how} rows${turned}` }
}

/** Farthest point of an outline from its middle, mm. */
export const reachOf = ({ points }: Polygons): number => {
  let reach = 0
  for (let i = 0; i < points.length; i += 2) reach = Math.max(reach, Math.hypot(points[i], points[i + 1]))
  return reach
}

/** The most pieces that turn within a disc, in rows. */
export const layDiscRows = (reachMm: number, bed: BedRoom): RowLayout => {
  const { width, depth } = grownRoom(bed)
  const edge = bed.marginMm - bed.gapMm / 2
  const { centres, layout } = discRows(2 * reachMm + bed.gapMm, width, depth)
  return { places: centres.map(([x, y]) => ({ x: edge + x, y: edge + y, turn: 0 })), layout }
}

/** The most pieces of one outline that fit in rows along either side of the bed. */
export const layRows = (outline: Polygons, bed: BedRoom, kit: PolygonKit): RowLayout => {
  if (isRound(outline)) return layDiscRows(reachOf(outline), bed)
  const along = rowsAlongX(outline, bed, kit)
  const across = rowsAlongX(outline, { ...bed, xMm: bed.yMm, yMm: bed.xMm }, kit)
  if (across.places.length <= along.places.length) return along
  // Turned back by a quarter: (x, y) of the swapped bed becomes (width - y, x).
  return {
    places: across.places.map(({ x, y, turn }) => ({ x: bed.xMm - y, y: x, turn: turn + Math.PI / 2 })),
    layout: `${across.layout} from front to back`,
  }
}

/** True when turning changes nothing worth a trial: all points within 1 % of one distance from the middle. */
const isRound = ({ points, loopStart }: Polygons): boolean => {
  if (loopStart.length !== 2) return false
  let [least, most] = [Infinity, 0]
  for (let i = 0; i < points.length; i += 2) {
    const r = Math.hypot(points[i], points[i + 1])
    least = Math.min(least, r)
    most = Math.max(most, r)
  }
  return most - least < 0.01 * most
}
