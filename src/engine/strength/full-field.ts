// The full field: displacement and stress everywhere in the figure, for several loads at once.

import { breathe, partOf, type StartWasm, type Task } from '../kernel/index.ts'
import type { CellMesh } from './brick.ts'
import { cellMesh } from './cell-mesh.ts'
import { cellStress, strengthUse, surfaceShare } from './field-stress.ts'
import type { FillGrid } from './fill-grid.ts'
import { printedStiffness, type StrengthMaterial } from './material.ts'
import { buildMultigrid, type Multigrid } from './multigrid.ts'
import { type SolvedField, solveField } from './solve-field.ts'
import { type LaneSolver, laneSolver, N_LANES } from './solve-lanes.ts'

/** A force on the surface near a place, or spread over all plastic like a weight. */
export interface FieldLoad {
  readonly at: readonly [number, number, number]
  /** N. */
  readonly forceN: readonly [number, number, number]
  /** Nodes within this distance share the force, mm; infinite: all nodes by the mass round each. */
  readonly spreadMm: number
}

export interface FieldOptions {
  /** Below this height everything is held, mm. */
  readonly holdBelowMm: number
  /** Infill share, 1 for solid. */
  readonly infillShare: number
  readonly tolerance: number
  /** Bond at a height, share of the full one. */
  readonly weldAt: (z: number) => number
  /** Starts WebAssembly, four loads at a time; null: plain arrays, one load after another. The answers are the same. */
  readonly startWasm: StartWasm | null
}

export const FIELD_DEFAULTS: FieldOptions = Object.freeze({
  holdBelowMm: 0.1,
  infillShare: 1,
  tolerance: 1e-6,
  weldAt: () => 1,
  startWasm: null,
})

/** A field that is ready to be loaded. */
export interface FieldModel {
  readonly mesh: CellMesh
  readonly grid: Multigrid
  /** Null when plain arrays solve. */
  readonly lanes: LaneSolver | null
  readonly material: StrengthMaterial
  readonly options: FieldOptions
}

/** Answer to one load. */
export interface FieldAnswer {
  readonly load: FieldLoad
  /** Displacement, mm, xyz per node of the mesh. */
  readonly move: Float32Array
  /** Stress at the middle of each cell, six a cell (xx, yy, zz, xy, yz, zx), MPa. */
  readonly stress: Float32Array
  /** Share of strength used in each cell at its worst corner, within the layers and between them; 0 in cells under half full. */
  readonly useWithin: Float32Array
  readonly useBetween: Float32Array
  /** Greatest use, where (mm), and movement of the loaded place along the load, mm. */
  readonly greatestUse: number
  readonly greatestAt: readonly [number, number, number]
  /** True when it is the bond between layers that gives. */
  readonly between: boolean
  readonly travelMm: number
  /** Force and travel at break if everything stays linear, and whether that is still so (travel under a tenth of the body). */
  readonly breakForceN: number
  readonly breakTravelMm: number
  readonly linear: boolean
  /** Work of the load, N mm. */
  readonly energyMJ: number
  readonly iterations: number
  readonly converged: boolean
}

/** Answers to all loads. */
export interface FullField {
  readonly kind: 'full-field'
  readonly mesh: CellMesh
  readonly answers: readonly FieldAnswer[]
  readonly nUnknowns: number
  /** Bytes held by levels and vectors. */
  readonly bytes: number
}

/** Movements of the loaded places after a few steps, mm: about right, long before stresses are. */
export interface FieldPreview {
  readonly travelMm: readonly number[]
  readonly iterations: number
}

/** A task that also hears how far the loaded places will move. */
export interface FieldTask extends Task {
  readonly onPreview?: (preview: FieldPreview) => void
}

/** Makes cells and levels: once for all loads. */
export const fieldModel = async (
  grid: FillGrid,
  material: StrengthMaterial,
  options: Partial<FieldOptions> = {},
  task?: Task,
): Promise<FieldModel> => {
  const o = { ...FIELD_DEFAULTS, ...options }
  const kinds = [printedStiffness(material)]
  if (o.infillShare < 1) kinds.push(printedStiffness(material, Math.max(o.infillShare, 0.02)))
  const mesh = cellMesh(grid, o.holdBelowMm, kinds)
  const held = new Uint8Array(3 * mesh.nNodes)
  let lowest = Infinity
  for (let n = 0; n < mesh.nNodes; n++) lowest = Math.min(lowest, mesh.nodeAt[3 * n + 2])
  for (let n = 0; n < mesh.nNodes; n++) if (mesh.nodeAt[3 * n + 2] === lowest) held.fill(1, 3 * n, 3 * n + 3)
  await breathe(task)
  const levels = await buildMultigrid(mesh, held, task)
  const lanes = o.startWasm ? await laneSolver(levels, o.startWasm) : null
  return { mesh, grid: levels, lanes, material, options: o }
}

