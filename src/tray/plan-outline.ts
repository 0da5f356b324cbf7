// The plan outline of a figure: everything its layers cover, seen from above, as few points as a tolerance allows and never too small.

import { breathe, type PolygonKit, type Polygons, type Task } from '../engine/kernel/index.ts'
import { type LayerStack, loopAreaOf, type SimplifyRoom, simplifyLoop } from '../engine/sections/index.ts'

/** Farthest that the outline lies outside the true one, mm: half of it comes from thinning layers, half from thinning the union. */
export const OUTLINE_ERROR_MM = 0.2

/** Layers united at once: more cost more than the square, fewer unite the same outline again and again. */
const BATCH = 24

const without = (polygons: Polygons, tolerance: number, room: SimplifyRoom): Polygons => {
  const points: number[] = []
  const loopStart = [0]
  for (let j = 0; j + 1 < polygons.loopStart.length; j++) {
    // Holes are filled: nothing can stand in them.
    if (loopAreaOf(polygons.points, polygons.loopStart[j], polygons.loopStart[j + 1]) <= 0) continue
    const n = simplifyLoop(polygons.points, polygons.loopStart[j], polygons.loopStart[j + 1], tolerance, room)
    if (n < 3) continue
    for (let i = 0; i < 2 * n; i++) points.push(room.points[i])
    loopStart.push(points.length / 2)
  }
  return { loopStart: Uint32Array.from(loopStart), points: Float64Array.from(points) }
}

/**
 * Union of all layers' outlines, holes filled, grown by what thinning may have taken away.
 * @returns outer loops only, counter-clockwise, mm; each lies outside the true outline by at most OUTLINE_ERROR_MM
 */
export const planOutline = async (stack: LayerStack, kit: PolygonKit, task?: Task): Promise<Polygons> => {
  const room: SimplifyRoom = { points: new Float64Array(4096) }
  const tolerance = OUTLINE_ERROR_MM / 4
  let united: Polygons = { loopStart: new Uint32Array(1), points: new Float64Array(0) }
  for (let from = 0; from < stack.nLayers; from += BATCH) {
    const points = [...united.points]
    const loopStart = [...united.loopStart]
    for (let k = from; k < Math.min(stack.nLayers, from + BATCH); k++) {
      for (let i = stack.islandStart[k]; i < stack.islandStart[k + 1]; i++) {
        const j = stack.islandLoop[i]
        const n = simplifyLoop(stack.points, stack.loopStart[j], stack.loopStart[j + 1], tolerance, room)
        if (n < 3) continue
        for (let c = 0; c < 2 * n; c++) points.push(room.points[c])
        loopStart.push(points.length / 2)
      }
    }
    united = kit.union({ loopStart: Uint32Array.from(loopStart), points: Float64Array.from(points) }, 'nonzero')
    await breathe(task)
  }
  const grown = kit.offset(united, OUTLINE_ERROR_MM / 2, 'round', tolerance / 2)
  return without(kit.union(without(grown, tolerance, room), 'nonzero'), 1e-6, room)
}
