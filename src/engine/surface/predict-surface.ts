// The as-printed solid as a mesh: every layer a slab with half-round sides, drooped, shrunk and curled, with its deviation from the sculpt.
//
// Outlines are those that beads fill. Each loop becomes rings at heights over the half circle of radius t/2, moved inwards by
// t/2 (1 - cos); caps above and below close the slab, so that every slab is a closed shell and the shells touch at the layers' faces.
// Droop lowers the rings of hanging beads; then everything shrinks about the middle of the bed, and the base's rim rises by its curl.
// Deviation: distance to the sculpt's nearest point, positive where plastic stands outside of it. Faces inside the solid, between two
// layers, are marked as not a number. Limits: loops are moved inwards point by point along their mean normal, at most half the way to
// their neighbours; surplus, strings and bead starts are not drawn.

import type { Figure } from '../figure/index.ts'
import {
  breathe,
  buildTriangleTree,
  nearestPoint,
  nearestResult,
  newNearestPoint,
  type PolygonKit,
  type Polygons,
  partOf,
  SegmentGrid,
  type Task,
} from '../kernel/index.ts'
import type { Mesh } from '../mesh/index.ts'
import { isInsideLoop, type LayerStack } from '../sections/index.ts'
import { capLoops } from './cap-loops.ts'
import { facetsOf } from './facets.ts'
import { type PrintedWishes, printedOutline } from './printed-outlines.ts'
import { RUN_COLUMNS, RUN_ROW, type SurfaceLook } from './types.ts'

export interface PredictOptions {
  /** Flat sides of the half circle: 4 shows the round, 2 is a third of the size. */
  readonly sideSteps?: number
  /** Whether it is shown cold and off the bed: shrunk, and curled at the rim. */
  readonly isCold?: boolean
}

export interface PredictedSurface {
  readonly kind: 'predicted-surface'
  readonly mesh: Pick<Mesh, 'positions' | 'triangles'>
  /** Distance outside (positive) or inside the sculpt per vertex, mm; NaN where the vertex lies between two layers, inside the print. */
  readonly deviationMm: Float32Array
  /** Of the outer vertices: mean of the absolute deviation, and its 95 % value, mm. */
  readonly meanMm: number
  readonly mostMm: number
}

/** Deviations beyond this are told as this, mm: a detail that is not there has no nearest place. */
const FARTHEST_MM = 3

/** How far plastic hangs down at a place in plan, mm. */
type Droop = (x: number, y: number) => number
/** Longest straight piece of an outline that droops, and reach of a drooping bead's points, mm. */
const DROOP_PIECE_MM = 0.3
const DROOP_REACH_MM = 0.35

/** Typed lists that grow. */
class MeshList {
  positions = new Float64Array(3 << 16)
  nVertices = 0
  triangles = new Uint32Array(3 << 17)
  nTriangles = 0

  vertex(x: number, y: number, z: number): number {
    if (3 * this.nVertices + 3 > this.positions.length) {
      const more = new Float64Array(2 * this.positions.length)
      more.set(this.positions)
      this.positions = more
    }
    const at = 3 * this.nVertices
    this.positions[at] = x
    this.positions[at + 1] = y
    this.positions[at + 2] = z
    return this.nVertices++
  }

  triangle(a: number, b: number, c: number): void {
    if (3 * this.nTriangles + 3 > this.triangles.length) {
      const more = new Uint32Array(2 * this.triangles.length)
      more.set(this.triangles)
      this.triangles = more
    }
    const at = 3 * this.nTriangles++
    this.triangles[at] = a
    this.triangles[at + 1] = b
    this.triangles[at + 2] = c
  }
}