/** Plastic that belongs to each node, g: an eighth of each cell round it. */
export const massPerNodeG = (mesh: CellMesh, infillShare: number, densityGPerCm3: number): Float64Array => {
  const { nNodes, nCells, cellNode, share, kindOf, cellMm } = mesh
  const mass = new Float64Array(nNodes)
  const whole = (densityGPerCm3 * cellMm ** 3) / 8000
  for (let c = 0; c < nCells; c++) {
    const m = whole * share[c] * (kindOf[c] === 1 ? infillShare : 1)
    for (let k = 0; k < 8; k++) mass[cellNode[4 * c + (k >> 1)] + (k & 1)] += m
  }
  return mass
}

/** Nodes that take a load, and what share of it each. */
const takersOf = (
  { mesh, options, material }: FieldModel,
  load: FieldLoad,
): { nodes: Int32Array; shares: Float64Array } => {
  const { nNodes, nodeAt, origin, cellMm } = mesh
  if (load.spreadMm === Infinity) {
    const mass = massPerNodeG(mesh, options.infillShare, material.densityGPerCm3)
    const all = mass.reduce((a, b) => a + b, 0)
    return { nodes: Int32Array.from(mass.keys()), shares: mass.map((m) => m / all) }
  }
  const nodes: number[] = []
  let nearest = -1
  let best = Infinity
  for (let n = 0; n < nNodes; n++) {
    let d = 0
    for (let a = 0; a < 3; a++) d += (origin[a] + cellMm * nodeAt[3 * n + a] - load.at[a]) ** 2
    if (d <= load.spreadMm ** 2) nodes.push(n)
    if (d < best) {
      best = d
      nearest = n
    }
  }
  if (nodes.length === 0) nodes.push(nearest)
  return { nodes: Int32Array.from(nodes), shares: new Float64Array(nodes.length).fill(1 / nodes.length) }
}

/** Movement of what takes the load, along the load, mm. */
const travelOf = (
  { forceN }: FieldLoad,
  { nodes, shares }: { nodes: Int32Array; shares: Float64Array },
  move: ArrayLike<number>,
): number => {
  const size = Math.max(Math.hypot(...forceN), 1e-12)
  let travel = 0
  for (let k = 0; k < nodes.length; k++)
    for (let a = 0; a < 3; a++) travel += shares[k] * move[3 * nodes[k] + a] * (forceN[a] / size)
  return travel
}

/** Stress in the middle of each cell, and strength used at its worst corner, from movements. */
export interface CellUses {
  readonly stress: Float64Array
  readonly within: Float32Array
  readonly between: Float32Array
}

/** Shares of strength used everywhere; 0 in cells under half full. */
export const usesOf = ({ mesh, material, options }: FieldModel, move: Float64Array): CellUses => {
  const shear = (25 / 26) * material.acrossStrengthMPa
  const { middle, gradient } = cellStress(mesh, move)
  const useWithin = new Float32Array(mesh.nCells)
  const useBetween = new Float32Array(mesh.nCells)
  const use = new Float64Array(2)
  let row = -1
  let weld = 1
  for (let c = 0; c < mesh.nCells; c++) {
    if (mesh.share[c] < 0.5) continue
    if (mesh.cellAt[3 * c + 2] !== row) {
      row = mesh.cellAt[3 * c + 2]
      weld = options.weldAt(mesh.origin[2] + mesh.cellMm * (row + 0.5))
    }
    const o = 6 * c
    const g = 9 * c
    let within = 0
    let between = 0
    const out = surfaceShare(mesh.share[c])
    for (let corner = 0; corner < 8; corner++) {
      const x = corner & 1 ? out : -out
      const y = corner & 2 ? out : -out
      const w = corner & 4 ? out : -out
      strengthUse(
        middle[o] + y * gradient[g + 1] + w * gradient[g + 2],
        middle[o + 1] + x * gradient[g + 3] + w * gradient[g + 5],
        middle[o + 2] + x * gradient[g + 6] + y * gradient[g + 7],
        middle[o + 3],
        middle[o + 4],
        middle[o + 5],
        material.alongStrengthMPa,
        material.acrossStrengthMPa * weld,
        shear * weld,
        use,
      )
      if (use[0] > within) within = use[0]
      if (use[1] > between) between = use[1]
    }
    useWithin[c] = within
    useBetween[c] = between
  }
  return { stress: middle, within: useWithin, between: useBetween }
}

