// The full field of a figure: the loads that the quick look calls gravest, on a grid that fits the memory, held against the quick look.
//
// Loads: a push or pull of one newton at each of the weakest limbs, the figure's own weight, and the fall on its base that uses most of
// its strength (swingAfterFall). Linear: what bends far is told, and left to the quick look. Error: the same loads on cells half as large
// again, first order assumed, which is the greater error.

import type { PlanReport } from '../beads/index.ts'
import type { Figure } from '../figure/index.ts'
import { breathe, partOf, type StartWasm } from '../kernel/index.ts'
import type { LayerStack } from '../sections/index.ts'
import type { CellMesh } from './brick.ts'
import { swingAfterFall } from './fall-swing.ts'
import { cellsOfVertices, moveOfCells, onVertices, overLayers } from './field-on-surface.ts'
import { fillGrid } from './fill-grid.ts'
import {
  type FieldAnswer,
  type FieldLoad,
  type FieldModel,
  type FieldTask,
  fieldModel,
  loadField,
  massPerNodeG,
} from './full-field.ts'
import type { StrengthMaterial } from './material.ts'
import { weldOf } from './quick-strength.ts'
import { GRAVITY_MM_PER_S2 } from './standing.ts'
import type { HandlingLoad, QuickStrength, Stuffing, WeakPlace } from './types.ts'
import { compareWords, type QuickSays } from './whole-words.ts'

export interface WholeFieldOptions {
  /** Side of a cell, mm; null: 0.2, or coarser where the memory below would not do. */
  readonly cellMm: number | null
  /** Memory that may be used, bytes. */
  readonly mostBytes: number
  /** How the inside is filled, and the plan that says where; as the quick look had them. */
  readonly stuffing: Stuffing | null
  readonly plan: PlanReport | null
  /** Share of the full bond under each layer, length nLayers; null: full bonds. */
  readonly healing: Float32Array | null
  /** Weak places that are pushed, weakest first. */
  readonly nPushes: number
  /** Also solve on a coarser grid, to tell the error. */
  readonly tellsError: boolean
  readonly startWasm: StartWasm | null
}

export const WHOLE_FIELD_DEFAULTS: WholeFieldOptions = Object.freeze({
  cellMm: null,
  mostBytes: 1.2e9,
  stuffing: null,
  plan: null,
  healing: null,
  nPushes: 6,
  tellsError: true,
  startWasm: null,
})

/** What a grid would take. */
export interface FieldEstimate {
  readonly cellMm: number
  readonly nUnknowns: number
  readonly bytes: number
}

export interface WholeLoad {
  readonly kind: 'push' | 'pull' | 'weight' | 'fall'
  /** What presses where, in a few words. */
  readonly name: string
  readonly answer: FieldAnswer
  /** Error of travel and of breaking force as shares, from the coarser grid; NaN when it was not solved. */
  readonly travelError: number
  readonly forceError: number
  /** What the quick look says about the same load; null for weight and fall. */
  readonly quick: QuickSays | null
  /** Swing that does most at the worst place of a fall, Hz; 0 for other loads. */
  readonly swingHz: number
  /** Both in one or two sentences, with the difference. */
  readonly words: string
}

/** The full field of a figure. */
export interface WholeField {
  readonly kind: 'whole-field'
  readonly cellMm: number
  /** The grid it is held against, mm; NaN without one. */
  readonly coarserMm: number
  readonly nUnknowns: number
  readonly bytes: number
  /** Everything below this is held, mm. */
  readonly holdBelowMm: number
  readonly mesh: CellMesh
  readonly loads: readonly WholeLoad[]
  /** Per vertex of the figure's mesh: greatest share of strength used by one newton on any of the limbs, within layers, between them, and the greater of both; NaN where held. */
  readonly vertexWithin: Float32Array
  readonly vertexBetween: Float32Array
  readonly vertexUse: Float32Array
  /** Per vertex: share of strength used in the fall, and movement under the weakest limb's newton, mm. */
  readonly vertexFallUse: Float32Array
  readonly vertexMoveMm: Float32Array
  /** Per layer: least force on any of the limbs that breaks it there, N; NaN where held or beyond 1000 N. */
  readonly layerBreakForceN: Float64Array
  /** What it rests on, one sentence each. */
  readonly basis: readonly string[]
}

/** Bytes per node with four lanes, levels and answers: measured on the crew at 0.2 mm, rounded up. */
const BYTES_PER_NODE = 1900
/** Nodes per mm3 of plastic and cubed cell: more than one because of cells filled in part. */
const NODES_PER_CELL = 1.45
/** Cells of the finest grid that is chosen by itself, mm, and steps of coarser ones. */
const FINE_MM = 0.2
const STEP_MM = 0.05
const COARSER = 1.5
/** Nothing that takes more than this is called weak, N. */
const SOUND_N = 1000

