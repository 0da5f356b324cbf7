// How thick is the figure at each point of its outlines? Inscribed circles at samples along every outline of every layer.
//
// Model: local thickness, the diameter of the largest inscribed circle that contains the point (Hildebrand and Rueegsegger,
// Journal of Microscopy 185:67-75, 1997). A circle that holds a point of the outline touches the outline there, so the search
// is over circles that touch at the sample (see touching-circle.ts); a convex corner has thickness 0.
// Tolerance: exact between facing walls (seen from the circle's middle under more than 120 degrees); elsewhere outlines are taken
// as true to within `roughnessMm`, so the chords of a round rod measure as the rod.
// Limits: only the samples are measured, so the tip of a wedge reads as thin as its last sample; at a reflex corner three of
// the circles that touch it are tried (both walls' normals and the one between).

import type { Task } from '../kernel/index.ts'
import { breathe } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { placeSamples } from './outline-samples.ts'
import type { CircleField } from './touching-circle.ts'
import { clearance, fillCircleField, newCircleField, touchingCircle } from './touching-circle.ts'
import type { OutlineThickness } from './types.ts'

/** Settings of the measurement. */
export interface OutlineThicknessOptions {
  /** Greatest distance between samples along an outline, mm, > 0. */
  readonly spacingMm?: number
  /** How far the outline may stray from the shape it stands for, mm, >= 0: chords of rounds, scanner noise. 0 takes corners as they are. */
  readonly roughnessMm?: number
}

/** Fine enough to see a part half a thin bead long; rough enough for a 24-sided rod of 1.2 mm and for simplified outlines. */
export const OUTLINE_THICKNESS_DEFAULTS: Required<OutlineThicknessOptions> = Object.freeze({
  spacingMm: 0.15,
  roughnessMm: 0.01,
})

/** Turning to the right beyond which a corner is tried with more than one normal, radians. */
const REFLEX = -0.15

/**
 * Thickness at samples along every outline, and the thinnest and widest place of every island.
 * The thinnest place is sought only between facing walls (beyond 120 degrees, so a wedge below 60 degrees counts and a blunter
 * corner does not); where no sample faces another wall it is the widest circle's, which always does.
 */
export const measureOutlines = async (
  stack: LayerStack,
  options: OutlineThicknessOptions = {},
  task?: Task,
): Promise<OutlineThickness> => {
  const { spacingMm, roughnessMm } = { ...OUTLINE_THICKNESS_DEFAULTS, ...options }
  const placed = placeSamples(stack.loopStart, stack.points, spacingMm, roughnessMm)
  const nSamples = placed.point.length
  const nIslands = stack.islandLoop.length
  const result: OutlineThickness = {
    kind: 'outline-thickness',
    sampleStart: placed.sampleStart,
    samples: placed.samples,
    thickness: new Float32Array(nSamples),
    facing: new Float32Array(nSamples),
    islandThinnest: new Float64Array(nIslands).fill(NaN),
    islandThinnestAt: new Float64Array(2 * nIslands).fill(NaN),
    islandWidest: new Float64Array(nIslands),
  }
  const widestAt = new Float64Array(2 * nIslands).fill(NaN)
  const field = newCircleField(roughnessMm)
  for (let layer = 0; layer < stack.nLayers; layer++) {
    if (layer % 8 === 0) {
      task?.onProgress?.(layer / stack.nLayers, 'measuring outlines')
      await breathe(task)
    }
    const fromLoop = stack.layerStart[layer]
    const toLoop = stack.layerStart[layer + 1]
    fillCircleField(field, stack.points, stack.loopStart, fromLoop, toLoop)
    const first = stack.loopStart[fromLoop]
    for (let loop = fromLoop; loop < toLoop; loop++) {
      measureLoop(field, stack, loop, first, placed.point, placed.isCorner, result, widestAt)
    }
  }
  for (let i = 0; i < nIslands; i++) {
    if (!Number.isNaN(result.islandThinnest[i]) || result.islandWidest[i] === 0) continue
    result.islandThinnest[i] = result.islandWidest[i]
    result.islandThinnestAt[2 * i] = widestAt[2 * i]
    result.islandThinnestAt[2 * i + 1] = widestAt[2 * i + 1]
  }
  task?.onProgress?.(1, 'measuring outlines')
  return result
}

/** Measures one loop's samples; `first` is the point that segment 0 of the field starts from. */
const measureLoop = (
  field: CircleField,
  stack: LayerStack,
  loop: number,
  first: number,
  pointOf: Uint32Array,
  isCorner: Uint8Array,
  result: OutlineThickness,
  widestAt: Float64Array,
): void => {
  const { samples, sampleStart, thickness, facing, islandThinnest, islandThinnestAt, islandWidest } = result
  const loopFrom = stack.loopStart[loop]
  const loopTo = stack.loopStart[loop + 1]
  const island = stack.loopIsland[loop]
  let hint = -1
  for (let k = sampleStart[loop]; k < sampleStart[loop + 1]; k++) {
    const segment = pointOf[k] - first
    const px = samples[2 * k]
    const py = samples[2 * k + 1]
    let nx = field.mx[segment]
    let ny = field.my[segment]
    let radius: number
    if (isCorner[k] === 0) {
      radius = touchingCircle(field, px, py, nx, ny, segment, hint)
    } else {
      const before = (pointOf[k] > loopFrom ? pointOf[k] - 1 : loopTo - 1) - first
      const bx = field.mx[before]
      const by = field.my[before]
      const turn = Math.atan2(bx * ny - by * nx, bx * nx + by * ny)
      const sum = Math.sqrt((bx + nx) ** 2 + (by + ny) ** 2)
      const ax = nx
      const ay = ny
      if (sum > 1e-6) {
        nx = (bx + nx) / sum
        ny = (by + ny) / sum
      }
      radius = touchingCircle(field, px, py, nx, ny, -1, hint)
      if (turn < REFLEX) {
        const fromBefore = touchingCircle(field, px, py, bx, by, before, hint)
        const fromAfter = touchingCircle(field, px, py, ax, ay, segment, hint)
        if (fromAfter >= radius && fromAfter >= fromBefore) {
          radius = fromAfter
          nx = ax
          ny = ay
        } else if (fromBefore > radius) {
          radius = touchingCircle(field, px, py, bx, by, before, hint)
          nx = bx
          ny = by
        } else {
          radius = touchingCircle(field, px, py, nx, ny, -1, hint)
        }
      }
    }
    hint = field.contact
    let cos = field.contactCos
    if (field.facingRadius < Infinity) {
      radius = field.facingRadius
      cos = field.facingCos
      if (!(2 * radius >= islandThinnest[island])) {
        islandThinnest[island] = 2 * radius
        islandThinnestAt[2 * island] = px
        islandThinnestAt[2 * island + 1] = py
      }
    }
    thickness[k] = 2 * radius
    facing[k] = Math.acos(Math.max(-1, Math.min(1, cos)))
    if (2 * radius > islandWidest[island]) {
      // The easing of rough outlines must not widen the widest circle: measure it from its middle.
      const clear = clearance(field, px + radius * nx, py + radius * ny, radius)
      if (2 * clear > islandWidest[island]) {
        islandWidest[island] = 2 * clear
        widestAt[2 * island] = px
        widestAt[2 * island + 1] = py
      }
    }
  }
}
