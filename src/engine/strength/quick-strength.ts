// The quick look at strength: limbs as a frame of beams, hands, falls, weak places in order, and what would help. Within a second.

import type { PlanReport } from '../beads/index.ts'
import type { Figure } from '../figure/index.ts'
import { breathe, layerAtHeight, partOf, type Task } from '../kernel/index.ts'
import type { LayerRelations, LayerStack } from '../sections/index.ts'
import { bucklingN, footStiffness } from './buckling.ts'
import { SCATTER_DEFAULTS, type Scatter } from './chance.ts'
import { bodyOfFrame, dropFigure } from './drop.ts'
import { fillGrid } from './fill-grid.ts'
import { addStationLoad, frameModel, frameStiffness, type Laying } from './frame-model.ts'
import { handleLimbs } from './handling.ts'
import { limbGraph } from './limb-graph.ts'
import { limbSections } from './limb-sections.ts'
import { infillShares, limitsAlong, type StrengthMaterial } from './material.ts'
import { bedHoldOf, giveWhilePrinted } from './on-bed.ts'
import { pruneLimbs } from './prune-limbs.ts'
import { strengthRemedies } from './remedies.ts'
import { sectionTable, worstUse } from './section-use.ts'
import { GRAVITY_MM_PER_S2, standingOf } from './standing.ts'
import type { HandlingLoad, QuickStrength, Stuffing, WeakCause, WeakPlace } from './types.ts'

/** Settings of the quick look. */
export interface StrengthOptions {
  /** Side of a grid cell, mm; coarser for large figures so that the grid stays under 6 million cells. */
  readonly cellMm: number
  /** How the inside is filled; null: solid. */
  readonly stuffing: Stuffing | null
  /** Report of a bead plan: layers without infill count as solid; null without a plan. */
  readonly plan: PlanReport | null
  /** Share of the full bond under each layer, 0-1, length nLayers; null: full bonds. */
  readonly healing: Float32Array | null
  /** Direction in which layers are piled, in the figure's frame. */
  readonly layerNormal: readonly [number, number, number]
  readonly dropHeightM: number
  readonly floor: 'hard' | 'soft'
  /** Attitudes of the fall, even over the sphere. */
  readonly nAttitudes: number
  /** Travels of a thumb on a thin part, mm. */
  readonly travelsMm: readonly number[]
  /** Force on a thick part, N, and from which thickness a part counts as thick, mm. */
  readonly forceN: number
  readonly thickFromMm: number
  readonly scatter: Scatter
  /** Weak places that are told, at most. */
  readonly mostPlaces: number
}

export const STRENGTH_DEFAULTS: StrengthOptions = Object.freeze({
  cellMm: 0.2,
  stuffing: null,
  plan: null,
  healing: null,
  layerNormal: [0, 0, 1] as const,
  dropHeightM: 1,
  floor: 'hard',
  nAttitudes: 64,
  travelsMm: [3, 5, 10],
  forceN: 5,
  thickFromMm: 3,
  scatter: SCATTER_DEFAULTS,
  mostPlaces: 8,
})

/** Most cells of the quick look's grid. */
const MOST_CELLS = 6e6
/** Weak places nearer than this on the same limb are one, mm. */
const SAME_PLACE_MM = 4

/** The bond at any height from the healing of the layers. */
export const weldOf = (stack: LayerStack, healing: Float32Array | null): ((z: number) => number) => {
  if (!healing) return () => 1
  return (z) => {
    const h = healing[layerAtHeight(stack.faceZ, z)]
    return Number.isNaN(h) ? 1 : Math.max(0.02, Math.min(1, h))
  }
}

/** Why a place is weak. */
const causesOf = (
  thickMm: number,
  leverMm: number,
  cosNormal: number,
  weld: number,
  notch: number,
  coreShare: number,
  material: StrengthMaterial,
): WeakCause[] => {
  const causes: [WeakCause, number][] = [
    ['thin', 2.5 / thickMm],
    ['long lever', leverMm / (8 * thickMm)],
    ['across layers', cosNormal ** 2 * (material.alongStrengthMPa / material.acrossStrengthMPa) * 0.7],
    ['weak bond', weld < 0.95 ? 1 / weld : 0],
    ['notch', notch > 1.3 ? notch * 0.7 : 0],
    ['infill inside', coreShare * 2],
  ]
  return causes
    .filter(([, size]) => size > 1)
    .sort((a, b) => b[1] - a[1])
    .map(([cause]) => cause)
}