/** Inward direction at each point of a loop, as long as moves the two edges by one, and how far it may go. */
const inwards = (points: Float64Array, from: number, to: number): { dx: Float64Array; dy: Float64Array } => {
  const n = to - from
  const dx = new Float64Array(n)
  const dy = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    const p = from + i
    const a = i > 0 ? p - 1 : to - 1
    const b = i + 1 < n ? p + 1 : from
    const ux = points[2 * p] - points[2 * a]
    const uy = points[2 * p + 1] - points[2 * a + 1]
    const vx = points[2 * b] - points[2 * p]
    const vy = points[2 * b + 1] - points[2 * p + 1]
    const lu = Math.hypot(ux, uy) || 1
    const lv = Math.hypot(vx, vy) || 1
    // Solid lies left of the walk: the inward normal is the edge turned left.
    const mx = -uy / lu - vy / lv
    const my = ux / lu + vx / lv
    const m2 = Math.max(0.5, mx * mx + my * my)
    dx[i] = (2 * mx) / m2
    dy[i] = (2 * my) / m2
  }
  return { dx, dy }
}

/** Loops of a layer as outer loops with their holes. */
const islandsOf = ({ loopStart, points }: Polygons): (readonly [number, number])[][] => {
  const loops: { range: readonly [number, number]; area: number }[] = []
  for (let j = 0; j + 1 < loopStart.length; j++) {
    let twice = 0
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      twice += points[2 * i] * points[2 * k + 1] - points[2 * k] * points[2 * i + 1]
    }
    if (loopStart[j + 1] - loopStart[j] >= 3) loops.push({ range: [loopStart[j], loopStart[j + 1]], area: twice / 2 })
  }
  const outers = loops.filter(({ area }) => area > 0).sort((a, b) => a.area - b.area)
  const islands = outers.map(({ range }) => [range] as (readonly [number, number])[])
  for (const { range, area } of loops) {
    if (area > 0) continue
    const x = points[2 * range[0]]
    const y = points[2 * range[0] + 1]
    // The smallest outer loop around it.
    const home = outers.findIndex((outer) => isInsideLoop(points, outer.range[0], outer.range[1], x, y))
    if (home >= 0) islands[home].push(range)
  }
  return islands
}

/** The same loops with points at most so far apart, so that a straight edge can droop in its middle. */
const divided = ({ loopStart, points }: Polygons, mostMm: number): Polygons => {
  const out: number[] = []
  const start = [0]
  for (let j = 0; j + 1 < loopStart.length; j++) {
    for (let i = loopStart[j]; i < loopStart[j + 1]; i++) {
      const k = i + 1 < loopStart[j + 1] ? i + 1 : loopStart[j]
      const [ax, ay, bx, by] = [points[2 * i], points[2 * i + 1], points[2 * k], points[2 * k + 1]]
      const parts = Math.max(1, Math.ceil(Math.hypot(bx - ax, by - ay) / mostMm))
      for (let s = 0; s < parts; s++) out.push(ax + ((bx - ax) * s) / parts, ay + ((by - ay) * s) / parts)
    }
    start.push(out.length / 2)
  }
  return { loopStart: Uint32Array.from(start), points: Float64Array.from(out) }
}

/** Droop at a place of a layer, mm; null for layers in which nothing droops. */
const droopOf = (look: SurfaceLook, nLayers: number): ((layer: number) => Droop | null) => {
  const { runs, nRuns, runStart, runPoints } = look.hanging
  const byLayer: number[][] = Array.from({ length: nLayers }, () => [])
  for (let r = 0; r < nRuns; r++)
    if (runs[r * RUN_COLUMNS + RUN_ROW.sagMm] > 0.001) byLayer[runs[r * RUN_COLUMNS + RUN_ROW.layer]].push(r)
  return (layer) => {
    if (byLayer[layer].length === 0) return null
    return (x, y) => {
      let droop = 0
      for (const r of byLayer[layer])
        for (let p = runStart[r]; p < runStart[r + 1]; p++) {
          const d2 = (x - runPoints[3 * p]) ** 2 + (y - runPoints[3 * p + 1]) ** 2
          if (d2 < DROOP_REACH_MM ** 2 && runPoints[3 * p + 2] > droop) droop = runPoints[3 * p + 2]
        }
      return droop
    }
  }
}

