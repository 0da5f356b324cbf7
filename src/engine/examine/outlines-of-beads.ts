// Outlines for a print file: those of the figure, shifted to where the file puts it, or those that its own outer shells imply.
//
// An outer shell runs half its width inside the outline, so the region within the shells grown by that half is the outline. Islands
// too thin for a closed shell have gap beads only: their strips are added. A strip is a rectangle for each piece and a disc at each
// joint. Limits: outlines of open shells (a spiral of one bead) are taken as strips; what the shells bridge over is not seen.

import { type BeadPlan, roleIndex } from '../beads/index.ts'
import { breathe, type PolygonKit, type Polygons, type Task } from '../kernel/index.ts'
import type { Placement } from '../motioncode/index.ts'
import { isInsideLoop, type LayerStack, loopAreaOf } from '../sections/index.ts'

const OUTER = roleIndex('outer shell')
const BESIDE = new Set([roleIndex('priming loop'), roleIndex('prop')])
const STRIPS = new Set([roleIndex('gap bead'), roleIndex('point deposit'), roleIndex('unknown')])
/** Chords of a disc at a joint. */
const DISC = 12
const ARC_ERROR_MM = 0.005
/** Heights that belong to the same face, mm. */
const SAME_MM = 0.005
/** Layers with more pieces than this get no strips: the union would take too long. */
const MOST_PIECES = 20_000

class LoopList {
  readonly points: number[] = []
  readonly starts: number[] = [0]
  close(): void {
    this.starts.push(this.points.length / 2)
  }
  polygons(): Polygons {
    return { loopStart: Uint32Array.from(this.starts), points: Float64Array.from(this.points) }
  }
}

/** True when every layer stands on the one before it: the file builds one thing upwards. */
export const risesSteadily = ({ nLayers, layerTopZ, layerHeight }: BeadPlan): boolean => {
  for (let i = 1; i < nLayers; i++)
    if (Math.abs(layerTopZ[i] - layerHeight[i] - layerTopZ[i - 1]) > SAME_MM) return false
  return true
}

/** The closed outer shells of a layer, turned by their nesting, and the mean of their widths. */
const shellLoops = (plan: BeadPlan, layer: number): { loops: Polygons; widthMm: number } => {
  const all = new LoopList()
  let widths = 0
  let n = 0
  for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
    if (plan.role[b] !== OUTER || plan.closed[b] === 0) continue
    // A closed bead repeats its first point.
    for (let i = plan.beadStart[b]; i < plan.beadStart[b + 1] - 1; i++)
      all.points.push(plan.points[3 * i], plan.points[3 * i + 1])
    all.close()
    widths += plan.width[b]
    n++
  }
  const loops = all.polygons()
  for (let j = 0; j < n; j++) {
    const from = loops.loopStart[j]
    const to = loops.loopStart[j + 1]
    let depth = 0
    for (let k = 0; k < n; k++)
      if (
        k !== j &&
        isInsideLoop(
          loops.points,
          loops.loopStart[k],
          loops.loopStart[k + 1],
          loops.points[2 * from],
          loops.points[2 * from + 1],
        )
      )
        depth++
    if (loopAreaOf(loops.points, from, to) > 0 !== (depth % 2 === 0))
      for (let i = from, k = to - 1; i < k; i++, k--)
        for (const axis of [0, 1]) {
          const kept = loops.points[2 * i + axis]
          loops.points[2 * i + axis] = loops.points[2 * k + axis]
          loops.points[2 * k + axis] = kept
        }
  }
  return { loops, widthMm: n > 0 ? widths / n : 0 }
}

/** Strips of the beads that no shell goes round. */
const stripLoops = (plan: BeadPlan, layer: number, around: Polygons, out: LoopList): void => {
  const { points, pointWidth, beadStart, layerStart } = plan
  if (beadStart[layerStart[layer + 1]] - beadStart[layerStart[layer]] > MOST_PIECES) return
  const isCovered = (x: number, y: number): boolean => {
    let inside = false
    for (let j = 0; j + 1 < around.loopStart.length; j++)
      if (isInsideLoop(around.points, around.loopStart[j], around.loopStart[j + 1], x, y)) inside = !inside
    return inside
  }
  for (let b = layerStart[layer]; b < layerStart[layer + 1]; b++) {
    const role = plan.role[b]
    if (BESIDE.has(role) || !(STRIPS.has(role) || (role === OUTER && plan.closed[b] === 0))) continue
    for (let i = beadStart[b]; i < beadStart[b + 1]; i++) {
      const x = points[3 * i]
      const y = points[3 * i + 1]
      if (isCovered(x, y)) continue
      const r = pointWidth[i] / 2
      for (let k = 0; k < DISC; k++)
        out.points.push(x + r * Math.cos((2 * Math.PI * k) / DISC), y + r * Math.sin((2 * Math.PI * k) / DISC))
      out.close()
      if (i === beadStart[b]) continue
      const dx = x - points[3 * i - 3]
      const dy = y - points[3 * i - 2]
      const length = Math.hypot(dx, dy)
      if (length < 1e-6) continue
      const nx = -dy / length
      const ny = dx / length
      const s = pointWidth[i - 1] / 2
      const [ax, ay] = [points[3 * i - 3], points[3 * i - 2]]
      out.points.push(
        ax - s * nx,
        ay - s * ny,
        x - r * nx,
        y - r * ny,
        x + r * nx,
        y + r * ny,
        ax + s * nx,
        ay + s * ny,
      )
      out.close()
    }
  }
}

