// Layer stacks made by hand from loops, for tests of the rooms that read them.

import type { LayerStack } from '../src/engine/sections/index.ts'

/** One loop as xy pairs. */
export type Loop = [number, number][]

/** A loop of n points round an ellipse, counter-clockwise; clockwise when `hole` is set. */
export const ellipseLoop = (x: number, y: number, a: number, b: number, n: number, hole = false): Loop =>
  Array.from({ length: n }, (_, i) => {
    const t = ((hole ? -1 : 1) * 2 * Math.PI * i) / n
    return [x + a * Math.cos(t), y + b * Math.sin(t)]
  })
/** Circle whose polygon has the circle's own area. */
export const circleLoop = (x: number, y: number, r: number, n: number, hole = false): Loop => {
  const fair = r / Math.sqrt((n / (2 * Math.PI)) * Math.sin((2 * Math.PI) / n))
  return ellipseLoop(x, y, fair, fair, n, hole)
}
export const boxLoop = (x: number, y: number, w: number, h: number, hole = false): Loop => {
  const loop: Loop = [
    [x, y],
    [x + w, y],
    [x + w, y + h],
    [x, y + h],
  ]
  return hole ? loop.reverse() : loop
}

export const areaOfLoop = (loop: Loop): number =>
  loop.reduce((sum, [x, y], i) => {
    const [u, v] = loop[(i + 1) % loop.length]
    return sum + (x * v - u * y) / 2
  }, 0)
export const lengthOfLoop = (loop: Loop): number =>
  loop.reduce((sum, [x, y], i) => {
    const [u, v] = loop[(i + 1) % loop.length]
    return sum + Math.hypot(u - x, v - y)
  }, 0)

/**
 * A stack from layers of islands; an island is its outer loop followed by its holes.
 * @param heights height of every layer, mm
 */
export const stackByHand = (layers: Loop[][][], heights: number[] | number): LayerStack => {
  const faceZ = new Float64Array(layers.length + 1)
  layers.forEach((_, i) => {
    faceZ[i + 1] = faceZ[i] + (typeof heights === 'number' ? heights : heights[i])
  })
  const points: number[] = []
  const loopStart = [0]
  const layerStart = [0]
  const loopArea: number[] = []
  const loopParent: number[] = []
  const loopIsland: number[] = []
  const islandStart = [0]
  const islandLoop: number[] = []
  const islandArea: number[] = []
  for (const islands of layers) {
    for (const loops of islands) {
      const outer = loopArea.length
      loops.forEach((loop, k) => {
        for (const [x, y] of loop) points.push(x, y)
        loopStart.push(points.length / 2)
        loopArea.push(areaOfLoop(loop))
        loopParent.push(k === 0 ? -1 : outer)
        loopIsland.push(islandLoop.length)
      })
      islandLoop.push(outer)
      islandArea.push(loops.reduce((sum, loop) => sum + areaOfLoop(loop), 0))
    }
    layerStart.push(loopArea.length)
    islandStart.push(islandLoop.length)
  }
  return {
    kind: 'layer-stack',
    nLayers: layers.length,
    faceZ,
    cutZ: Float64Array.from(layers, (_, i) => (faceZ[i] + faceZ[i + 1]) / 2),
    layerStart: Uint32Array.from(layerStart),
    loopStart: Uint32Array.from(loopStart),
    points: Float64Array.from(points),
    loopArea: Float64Array.from(loopArea),
    loopParent: Int32Array.from(loopParent),
    loopIsland: Uint32Array.from(loopIsland),
    islandStart: Uint32Array.from(islandStart),
    islandLoop: Uint32Array.from(islandLoop),
    islandArea: Float64Array.from(islandArea),
    toleranceMm: 0,
    seams: new Float64Array(0),
    nResolvedLayers: 0,
  }
}