/** Below this everything is held: the foot of what stands on the base belongs to the field, the rest of the base does not. */
const heldBelow = (figure: Figure): number => (figure.base ? Math.max(0, figure.base.topMm - 1) : 0)

/** What a grid of this cell would take. */
export const estimateField = (figure: Figure, stack: LayerStack, cellMm: number): FieldEstimate => {
  const from = heldBelow(figure)
  let volume = 0
  for (let layer = 0; layer < stack.nLayers; layer++) {
    const height = stack.faceZ[layer + 1] - Math.max(from, stack.faceZ[layer])
    if (height <= 0) continue
    for (let i = stack.islandStart[layer]; i < stack.islandStart[layer + 1]; i++) volume += stack.islandArea[i] * height
  }
  const nodes = Math.ceil((NODES_PER_CELL * volume) / cellMm ** 3)
  return { cellMm, nUnknowns: 3 * nodes, bytes: BYTES_PER_NODE * nodes }
}

/** The finest cell from 0.2 mm upwards that fits. */
const chooseCell = (figure: Figure, stack: LayerStack, mostBytes: number): number => {
  let cell = FINE_MM
  while (cell < 2 && estimateField(figure, stack, cell).bytes > mostBytes) cell += STEP_MM
  return Math.round(cell * 100) / 100
}

/** The handling load that makes a place weak. */
const loadOf = (place: WeakPlace, loads: readonly HandlingLoad[]): HandlingLoad | undefined =>
  loads.find((l) => l.breaksAt === place.station && l.kind === place.load && l.breakForceN.value === place.forceN.value)

interface Wanted {
  readonly kind: WholeLoad['kind']
  readonly name: string
  readonly load: FieldLoad
  readonly quick: QuickSays | null
  /** Share of strength that the quick look has used in the fall. */
  readonly quickUse: number
}

/** Loads from the quick look, gravest first. */
const wantedLoads = (quick: QuickStrength, nPushes: number, weightN: number): Wanted[] => {
  const { weakPlaces, loads, frame, drop } = quick
  const wanted: Wanted[] = []
  for (const place of weakPlaces.slice(0, nPushes)) {
    const load = loadOf(place, loads)
    if (!load || (load.kind !== 'push' && load.kind !== 'pull')) continue
    const [x, y, z] = load.at
    wanted.push({
      kind: load.kind,
      name: `${load.kind} at ${z.toFixed(1)} mm`,
      load: {
        at: [x, y, z],
        forceN: [load.direction[0], load.direction[1], load.direction[2]],
        spreadMm: 0.6 * frame.thickMm[load.station],
      },
      quick: {
        forceN: place.forceN.value,
        travelMm: place.travelMm.value,
        at: place.at,
        bendsFar: load.largeRotation,
      },
      quickUse: Number.NaN,
    })
  }
  const middle = quick.standing.centre
  wanted.push({
    kind: 'weight',
    name: 'own weight',
    load: { at: middle, forceN: [0, 0, -weightN], spreadMm: Infinity },
    quick: null,
    quickUse: Number.NaN,
  })
  const onBase = drop.attitudes.filter((a) => a.onBase).sort((a, b) => b.use - a.use)
  const fall = onBase[0]
  if (fall)
    wanted.push({
      kind: 'fall',
      name: `fall on its base from ${drop.heightM} m`,
      load: {
        at: middle,
        forceN: [weightN * fall.down[0], weightN * fall.down[1], weightN * fall.down[2]],
        spreadMm: Infinity,
      },
      quick: null,
      quickUse: fall.use,
    })
  return wanted
}

const unit = (v: readonly [number, number, number]): [number, number, number] => {
  const size = Math.hypot(...v)
  return [v[0] / size, v[1] / size, v[2] / size]
}

const greater = (a: Float32Array, b: Float32Array): Float32Array => a.map((v, i) => Math.max(v, b[i]))

