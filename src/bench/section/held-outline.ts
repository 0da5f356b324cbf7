// The outline of A at the height where B is cut, how far A's beads reach there, and the difference in words.

import { layerAtHeight } from '../../engine/kernel/index.ts'
import { type LayerStack, layerArea } from '../../engine/sections/index.ts'
import { type BeadsInPlan, type LoopsInPlan, shown } from '../../picture/index.ts'
import type { SheetParts } from '../messages.ts'
import { beadsOfLayer } from './layer-plastic.ts'
import { count, planOf } from './section-words.ts'

export interface HeldOutline {
  /** Null where A does not reach as high. */
  readonly outline: LoopsInPlan | null
  /** Null where A's beads are not known. */
  readonly beads: BeadsInPlan | null
  readonly words: string
}

/** What one layer measures. */
interface LayerSize {
  readonly areaMm2: number
  readonly pieces: number
  /** Left to right and front to back, mm. */
  readonly acrossMm: readonly [number, number]
  /** Thinnest place between facing walls, mm; NaN where there is none. */
  readonly thinnestMm: number
}

const acrossOf = (layers: LayerStack, layer: number): [number, number] => {
  const [from, to] = [layers.loopStart[layers.layerStart[layer]], layers.loopStart[layers.layerStart[layer + 1]]]
  const across = (axis: 0 | 1): number => {
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
    for (let i = from; i < to; i++) {
      least = Math.min(least, layers.points[2 * i + axis])
      most = Math.max(most, layers.points[2 * i + axis])
    }
    return most >= least ? most - least : 0
  }
  return [across(0), across(1)]
}

const sizeOf = ({ outlineThickness }: SheetParts, layers: LayerStack, layer: number): LayerSize => {
  let thinnestMm = Number.NaN
  const [from, to] = [layers.islandStart[layer], layers.islandStart[layer + 1]]
  for (let i = from; i < to; i++) {
    const thin = outlineThickness?.islandThinnest[i] ?? Number.NaN
    if (!(thin >= thinnestMm)) thinnestMm = Number.isNaN(thin) ? thinnestMm : thin
  }
  return { areaMm2: layerArea(layers, layer), pieces: to - from, acrossMm: acrossOf(layers, layer), thinnestMm }
}

const pieces = (n: number): string => count(n, 'piece', 'pieces')

/** Differences below these are not worth a word. */
const SAID_MM2 = 0.005
const SAID_MM = 0.005

/** What B has else than A, one phrase each. */
const differences = (a: LayerSize, b: LayerSize): string[] => {
  const said: string[] = []
  const area = b.areaMm2 - a.areaMm2
  if (Math.abs(area) >= SAID_MM2) {
    const share = a.areaMm2 > 0 ? ` (${shown((100 * Math.abs(area)) / a.areaMm2, 1)} %)` : ''
    said.push(`${shown(Math.abs(area), 2)} mm² ${area < 0 ? 'less' : 'more'}${share}`)
  }
  for (const [axis, words] of ['from left to right', 'from front to back'].entries()) {
    const change = b.acrossMm[axis] - a.acrossMm[axis]
    if (Math.abs(change) >= SAID_MM)
      said.push(`${shown(Math.abs(change), 2)} mm ${change < 0 ? 'less' : 'more'} ${words}`)
  }
  if (Math.abs(b.thinnestMm - a.thinnestMm) >= SAID_MM)
    said.push(`${shown(b.thinnestMm, 2)} mm at its thinnest instead of ${shown(a.thinnestMm, 2)} mm`)
  if (a.pieces !== b.pieces) said.push(`${pieces(b.pieces)} instead of ${a.pieces}`)
  return said
}

/** A at the height of a layer of B; null where one of them has no layers yet. */
export const heldOutline = (held: SheetParts, shownParts: SheetParts, layer: number): HeldOutline | null => {
  const [of, layers] = [held.layers, shownParts.layers]
  if (!of || of.nLayers === 0 || !layers || layer < 0) return null
  const z = layers.cutZ[layer]
  if (z >= of.faceZ[of.nLayers]) return { outline: null, beads: null, words: 'A does not reach this high.' }
  const at = layerAtHeight(of.faceZ, z)
  const a = sizeOf(held, of, at)
  const said = differences(a, sizeOf(shownParts, layers, layer))
  const { printed } = held
  return {
    outline: planOf(of, at),
    beads: printed && at + 1 < printed.layerStart.length ? beadsOfLayer(printed, at) : null,
    words:
      (said.length
        ? `Dotted: A, with ${shown(a.areaMm2, 1)} mm² in ${pieces(a.pieces)}; B has ${said.join(', ')}.`
        : 'Dotted: A, the same here.') + (printed ? ' Tinted: where A’s beads reach and B has none.' : ''),
  }
}
