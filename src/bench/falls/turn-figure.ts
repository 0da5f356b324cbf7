// The figure as it meets the floor: turned so that it falls straight down, cut into thin layers for a line drawing, seen from where
// the break is hidden least.

import type { PolygonKit, Task } from '../../engine/kernel/index.ts'
import type { Mesh } from '../../engine/mesh/index.ts'
import { cutLayers } from '../../engine/sections/index.ts'
import type { StackPicture } from '../../picture/index.ts'

type Triple = readonly [number, number, number]

/** One fall made ready for drawing: outlines of layers that lie on the floor, seen from the front, and places in that frame. */
export interface DrawnFall {
  readonly stack: StackPicture
  readonly heightMm: number
  /** To the right and up, mm, from the middle of the figure and from the floor. */
  readonly contact: readonly [number, number]
  readonly breaks: readonly [number, number]
  /** Plastic that stands before the place of break, mm. */
  readonly hiddenMm: number
}

/** Layers of a drawing, and how far its outlines may stray, mm. */
const N_LAYERS = 180
const STRAY_MM = 0.04
/** Sides from which a drawing is tried. */
const N_SIDES = 24

const cross = (a: Triple, b: Triple): Triple => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
const unit = (a: Triple): Triple => {
  const length = Math.hypot(...a) || 1
  return [a[0] / length, a[1] / length, a[2] / length]
}

/** Rows of the turn that makes a direction point straight down. @param down unit */
export const turnDown = (down: Triple): readonly [Triple, Triple, Triple] => {
  const up: Triple = [-down[0], -down[1], -down[2]]
  const across = unit(cross(Math.abs(up[2]) > 0.9 ? [0, 1, 0] : [0, 0, 1], up))
  return [across, cross(up, across), up]
}

/** The mesh in the frame of a turn, standing on zero, its middle over the origin; and the same way for single places. */
export const turnedMesh = (
  mesh: Mesh,
  rows: readonly [Triple, Triple, Triple],
): { readonly mesh: Mesh; readonly heightMm: number; readonly place: (at: Triple) => Triple } => {
  const positions = new Float64Array(mesh.positions.length)
  const least = [Infinity, Infinity, Infinity]
  const most = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < positions.length; i += 3) {
    const at: Triple = [mesh.positions[i], mesh.positions[i + 1], mesh.positions[i + 2]]
    for (let a = 0; a < 3; a++) {
      const v = dot(rows[a], at)
      positions[i + a] = v
      if (v < least[a]) least[a] = v
      if (v > most[a]) most[a] = v
    }
  }
  const off = [(least[0] + most[0]) / 2, (least[1] + most[1]) / 2, least[2]]
  for (let i = 0; i < positions.length; i++) positions[i] -= off[i % 3]
  return {
    mesh: { ...mesh, positions },
    heightMm: most[2] - least[2],
    place: (at) => [dot(rows[0], at) - off[0], dot(rows[1], at) - off[1], dot(rows[2], at) - off[2]],
  }
}

/** Plastic in the layer at a place's height that stands between it and a viewer, mm. @param turn as in the drawing, radians */
export const plasticBefore = (stack: StackPicture, [x, y, z]: Triple, turn: number): number => {
  let layer = 0
  while (layer + 1 < stack.nLayers && stack.faceZ[layer + 1] < z) layer++
  const [toX, toY] = [-Math.sin(turn), -Math.cos(turn)]
  const hits: number[] = []
  for (let j = stack.layerStart[layer]; j < stack.layerStart[layer + 1]; j++) {
    const [first, end] = [stack.loopStart[j], stack.loopStart[j + 1]]
    for (let i = first; i < end; i++) {
      const next = i + 1 < end ? i + 1 : first
      const [ax, ay] = [stack.points[2 * i] - x, stack.points[2 * i + 1] - y]
      const [bx, by] = [stack.points[2 * next] - x, stack.points[2 * next + 1] - y]
      // Sides of the line of sight on which the two ends lie.
      const [a, b] = [toX * ay - toY * ax, toX * by - toY * bx]
      if (a > 0 === b > 0) continue
      const share = a / (a - b)
      const ahead = (ax + (bx - ax) * share) * toX + (ay + (by - ay) * share) * toY
      if (ahead > 0) hits.push(ahead)
    }
  }
  hits.sort((a, b) => a - b)
  // From outside inwards: the last crossing leaves the figure.
  let before = 0
  for (let k = hits.length - 1; k >= 0; k -= 2) before += hits[k] - (k > 0 ? hits[k - 1] : 0)
  return before
}

/** The side from which the place is hidden least; among equals, to a quarter of a millimetre, the one that shows the way from contact to break widest. */
const bestTurn = (stack: StackPicture, contact: Triple, breaks: Triple): { turn: number; hiddenMm: number } => {
  let best = { turn: 0, hiddenMm: Infinity, wide: -1 }
  for (let k = 0; k < N_SIDES; k++) {
    const turn = (2 * Math.PI * k) / N_SIDES
    const hiddenMm = plasticBefore(stack, breaks, turn)
    const wide = Math.abs((breaks[0] - contact[0]) * Math.cos(turn) - (breaks[1] - contact[1]) * Math.sin(turn))
    const isClearer = hiddenMm < best.hiddenMm - 0.25
    if (isClearer || (hiddenMm < best.hiddenMm + 0.25 && wide > best.wide + 0.01)) best = { turn, hiddenMm, wide }
  }
  return best
}

/**
 * Turns and cuts the figure for the drawing of one fall.
 * @param down downwards in the figure's frame, unit
 * @param contact place that touches first, mm
 * @param breaks place that breaks first, mm
 */
export const drawnFall = async (
  mesh: Mesh,
  fall: { readonly down: Triple; readonly contact: Triple; readonly breaks: Triple },
  kit: PolygonKit,
  task?: Task,
): Promise<DrawnFall> => {
  const turned = turnedMesh(mesh, turnDown(fall.down))
  const { heightMm } = turned
  const layerHeightMm = Math.min(1, Math.max(0.02, heightMm / N_LAYERS))
  const options = { layerHeightMm, firstLayerHeightMm: layerHeightMm, toleranceMm: STRAY_MM }
  const stack = await cutLayers(turned.mesh, heightMm, options, kit, task)
  const [contact, breaks] = [turned.place(fall.contact), turned.place(fall.breaks)]
  const { turn, hiddenMm } = bestTurn(stack, contact, breaks)
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
  const points = new Float32Array(stack.points.length)
  for (let i = 0; i < points.length; i += 2) {
    points[i] = stack.points[i] * cos - stack.points[i + 1] * sin
    points[i + 1] = stack.points[i] * sin + stack.points[i + 1] * cos
  }
  const { nLayers, faceZ, layerStart, loopStart } = stack
  const seen = (at: Triple): readonly [number, number] => [at[0] * cos - at[1] * sin, at[2]]
  return {
    stack: { nLayers, faceZ, layerStart, loopStart, points },
    heightMm,
    contact: seen(contact),
    breaks: seen(breaks),
    hiddenMm,
  }
}
