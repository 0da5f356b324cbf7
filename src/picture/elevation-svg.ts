// The standing figure drawn from its layer outlines alone: a depth map seen from the front, lit from the upper left.
// Model: the front-most outline in each column of each layer gives a depth; slopes of that map give normals; Lambert's law gives
// the tone. Limits: columns are as wide as `columnMm`, overhanging faces inside a column are not seen.

import { cividis } from './cividis.ts'
import { bedMarks, ruleMarks } from './rule-svg.ts'
import { type HeightFrame, heightScale } from './scales.ts'
import { element, INK, picture, px } from './svg-text.ts'

/** Outlines of all layers in the compressed-row manner; a layer stack fits as it is. */
export interface StackPicture {
  readonly nLayers: number
  readonly faceZ: ArrayLike<number>
  readonly layerStart: ArrayLike<number>
  readonly loopStart: ArrayLike<number>
  readonly points: ArrayLike<number>
}

export interface ElevationFrame extends HeightFrame {
  readonly widthPx: number
  /** Turn about the vertical axis, radians, anticlockwise seen from above. */
  readonly turn: number
  /** Width of a column of the depth map, mm. */
  readonly columnMm?: number
  /** Space at the left for the rule, px; 0 for none. */
  readonly rulePx?: number
  /** A quantity painted over the figure instead of plain tone: a value per outline point. */
  readonly paint?: { readonly values: ArrayLike<number>; readonly from: number; readonly to: number }
}

export interface DepthMap {
  readonly nColumns: number
  /** x of the first column's left edge, mm. */
  readonly fromMm: number
  readonly columnMm: number
  /** Depth towards the viewer, mm, per layer and column, row by row; NaN where there is nothing. */
  readonly depth: Float32Array
  /** Painted value of the front-most outline, NaN without paint. */
  readonly value: Float32Array
}

/** Farthest an outline reaches from the vertical axis, mm. */
export const reachOf = (stack: StackPicture): number => {
  let square = 0
  for (let i = 0; i < stack.points.length; i += 2)
    square = Math.max(square, stack.points[i] ** 2 + stack.points[i + 1] ** 2)
  return Math.sqrt(square)
}

/** Front-most outline in every column of every layer. */
export const depthMap = (stack: StackPicture, turn: number, columnMm: number, paint?: ArrayLike<number>): DepthMap => {
  const reach = reachOf(stack) + columnMm
  const nColumns = Math.max(1, Math.ceil((2 * reach) / columnMm))
  const fromMm = (-nColumns * columnMm) / 2
  const depth = new Float32Array(stack.nLayers * nColumns).fill(Number.NaN)
  const value = new Float32Array(stack.nLayers * nColumns).fill(Number.NaN)
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
  const xAt = (i: number) => stack.points[2 * i] * cos - stack.points[2 * i + 1] * sin
  // The viewer stands at -y: nearer is smaller y, so depth is -y.
  const depthAt = (i: number) => -(stack.points[2 * i] * sin + stack.points[2 * i + 1] * cos)
  for (let layer = 0; layer < stack.nLayers; layer++) {
    const row = layer * nColumns
    for (let j = stack.layerStart[layer]; j < stack.layerStart[layer + 1]; j++) {
      const first = stack.loopStart[j]
      const end = stack.loopStart[j + 1]
      for (let i = first; i < end; i++) {
        const next = i + 1 < end ? i + 1 : first
        let [xa, da, xb, db] = [xAt(i), depthAt(i), xAt(next), depthAt(next)]
        if (xa > xb) [xa, da, xb, db] = [xb, db, xa, da]
        const firstColumn = Math.max(0, Math.floor((xa - fromMm) / columnMm))
        const lastColumn = Math.min(nColumns - 1, Math.floor((xb - fromMm) / columnMm))
        for (let c = firstColumn; c <= lastColumn; c++) {
          const x = Math.min(xb, Math.max(xa, fromMm + (c + 0.5) * columnMm))
          const d = xb > xa ? da + ((db - da) * (x - xa)) / (xb - xa) : Math.max(da, db)
          if (!(depth[row + c] >= d)) {
            depth[row + c] = d
            if (paint) value[row + c] = paint[i]
          }
        }
      }
    }
  }
  return { nColumns, fromMm, columnMm, depth, value }
}