/** One slab of a layer: rings of all its loops, sides, caps. */
const addSlab = (
  list: MeshList,
  outline: Polygons,
  bottom: number,
  top: number,
  nSteps: number,
  droop: Droop | null,
): void => {
  const { points } = outline
  const half = (top - bottom) / 2
  for (const loops of islandsOf(outline)) {
    // Ring r of a loop starts at vertex first + r * count.
    const lowPoints = new Float64Array(points.length)
    const firstOf = new Map<number, { first: number; count: number }>()
    for (const [from, to] of loops) {
      const count = to - from
      const { dx, dy } = inwards(points, from, to)
      const first = list.nVertices
      for (let r = 0; r <= nSteps; r++) {
        const phi = (r / nSteps - 0.5) * Math.PI
        const inset = half * (1 - Math.cos(phi))
        const z = bottom + half * (1 + Math.sin(phi))
        for (let i = 0; i < count; i++) {
          const p = from + i
          const x = points[2 * p] + dx[i] * inset
          const y = points[2 * p + 1] + dy[i] * inset
          list.vertex(x, y, droop ? z - droop(points[2 * p], points[2 * p + 1]) : z)
          if (r === 0) {
            lowPoints[2 * p] = x
            lowPoints[2 * p + 1] = y
          }
        }
      }
      firstOf.set(from, { first, count })
      for (let r = 0; r < nSteps; r++) {
        for (let i = 0; i < count; i++) {
          const k = (i + 1) % count
          const a = first + r * count
          const b = a + count
          list.triangle(a + i, a + k, b + k)
          list.triangle(a + i, b + k, b + i)
        }
      }
    }
    // Top and bottom rings have the same plan, so one filling serves both.
    const vertexOf = (p: number, r: number): number => {
      for (const [from, to] of loops) {
        if (p < from || p >= to) continue
        const { first, count } = firstOf.get(from) as { first: number; count: number }
        return first + r * count + (p - from)
      }
      return 0
    }
    const filling = capLoops(lowPoints, loops)
    for (let t = 0; t < filling.length; t += 3) {
      const [a, b, c] = [filling[t], filling[t + 1], filling[t + 2]]
      list.triangle(vertexOf(a, nSteps), vertexOf(b, nSteps), vertexOf(c, nSteps))
      list.triangle(vertexOf(a, 0), vertexOf(c, 0), vertexOf(b, 0))
    }
  }
}

/** Predicts the printed solid of a figure whose surface has been looked at. */
export const predictSurface = async (
  figure: Figure,
  layers: LayerStack,
  look: SurfaceLook,
  wishes: Omit<PrintedWishes, 'squeezeMm'>,
  kit: PolygonKit,
  { sideSteps = 4, isCold = true }: PredictOptions = {},
  task?: Task,
): Promise<PredictedSurface> => {
  const list = new MeshList()
  const outlines: Polygons[] = []
  const droop = droopOf(look, layers.nLayers)
  const layerFirst = new Uint32Array(layers.nLayers + 1)
  for (let k = 0; k < layers.nLayers; k++) {
    if (k % 4 === 0) {
      task?.onProgress?.((0.5 * k) / layers.nLayers, 'laying the predicted surface')
      await breathe(task)
    }
    const plain = printedOutline(layers, k, { ...wishes, squeezeMm: look.lost.squeezeMm }, kit)
    const hangs = droop(k)
    const outline = hangs ? divided(plain, DROOP_PIECE_MM) : plain
    outlines.push(outline)
    layerFirst[k] = list.nVertices
    addSlab(list, outline, layers.faceZ[k], layers.faceZ[k + 1], sideSteps, hangs)
  }
  layerFirst[layers.nLayers] = list.nVertices
  const positions = list.positions.slice(0, 3 * list.nVertices)
  const triangles = list.triangles.slice(0, 3 * list.nTriangles)
  const buried = await buriedVertices(positions, layerFirst, outlines, layers, partOf(task, 0.5, 0.7))
  if (isCold) coolDown(positions, look)
  const measured = await deviationFrom(figure.mesh, positions, buried, partOf(task, 0.7, 1))
  return { kind: 'predicted-surface', mesh: { positions, triangles }, ...measured }
}

