// Heights of layer faces and cuts: a first layer of its own height, then equal ones up to the top.

/** Layer faces and the cut heights that stand for the layers, mm. */
export interface CutHeights {
  /** length nLayers+1 */
  readonly faceZ: Float64Array
  /** length nLayers; the middle of each layer */
  readonly cutZ: Float64Array
  /** Index, in the whole figure, of the first layer here (above 0 in a window). */
  readonly firstLayer: number
}

/**
 * Layers from the bed to the top. A layer is cut at its middle: for a sphere of radius R the volume of all layers is then
 * too large by (t/R)^2/8 only. The last layer is kept when its middle lies inside the figure.
 * @param window only layers that touch this height range, mm
 */
export const cutHeights = (
  totalHeightMm: number,
  layerHeightMm: number,
  firstLayerHeightMm: number,
  window?: readonly [number, number],
): CutHeights => {
  // A hair's breadth, so that a height of 30.000000001 does not make one more layer.
  const hair = 1e-7
  const above = Math.max(0, totalHeightMm - firstLayerHeightMm)
  let n = 1 + Math.max(0, Math.ceil(above / layerHeightMm - 0.5 - hair))
  if (totalHeightMm < firstLayerHeightMm / 2) n = 1
  const topOf = (i: number): number => (i <= 0 ? 0 : firstLayerHeightMm + (i - 1) * layerHeightMm)
  let from = 0
  let to = n
  if (window) {
    while (from < n - 1 && topOf(from + 1) <= window[0]) from++
    while (to > from + 1 && topOf(to - 1) >= window[1]) to--
  }
  const faceZ = new Float64Array(to - from + 1)
  for (let i = from; i <= to; i++) faceZ[i - from] = topOf(i)
  const cutZ = new Float64Array(to - from)
  for (let i = 0; i < cutZ.length; i++) cutZ[i] = (faceZ[i] + faceZ[i + 1]) / 2
  return { faceZ, cutZ, firstLayer: from }
}
