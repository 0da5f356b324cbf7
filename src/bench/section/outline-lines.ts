// What is laid over the figure, as lines along the outlines of one layer: measured in the layer, cut from the surface, or one value all round.

import type { LayerStack } from '../../engine/sections/index.ts'
import type { Paint } from '../elevation/paint.ts'
import type { DisplaySurface, SheetParts } from '../messages.ts'

/** A way along an outline with a value at every point; a closed one ends where it began. */
export interface OutlineLine {
  /** xy per point, mm. */
  readonly points: readonly number[]
  /** NaN where it is not known. */
  readonly values: readonly number[]
}

/** Samples of one outline stand closer than this: its last one is joined to its first, mm. */
const JOIN_MM = 0.8

/** Local thickness along the outlines, as it was measured in the layer; null until it is measured. */
const thicknessLines = ({ layers, outlineThickness }: SheetParts, layer: number): OutlineLine[] | null => {
  if (!layers || !outlineThickness) return null
  const { sampleStart, samples, thickness } = outlineThickness
  const lines: OutlineLine[] = []
  for (let loop = layers.layerStart[layer]; loop < layers.layerStart[layer + 1]; loop++) {
    const [first, end] = [sampleStart[loop], sampleStart[loop + 1]]
    if (end - first < 2) continue
    const points = [...samples.subarray(2 * first, 2 * end)]
    const values = [...thickness.subarray(first, end)]
    if (Math.hypot(points[0] - points[points.length - 2], points[1] - points[points.length - 1]) < JOIN_MM) {
      points.push(points[0], points[1])
      values.push(values[0])
    }
    lines.push({ points, values })
  }
  return lines
}

/** One value all round: that of the layer. */
const roundLines = (layers: LayerStack, layer: number, value: number): OutlineLine[] => {
  const lines: OutlineLine[] = []
  for (let loop = layers.layerStart[layer]; loop < layers.layerStart[layer + 1]; loop++) {
    const [first, end] = [layers.loopStart[loop], layers.loopStart[loop + 1]]
    if (end <= first) continue
    const points = [
      ...layers.points.subarray(2 * first, 2 * end),
      layers.points[2 * first],
      layers.points[2 * first + 1],
    ]
    lines.push({ points, values: new Array<number>(points.length / 2).fill(value) })
  }
  return lines
}

/** A piece of line that a plane cuts from one triangle, x y value at either end. */
type Cut = readonly [x0: number, y0: number, v0: number, x1: number, y1: number, v1: number]

const placeKey = (x: number, y: number): string => `${x} ${y}`

/** Joins pieces end to start. Neighbours share their end to the last bit, as both work it out from the lower corner of the same edge. */
const joined = (cuts: readonly Cut[]): OutlineLine[] => {
  const from = new Map<string, number[]>()
  const ends = new Set<string>()
  cuts.forEach(([x0, y0, , x1, y1], i) => {
    const key = placeKey(x0, y0)
    const here = from.get(key)
    if (here) here.push(i)
    else from.set(key, [i])
    ends.add(placeKey(x1, y1))
  })
  const isUsed = new Uint8Array(cuts.length)
  const lines: OutlineLine[] = []
  const walk = (start: number) => {
    const [x, y, v] = cuts[start]
    const points = [x, y]
    const values = [v]
    for (let i: number | undefined = start; i !== undefined; ) {
      isUsed[i] = 1
      const [, , , x1, y1, v1]: Cut = cuts[i]
      points.push(x1, y1)
      values.push(v1)
      i = from.get(placeKey(x1, y1))?.find((k) => !isUsed[k])
    }
    lines.push({ points, values })
  }
  // Lines that begin somewhere, where the surface is torn, before those that close.
  cuts.forEach(([x, y], i) => {
    if (!isUsed[i] && !ends.has(placeKey(x, y))) walk(i)
  })
  cuts.forEach((_, i) => {
    if (!isUsed[i]) walk(i)
  })
  return lines
}

/**
 * The surface's own values where a plane cuts it: round the material as its triangles turn, values straight between the corners.
 * @param corner a value for every vertex
 * @param z height of the plane, mm
 */
export const cutOfSurface = (
  { positions, triangles }: Pick<DisplaySurface, 'positions' | 'triangles'>,
  corner: ArrayLike<number>,
  z: number,
): OutlineLine[] => {
  const cuts: Cut[] = []
  const ends = [0, 0, 0, 0, 0, 0]
  for (let t = 0; t < triangles.length; t += 3) {
    const isAbove = positions[3 * triangles[t] + 2] > z
    if (positions[3 * triangles[t + 1] + 2] > z === isAbove && positions[3 * triangles[t + 2] + 2] > z === isAbove)
      continue
    for (let k = 0; k < 3; k++) {
      const [i, j] = [triangles[t + k], triangles[t + ((k + 1) % 3)]]
      const rises = positions[3 * j + 2] > z
      if (positions[3 * i + 2] > z === rises) continue
      const [low, high] = rises ? [i, j] : [j, i]
      const s = (z - positions[3 * low + 2]) / (positions[3 * high + 2] - positions[3 * low + 2])
      const at = rises ? 3 : 0
      for (let axis = 0; axis < 2; axis++)
        ends[at + axis] = positions[3 * low + axis] + s * (positions[3 * high + axis] - positions[3 * low + axis])
      ends[at + 2] = corner[low] + s * (corner[high] - corner[low])
    }
    if (ends[0] !== ends[3] || ends[1] !== ends[4]) cuts.push([...ends] as unknown as Cut)
  }
  return joined(cuts)
}

/** What is laid over the figure along the outlines of a layer; null where nothing is known of it there. */
export const linesAlong = (
  parts: SheetParts,
  layer: number,
  { id, quantity }: Paint,
): readonly OutlineLine[] | null => {
  const { layers, surface } = parts
  if (!layers || layer < 0 || layer >= layers.nLayers) return null
  if ('faceZ' in quantity) {
    const value = quantity.values[layer]
    return Number.isFinite(value) ? roundLines(layers, layer, value) : null
  }
  const measured = id === 'thickness' ? thicknessLines(parts, layer) : null
  const lines = measured ?? (surface ? cutOfSurface(surface, quantity.values, layers.cutZ[layer]) : [])
  return lines.some(({ values }) => values.some(Number.isFinite)) ? lines : null
}
