// The head: what counts when steps "on the face" are weighed. A ball about the middle of the section at the eye line.
//
// Half a head lies above the eye line and half below (body measures, from memory); a head is as wide as the largest piece of the section
// there. Limit: which way the face looks is not known, so the whole head counts.

import type { Figure } from '../figure/index.ts'
import type { LayerStack } from '../sections/index.ts'

/** Middle and radius of the head, mm. */
export interface HeadBall {
  readonly x: number
  readonly y: number
  readonly z: number
  readonly radiusMm: number
}

/** Sole to eye is about 14 times half a head's height: head 1/7.5 of the body, eyes half a head below the crown. */
const HALF_HEAD = 1 / 14

/** Finds the head of a figure from its sections; null where the eye line meets no plastic. */
export const findHead = ({ eyeLine, soleMm }: Figure, stack: LayerStack): HeadBall | null => {
  const { cutZ, islandStart, islandLoop, islandArea, loopStart, points } = stack
  let layer = 0
  for (let k = 1; k < stack.nLayers; k++)
    if (Math.abs(cutZ[k] - eyeLine.value) < Math.abs(cutZ[layer] - eyeLine.value)) layer = k
  let widest = -1
  for (let i = islandStart[layer]; i < islandStart[layer + 1]; i++)
    if (widest < 0 || islandArea[i] > islandArea[widest]) widest = i
  if (widest < 0) return null
  const loop = islandLoop[widest]
  let [x, y] = [0, 0]
  const n = loopStart[loop + 1] - loopStart[loop]
  for (let i = loopStart[loop]; i < loopStart[loop + 1]; i++) {
    x += points[2 * i] / n
    y += points[2 * i + 1] / n
  }
  const byHeight = (eyeLine.value - soleMm) * HALF_HEAD
  const byWidth = Math.sqrt(islandArea[widest] / Math.PI)
  return { x, y, z: eyeLine.value, radiusMm: 1.2 * Math.max(byHeight, Math.min(byWidth, 2 * byHeight)) }
}

/** Whether a point lies in the head. */
export const inHead = (head: HeadBall | null): ((x: number, y: number, z: number) => boolean) =>
  head ? (x, y, z) => (x - head.x) ** 2 + (y - head.y) ** 2 + (z - head.z) ** 2 <= head.radiusMm ** 2 : () => false