/** Share of light on the map at a place, 0-1: Lambert's law with a light from the upper left in front. */
const lightAt = (map: DepthMap, stack: StackPicture, layer: number, column: number): number => {
  const { nColumns, depth, columnMm } = map
  const at = layer * nColumns + column
  const here = depth[at]
  // One-sided slopes across a jump of depth would be an edge, not a slope.
  const slope = (before: number, after: number, step: number): number => {
    const a = here - before
    const b = after - here
    const usable = [a, b].filter((d) => Number.isFinite(d) && Math.abs(d) < 6 * step)
    return usable.length ? usable.reduce((sum, d) => sum + d, 0) / usable.length / step : 0
  }
  const inRow = (c: number) => (c >= 0 && c < nColumns ? depth[layer * nColumns + c] : Number.NaN)
  const inColumn = (l: number) => (l >= 0 && l < stack.nLayers ? depth[l * nColumns + column] : Number.NaN)
  const dx = slope(inRow(column - 1), inRow(column + 1), columnMm)
  const dz = slope(inColumn(layer - 1), inColumn(layer + 1), stack.faceZ[layer + 1] - stack.faceZ[layer])
  // Normal of depth = f(x, z): (-dx, 1, -dz) towards the viewer; light from (-0.5, 0.62, 0.6).
  return Math.max(0, (0.5 * dx + 0.62 - 0.6 * dz) / Math.hypot(dx, 1, dz))
}

/** Light over the whole map, evened out over each place and its eight neighbours, as rows of a cut figure are coarse. */
const lightMap = (map: DepthMap, stack: StackPicture): Float32Array => {
  const { nColumns, depth } = map
  const raw = new Float32Array(depth.length).fill(Number.NaN)
  for (let layer = 0; layer < stack.nLayers; layer++)
    for (let column = 0; column < nColumns; column++)
      if (Number.isFinite(depth[layer * nColumns + column]))
        raw[layer * nColumns + column] = lightAt(map, stack, layer, column)
  const even = new Float32Array(depth.length)
  for (let layer = 0; layer < stack.nLayers; layer++) {
    for (let column = 0; column < nColumns; column++) {
      const at = layer * nColumns + column
      let [sum, n] = [0, 0]
      for (let l = Math.max(0, layer - 1); l <= Math.min(stack.nLayers - 1, layer + 1); l++) {
        for (let c = Math.max(0, column - 1); c <= Math.min(nColumns - 1, column + 1); c++) {
          const near = l * nColumns + c
          if (Number.isFinite(raw[near]) && Math.abs(depth[near] - depth[at]) < 1) {
            sum += raw[near]
            n++
          }
        }
      }
      even[at] = n ? sum / n : 0
    }
  }
  return even
}

const TONES = 6
const PAINT_STEPS = 16

