// A body that nothing holds: what balances, and that both solvers give the answer.

import { expect, test } from 'vitest'
import { shaftOnBase } from '../../../tests/strength-bodies.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { brickProduct } from './brick.ts'
import { fillGrid } from './fill-grid.ts'
import { isotropic } from './material.ts'
import { balance, freeBody, freeSolver } from './modes-body.ts'

test('loads in balance: double precision and four lanes at once agree, and nothing moves as a whole', async () => {
  const { stack } = await shaftOnBase(2, 20, 0.25)
  const body = await freeBody(await fillGrid(stack, 0.5, null, null), [isotropic(2400, 0.36)], 1.24, 1)
  expect(1e6 * body.massT).toBeCloseTo((Math.PI * (12.5 ** 2 * 3 + 20) * 1.24) / 1000, 1)
  const { mesh } = body
  const loads = [0, mesh.nNodes >> 1, mesh.nNodes - 1].map((n, k) => {
    const f = new Float64Array(3 * mesh.nNodes)
    f[3 * n + k] = 1
    balance(body, f)
    return f
  })
  const plain = await (await freeSolver(body))(loads, 1e-7)
  const lanes = await (await freeSolver(body, startWasm))(loads, 1e-7)
  const force = new Float64Array(3 * mesh.nNodes)
  plain.forEach((u, k) => {
    const size = Math.max(...u.map(Math.abs))
    expect(Math.max(...u.map((v, i) => Math.abs(v - lanes[k][i]))) / size).toBeLessThan(1e-5)
    brickProduct(mesh, lanes[k], force)
    const off = force.reduce((s, v, i) => s + (v - loads[k][i]) ** 2, 0)
    expect(Math.sqrt(off / loads[k].reduce((s, v) => s + v * v, 0))).toBeLessThan(1e-6)
    for (const r of body.rigid)
      expect(Math.abs(u.reduce((s, v, i) => s + body.mass[i] * r[i] * v, 0))).toBeLessThan(1e-9)
  })
})