/** Collects layers of loops that do not cross, outer ones counter-clockwise. */
class Outlines {
  readonly points: number[] = []
  readonly loopStart: number[] = [0]
  readonly layerStart: number[] = [0]
  readonly loopArea: number[] = []
  readonly loopParent: number[] = []
  readonly loopIsland: number[] = []
  readonly islandStart: number[] = [0]
  readonly islandLoop: number[] = []
  readonly islandArea: number[] = []

  add({ loopStart, points }: Polygons): void {
    const n = loopStart.length - 1
    const areas = Array.from({ length: n }, (_, j) => loopAreaOf(points, loopStart[j], loopStart[j + 1]))
    const holesOf = new Map<number, number[]>()
    for (let j = 0; j < n; j++) {
      if (areas[j] >= 0) continue
      let around = -1
      for (let k = 0; k < n; k++)
        if (
          areas[k] > -areas[j] &&
          (around < 0 || areas[k] < areas[around]) &&
          isInsideLoop(points, loopStart[k], loopStart[k + 1], points[2 * loopStart[j]], points[2 * loopStart[j] + 1])
        )
          around = k
      if (around >= 0) holesOf.set(around, [...(holesOf.get(around) ?? []), j])
    }
    for (let j = 0; j < n; j++) {
      if (areas[j] < 1e-3) continue
      const outer = this.loopArea.length
      const island = this.islandLoop.length
      this.islandLoop.push(outer)
      this.islandArea.push(0)
      for (const loop of [j, ...(holesOf.get(j) ?? [])]) {
        for (let i = 2 * loopStart[loop]; i < 2 * loopStart[loop + 1]; i++) this.points.push(points[i])
        this.loopStart.push(this.points.length / 2)
        this.loopArea.push(areas[loop])
        this.loopParent.push(loop === j ? -1 : outer)
        this.loopIsland.push(island)
        this.islandArea[island] += areas[loop]
      }
    }
    this.layerStart.push(this.loopArea.length)
    this.islandStart.push(this.islandLoop.length)
  }

  finish({ nLayers, layerTopZ, layerHeight }: BeadPlan): LayerStack {
    const faceZ = Float64Array.from({ length: nLayers + 1 }, (_, i) =>
      i === 0 ? layerTopZ[0] - layerHeight[0] : layerTopZ[i - 1],
    )
    return {
      kind: 'layer-stack',
      nLayers,
      faceZ,
      cutZ: Float64Array.from({ length: nLayers }, (_, i) => (faceZ[i] + faceZ[i + 1]) / 2),
      layerStart: Uint32Array.from(this.layerStart),
      loopStart: Uint32Array.from(this.loopStart),
      points: Float64Array.from(this.points),
      loopArea: Float64Array.from(this.loopArea),
      loopParent: Int32Array.from(this.loopParent),
      loopIsland: Uint32Array.from(this.loopIsland),
      islandStart: Uint32Array.from(this.islandStart),
      islandLoop: Uint32Array.from(this.islandLoop),
      islandArea: Float64Array.from(this.islandArea),
      toleranceMm: ARC_ERROR_MM,
      seams: new Float64Array(0),
      nResolvedLayers: 0,
    }
  }
}

/** Outlines that the beads imply, one layer for each of the plan. Call it only for plans that rise steadily. */
export const outlinesOfBeads = async (plan: BeadPlan, kit: PolygonKit, task?: Task): Promise<LayerStack> => {
  const outlines = new Outlines()
  for (let layer = 0; layer < plan.nLayers; layer++) {
    const { loops, widthMm } = shellLoops(plan, layer)
    const region = kit.offset(kit.union(loops, 'positive'), widthMm / 2, 'mitre', ARC_ERROR_MM)
    const strips = new LoopList()
    stripLoops(plan, layer, region, strips)
    if (strips.points.length === 0) outlines.add(region)
    else {
      for (let j = 0; j + 1 < region.loopStart.length; j++) {
        for (let i = 2 * region.loopStart[j]; i < 2 * region.loopStart[j + 1]; i++) strips.points.push(region.points[i])
        strips.close()
      }
      outlines.add(kit.union(strips.polygons(), 'positive'))
    }
    if (layer % 8 === 0) {
      task?.onProgress?.(layer / plan.nLayers, 'tracing outlines')
      await breathe(task)
    }
  }
  return outlines.finish(plan)
}

/** The figure's outlines shifted into the file, when its layers are those of the file; null when they are not. */
export const outlinesOfFigure = (plan: BeadPlan, figure: LayerStack, placement: Placement): LayerStack | null => {
  if (figure.nLayers !== plan.nLayers) return null
  for (let i = 0; i < plan.nLayers; i++) if (Math.abs(figure.faceZ[i + 1] - plan.layerTopZ[i]) > SAME_MM) return null
  const points = figure.points.slice()
  for (let i = 0; i < points.length; i += 2) {
    points[i] += placement.dx
    points[i + 1] += placement.dy
  }
  return { ...figure, points }
}
