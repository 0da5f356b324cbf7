// Bodies for benchmarks of the full field: slabs and solids of revolution as cells of a grid, pressure on outlines that cut cells, and
// stress read along a row of well-filled cells.

import type { CellMesh } from '../src/engine/strength/brick.ts'
import { cellMesh } from '../src/engine/strength/cell-mesh.ts'
import type { CellStress } from '../src/engine/strength/field-stress.ts'
import { fillGrid } from '../src/engine/strength/index.ts'
import type { Stiffness } from '../src/engine/strength/material.ts'
import { buildMultigrid } from '../src/engine/strength/multigrid.ts'
import { type SolvedField, solveField } from '../src/engine/strength/solve-field.ts'
import { type Loop, stackByHand } from './stack-by-hand.ts'

export type Triple = readonly [number, number, number]

/**
 * Cells of layers of outlines, all of the same height.
 * @param corner far corner of the grid, mm, where the outline's own would not fall on a cell's: nothing is filled there
 */
export const cellsOf = async (
  layers: readonly Loop[],
  layerMm: number,
  h: number,
  kind: Stiffness,
  corner?: readonly [number, number],
): Promise<CellMesh> => {
  const mark: Loop[] = corner ? [[corner, corner, corner].map(([x, y]) => [x, y] as [number, number])] : []
  return cellMesh(
    await fillGrid(
      stackByHand(
        layers.map((l) => [[l], ...mark.map((m) => [m])]),
        layerMm,
      ),
      h,
      null,
      null,
    ),
    0,
    [kind],
  )
}

/** Place of a node, mm. */
export const nodePlace = ({ origin, cellMm, nodeAt }: CellMesh, n: number): Triple => [
  origin[0] + cellMm * nodeAt[3 * n],
  origin[1] + cellMm * nodeAt[3 * n + 1],
  origin[2] + cellMm * nodeAt[3 * n + 2],
]

/** Unknowns held by a rule on places. */
export const heldWhere = (mesh: CellMesh, rule: (at: Triple) => readonly [boolean, boolean, boolean]): Uint8Array => {
  const held = new Uint8Array(3 * mesh.nNodes)
  for (let n = 0; n < mesh.nNodes; n++)
    rule(nodePlace(mesh, n)).forEach((yes, a) => {
      held[3 * n + a] = +yes
    })
  return held
}

/** Cell of each grid place, for looking up. */
const cellIndex = (mesh: CellMesh): ((x: number, y: number, z: number) => number) => {
  const key = (x: number, y: number, z: number): number => (z * 2048 + y) * 2048 + x
  const at = new Map<number, number>()
  for (let c = 0; c < mesh.nCells; c++)
    at.set(key(mesh.cellAt[3 * c], mesh.cellAt[3 * c + 1], mesh.cellAt[3 * c + 2]), c)
  return (x, y, z) => (Math.min(x, y, z) < 0 ? -1 : (at.get(key(x, y, z)) ?? -1))
}

/**
 * Traction on an upright wall given by a line in the plane: each short piece of it pushes the nodes of the cell it runs through (or of the
 * next one inwards where that holds nothing) by its place in the cell.
 * @param inward unit direction from the wall into the plastic at a place
 * @param traction force per area at a place, MPa
 */
