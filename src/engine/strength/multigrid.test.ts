// Levels keep rigid movements and lumps apart; the preconditioned solution is the direct one.

import { describe, expect, test } from 'vitest'
import { boxLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { forcesOf, overTop, prismCells } from '../../../tests/strength-bodies.ts'
import { brickMatrices, constantsOf } from './brick.ts'
import { cellMesh } from './cell-mesh.ts'
import { coarsen, type LevelCells } from './coarse-levels.ts'
import { fillGrid } from './fill-grid.ts'
import { isotropic, stiffnessOf } from './material.ts'
import { buildMultigrid } from './multigrid.ts'
import { solveField } from './solve-field.ts'

describe('the cube', () => {
  test('has six movements without force and is symmetric', () => {
    const [k] = brickMatrices(constantsOf([stiffnessOf(3000, 2500, 2000, 0.3, 0.25, 0.2, 1000, 900, 800)], 0.5))
    for (let i = 0; i < 24; i++) for (let j = 0; j < i; j++) expect(k[24 * i + j]).toBeCloseTo(k[24 * j + i], 9)
    // A rotation about z.
    const u = new Float64Array(24)
    for (let c = 0; c < 8; c++) {
      u[3 * c] = -((c >> 1) & 1)
      u[3 * c + 1] = c & 1
    }
    for (let i = 0; i < 24; i++) expect(u.reduce((s, v, j) => s + k[24 * i + j] * v, 0)).toBeCloseTo(0, 9)
  })

  test('an even stretch costs the energy of the solid', () => {
    const kind = stiffnessOf(3000, 2500, 2000, 0.3, 0.25, 0.2, 1000, 900, 800)
    const [k] = brickMatrices(constantsOf([kind], 0.5))
    const u = new Float64Array(24)
    for (let c = 0; c < 8; c++) u[3 * c + 2] = 0.5 * 0.01 * (c >> 2)
    let energy = 0
    for (let i = 0; i < 24; i++) for (let j = 0; j < 24; j++) energy += 0.5 * u[i] * k[24 * i + j] * u[j]
    expect(energy).toBeCloseTo(0.5 * kind.normal[2] * 0.01 ** 2 * 0.125, 9)
  })
})

/** Two towers of cells one cell apart on a common foot. */
const towers = (): LevelCells => {
  const at: number[] = []
  const solid = (x: number, _y: number, z: number) => z < 2 || x < 2 || x > 2
  for (let z = 0; z < 10; z++)
    for (let y = 0; y < 2; y++) for (let x = 0; x < 5; x++) if (solid(x, y, z)) at.push(x, y, z)
  const ids = new Map<string, number>()
  const node: number[] = []
  for (let c = 0; c < at.length / 3; c++)
    for (let q = 0; q < 8; q++) {
      const key = [at[3 * c] + (q & 1), at[3 * c + 1] + ((q >> 1) & 1), at[3 * c + 2] + (q >> 2)].join()
      if (!ids.has(key)) ids.set(key, ids.size)
      node.push(ids.get(key) as number)
    }
  return { nCells: at.length / 3, nNodes: ids.size, at: Int32Array.from(at), node: Int32Array.from(node) }
}

test('coarse values rebuild any linear field', () => {
  const fine = towers()
  const coarse = coarsen(fine)
  const value = new Float64Array(coarse.nNodes)
  for (let c = 0; c < coarse.nCells; c++)
    for (let q = 0; q < 8; q++)
      value[coarse.node[8 * c + q]] =
        2 * (coarse.at[3 * c] + (q & 1)) +
        3 * 2 * (coarse.at[3 * c + 1] + ((q >> 1) & 1)) -
        2 * (coarse.at[3 * c + 2] + (q >> 2))
  for (let c = 0; c < fine.nCells; c++)
    for (let q = 0; q < 8; q++) {
      const n = fine.node[8 * c + q]
      let sum = 0
      for (let k = coarse.start[n]; k < coarse.start[n + 1]; k++) sum += coarse.weight[k] * value[coarse.from[k]]
      const [x, y, z] = [fine.at[3 * c] + (q & 1), fine.at[3 * c + 1] + ((q >> 1) & 1), fine.at[3 * c + 2] + (q >> 2)]
      expect(sum).toBeCloseTo(x + 3 * y - z, 5)
    }
})

test('towers that do not touch do not share coarse nodes', () => {
  // The gap lies inside a coarse cell on the second level: a plain grid would glue the towers there.
  let level: LevelCells = towers()
  const plain = new Set<string>()
  for (let k = 0; k < 2; k++) level = coarsen(level)
  for (let c = 0; c < level.nCells; c++) plain.add([0, 1, 2].map((a) => level.at[3 * c + a]).join())
  expect(level.nCells).toBeGreaterThan(plain.size)
})

test('the solution leaves no residual, with partly filled cells and several directions held', async () => {
  const h = 0.25
  const stack = stackByHand(
    Array.from({ length: 24 }, (_, i) => [[boxLoop(-1.1, -0.9, 2.3 - 0.03 * i, 1.7)]]),
    h,
  )
  const mesh = cellMesh(await fillGrid(stack, h, null, null), 0, [isotropic(2400, 0.36)])
  const held = new Uint8Array(3 * mesh.nNodes)
  for (let n = 0; n < mesh.nNodes; n++) if (mesh.nodeAt[3 * n + 2] === 0) held.fill(1, 3 * n, 3 * n + 3)
  const grid = await buildMultigrid(mesh, held)
  const force = new Float64Array(3 * mesh.nNodes)
  force[3 * (mesh.nNodes - 1)] = 1
  const { move, converged, iterations } = await solveField(grid, force, undefined, 1e-9)
  expect(converged).toBe(true)
  expect(iterations).toBeLessThan(40)
  const r = forcesOf(mesh, move)
  for (let i = 0; i < r.length; i++) if (!held[i]) expect(Math.abs(r[i] - force[i])).toBeLessThan(1e-8)
})

test('levels do not slow down as the grid is refined', async () => {
  const iterations: number[] = []
  for (const h of [1, 0.5, 0.25]) {
    const cells = await prismCells([boxLoop(0, 0, 4, 4)], 20, h, isotropic(2400, 0.36))
    const f = overTop(cells, () => [1, 0, 0])
    iterations.push((await solveField(cells.grid, f, undefined, 1e-6)).iterations)
  }
  expect(Math.max(...iterations)).toBeLessThan(25)
})
