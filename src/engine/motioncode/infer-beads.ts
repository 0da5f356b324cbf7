// From moves to a bead plan: beads, layers, widths, heights and roles, from geometry and volume alone, with how sure each is.

import { type BeadPlan, beadArea, roleIndex } from '../beads/index.ts'
import { breathe, failed, good, type Outcome, type Task } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import { type BeadLayers, layersOf, median, widthOfSection } from './bead-layers.ts'
import { roleLayer } from './bead-roles.ts'
import { cutBeads, type RawBeads } from './cut-beads.ts'
import { type Extents, type Placement, placeFigure } from './place-figure.ts'
import { findPrimingLoops } from './priming-loops.ts'
import { rolesByFigure } from './roles-by-figure.ts'
import { settleLoops } from './settle-loops.ts'
import type { CodeReading } from './types.ts'

export interface InferOptions {
  readonly filamentDiameterMm: number
  /** Outlines of the figure in layers, when it is known: placement is recovered and roles use it. */
  readonly stack: LayerStack | null
}
const INFER_DEFAULTS: InferOptions = Object.freeze({ filamentDiameterMm: 1.75, stack: null })

/** How sure something is, 0-1, and why. */
export interface Certainty {
  readonly share: number
  readonly cause: string
}

export interface InferredBeads {
  readonly kind: 'inferred-beads'
  readonly plan: BeadPlan
  /** Acceleration, mm/s2 (0: not set), and corner speed, mm/s (NaN: not set), per bead, as the file sets them; absent when it never does. */
  readonly acceleration?: Float32Array
  readonly cornerSpeed?: Float32Array
  /** Line of the file each bead begins on. */
  readonly line: Uint32Array
  /** How sure each bead's role is, 0-1. */
  readonly roleSure: Float32Array
  readonly certainty: { readonly layers: Certainty; readonly widths: Certainty; readonly roles: Certainty }
  readonly placement: Placement | null
  /** Pushed out while standing before the first bead, mm3. */
  readonly primedMm3: number
}

/** Pieces up to this length get the mean section of their bead, mm. */
const SHORT_PIECE_MM = 0.05

const sectionAreas = (raw: RawBeads, b: number, areas: Float64Array): { length: number; volume: number } => {
  const from = raw.start.at(b)
  const to = raw.start.at(b + 1)
  let length = 0
  let volume = 0
  for (let i = from + 1; i < to; i++) {
    const piece = Math.hypot(
      raw.points.at(3 * i) - raw.points.at(3 * i - 3),
      raw.points.at(3 * i + 1) - raw.points.at(3 * i - 2),
      raw.points.at(3 * i + 2) - raw.points.at(3 * i - 1),
    )
    // The last decimal of a filament length is too coarse for the section of a very short piece.
    areas[i - from - 1] = piece > SHORT_PIECE_MM ? raw.pieceVolume.at(i) / (piece * raw.flowShare.at(b)) : Number.NaN
    length += piece
    volume += raw.pieceVolume.at(i)
  }
  const mean = length > 0 ? volume / (length * raw.flowShare.at(b)) : 0
  for (let k = 0; k < to - from - 1; k++) if (Number.isNaN(areas[k])) areas[k] = mean
  return { length, volume }
}

/** The plan without roles. */
const planOf = (raw: RawBeads, layers: BeadLayers): BeadPlan => {
  const { n } = raw
  const beadStart = Uint32Array.from(raw.start.values())
  const points = raw.points.values().slice()
  const pointWidth = new Float32Array(points.length / 3)
  const width = new Float32Array(n)
  const height = new Float32Array(n)
  const volume = new Float64Array(n)
  const speed = Float32Array.from(raw.speed.values())
  const dwell = Float32Array.from(raw.dwell.values())
  const closed = Uint8Array.from(raw.closed.values())
  let most = 1
  for (let b = 0; b < n; b++) most = Math.max(most, beadStart[b + 1] - beadStart[b])
  const areas = new Float64Array(most)
  const deposits: number[] = []
  for (let layer = 0; layer < layers.nLayers; layer++) {
    const h = layers.height[layer]
    for (let b = layers.start[layer]; b < layers.start[layer + 1]; b++) {
      height[b] = h
      const from = beadStart[b]
      const to = beadStart[b + 1]
      if (to - from === 1) {
        volume[b] = raw.pieceVolume.at(from)
        deposits.push(b)
        continue
      }
      const whole = sectionAreas(raw, b, areas)
      volume[b] = whole.volume
      width[b] = widthOfSection(whole.volume / (whole.length * raw.flowShare.at(b)), h)
      // A point's width is the mean of the pieces that meet there; round a closed bead the ends meet too.
      for (let i = from; i < to; i++) {
        const k = i - from
        const before = k > 0 ? areas[k - 1] : closed[b] === 1 ? areas[to - from - 2] : areas[0]
        const after = k < to - from - 1 ? areas[k] : closed[b] === 1 ? areas[0] : areas[k - 1]
        pointWidth[i] = (widthOfSection(before, h) + widthOfSection(after, h)) / 2
      }
    }
  }
  const usual = median(width.filter((w) => w > 0))
  for (const b of deposits) {
    width[b] = usual > 0 ? usual : 0.4
    pointWidth[beadStart[b]] = width[b]
    // The raw speed of a deposit is its volume rate; its wait is the time in which it is pushed out.
    dwell[b] = volume[b] / speed[b]
    speed[b] /= beadArea(width[b], height[b])
  }
  const byLayer = (values: (bead: number) => number): Float32Array =>
    Float32Array.from({ length: layers.nLayers }, (_, layer) => values(layers.start[layer + 1] - 1))
  return {
    kind: 'bead-plan',
    nLayers: layers.nLayers,
    layerTopZ: Float64Array.from(layers.topZ),
    layerHeight: Float64Array.from(layers.height),
    layerStart: Uint32Array.from(layers.start),
    fanShare: byLayer((b) => raw.fanShare.at(b)),
    nozzleC: byLayer((b) => raw.nozzleC.at(b)),
    bedC: byLayer((b) => raw.bedC.at(b)),
    nBeads: n,
    beadStart,
    points,
    pointWidth,
    role: new Uint8Array(n).fill(roleIndex('unknown')),
    closed,
    width,
    height,
    speed,
    volume,
    island: new Int32Array(n).fill(-1),
    travelStart: Uint32Array.from(raw.travelStart.values()),
    travelPoints: raw.travelPoints.values().slice(),
    travelSpeed: Float32Array.from(raw.travelSpeed.values()),
    retraction: Float32Array.from(raw.retraction.values()),
    retractionSpeed: Float32Array.from(raw.retractionSpeed.values()),
    lift: Float32Array.from(raw.lift.values()),
    dwell,
  }
}

