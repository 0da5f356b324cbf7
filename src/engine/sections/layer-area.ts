// How much a layer covers.

import type { LayerStack } from './types.ts'

/** Area inside the outlines of one layer less its holes, mm2; 0 for a layer that is not there. */
export const layerArea = (
  { islandStart, islandArea }: Pick<LayerStack, 'islandStart' | 'islandArea'>,
  layer: number,
): number => {
  let areaMm2 = 0
  for (let i = islandStart[layer]; i < islandStart[layer + 1]; i++) areaMm2 += islandArea[i]
  return areaMm2
}
