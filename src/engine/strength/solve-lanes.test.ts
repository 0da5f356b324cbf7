// Four loads in lanes give what each gives alone on plain arrays.

import { describe, expect, test } from 'vitest'
import { boxLoop, stackByHand } from '../../../tests/stack-by-hand.ts'
import { PLAIN } from '../../../tests/strength-bodies.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { Cancelled } from '../kernel/index.ts'
import { brickProduct } from './brick.ts'
import { cellMesh } from './cell-mesh.ts'
import { fillGrid } from './fill-grid.ts'
import { fieldModel, loadField } from './full-field.ts'
import { printedStiffness } from './material.ts'
import { buildMultigrid } from './multigrid.ts'
import { solveField } from './solve-field.ts'
import { laneSolver } from './solve-lanes.ts'

const h = 0.25
/** A slanting tower with infill inside and a thin fin beside it: partly filled cells, two kinds of plastic, lumps apart. */
const tower = () =>
  stackByHand(
    Array.from({ length: 32 }, (_, i) => [
      i < 6 ? [boxLoop(-3, -3, 6.9, 6)] : [boxLoop(-2.6 + 0.013 * i, -2, 4.2, 4.1)],
      ...(i < 6 ? [] : [[boxLoop(2.9, -1, 0.6, 2.3)]]),
    ]),
    h,
  )
const wishes = { nShells: 2, beadWidthMm: 0.4, layerHeightMm: h, capThicknessMm: 0.5, infillShare: 0.3 }

const ready = async () => {
  const mesh = cellMesh(await fillGrid(tower(), h, wishes, null), 0, [
    printedStiffness(PLAIN),
    printedStiffness(PLAIN, 0.3),
  ])
  const held = new Uint8Array(3 * mesh.nNodes)
  for (let n = 0; n < mesh.nNodes; n++) if (mesh.nodeAt[3 * n + 2] === 0) held.fill(1, 3 * n, 3 * n + 3)
  const grid = await buildMultigrid(mesh, held)
  const lanes = await laneSolver(grid, startWasm)
  if (!lanes) throw new Error('this machine has no WebAssembly with vectors')
  return { mesh, held, grid, lanes }
}

const prepared = ready()

const push = (n: number, node: number, direction: number): Float64Array => {
  const force = new Float64Array(3 * n)
  force[3 * node + direction] = 1
  return force
}

const away = (a: Float64Array, b: Float64Array): number => {
  let worst = 0
  let size = 0
  for (let i = 0; i < a.length; i++) {
    worst = Math.max(worst, Math.abs(a[i] - b[i]))
    size = Math.max(size, Math.abs(b[i]))
  }
  return worst / size
}

describe('four loads together', () => {
  test.each([1, 2, 3, 4])('%i loads: the plain solution of each, and no residual', async (count) => {
    const { mesh, held, grid, lanes } = await prepared
    const forces = [0, 1, 2, 0]
      .slice(0, count)
      .map((direction, k) => push(mesh.nNodes, mesh.nNodes - 1 - 40 * k, direction))
    const together = await lanes.solve(forces, 1e-9)
    expect(together).toHaveLength(count)
    for (let k = 0; k < count; k++) {
      const alone = await solveField(grid, forces[k], undefined, 1e-9)
      expect(together[k].converged).toBe(true)
      expect(away(together[k].move, alone.move)).toBeLessThan(1e-7)
      expect(together[k].energyMJ / alone.energyMJ).toBeCloseTo(1, 7)
      expect(Math.abs(together[k].iterations - alone.iterations)).toBeLessThanOrEqual(2)
      const r = new Float64Array(3 * mesh.nNodes)
      brickProduct(mesh, together[k].move, r)
      for (let i = 0; i < r.length; i++) if (!held[i]) expect(Math.abs(r[i] - forces[k][i])).toBeLessThan(1e-7)
    }
  })

  test('a load of nothing moves nothing and stops nobody', async () => {
    const { mesh, lanes } = await prepared
    const [none, some] = await lanes.solve([new Float64Array(3 * mesh.nNodes), push(mesh.nNodes, mesh.nNodes - 1, 0)])
    expect(none.move.every((v) => v === 0)).toBe(true)
    expect(some.converged).toBe(true)
  })

  test('stops when asked', async () => {
    const { mesh, lanes } = await prepared
    const stopper = new AbortController()
    const force = push(mesh.nNodes, mesh.nNodes - 1, 0)
    const run = lanes.solve([force], 1e-12, 300, { signal: stopper.signal, breathe: async () => stopper.abort() })
    await expect(run).rejects.toBeInstanceOf(Cancelled)
  })
})

test('the field is the same in lanes and on plain arrays, and tells the travel early', async () => {
  const grid = await fillGrid(tower(), h, wishes, null)
  const loads = [0, 1, 2, 3, 4].map((k) => ({
    at: [0.4 * k, 0, 8] as const,
    forceN: [k === 0 ? 2 : 1, k % 2, 0] as const,
    spreadMm: k === 4 ? Infinity : 0.6,
  }))
  const options = { holdBelowMm: 0, infillShare: 0.3 }
  let early: readonly number[] = []
  const lanes = await loadField(await fieldModel(grid, PLAIN, { ...options, startWasm }), loads, {
    onPreview: ({ travelMm }) => {
      early = [...early, ...travelMm]
    },
  })
  const plain = await loadField(await fieldModel(grid, PLAIN, options), loads)
  lanes.answers.forEach((answer, k) => {
    expect(answer.travelMm / plain.answers[k].travelMm).toBeCloseTo(1, 5)
    expect(answer.greatestUse / plain.answers[k].greatestUse).toBeCloseTo(1, 4)
    expect(answer.greatestAt).toEqual(plain.answers[k].greatestAt)
    expect(Math.abs(early[k] / answer.travelMm - 1)).toBeLessThan(0.1)
  })
})
