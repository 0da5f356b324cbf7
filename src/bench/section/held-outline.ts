// The outline of A at the height where B is cut, and the difference in words.

import { layerAtHeight } from '../../engine/kernel/index.ts'
import { type LayerStack, layerArea } from '../../engine/sections/index.ts'
import { type LoopsInPlan, shown } from '../../picture/index.ts'
import type { SheetParts } from '../messages.ts'
import { count, planOf } from './section-words.ts'

export interface HeldOutline {
  /** Null where A does not reach as high. */
  readonly outline: LoopsInPlan | null
  readonly words: string
}

/** Area inside the outlines of a layer and its pieces. */
const sizeOf = (layers: LayerStack, layer: number): { areaMm2: number; pieces: number } => ({
  areaMm2: layerArea(layers, layer),
  pieces: layers.islandStart[layer + 1] - layers.islandStart[layer],
})

const pieces = (n: number): string => count(n, 'piece', 'pieces')

/** A at the height of a layer of B; null where A has no layers yet. */
export const heldOutline = ({ layers: held }: SheetParts, layers: LayerStack, layer: number): HeldOutline | null => {
  if (!held || held.nLayers === 0) return null
  const z = layers.cutZ[layer]
  if (z >= held.faceZ[held.nLayers]) return { outline: null, words: 'A does not reach this high.' }
  const at = layerAtHeight(held.faceZ, z)
  const [a, b] = [sizeOf(held, at), sizeOf(layers, layer)]
  const isSame = Math.abs(a.areaMm2 - b.areaMm2) < 0.005 && a.pieces === b.pieces
  return {
    outline: planOf(held, at),
    words: isSame
      ? 'Dotted: A, the same here.'
      : `Dotted: A, with ${shown(a.areaMm2, 1)} mm² in ${pieces(a.pieces)}; B has ${shown(b.areaMm2, 1)} mm² in ${pieces(b.pieces)}.`,
  }
}