/** Runs of equal tone and colour in every row, and the edges to ink, in grid units: columns across, hundredths of a mm up. */
const runsOf = (stack: StackPicture, map: DepthMap, paintStep: (value: number) => number) => {
  const tones: string[] = new Array(TONES).fill('')
  const paints: string[] = new Array(PAINT_STEPS).fill('')
  let edges = ''
  const { nColumns, depth } = map
  const light = lightMap(map, stack)
  const hundredths = (mm: number) => Math.round(100 * mm)
  for (let layer = 0; layer < stack.nLayers; layer++) {
    const foot = hundredths(stack.faceZ[layer])
    const tall = hundredths(stack.faceZ[layer + 1]) - foot
    const row = layer * nColumns
    let [runFrom, runTone, runPaint, footFrom, headFrom] = [-1, -1, -1, -1, -1]
    for (let column = 0; column <= nColumns; column++) {
      const here = column < nColumns ? depth[row + column] : Number.NaN
      const isHere = Number.isFinite(here)
      const tone = isHere ? Math.min(TONES - 1, Math.floor(TONES * (1 - light[row + column]))) : -1
      const paint = isHere ? paintStep(map.value[row + column]) : -1
      const before = column > 0 ? depth[row + column - 1] : Number.NaN
      // Ink where the figure ends and where one part stands well before another.
      if (isHere !== Number.isFinite(before) || Math.abs(here - before) > 1) edges += `M${column} ${foot}v${tall}`
      const under = isHere && layer > 0 ? depth[row - nColumns + column] : here
      const isFoot = isHere && (!Number.isFinite(under) || Math.abs(here - under) > 1)
      if (isFoot !== footFrom >= 0) {
        if (!isFoot) edges += `M${footFrom} ${foot}h${column - footFrom}`
        footFrom = isFoot ? column : -1
      }
      const isHead = isHere && !(layer + 1 < stack.nLayers && Number.isFinite(depth[row + nColumns + column]))
      if (isHead !== headFrom >= 0) {
        if (!isHead) edges += `M${headFrom} ${foot + tall}h${column - headFrom}`
        headFrom = isHead ? column : -1
      }
      if (tone === runTone && paint === runPaint) continue
      if (runFrom >= 0) {
        const d = `M${runFrom} ${foot}h${column - runFrom}v${tall}h${runFrom - column}z`
        tones[runTone] += d
        if (runPaint >= 0) paints[runPaint] += d
      }
      ;[runFrom, runTone, runPaint] = [isHere ? column : -1, tone, paint]
    }
  }
  return { tones, paints, edges }
}

/** Draws the elevation to the frame's height axis, with the bed line and, when asked for, the rule. */
export const elevationSvg = (stack: StackPicture, label: string, frame: ElevationFrame): string => {
  const y = heightScale(frame)
  const pxPerMm = frame.plotPx / (frame.toMm - frame.fromMm)
  const map = depthMap(stack, frame.turn, frame.columnMm ?? Math.max(0.14, 1.4 / pxPerMm), frame.paint?.values)
  const { paint } = frame
  const { tones, paints, edges } = runsOf(stack, map, (value) => {
    if (!paint || !Number.isFinite(value)) return -1
    return Math.min(
      PAINT_STEPS - 1,
      Math.max(0, Math.floor((PAINT_STEPS * (value - paint.from)) / (paint.to - paint.from))),
    )
  })
  const left = frame.rulePx ?? 0
  const middle = left + (frame.widthPx - left) / 2
  let figure = ''
  paints.forEach((d, k) => {
    if (d) figure += element('path', { d, fill: cividis((k + 0.5) / PAINT_STEPS) })
  })
  const darkest = paint ? 0.5 : 0.62
  tones.forEach((d, k) => {
    if (d) figure += element('path', { d, fill: INK, 'fill-opacity': 0.05 + (darkest * k) / (TONES - 1) })
  })
  figure += element('path', {
    d: edges,
    stroke: INK,
    'stroke-width': 1,
    'stroke-linecap': 'square',
    'vector-effect': 'non-scaling-stroke',
    fill: 'none',
  })
  const across = map.columnMm * pxPerMm
  const place = `translate(${px(middle + map.fromMm * pxPerMm)} ${px(y(0))}) scale(${across.toFixed(5)} ${(-pxPerMm / 100).toFixed(5)})`
  let inside = element('g', { transform: place, 'shape-rendering': 'crispEdges' }, figure)
  if (left) inside += ruleMarks(frame, left)
  inside += bedMarks(left, frame.widthPx, y(0))
  return picture(frame.widthPx, frame.topPx + frame.plotPx + 12, label, inside)
}