export const loadWall = (
  mesh: CellMesh,
  line: Loop,
  inward: (x: number, y: number) => readonly [number, number],
  traction: (x: number, y: number) => Triple,
): Float64Array => {
  const f = new Float64Array(3 * mesh.nNodes)
  const { origin, cellMm, cellNode } = mesh
  const find = cellIndex(mesh)
  let rows = 0
  for (let c = 0; c < mesh.nCells; c++) rows = Math.max(rows, mesh.cellAt[3 * c + 2] + 1)
  for (let i = 0; i + 1 < line.length; i++) {
    const [ax, ay] = line[i]
    const [bx, by] = line[i + 1]
    const length = Math.hypot(bx - ax, by - ay)
    const parts = Math.max(1, Math.ceil((4 * length) / cellMm))
    for (let p = 0; p < parts; p++) {
      const x = ax + ((bx - ax) * (p + 0.5)) / parts
      const y = ay + ((by - ay) * (p + 0.5)) / parts
      const t = traction(x, y)
      const [ix, iy] = inward(x, y)
      for (let z = 0; z < rows; z++) {
        let cell = -1
        let [px, py] = [0, 0]
        for (let step = 0; cell < 0 && step < 12; step++) {
          px = (x + ix * step * 0.25 * cellMm - origin[0]) / cellMm
          py = (y + iy * step * 0.25 * cellMm - origin[1]) / cellMm
          cell = find(Math.floor(px), Math.floor(py), z)
        }
        if (cell < 0) throw new Error(`no cell at ${x}, ${y}`)
        // The force keeps its line: weights at the true place, even a little outside the cell.
        const u = (x - origin[0]) / cellMm - Math.floor(px)
        const v = (y - origin[1]) / cellMm - Math.floor(py)
        for (let k = 0; k < 8; k++) {
          const w = (k & 1 ? u : 1 - u) * ((k >> 1) & 1 ? v : 1 - v) * 0.5
          const n = cellNode[4 * cell + (k >> 1)] + (k & 1)
          for (let a = 0; a < 3; a++) f[3 * n + a] += (t[a] * w * length * cellMm) / parts
        }
      }
    }
  }
  return f
}

/** Traction on the top face, by each top cell's share. */
export const loadTop = (mesh: CellMesh, traction: (x: number, y: number) => Triple): Float64Array => {
  const f = new Float64Array(3 * mesh.nNodes)
  const { origin, cellMm, cellAt, cellNode, share, nCells } = mesh
  let top = 0
  for (let c = 0; c < nCells; c++) top = Math.max(top, cellAt[3 * c + 2])
  for (let c = 0; c < nCells; c++) {
    if (cellAt[3 * c + 2] !== top) continue
    const t = traction(origin[0] + cellMm * (cellAt[3 * c] + 0.5), origin[1] + cellMm * (cellAt[3 * c + 1] + 0.5))
    for (const n of [cellNode[4 * c + 2], cellNode[4 * c + 3]])
      for (const m of [n, n + 1]) for (let a = 0; a < 3; a++) f[3 * m + a] += (share[c] * cellMm * cellMm * t[a]) / 4
  }
  return f
}

/** Solves a body. */
export const solved = async (mesh: CellMesh, held: Uint8Array, force: Float64Array): Promise<SolvedField> =>
  solveField(await buildMultigrid(mesh, held), force, undefined, 1e-8)

/** Value of a course that three points set, at 0: quadratic. */
const throughThree = (x: readonly number[], y: readonly number[]): number => {
  let sum = 0
  for (let i = 0; i < 3; i++) {
    let w = y[i]
    for (let j = 0; j < 3; j++) if (j !== i) w *= -x[j] / (x[i] - x[j])
    sum += w
  }
  return sum
}

/**
 * Stress at the surface from three well-filled cells in a row behind it: their middles, carried on to the surface as a quadratic.
 * Cells that the surface cuts, and the first full one behind them, are left out: their stress carries the cut's error.
 * @param row grid coordinates of the row's cells by step from 0 outwards to inwards
 * @param depthAt distance of a place from the surface along the row, mm
 * @param component 0-5: xx, yy, zz, xy, yz, zx
 */
export const surfaceStress = (
  mesh: CellMesh,
  stress: CellStress,
  row: (step: number) => Triple,
  depthAt: (at: Triple) => number,
  component: number,
  skip = 1,
): number => {
  const find = cellIndex(mesh)
  const x: number[] = []
  const y: number[] = []
  let full = 0
  for (let step = 0; x.length < 3 && step < 400; step++) {
    const [i, j, k] = row(step)
    const c = find(i, j, k)
    if (c < 0 || mesh.share[c] < 0.98) continue
    if (full++ < skip) continue
    x.push(
      depthAt([0, 1, 2].map((a) => mesh.origin[a] + mesh.cellMm * (mesh.cellAt[3 * c + a] + 0.5)) as unknown as Triple),
    )
    y.push(stress.middle[6 * c + component])
  }
  return throughThree(x, y)
}
