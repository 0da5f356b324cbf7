// Writes beads one after the other into the flat arrays of a BeadPlan.

import { beadArea } from './bead-section.ts'
import type { Strand } from './strand.ts'
import { type BeadPlan, roleIndex } from './types.ts'
import type { BeadWishes } from './wishes.ts'

/** One bead as it is handed to the writer. */
export interface LaidBead {
  readonly strand: Strand
  readonly island: number
  /** First point of a closed bead; for an open one, true to lay it from its last point. */
  readonly start: number
  readonly reversed: boolean
  readonly retracts: boolean
}

/** Collects a plan; the nozzle's place is kept so that order can be chosen on the way. */
export class PlanWriter {
  x = 0
  y = 0
  private readonly layerStart: number[] = [0]
  private readonly beadStart: number[] = [0]
  private points = new Float64Array(3 * 4096)
  private pointWidth = new Float32Array(4096)
  private readonly role: number[] = []
  private readonly closed: number[] = []
  private readonly width: number[] = []
  private readonly height: number[] = []
  private readonly speed: number[] = []
  private readonly volume: number[] = []
  private readonly island: number[] = []
  private readonly retraction: number[] = []
  private readonly dwell: number[] = []
  private nPoints = 0

  constructor(
    private readonly wishes: BeadWishes,
    private readonly faceZ: Float64Array,
  ) {}

  /** Adds one bead in the given layer. */
  lay({ strand, island, start, reversed, retracts }: LaidBead, layer: number): void {
    const { wishes, faceZ } = this
    const z = faceZ[layer + 1]
    const heightMm = faceZ[layer + 1] - faceZ[layer]
    const { points, widths, closed } = strand
    const n = points.length / 2
    const count = closed ? n + 1 : n
    this.makeRoom(count)
    const { points: out, pointWidth } = this
    let i = closed ? start : reversed ? n - 1 : 0
    for (let k = 0; k < count; k++) {
      const at = this.nPoints++
      out[3 * at] = this.x = points[2 * i]
      out[3 * at + 1] = this.y = points[2 * i + 1]
      out[3 * at + 2] = z
      pointWidth[at] = typeof widths === 'number' ? widths : widths[i]
      if (reversed) i--
      else if (++i === n) i = 0
    }
    this.beadStart.push(this.nPoints)
    this.role.push(roleIndex(strand.role))
    this.closed.push(closed ? 1 : 0)
    this.width.push(typeof widths === 'number' ? widths : meanWidth(points, widths, closed))
    this.height.push(heightMm)
    const speed = strand.role === 'outer shell' ? wishes.outerShellSpeedMmPerS : wishes.speedMmPerS
    const set = layer === 0 ? Math.min(speed, wishes.firstLayerSpeedMmPerS) : speed
    this.speed.push(set)
    this.volume.push(strand.volume * wishes.flowShare)
    this.island.push(island)
    this.retraction.push(retracts ? wishes.retractionMm : 0)
    // A deposit is pushed out standing, at the rate of a nominal bead.
    const rate = beadArea(wishes.beadWidthMm, heightMm) * set
    this.dwell.push(strand.role === 'point deposit' ? (strand.volume * wishes.flowShare) / rate : 0)
  }

  private makeRoom(count: number): void {
    const needed = this.nPoints + count
    if (needed <= this.pointWidth.length) return
    const size = Math.max(needed, 2 * this.pointWidth.length)
    const points = new Float64Array(3 * size)
    points.set(this.points)
    const pointWidth = new Float32Array(size)
    pointWidth.set(this.pointWidth)
    this.points = points
    this.pointWidth = pointWidth
  }

  endLayer(): void {
    this.layerStart.push(this.role.length)
  }

  plan(): BeadPlan {
    const { wishes, faceZ } = this
    const nLayers = this.layerStart.length - 1
    const nBeads = this.role.length
    const layerHeight = new Float64Array(nLayers)
    for (let i = 0; i < nLayers; i++) layerHeight[i] = faceZ[i + 1] - faceZ[i]
    const perLayer = (of: (layer: number) => number) => Float32Array.from({ length: nLayers }, (_, i) => of(i))
    return {
      kind: 'bead-plan',
      nLayers,
      layerTopZ: faceZ.slice(1, nLayers + 1),
      layerHeight,
      layerStart: Uint32Array.from(this.layerStart),
      fanShare: perLayer((i) => (i + 1 >= wishes.fanFromLayer ? wishes.fanShare : 0)),
      nozzleC: perLayer((i) => (i === 0 ? wishes.firstLayerNozzleC : wishes.nozzleC)),
      bedC: perLayer(() => wishes.bedC),
      nBeads,
      beadStart: Uint32Array.from(this.beadStart),
      points: this.points.slice(0, 3 * this.nPoints),
      pointWidth: this.pointWidth.slice(0, this.nPoints),
      role: Uint8Array.from(this.role),
      closed: Uint8Array.from(this.closed),
      width: Float32Array.from(this.width),
      height: Float32Array.from(this.height),
      speed: Float32Array.from(this.speed),
      volume: Float64Array.from(this.volume),
      island: Int32Array.from(this.island),
      travelStart: new Uint32Array(nBeads + 1),
      travelPoints: new Float64Array(0),
      travelSpeed: new Float32Array(nBeads).fill(wishes.travelSpeedMmPerS),
      retraction: Float32Array.from(this.retraction),
      retractionSpeed: new Float32Array(nBeads).fill(wishes.retractionSpeedMmPerS),
      lift: Float32Array.from(this.retraction, (r) => (r > 0 ? wishes.liftMm : 0)),
      dwell: Float32Array.from(this.dwell),
    }
  }
}

/** Mean width along the path, mm. */
const meanWidth = (points: Float64Array, widths: Float64Array, closed: boolean): number => {
  const n = widths.length
  if (n === 1) return widths[0]
  let sum = 0
  let total = 0
  for (let i = closed ? 0 : 1; i < n; i++) {
    const h = i === 0 ? n - 1 : i - 1
    const l = Math.hypot(points[2 * i] - points[2 * h], points[2 * i + 1] - points[2 * h + 1])
    sum += (l * (widths[i] + widths[h])) / 2
    total += l
  }
  return total > 0 ? sum / total : widths[0]
}
