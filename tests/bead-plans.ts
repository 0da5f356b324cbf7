// Bead plans written by hand for tests.

import { type BeadPlan, type BeadRole, roleIndex } from '../src/engine/beads/index.ts'

/** One bead of a plan for tests; what is left out has a plain value. */
export interface BeadSketch {
  readonly path: readonly (readonly [number, number])[]
  readonly role?: BeadRole
  /** One width, or one for each point. */
  readonly width?: number | readonly number[]
  readonly speed?: number
  readonly flowShare?: number
  readonly volume?: number
  readonly travel?: readonly (readonly [number, number])[]
  readonly travelSpeed?: number
  readonly retraction?: number
  readonly lift?: number
  readonly dwell?: number
}
export interface LayerSketch {
  readonly height: number
  readonly beads: readonly BeadSketch[]
  readonly fanShare?: number
  readonly nozzleC?: number
  readonly bedC?: number
}

const stadium = (w: number, h: number): number => (w - h) * h + (Math.PI * h * h) / 4

/** Builds the plan; volumes follow from widths, height and flow share unless given. */
export const beadPlanOf = (layers: readonly LayerSketch[]): BeadPlan => {
  const beads = layers.flatMap((layer) => layer.beads.map((bead) => ({ bead, layer })))
  const tops: number[] = []
  for (const layer of layers) tops.push((tops.at(-1) ?? 0) + layer.height)
  const layerStart = [0]
  for (const layer of layers) layerStart.push(layerStart[layerStart.length - 1] + layer.beads.length)
  const points: number[] = []
  const pointWidth: number[] = []
  const beadStart = [0]
  const travelPoints: number[] = []
  const travelStart = [0]
  const volume: number[] = []
  for (const { bead, layer } of beads) {
    const z = tops[layers.indexOf(layer)]
    const { width = 0.4, path } = bead
    const at = (i: number): number => (typeof width === 'number' ? width : width[i])
    let sum = 0
    path.forEach(([x, y], i) => {
      points.push(x, y, z)
      pointWidth.push(at(i))
      if (i > 0)
        sum += Math.hypot(x - path[i - 1][0], y - path[i - 1][1]) * stadium((at(i) + at(i - 1)) / 2, layer.height)
    })
    beadStart.push(points.length / 3)
    for (const [x, y] of bead.travel ?? []) travelPoints.push(x, y, z)
    travelStart.push(travelPoints.length / 3)
    volume.push(bead.volume ?? sum * (bead.flowShare ?? 1))
  }
  const each = (value: (bead: BeadSketch, layer: LayerSketch) => number): Float32Array =>
    Float32Array.from(beads.map(({ bead, layer }) => value(bead, layer)))
  const isClosed = ({ path }: BeadSketch): boolean =>
    path.length > 2 && path[0][0] === path[path.length - 1][0] && path[0][1] === path[path.length - 1][1]
  return {
    kind: 'bead-plan',
    nLayers: layers.length,
    layerTopZ: Float64Array.from(tops),
    layerHeight: Float64Array.from(layers.map((layer) => layer.height)),
    layerStart: Uint32Array.from(layerStart),
    fanShare: Float32Array.from(layers.map((layer) => layer.fanShare ?? 0)),
    nozzleC: Float32Array.from(layers.map((layer) => layer.nozzleC ?? Number.NaN)),
    bedC: Float32Array.from(layers.map((layer) => layer.bedC ?? Number.NaN)),
    nBeads: beads.length,
    beadStart: Uint32Array.from(beadStart),
    points: Float64Array.from(points),
    pointWidth: Float32Array.from(pointWidth),
    role: Uint8Array.from(beads.map(({ bead }) => roleIndex(bead.role ?? 'unknown'))),
    closed: Uint8Array.from(beads.map(({ bead }) => (isClosed(bead) ? 1 : 0))),
    width: each(({ width = 0.4 }) =>
      typeof width === 'number' ? width : width.reduce((a, b) => a + b, 0) / width.length,
    ),
    height: each((_, layer) => layer.height),
    speed: each(({ speed = 45 }) => speed),
    volume: Float64Array.from(volume),
    island: new Int32Array(beads.length).fill(-1),
    travelStart: Uint32Array.from(travelStart),
    travelPoints: Float64Array.from(travelPoints),
    travelSpeed: each(({ travelSpeed = 100 }) => travelSpeed),
    retraction: each(({ retraction = 0 }) => retraction),
    retractionSpeed: each(() => 40),
    lift: each(({ lift = 0 }) => lift),
    dwell: each(({ dwell = 0 }) => dwell),
  }
}

/** A closed square with one corner at (x, y). */
export const squarePath = (x: number, y: number, side: number): [number, number][] => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
  [x, y],
]
