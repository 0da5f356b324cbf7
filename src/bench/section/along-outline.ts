// What is laid over the figure, along the outlines of one layer: drawn by the section, and told in words.

import type { LayerStack } from '../../engine/sections/index.ts'
import { type AlongOutline, printedUnit, shown } from '../../picture/index.ts'
import type { Paint } from '../elevation/paint.ts'
import type { DisplaySurface, SheetParts } from '../messages.ts'

/** Samples of an outline stand closer than this; a longer step leads to the next outline, mm. */
const JOIN_MM = 0.8

/** Local thickness along the outlines, as it was measured in the layer; null until it is measured. */
const thicknessAlong = ({ layers, outlineThickness }: SheetParts, layer: number, paint: Paint): AlongOutline | null => {
  if (!layers || !outlineThickness) return null
  const { sampleStart, samples, thickness } = outlineThickness
  const first = sampleStart[layers.layerStart[layer]]
  const end = sampleStart[layers.layerStart[layer + 1]]
  return {
    points: samples.subarray(2 * first, 2 * end),
    values: thickness.subarray(first, end),
    from: paint.from,
    to: paint.to,
    joinMm: JOIN_MM,
  }
}

/** One value all round: that of the layer. */
const valueAlong = (layers: LayerStack, layer: number, value: number, { from, to }: Paint): AlongOutline => {
  const points: number[] = []
  const values: number[] = []
  for (let loop = layers.layerStart[layer]; loop < layers.layerStart[layer + 1]; loop++) {
    const [first, end] = [layers.loopStart[loop], layers.loopStart[loop + 1]]
    for (let i = first; i <= end && end > first; i++) {
      const k = i === end ? first : i
      points.push(layers.points[2 * k], layers.points[2 * k + 1])
      values.push(value)
    }
    // A point without a value ends the line.
    points.push(0, 0)
    values.push(Number.NaN)
  }
  return { points, values, from, to, joinMm: Number.POSITIVE_INFINITY }
}

/**
 * The surface's own values where a plane cuts it: a piece of line for each triangle, its ends between the corners above and below.
 * @param z height of the plane, mm
 */
export const cutOfSurface = (
  { positions, triangles }: Pick<DisplaySurface, 'positions' | 'triangles'>,
  corner: ArrayLike<number>,
  z: number,
): { readonly points: number[]; readonly values: number[] } => {
  const points: number[] = []
  const values: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const [za, zb, zc] = [
      positions[3 * triangles[t] + 2],
      positions[3 * triangles[t + 1] + 2],
      positions[3 * triangles[t + 2] + 2],
    ]
    const isAbove = za > z
    if (zb > z === isAbove && zc > z === isAbove) continue
    let n = 0
    for (let k = 0; k < 3; k++) {
      const [i, j] = [triangles[t + k], triangles[t + ((k + 1) % 3)]]
      const [zi, zj] = [positions[3 * i + 2], positions[3 * j + 2]]
      if (zi > z === zj > z) continue
      const s = (z - zi) / (zj - zi)
      points.push(
        positions[3 * i] + s * (positions[3 * j] - positions[3 * i]),
        positions[3 * i + 1] + s * (positions[3 * j + 1] - positions[3 * i + 1]),
      )
      values.push(corner[i] + s * (corner[j] - corner[i]))
      n++
    }
    if (n === 0) continue
    points.push(0, 0)
    values.push(Number.NaN)
  }
  return { points, values }
}

/** What is laid over the figure along the outlines of a layer; null where there is nothing to draw there. */
export const paintAlong = (parts: SheetParts, layer: number, paint: Paint): AlongOutline | null => {
  const { layers, surface } = parts
  if (!layers || layer < 0 || layer >= layers.nLayers) return null
  const { quantity, from, to } = paint
  if ('faceZ' in quantity) {
    const value = quantity.values[layer]
    return Number.isFinite(value) ? valueAlong(layers, layer, value, paint) : null
  }
  const measured = paint.id === 'thickness' ? thicknessAlong(parts, layer, paint) : null
  if (measured || !surface) return measured
  const cut = cutOfSurface(surface, quantity.values, layers.cutZ[layer])
  return cut.values.some(Number.isFinite) ? { ...cut, from, to, joinMm: Number.POSITIVE_INFINITY } : null
}

/** How far a quantity reaches along the outlines, weighed by length. */
export interface AlongReading {
  readonly least: number
  readonly most: number
  readonly mean: number
  /** Length that has a value, mm. */
  readonly lengthMm: number
}

/** Reads it off; null where nothing has a value. */
export const readAlong = ({ points, values, joinMm }: AlongOutline): AlongReading | null => {
  let [least, most, sum, lengthMm] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, 0]
  for (let i = 0; i + 1 < values.length; i++) {
    const [a, b] = [values[i], values[i + 1]]
    if (!Number.isFinite(a) || !Number.isFinite(b)) continue
    const step = Math.hypot(points[2 * i + 2] - points[2 * i], points[2 * i + 3] - points[2 * i + 1])
    if (step > joinMm) continue
    least = Math.min(least, a, b)
    most = Math.max(most, a, b)
    sum += (step * (a + b)) / 2
    lengthMm += step
  }
  return lengthMm > 0 ? { least, most, mean: sum / lengthMm, lengthMm } : null
}

/** The quantity along the outlines in a sentence. */
export const alongWords = (along: AlongOutline | null, { name, unit, decimals }: Paint): string => {
  const reading = along ? readAlong(along) : null
  if (!reading) return `Along the outline: ${name} is not known at this height.`
  const say = (value: number): string => `${shown(value, decimals)} ${printedUnit(unit)}`.trim()
  const { least, most, mean, lengthMm } = reading
  return say(least) === say(most)
    ? `Coloured along the outline: ${name}, ${say(most)} all round.`
    : `Coloured along the outline: ${name}, ${say(least)} to ${say(most)}, ${say(mean)} in the mean of ${shown(lengthMm, 0)} mm.`
}