/** Extents of a layer's shells with half their width, null when there are none. */
const shellExtents = (plan: BeadPlan, layer: number): Extents | null => {
  const outer = roleIndex('outer shell')
  let extents: [number, number, number, number] | null = null
  for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) {
    if (plan.role[b] !== outer) continue
    const half = plan.width[b] / 2
    for (let i = plan.beadStart[b]; i < plan.beadStart[b + 1]; i++) {
      const x = plan.points[3 * i]
      const y = plan.points[3 * i + 1]
      extents = extents
        ? [
            Math.min(extents[0], x - half),
            Math.min(extents[1], y - half),
            Math.max(extents[2], x + half),
            Math.max(extents[3], y + half),
          ]
        : [x - half, y - half, x + half, y + half]
    }
  }
  return extents
}

const widthCertainty = (plan: BeadPlan): Certainty => {
  let fine = 0
  let all = 0
  for (let b = 0; b < plan.nBeads; b++) {
    all += plan.volume[b]
    if (plan.width[b] > 0.8 * plan.height[b] && plan.width[b] < 10 * plan.height[b] + 1) fine += plan.volume[b]
  }
  const share = all > 0 ? fine / all : 0
  return {
    share,
    cause:
      share > 0.99
        ? 'sections follow from volume, length and layer height as stadiums, with the filament diameter given'
        : `${Math.round(100 * (1 - share))} % of the plastic would lie in beads of no likely shape: is the filament diameter right?`,
  }
}

/** Infers the beads of a print file. Comments play no part. Fails when nothing in it lays plastic. */
export const inferBeads = async (
  reading: CodeReading,
  options: Partial<InferOptions> = {},
  task?: Task,
): Promise<Outcome<InferredBeads>> => {
  const { filamentDiameterMm, stack } = { ...INFER_DEFAULTS, ...options }
  const raw = await cutBeads(reading, filamentDiameterMm, task)
  if (raw.n === 0) return failed('motioncode/no-beads', 'No move of this file pushes plastic; it lays nothing.')
  const layers = layersOf(raw)
  const plan = planOf(raw, layers)
  const roleSure = new Float32Array(plan.nBeads)
  let sinceBreath = 0
  for (let layer = 0; layer < plan.nLayers; layer++) {
    const first = plan.layerStart[layer]
    const last = plan.layerStart[layer + 1]
    const roled = roleLayer({ ...plan, first, last })
    plan.role.set(roled.role, first)
    roleSure.set(roled.sure, first)
    sinceBreath += plan.beadStart[last] - plan.beadStart[first]
    if (sinceBreath > 5000) {
      sinceBreath = 0
      task?.onProgress?.(0.4 + (0.6 * layer) / plan.nLayers, 'Telling shells from infill')
      await breathe(task)
    }
  }
  findPrimingLoops(plan, roleSure)
  settleLoops(plan, roleSure)
  const placement = stack
    ? placeFigure(
        stack,
        layers.topZ.map((topZ, layer) => ({
          topZ,
          height: layers.height[layer],
          extents: shellExtents(plan, layer),
        })),
      )
    : null
  const fits = placement !== null && placement.offMm < 0.5
  if (stack && placement && fits) rolesByFigure(plan, stack, placement, roleSure)

  let sureVolume = 0
  let volume = 0
  for (let b = 0; b < plan.nBeads; b++) {
    sureVolume += roleSure[b] * plan.volume[b]
    volume += plan.volume[b]
  }
  const acceleration = Float32Array.from(raw.acceleration.values())
  const cornerSpeed = Float32Array.from(raw.cornerSpeed.values())
  task?.onProgress?.(1, 'Telling shells from infill')
  return good({
    kind: 'inferred-beads',
    plan,
    ...(acceleration.some((a) => a > 0) ? { acceleration } : {}),
    ...(cornerSpeed.some((v) => !Number.isNaN(v)) ? { cornerSpeed } : {}),
    line: Uint32Array.from(raw.line.values()),
    roleSure,
    certainty: {
      layers: { share: layers.regularShare, cause: layers.cause },
      widths: widthCertainty(plan),
      roles: {
        share: volume > 0 ? sureVolume / volume : 0,
        cause: !stack
          ? 'told from nesting, neighbours and widths alone; with the figure at hand outlines would settle the shells'
          : fits
            ? `the figure's outlines fit the shells within ${placement.offMm.toFixed(2)} mm over ${placement.nLayers} layers`
            : 'the figure given does not fit the shells of this file; it was not used',
      },
    },
    placement: fits ? placement : null,
    primedMm3: raw.primedMm3,
  })
}
