// A figure and settings after a change, and where a place of the old figure has gone.

import type { Figure, Stance } from '../figure/index.ts'
import type { Change, Spot } from '../findings/index.ts'
import type { Mesh } from '../mesh/index.ts'
import type { ExamineSettings } from './types.ts'

/** Settings with one change made, and with those that belong to it. */
export const settingsAfter = (settings: ExamineSettings, change: Change): ExamineSettings =>
  (change.also ?? []).reduce(settingsAfter, after(settings, change))

const after = (settings: ExamineSettings, change: Change): ExamineSettings => {
  const to = change.to
  if (change.what === 'stance' && typeof to !== 'number') {
    const [x, y, z] = to.map((deg) => (deg * Math.PI) / 180)
    return { ...settings, stance: { kind: 'stance', aboutX: x, aboutY: y, aboutZ: z } }
  }
  if (typeof to !== 'number') return settings
  if (change.what === 'soleToEyeMm') return { ...settings, scale: { by: 'scale-height', soleToEyeMm: to } }
  if (change.what === 'beadWidthMm') {
    return { ...settings, beadWidthMm: to, leastBeadWidthMm: Math.min(settings.leastBeadWidthMm, to / 2) }
  }
  if (change.what in settings.recipe && !(change.what in settings)) {
    const was = settings.recipe[change.what as keyof typeof settings.recipe]
    return { ...settings, recipe: { ...settings.recipe, [change.what]: typeof was === 'boolean' ? to > 0.5 : to } }
  }
  return { ...settings, [change.what]: to }
}

type Matrix = readonly number[]

/** Rotation by a stance: about x, then y, then z; row-major 3x3. */
const rotationOf = ({ aboutX, aboutY, aboutZ }: Stance): Matrix => {
  const [cx, sx] = [Math.cos(aboutX), Math.sin(aboutX)]
  const [cy, sy] = [Math.cos(aboutY), Math.sin(aboutY)]
  const [cz, sz] = [Math.cos(aboutZ), Math.sin(aboutZ)]
  return [
    cz * cy,
    cz * sy * sx - sz * cx,
    cz * sy * cx + sz * sx,
    sz * cy,
    sz * sy * sx + cz * cx,
    sz * sy * cx - cz * sx,
    -sy,
    cy * sx,
    cy * cx,
  ]
}

/** a times the transpose of b. */
const timesTransposed = (a: Matrix, b: Matrix): Matrix => {
  const m: number[] = []
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) {
      m.push(a[3 * r] * b[3 * c] + a[3 * r + 1] * b[3 * c + 1] + a[3 * r + 2] * b[3 * c + 2])
    }
  }
  return m
}

/** A figure moved by a matrix and dropped on the bed, with the way places go. */
export interface MovedFigure {
  readonly figure: Figure
  readonly moved: (x: number, y: number, z: number) => [number, number, number]
}

const moveFigure = (figure: Figure, m: Matrix): MovedFigure => {
  const { positions } = figure.mesh
  const out = new Float64Array(positions.length)
  const min = [Infinity, Infinity, Infinity]
  const max = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]
    const y = positions[i + 1]
    const z = positions[i + 2]
    for (let r = 0; r < 3; r++) {
      const v = m[3 * r] * x + m[3 * r + 1] * y + m[3 * r + 2] * z
      out[i + r] = v
      if (v < min[r]) min[r] = v
      if (v > max[r]) max[r] = v
    }
  }
  const shift = [-(min[0] + max[0]) / 2, -(min[1] + max[1]) / 2, -min[2]]
  for (let i = 0; i < out.length; i += 3) {
    for (let r = 0; r < 3; r++) out[i + r] += shift[r]
  }
  const mesh: Mesh = { ...figure.mesh, positions: out }
  return {
    figure: {
      ...figure,
      mesh,
      min: [min[0] + shift[0], min[1] + shift[1], 0],
      max: [max[0] + shift[0], max[1] + shift[1], max[2] + shift[2]],
    },
    moved: (x, y, z) => [
      m[0] * x + m[1] * y + m[2] * z + shift[0],
      m[3] * x + m[4] * y + m[5] * z + shift[1],
      m[6] * x + m[7] * y + m[8] * z + shift[2],
    ],
  }
}

/** The figure as a change of size leaves it. */
export const scaledFigure = (figure: Figure, share: number): MovedFigure =>
  moveFigure(figure, [share, 0, 0, 0, share, 0, 0, 0, share])

/** The figure as a change of stance leaves it. */
export const turnedFigure = (figure: Figure, from: Stance, to: Stance): MovedFigure => ({
  ...moveFigure(figure, timesTransposed(rotationOf(to), rotationOf(from))),
})

/** A spot after a move; a height range becomes the range that its ends and its middle span, with the radius around. */
export const movedSpot = (spot: Spot, share: number, moved: MovedFigure['moved']): Spot => {
  const ends = [spot.fromMm, (spot.fromMm + spot.toMm) / 2, spot.toMm].map((z) => moved(spot.x, spot.y, z))
  const heights = ends.map((p) => p[2])
  const spread = Math.hypot(ends[2][0] - ends[0][0], ends[2][1] - ends[0][1]) / 2
  return {
    x: ends[1][0],
    y: ends[1][1],
    fromMm: Math.min(...heights),
    toMm: Math.max(...heights),
    radiusMm: spot.radiusMm * share + spread,
  }
}