/** Looks at a figure's strength by its limbs. */
export const quickStrength = async (
  figure: Figure,
  stack: LayerStack,
  relations: LayerRelations,
  material: StrengthMaterial,
  options: Partial<StrengthOptions> = {},
  task?: Task,
): Promise<QuickStrength> => {
  const o: StrengthOptions = { ...STRENGTH_DEFAULTS, ...options }
  const size = [0, 1, 2].map((c) => figure.max[c] - figure.min[c])
  const cellMm = Math.max(o.cellMm, Math.cbrt((size[0] * size[1] * size[2]) / MOST_CELLS))
  const grid = await fillGrid(stack, cellMm, o.stuffing, o.plan, partOf(task, 0, 0.3))
  const graph = limbGraph(grid, figure.base ? figure.base.topMm : Number.NEGATIVE_INFINITY)
  await breathe(task)
  const pruned = pruneLimbs(graph)
  const infill = o.stuffing ? infillShares(o.stuffing.infillShare) : { within: 1, across: 1 }
  const plasticOfCore = o.stuffing ? o.stuffing.infillShare : 1
  const frame = limbSections(grid, graph, pruned, {
    coreShare: infill.within,
    corePlastic: plasticOfCore,
    densityGPerCm3: material.densityGPerCm3,
    cornerMm: (o.stuffing?.beadWidthMm ?? 0.4) / 2,
  })
  await breathe(task)
  let heldG = 0
  const coreOf = new Float64Array(frame.nStations)
  const cellsOf = new Float64Array(frame.nStations)
  for (let i = 0; i < grid.fill.length; i++) {
    const piece = graph.pieceOf[i]
    if (piece === -1) continue
    if (piece === -2) heldG += grid.fill[i] * (grid.core[i] ? plasticOfCore : 1)
    else {
      const station = pruned.stationOf[piece]
      if (station < 0) continue
      cellsOf[station]++
      coreOf[station] += grid.core[i]
    }
  }
  heldG *= (material.densityGPerCm3 * cellMm ** 3) / 1000
  const laying: Laying = { material, layerNormal: o.layerNormal, weldAt: weldOf(stack, o.healing) }
  const model = frameModel(frame, laying, false)
  const table = sectionTable(model)
  task?.onProgress?.(0.5, 'pushing every limb')
  const handled = handleLimbs(
    model,
    table,
    { travelsMm: o.travelsMm, forceN: o.forceN, thickFromMm: o.thickFromMm, fingerMm: 8 },
    o.scatter,
  )
  await breathe(task)
  const drop = await dropFigure(
    figure,
    frame,
    graph,
    heldG,
    laying,
    { heightM: o.dropHeightM, floor: o.floor, nAttitudes: o.nAttitudes, scatter: o.scatter },
    partOf(task, 0.6, 0.98),
  )
  const body = bodyOfFrame(frame, graph, heldG)
  const standing = standingOf(stack, body.centre, body.massG, figure.max[2])

  // Own weight: every station hangs on the frame with its mass.
  let ownWeightUse = 0
  const stiffness = frameStiffness(model)
  if (model.nBodies > 0) {
    stiffness.factor()
    const u = new Float64Array(6 * model.nBodies)
    for (let i = 0; i < frame.nStations; i++)
      addStationLoad(model, u, i, [frame.massG[i] * 1e-6 * GRAVITY_MM_PER_S2, 0, 0, 0, 0, 0])
    stiffness.solve(u)
    ownWeightUse = worstUse(table, u, new Float64Array(6 * frame.pieces.length)).use
  }

  const where = (i: number): [number, number, number] => [frame.at[3 * i], frame.at[3 * i + 1], frame.at[3 * i + 2]]
  const apart = (i: number, j: number): number => Math.hypot(...where(i).map((v, c) => v - frame.at[3 * j + c]))
  const places: { load: HandlingLoad; station: number }[] = []
  const ordered = handled.loads
    .filter((l) => l.kind === 'push' || l.kind === 'pull')
    .sort((a, b) => a.breakForceN.value - b.breakForceN.value)
  for (const load of ordered) {
    const station = load.breaksAt
    if (
      places.some(
        (p) => frame.branchOf[p.station] === frame.branchOf[station] && apart(p.station, station) < SAME_PLACE_MM,
      )
    )
      continue
    places.push({ load, station })
    if (places.length >= o.mostPlaces) break
  }
  const weakPlaces = places.map(({ load, station }): WeakPlace => {
    const a = [0, 1, 2].map((c) => frame.along[3 * station + c])
    const cos = Math.abs(a[0] * o.layerNormal[0] + a[1] * o.layerNormal[1] + a[2] * o.layerNormal[2])
    const branch = frame.branches[frame.branchOf[station]]
    const leverMm = apart(load.station, station)
    const weld = laying.weldAt(frame.at[3 * station + 2])
    const limits = limitsAlong(material, cos, weld)
    const second = (Math.PI * frame.thickMm[station] ** 4) / 64
    const shareOfDrops = handledShare(drop.firstToBreak, station, frame.branchOf, apart)
    return {
      station,
      branch: frame.branchOf[station],
      at: where(station),
      heightMm: frame.at[3 * station + 2],
      thickMm: frame.thickMm[station],
      forceN: load.breakForceN,
      travelMm: load.breakTravelMm,
      load: load.kind,
      leverMm,
      dropShare: shareOfDrops,
      causes: causesOf(
        frame.thickMm[station],
        leverMm,
        cos,
        weld,
        frame.notch[station],
        cellsOf[station] > 0 ? coreOf[station] / cellsOf[station] : 0,
        material,
      ),
      bucklesAtN:
        branch.slenderness > 20
          ? bucklingN(
              limits.modulusMPa,
              second,
              branch.lengthMm,
              footStiffness(model, (load) => stiffness.solve(load), branch.stations[0], a),
              branch.freeEnd ? 'free' : 'pinned',
            )
          : Infinity,
    }
  })
  const remedies = weakPlaces.map((place, weakPlace) => ({
    weakPlace,
    remedies: strengthRemedies(
      place,
      frame,
      material,
      o.layerNormal,
      laying.weldAt(place.heightMm),
      o.stuffing,
      cellsOf[place.station] > 0 ? coreOf[place.station] / cellsOf[place.station] : 0,
    ),
  }))

  const layerStressPerN = new Float64Array(stack.nLayers).fill(Number.NaN)
  const layerBreakForceN = new Float64Array(stack.nLayers).fill(Number.NaN)
  // Each piece of limb counts for every layer between its ends.
  for (let p = 0; p < frame.pieces.length / 2; p++) {
    const i = frame.pieces[2 * p]
    const j = frame.pieces[2 * p + 1]
    const reach = graph.frontMm / 2
    const low = Math.min(frame.at[3 * i + 2], frame.at[3 * j + 2]) - reach
    const high = Math.max(frame.at[3 * i + 2], frame.at[3 * j + 2]) + reach
    const stress = Math.max(handled.stationStressPerN[i], handled.stationStressPerN[j])
    const force = Math.min(handled.stationBreakN[i], handled.stationBreakN[j])
    for (let k = 0; k < stack.nLayers; k++) {
      if (stack.faceZ[k + 1] < low || stack.faceZ[k] > high) continue
      if (!(layerStressPerN[k] >= stress)) layerStressPerN[k] = stress
      if (!(layerBreakForceN[k] <= force) && Number.isFinite(force)) layerBreakForceN[k] = force
    }
  }
  task?.onProgress?.(1, 'strength known')
  return {
    kind: 'quick-strength',
    frame,
    weakPlaces,
    loads: handled.loads,
    drop,
    standing,
    bed: bedHoldOf(stack, handled.loads, figure.max[2]),
    layerGiveMmPerN: giveWhilePrinted(frame, stack, laying),
    ownWeightUse,
    layerStressPerN,
    layerBreakForceN,
    remedies,
    basis: basisOf(o, cellMm, relations),
  }
}

