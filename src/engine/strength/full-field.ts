// The full field: displacement and stress everywhere in the figure, for several loads at once.

import { breathe, partOf, type Task } from '../kernel/index.ts'
import type { CellMesh } from './brick.ts'
import { cellMesh } from './cell-mesh.ts'
import { cellStress, strengthUse, surfaceShare } from './field-stress.ts'
import type { FillGrid } from './fill-grid.ts'
import { printedStiffness, type StrengthMaterial } from './material.ts'
import { buildMultigrid, type Multigrid } from './multigrid.ts'
import { solveField } from './solve-field.ts'

/** A force on the surface near a place. */
export interface FieldLoad {
  readonly at: readonly [number, number, number]
  /** N. */
  readonly forceN: readonly [number, number, number]
  /** Nodes within this distance share the force, mm. */
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
}

export const FIELD_DEFAULTS: FieldOptions = Object.freeze({
  holdBelowMm: 0.1,
  infillShare: 1,
  tolerance: 1e-6,
  weldAt: () => 1,
})

/** A field that is ready to be loaded. */
export interface FieldModel {
  readonly mesh: CellMesh
  readonly grid: Multigrid
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
  /** Share of strength used in each cell at its worst corner; 0 in cells under half full. */
  readonly use: Float32Array
  /** Greatest use, where (mm), and movement of the loaded place along the load, mm. */
  readonly greatestUse: number
  readonly greatestAt: readonly [number, number, number]
  readonly travelMm: number
  /** Force and travel at break if everything stays linear, and whether that is still so (travel under a tenth of the body). */
  readonly breakForceN: number
  readonly breakTravelMm: number
  readonly linear: boolean
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
  return { mesh, grid: await buildMultigrid(mesh, held, task), material, options: o }
}

/** Nodal forces of a load, shared evenly by the nodes within its spread (or the nearest one). */
const nodalForces = (mesh: CellMesh, load: FieldLoad): { force: Float64Array; nodes: number[] } => {
  const { nNodes, nodeAt, origin, cellMm } = mesh
  const force = new Float64Array(3 * nNodes)
  let nodes: number[] = []
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
  if (nodes.length === 0) nodes = [nearest]
  for (const n of nodes) for (let a = 0; a < 3; a++) force[3 * n + a] = load.forceN[a] / nodes.length
  return { force, nodes }
}

/** Loads a model that stands ready. */
export const loadField = async (model: FieldModel, loads: readonly FieldLoad[], task?: Task): Promise<FullField> => {
  const { mesh, grid, material, options } = model
  const shear = (25 / 26) * material.acrossStrengthMPa
  const answers: FieldAnswer[] = []
  let top = 0
  for (let n = 0; n < mesh.nNodes; n++) top = Math.max(top, mesh.nodeAt[3 * n + 2])
  for (let k = 0; k < loads.length; k++) {
    const load = loads[k]
    const { force, nodes } = nodalForces(mesh, load)
    const solved = await solveField(
      grid,
      force,
      undefined,
      options.tolerance,
      300,
      partOf(task, k / loads.length, (k + 1) / loads.length),
    )
    const { middle, gradient } = cellStress(mesh, solved.move)
    const use = new Float32Array(mesh.nCells)
    let greatest = 0
    let greatestCell = 0
    // The row of cells on the held nodes has the clamp's own corner in it, which no mesh resolves.
    const clampRow = Math.round((options.holdBelowMm - mesh.origin[2]) / mesh.cellMm)
    for (let c = 0; c < mesh.nCells; c++) {
      if (mesh.share[c] < 0.5) continue
      const z = mesh.origin[2] + mesh.cellMm * (mesh.cellAt[3 * c + 2] + 0.5)
      const weld = options.weldAt(z)
      const o = 6 * c
      const g = 9 * c
      let worst = 0
      const out = surfaceShare(mesh.share[c])
      for (let corner = 0; corner < 8; corner++) {
        const [x, y, w] = [corner & 1 ? out : -out, corner & 2 ? out : -out, corner & 4 ? out : -out]
        worst = Math.max(
          worst,
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
          ),
        )
      }
      use[c] = worst
      if (worst > greatest && mesh.cellAt[3 * c + 2] > clampRow) {
        greatest = worst
        greatestCell = c
      }
    }
    const size = Math.hypot(...load.forceN)
    let travel = 0
    for (const n of nodes)
      for (let a = 0; a < 3; a++)
        travel += (solved.move[3 * n + a] * load.forceN[a]) / Math.max(size, 1e-12) / nodes.length
    const breakTravelMm = travel / Math.max(greatest, 1e-12)
    answers.push({
      load,
      move: Float32Array.from(solved.move),
      stress: Float32Array.from(middle),
      use,
      greatestUse: greatest,
      greatestAt: [0, 1, 2].map((a) => mesh.origin[a] + mesh.cellMm * (mesh.cellAt[3 * greatestCell + a] + 0.5)) as [
        number,
        number,
        number,
      ],
      travelMm: travel,
      breakForceN: size / Math.max(greatest, 1e-12),
      breakTravelMm,
      linear: breakTravelMm < 0.1 * top * mesh.cellMm,
      iterations: solved.iterations,
      converged: solved.converged,
    })
  }
  return { kind: 'full-field', mesh, answers, nUnknowns: 3 * mesh.nNodes, bytes: grid.bytes }
}

/** Cells, levels and answers in one call. */
export const fullField = async (
  grid: FillGrid,
  material: StrengthMaterial,
  loads: readonly FieldLoad[],
  options: Partial<FieldOptions> = {},
  task?: Task,
): Promise<FullField> => {
  const model = await fieldModel(grid, material, options, partOf(task, 0, 0.4))
  return loadField(model, loads, partOf(task, 0.4, 1))
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
