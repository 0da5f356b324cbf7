// Plane shapes for tests, and layer stacks made of them by hand.

import type { Polygons } from '../src/engine/kernel/index.ts'
import type { LayerStack } from '../src/engine/sections/index.ts'

/** A loop as a list of points. Outer loops turn counter-clockwise, holes clockwise. */
export type Loop = readonly (readonly [number, number])[]

/** Area of a loop, positive when it turns counter-clockwise. */
export const areaOfLoop = (loop: Loop): number => {
  let sum = 0
  loop.forEach(([x, y], i) => {
    const [u, v] = loop[(i + 1) % loop.length]
    sum += x * v - y * u
  })
  return sum / 2
}

export const rectangle = (width: number, height: number, x = 0, y = 0): Loop => [
  [x - width / 2, y - height / 2],
  [x + width / 2, y - height / 2],
  [x + width / 2, y + height / 2],
  [x - width / 2, y + height / 2],
]

/** A regular polygon round (x, y) with its corners on the given radius. */
export const regular = (n: number, radius: number, x = 0, y = 0, turn = 0): Loop =>
  Array.from({ length: n }, (_, i) => {
    const a = turn + (2 * Math.PI * i) / n
    return [x + radius * Math.cos(a), y + radius * Math.sin(a)] as const
  })

/** A plate with half-round ends: middles `length` apart, `width` across. */
export const stadium = (length: number, width: number, chords = 32): Loop => {
  const half = chords / 2
  const end = (x: number, from: number) =>
    Array.from({ length: half + 1 }, (_, i) => {
      const a = from + (Math.PI * i) / half
      return [x + (width / 2) * Math.cos(a), (width / 2) * Math.sin(a)] as const
    })
  return [...end(length / 2, -Math.PI / 2), ...end(-length / 2, Math.PI / 2)]
}

export const reversed = (loop: Loop): Loop => [...loop].reverse()
export const moved = (loop: Loop, dx: number, dy: number, turn = 0): Loop =>
  loop.map(
    ([x, y]) => [dx + x * Math.cos(turn) - y * Math.sin(turn), dy + x * Math.sin(turn) + y * Math.cos(turn)] as const,
  )

export const polygonsOfLoops = (loops: readonly Loop[]): Polygons => {
  const loopStart = new Uint32Array(loops.length + 1)
  loops.forEach((loop, j) => {
    loopStart[j + 1] = loopStart[j] + loop.length
  })
  return { loopStart, points: Float64Array.from(loops.flatMap((loop) => loop.flat())) }
}

/** An island: its outer loop, then its holes. */
export type IslandLoops = readonly Loop[]

/**
 * A layer stack of islands given layer by layer.
 * @param heights thickness of every layer, mm, or one for all
 */
export const stackOf = (
  layers: readonly (readonly IslandLoops[])[],
  heights: number | readonly number[],
): LayerStack => {
  const loops: Loop[] = []
  const layerStart = [0]
  const islandStart = [0]
  const loopParent: number[] = []
  const loopIsland: number[] = []
  const islandLoop: number[] = []
  const islandArea: number[] = []
  const faceZ = [0]
  layers.forEach((islands, i) => {
    for (const island of islands) {
      const outer = loops.length
      islandLoop.push(outer)
      islandArea.push(island.reduce((sum, loop) => sum + areaOfLoop(loop), 0))
      island.forEach((loop, k) => {
        loops.push(loop)
        loopParent.push(k === 0 ? -1 : outer)
        loopIsland.push(islandLoop.length - 1)
      })
    }
    layerStart.push(loops.length)
    islandStart.push(islandLoop.length)
    faceZ.push(faceZ[i] + (typeof heights === 'number' ? heights : heights[i]))
  })
  return {
    kind: 'layer-stack',
    nLayers: layers.length,
    ...polygonsOfLoops(loops),
    faceZ: Float64Array.from(faceZ),
    cutZ: Float64Array.from(layers, (_, i) => (faceZ[i] + faceZ[i + 1]) / 2),
    layerStart: Uint32Array.from(layerStart),
    loopArea: Float64Array.from(loops, areaOfLoop),
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

/** One layer of the given islands, 0.1 mm thick. */
export const oneLayer = (...islands: IslandLoops[]): LayerStack => stackOf([islands], 0.1)