/** Stresses and what breaks first, from movements. */
const answerOf = (
  model: FieldModel,
  load: FieldLoad,
  solved: SolvedField,
  travelMm: number,
  topMm: number,
): FieldAnswer => {
  const { mesh, options } = model
  const { stress, within: useWithin, between: useBetween } = usesOf(model, solved.move)
  let greatest = 0
  let greatestCell = 0
  // The row of cells on the held nodes has the clamp's own corner in it, which no mesh resolves.
  const clampRow = Math.round((options.holdBelowMm - mesh.origin[2]) / mesh.cellMm)
  for (let c = 0; c < mesh.nCells; c++) {
    const worst = Math.max(useWithin[c], useBetween[c])
    if (worst > greatest && mesh.cellAt[3 * c + 2] > clampRow) {
      greatest = worst
      greatestCell = c
    }
  }
  const breakTravelMm = travelMm / Math.max(greatest, 1e-12)
  return {
    load,
    move: Float32Array.from(solved.move),
    stress: Float32Array.from(stress),
    useWithin,
    useBetween,
    greatestUse: greatest,
    greatestAt: [0, 1, 2].map((a) => mesh.origin[a] + mesh.cellMm * (mesh.cellAt[3 * greatestCell + a] + 0.5)) as [
      number,
      number,
      number,
    ],
    between: useBetween[greatestCell] >= useWithin[greatestCell],
    travelMm,
    breakForceN: Math.hypot(...load.forceN) / Math.max(greatest, 1e-12),
    breakTravelMm,
    linear: breakTravelMm < 0.1 * topMm,
    energyMJ: solved.energyMJ,
    iterations: solved.iterations,
    converged: solved.converged,
  }
}

/** Loads a model that stands ready. */
export const loadField = async (
  model: FieldModel,
  loads: readonly FieldLoad[],
  task?: FieldTask,
): Promise<FullField> => {
  const { mesh, grid, lanes, options } = model
  const answers: FieldAnswer[] = []
  let top = 0
  for (let n = 0; n < mesh.nNodes; n++) top = Math.max(top, mesh.nodeAt[3 * n + 2])
  const takers = loads.map((load) => takersOf(model, load))
  const forceOf = (k: number): Float64Array => {
    const force = new Float64Array(3 * mesh.nNodes)
    const { nodes, shares } = takers[k]
    for (let i = 0; i < nodes.length; i++)
      for (let a = 0; a < 3; a++) force[3 * nodes[i] + a] = loads[k].forceN[a] * shares[i]
    return force
  }
  const together = lanes ? N_LANES : 1
  for (let k = 0; k < loads.length; k += together) {
    const group = loads.slice(k, k + together)
    const forces = group.map((_, i) => forceOf(k + i))
    const step = partOf(task, k / loads.length, (k + group.length) / loads.length)
    const preview = (moves: readonly Float64Array[], iterations: number): void =>
      task?.onPreview?.({ travelMm: moves.map((m, i) => travelOf(group[i], takers[k + i], m)), iterations })
    const solved = lanes
      ? await lanes.solve(forces, options.tolerance, 300, step, task?.onPreview && preview)
      : [await solveField(grid, forces[0], undefined, options.tolerance, 300, step)]
    for (let i = 0; i < group.length; i++) {
      const travel = travelOf(group[i], takers[k + i], solved[i].move)
      answers.push(answerOf(model, group[i], solved[i], travel, top * mesh.cellMm))
      await breathe(task)
    }
  }
  return { kind: 'full-field', mesh, answers, nUnknowns: 3 * mesh.nNodes, bytes: grid.bytes + (lanes?.bytes ?? 0) }
}

/** Cells, levels and answers in one call. */
export const fullField = async (
  grid: FillGrid,
  material: StrengthMaterial,
  loads: readonly FieldLoad[],
  options: Partial<FieldOptions> = {},
  task?: FieldTask,
): Promise<FullField> => {
  const model = await fieldModel(grid, material, options, partOf(task, 0, 0.4))
  const onPreview = task?.onPreview
  return loadField(model, loads, task && { ...partOf(task, 0.4, 1), onPreview })
}

/** A number on three grids (cell sides h, h/2, h/4): limit, observed order, and error of the finest as a share. */
export const extrapolate = (
  coarse: number,
  middle: number,
  fine: number,
): { readonly limit: number; readonly order: number; readonly error: number } => {
  const ratio = (middle - coarse) / (fine - middle)
  const order = ratio > 1 ? Math.log2(ratio) : Number.NaN
  // Without a clean order, take first order: the greater error.
  const factor = Number.isNaN(order) ? 2 : 2 ** order
  const limit = fine + (fine - middle) / (factor - 1)
  return { limit, order, error: Math.abs((fine - limit) / limit) }
}