/** 1 for vertices of a slab's faces that lie well within the layer above or below. */
const buriedVertices = async (
  positions: Float64Array,
  layerFirst: Uint32Array,
  outlines: readonly Polygons[],
  { faceZ, cutZ, nLayers }: LayerStack,
  task?: Task,
): Promise<Uint8Array> => {
  const buried = new Uint8Array(positions.length / 3)
  const grids = outlines.map(({ points, loopStart }) => new SegmentGrid(points, loopStart))
  const found = nearestResult()
  for (let k = 0; k < nLayers; k++) {
    if (k % 16 === 0) await breathe(task)
    const half = (faceZ[k + 1] - faceZ[k]) / 2
    for (let v = layerFirst[k]; v < layerFirst[k + 1]; v++) {
      const z = positions[3 * v + 2]
      if (Math.abs(Math.abs(z - cutZ[k]) - half) > 1e-6) continue
      const other = z > cutZ[k] ? k + 1 : k - 1
      if (other < 0 || other >= nLayers) continue
      const [x, y] = [positions[3 * v], positions[3 * v + 1]]
      grids[other].nearest(x, y, 1e6, found)
      // Its own face has receded by half a layer too.
      const receded = (faceZ[other + 1] - faceZ[other]) / 2
      if (found.segment >= 0 && grids[other].isSolidSide(x, y, found) && found.d2 > receded * receded * 1.0001)
        buried[v] = 1
    }
  }
  return buried
}

/** Shrinks everything about the middle of the bed and lifts what lies outside of the middle by the curl. */
const coolDown = (positions: Float64Array, { shrink }: SurfaceLook): void => {
  const left = 1 - shrink.shrinkShare
  const half = shrink.blockLengthMm / 2
  const lift = half > 0 ? shrink.rimRiseMm / (half * half) : 0
  for (let i = 0; i < positions.length; i += 3) {
    const r2 = Math.min(half * half, positions[i] ** 2 + positions[i + 1] ** 2)
    // The base bends as a whole; above it the bend dies out over once more its height, for the figure is stiff and rides on its middle.
    const above = (positions[i + 2] - shrink.blockHeightMm) / Math.max(1e-9, shrink.blockHeightMm)
    const share = Math.min(1, Math.max(0, 1 - above))
    positions[i] *= left
    positions[i + 1] *= left
    positions[i + 2] = positions[i + 2] * left + share * lift * r2
  }
}

/** Signed distance of every vertex from a mesh. */
const deviationFrom = async (
  sculpt: Mesh,
  positions: Float64Array,
  buried: Uint8Array,
  task?: Task,
): Promise<Pick<PredictedSurface, 'deviationMm' | 'meanMm' | 'mostMm'>> => {
  const tree = buildTriangleTree(sculpt.positions, sculpt.triangles)
  const { normals } = facetsOf(sculpt)
  const near = newNearestPoint()
  const n = positions.length / 3
  const deviationMm = new Float32Array(n).fill(Number.NaN)
  const sizes: number[] = []
  for (let v = 0; v < n; v++) {
    if (v % 4096 === 0) {
      task?.onProgress?.(v / n, 'holding the print against the sculpt')
      await breathe(task)
    }
    if (buried[v]) continue
    const [x, y, z] = [positions[3 * v], positions[3 * v + 1], positions[3 * v + 2]]
    if (!nearestPoint(tree, x, y, z, FARTHEST_MM, near)) {
      deviationMm[v] = FARTHEST_MM
      continue
    }
    const t = 3 * near.triangle
    const side = (x - near.x) * normals[t] + (y - near.y) * normals[t + 1] + (z - near.z) * normals[t + 2]
    deviationMm[v] = side < 0 ? -near.distance : near.distance
    sizes.push(near.distance)
  }
  const sorted = Float64Array.from(sizes).sort()
  let sum = 0
  for (const s of sorted) sum += s
  return {
    deviationMm,
    meanMm: sorted.length > 0 ? sum / sorted.length : 0,
    mostMm: sorted.length > 0 ? sorted[Math.floor(0.95 * (sorted.length - 1))] : 0,
  }
}