/** Computes the full field under the loads that the quick look calls gravest. */
export const wholeField = async (
  figure: Figure,
  stack: LayerStack,
  quick: QuickStrength,
  material: StrengthMaterial,
  options: Partial<WholeFieldOptions> = {},
  task?: FieldTask,
): Promise<WholeField> => {
  const o = { ...WHOLE_FIELD_DEFAULTS, ...options }
  const cellMm = o.cellMm ?? chooseCell(figure, stack, o.mostBytes)
  const holdBelowMm = heldBelow(figure)
  const modelAt = async (cell: number, part?: FieldTask): Promise<FieldModel> => {
    const grid = await fillGrid(stack, cell, o.stuffing, o.plan, partOf(part, 0, 0.2))
    return fieldModel(
      grid,
      material,
      {
        holdBelowMm,
        infillShare: o.stuffing?.infillShare ?? 1,
        weldAt: weldOf(stack, o.healing),
        startWasm: o.startWasm,
      },
      partOf(part, 0.2, 1),
    )
  }
  const main = o.tellsError ? 0.75 : 0.95
  const model = await modelAt(cellMm, partOf(task, 0, 0.35 * main))
  const { mesh } = model
  const weightN =
    massPerNodeG(mesh, model.options.infillShare, material.densityGPerCm3).reduce((a, b) => a + b, 0) *
    1e-6 *
    GRAVITY_MM_PER_S2
  const wanted = wantedLoads(quick, o.nPushes, weightN)
  const fall = wanted.find((w) => w.kind === 'fall')
  // The fall needs more than one solution and comes after the others.
  const loads = wanted.filter((w) => w !== fall).map((w) => w.load)
  const swings = fall ? 0.6 * main : main
  const field = await loadField(
    model,
    loads,
    task && { ...partOf(task, 0.35 * main, swings), onPreview: task.onPreview },
  )
  const speed = quick.drop.speedMPerS * 1000
  const swing = fall
    ? await swingAfterFall(model, unit(fall.load.forceN), speed, fall.load, partOf(task, swings, main))
    : null
  await breathe(task)
  let coarse: readonly FieldAnswer[] | null = null
  const coarserMm = COARSER * cellMm
  if (o.tellsError) {
    const other = await modelAt(coarserMm, partOf(task, main, main + 0.08))
    coarse = (await loadField(other, loads, partOf(task, main + 0.08, 0.95))).answers
  }
  const errorOf = (fine: number, rough: number): number => Math.abs(fine / rough - 1) / (COARSER - 1)
  const told = wanted.map((w, k): WholeLoad => {
    const isFall = w === fall
    const answer = isFall && swing ? swing.answer : field.answers[k]
    const hertz = isFall && swing ? swing.hertz : 0
    const rough = isFall ? undefined : coarse?.[k]
    const travelError = rough ? errorOf(answer.travelMm, rough.travelMm) : Number.NaN
    const forceError = rough ? errorOf(answer.breakForceN, rough.breakForceN) : Number.NaN
    return {
      kind: w.kind,
      name: w.name,
      answer,
      travelError,
      forceError,
      quick: w.quick,
      swingHz: hertz,
      words: compareWords(w.kind, w.name, answer, w.quick, {
        travelError,
        forceError,
        coarserMm,
        hertz,
        quickUse: w.quickUse,
      }),
    }
  })
  task?.onProgress?.(0.96, 'laying the field over the figure')
  const cells = cellsOfVertices(mesh, figure.mesh.positions)
  await breathe(task)
  const nothing = new Float32Array(mesh.nCells)
  const hands = told.filter((l) => l.kind === 'push' || l.kind === 'pull')
  const within = hands.reduce<Float32Array>((sum, { answer }) => greater(sum, answer.useWithin), nothing)
  const between = hands.reduce<Float32Array>((sum, { answer }) => greater(sum, answer.useBetween), nothing)
  const use = greater(within, between)
  const layerUse = overLayers(mesh, use, stack.faceZ)
  task?.onProgress?.(1, 'the whole field is known')
  return {
    kind: 'whole-field',
    cellMm,
    coarserMm: o.tellsError ? coarserMm : Number.NaN,
    nUnknowns: field.nUnknowns,
    bytes: field.bytes,
    holdBelowMm,
    mesh,
    loads: told,
    vertexWithin: onVertices(within, cells),
    vertexBetween: onVertices(between, cells),
    vertexUse: onVertices(use, cells),
    vertexFallUse: onVertices(swing ? greater(swing.answer.useWithin, swing.answer.useBetween) : nothing, cells),
    vertexMoveMm: onVertices(hands.length > 0 ? moveOfCells(mesh, hands[0].answer.move) : nothing, cells),
    layerBreakForceN: layerUse.map((u) => (u > 1 / SOUND_N ? 1 / u : Number.NaN)),
    basis: [
      `Cubes of ${cellMm} mm, ${(field.nUnknowns / 1e6).toFixed(2)} million unknowns, ${Math.round(field.bytes / 1e6)} MB; cells filled in part count by their share.`,
      holdBelowMm > 0
        ? `Held below ${holdBelowMm.toFixed(1)} mm, within the base.`
        : 'Held at the bed: no base was found.',
      o.stuffing && o.stuffing.infillShare < 1
        ? `Infill of ${Math.round(100 * o.stuffing.infillShare)} % as a softer medium of its own, weaker still across layers.`
        : 'Solid throughout.',
      o.healing
        ? 'Strength between layers scaled by the bonds that the computed heat gives.'
        : 'Bonds between layers taken as full.',
      'Linear: forces and travels beyond a tenth of the height are those of a straight line drawn on.',
      'In a sharp inside corner stress grows with every finer grid: the number is that of the last half cell.',
    ],
  }
}