/** Share of falls that break first near a station on the same limb. */
const handledShare = (
  first: Float32Array,
  station: number,
  branchOf: Uint32Array,
  apart: (i: number, j: number) => number,
): number => {
  let sum = 0
  for (let i = 0; i < first.length; i++)
    if (first[i] > 0 && branchOf[i] === branchOf[station] && apart(i, station) < SAME_PLACE_MM) sum += first[i]
  return sum
}

const basisOf = (o: StrengthOptions, cellMm: number, relations: LayerRelations): string[] => {
  const inAir = relations.startsInAir.reduce((n, v) => n + v, 0)
  return [
    `Limbs as beams of their true sections on a grid of ${cellMm.toFixed(2)} mm; held at the base or at the thickest place.`,
    `Strength scatters by ${Math.round(100 * o.scatter.strength)} of 100 from print to print, the model by ${Math.round(100 * o.scatter.model)} of 100; ranges are 5 to 95 of 100.`,
    o.healing
      ? 'Bonds between layers as healed by the computed heat.'
      : 'Bonds between layers taken as full: no heat was computed.',
    'Falls: no rebound, no second impact, corners count as brittle: rather too many breaks than too few.',
    ...(inAir > 0 ? [`${inAir} islands start in mid air; they count as sound plastic here.`] : []),
  ]
}
