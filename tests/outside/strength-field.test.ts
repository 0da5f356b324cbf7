// The full field against closed forms, patch tests and handbooks, in the same grid solver that figures use.

import { expect, test } from 'vitest'
import { cellMesh } from '../../src/engine/strength/cell-mesh.ts'
import { cellStress, surfaceShare } from '../../src/engine/strength/field-stress.ts'
import { extrapolate, fillGrid } from '../../src/engine/strength/index.ts'
import { isotropic } from '../../src/engine/strength/material.ts'
import { buildMultigrid } from '../../src/engine/strength/multigrid.ts'
import { solveField } from '../../src/engine/strength/solve-field.ts'
import { boxLoop, circleLoop, type Loop, stackByHand } from '../stack-by-hand.ts'
import { forcesOf, overTop, prismCells } from '../strength-bodies.ts'
import { checkOutside } from '../validation.ts'

const room = 'strength'
const check = (
  model: string,
  what: string,
  source: string,
  expected: number,
  got: number,
  allowed: number,
  unit = '',
): void => checkOutside({ room, model, case: what, source, expected, got, allowed, relative: true, unit })

const E = 2400
const NU = 0.36
const TIMOSHENKO = 'Timoshenko beam; shear factor of Cowper, J. Appl. Mech. 33:335 (1966)'

test('patch test: a linear displacement on the boundary gives the same stress in every cell', async () => {
  const kind = isotropic(1e6, 0.25)
  const cells = await prismCells([boxLoop(0, 0, 4, 3)], 5, 1, kind, (x, y, z) => {
    const rim = x === 1 || x === 5 || y === 1 || y === 4 || z === 0 || z === 5
    return [rim, rim, rim]
  })
  const { mesh, grid } = cells
  const given = new Float64Array(3 * mesh.nNodes)
  for (let n = 0; n < mesh.nNodes; n++) {
    const [x, y, z] = [0, 1, 2].map((a) => mesh.nodeAt[3 * n + a])
    given.set(
      [(2 * x + y + z) / 2, (x + 2 * y + z) / 2, (x + y + 2 * z) / 2].map((v) => v * 1e-3),
      3 * n,
    )
  }
  const solved = await solveField(grid, new Float64Array(3 * mesh.nNodes), given, 1e-12)
  const { middle, gradient } = cellStress(mesh, solved.move)
  const source = 'MacNeal & Harder, Finite Elem. Anal. Des. 1:3-20 (1985), patch test for solids'
  let normal = 0
  let shear = 0
  for (let c = 0; c < mesh.nCells; c++)
    for (let a = 0; a < 3; a++) {
      normal = Math.max(normal, Math.abs(middle[6 * c + a] - 2000))
      shear = Math.max(shear, Math.abs(middle[6 * c + 3 + a] - 400))
    }
  check('full field, patch test', 'worst normal stress of all cells', source, 2000, 2000 + normal, 1e-6, 'MPa')
  check('full field, patch test', 'worst shear stress of all cells', source, 400, 400 + shear, 1e-6, 'MPa')
  expect(Math.max(...gradient.map(Math.abs))).toBeLessThan(1e-4)
})

test('rigid movements need no force', async () => {
  const { mesh } = await prismCells([boxLoop(0, 0, 3, 2)], 4, 1, isotropic(E, NU))
  let most = 0
  for (let kind = 0; kind < 6; kind++) {
    const u = new Float64Array(3 * mesh.nNodes)
    for (let n = 0; n < mesh.nNodes; n++) {
      const [x, y, z] = [0, 1, 2].map((a) => mesh.nodeAt[3 * n + a])
      u.set(
        [
          [1, 0, 0],
          [0, 1, 0],
          [0, 0, 1],
          [-y, x, 0],
          [z, 0, -x],
          [0, -z, y],
        ][kind],
        3 * n,
      )
    }
    most = Math.max(most, ...forcesOf(mesh, u).map(Math.abs))
  }
  checkOutside({
    room,
    model: 'full field, rigid movements',
    case: 'greatest nodal force over six movements of 1 mm (or rad)',
    source: 'closed form: none',
    expected: 0,
    got: most / E,
    allowed: 1e-12,
    unit: 'of the modulus',
  })
})

test('a cube pulled on rollers', async () => {
  const cells = await prismCells([boxLoop(0, 0, 10, 10)], 10, 2.5, isotropic(E, NU), (x, y, z) => [
    x === 1,
    y === 1,
    z === 0,
  ])
  const solved = await solveField(
    cells.grid,
    overTop(cells, () => [0, 0, 100]),
    undefined,
    1e-10,
  )
  const corner = cells.top[cells.top.length - 1]
  check(
    'full field, pulled cube',
    '10 mm, 100 N, longer',
    'closed form F L / E A',
    0.0041667,
    solved.move[3 * corner + 2],
    1e-4,
    'mm',
  )
  check(
    'full field, pulled cube',
    '10 mm, 100 N, narrower',
    'closed form',
    -0.0015,
    solved.move[3 * corner],
    1e-4,
    'mm',
  )
  check('full field, pulled cube', 'energy', 'closed form F u / 2', (100 * 0.0041667) / 2, solved.energyMJ, 1e-4, 'mJ')
})

/** Tip movement of a clamped prism under a force across, over Timoshenko's. */
const bentPrism = async (
  loops: Loop[],
  length: number,
  h: number,
  nu: number,
  area: number,
  second: number,
  kappa: number,
) => {
  const cells = await prismCells(loops, length, h, isotropic(E, nu))
  const f = overTop(cells, () => [1, 0, 0])
  const { move, converged } = await solveField(cells.grid, f, undefined, 1e-8)
  expect(converged).toBe(true)
  let tip = 0
  for (let i = 0; i < f.length; i++) tip += f[i] * move[i]
  const shear = length / (kappa * (E / 2 / (1 + nu)) * area)
  return { ratio: tip / (length ** 3 / (3 * E * second) + shear), tip }
}

test.each([
  [0, 0.985, 1],
  [0.36, 0.97, 0.98],
])('square cantilever four cells thick, nu %f', async (nu, least, limit) => {
  const { ratio } = await bentPrism([boxLoop(0, 0, 4, 4)], 20, 1, nu, 16, 256 / 12, (10 * (1 + nu)) / (12 + 11 * nu))
  const what = `4 x 4 x 20 mm, four cells across, nu ${nu}, over the beam formula (clamped limit ${limit})`
  check('full field, cantilever', what, TIMOSHENKO, limit, ratio, 0.015)
  expect(ratio).toBeGreaterThan(least)
})

test('round cantilever: the error falls with every refinement', async () => {
  const tip = async (n: number, nu: number) =>
    (await bentPrism([circleLoop(0, 0, 1, 96)], 15, 2 / n, nu, Math.PI, Math.PI / 4, (6 * (1 + nu)) / (7 + 6 * nu)))
      .ratio
  let before = Infinity
  for (const n of [4, 6, 8, 12]) {
    const error = Math.abs((await tip(n, NU)) - 1)
    expect(error).toBeLessThan(before)
    before = error
  }
  const { limit } = extrapolate(await tip(4, 0), await tip(8, 0), await tip(16, 0))
  check(
    'full field, round rod',
    'd 2, L 15, nu 0: tip extrapolated from 4, 8, 16 cells, over the beam formula',
    TIMOSHENKO,
    1,
    limit,
    0.01,
  )
})

test('square and round shafts in torsion, extrapolated from three grids', async () => {
  const twist = async (loops: Loop[], h: number): Promise<number> => {
    const cells = await prismCells(loops, 20, h, isotropic(E, NU))
    const [mx, my] = cells.middle
    // Tangential tractions that grow outwards, scaled to a torque of 10 N mm about the axis.
    const f = overTop(cells, (x, y) => [-(y - my), x - mx, 0])
    let torque = 0
    const at = (n: number, a: number) => cells.mesh.nodeAt[3 * n + a]
    for (let n = 0; n < cells.mesh.nNodes; n++)
      torque += h * ((at(n, 0) - mx) * f[3 * n + 1] - (at(n, 1) - my) * f[3 * n])
    const { move } = await solveField(
      cells.grid,
      f.map((v) => (10 * v) / torque),
      undefined,
      1e-7,
    )
    // Turn of the sections at a quarter and three quarters of the length, away from both ends.
    const turnAt = (share: number): number => {
      const level = Math.round((share * 20) / h)
      let turn = 0
      let weight = 0
      for (let n = 0; n < cells.mesh.nNodes; n++) {
        if (at(n, 2) !== level) continue
        const x = h * (at(n, 0) - mx)
        const y = h * (at(n, 1) - my)
        turn += x * move[3 * n + 1] - y * move[3 * n]
        weight += x * x + y * y
      }
      return turn / weight
    }
    return 2 * (turnAt(0.75) - turnAt(0.25))
  }
  const side = [0.5, 0.25, 0.125]
  const square: number[] = []
  for (const h of side) square.push(await twist([boxLoop(-1, -1, 2, 2)], h))
  const { limit } = extrapolate(square[0], square[1], square[2])
  check(
    'full field, torsion',
    'square 2, L 20, T 10: angle, extrapolated',
    'Timoshenko & Goodier, section 109',
    0.10078,
    limit,
    0.01,
    'rad',
  )
  const round: number[] = []
  for (const h of side) round.push(await twist([circleLoop(0, 0, 1, 96)], h))
  const rounded = extrapolate(round[0], round[1], round[2])
  check(
    'full field, torsion',
    'round d 2, L 20, T 10: angle, extrapolated',
    'closed form T L / G J',
    0.1443,
    rounded.limit,
    0.01,
    'rad',
  )
})

test('bending stress at the surface of a square cantilever', async () => {
  const cells = await prismCells([boxLoop(0, 0, 4, 4)], 20, 0.5, isotropic(E, NU))
  const { move } = await solveField(
    cells.grid,
    overTop(cells, () => [10, 0, 0]),
    undefined,
    1e-8,
  )
  const { middle, gradient } = cellStress(cells.mesh, move)
  let stress = 0
  for (let c = 0; c < cells.mesh.nCells; c++) {
    const [x, , z] = [0, 1, 2].map((a) => cells.mesh.cellAt[3 * c + a])
    // Outer cells half-way up: lever 10 less the middle of that cell.
    if (x === 1 && z === 20) stress = Math.max(stress, Math.abs(middle[6 * c + 2]) + Math.abs(gradient[9 * c + 6]))
  }
  check(
    'full field, surface stress',
    'square 4, P 10, lever 9.75',
    'closed form M / Z',
    (10 * 9.75 * 6) / 64,
    stress,
    0.01,
    'MPa',
  )
})

test('a plate with a hole', async () => {
  const W = 10
  const d = 3
  // The plate lies in x-y one cell thick, pulled along x; its left half stands for both by symmetry.
  const outline: Loop = [
    [20, W / 2],
    [0, W / 2],
    [0, -W / 2],
    [20, -W / 2],
  ]
  for (let k = 0; k <= 64; k++) {
    const a = -Math.PI / 2 - (Math.PI * k) / 64
    outline.push([20 + (d / 2) * Math.cos(a), (d / 2) * Math.sin(a)])
  }
  const peak = (h: number): Promise<number> => plateStress(stackByHand([[[outline]]], h), h, d, W)
  const stresses: number[] = []
  for (const h of [0.5, 0.25, 0.125]) stresses.push(await peak(h))
  expect(stresses[2] - stresses[1]).toBeLessThan(stresses[1] - stresses[0])
  check(
    'full field, notch',
    'plate, hole d/W 0.3: greatest over net stress, finest of three grids',
    "Peterson's chart 4.1 as 2 + 0.284x - 0.6x2 + 1.32x3 (from memory)",
    2.358,
    stresses[2],
    0.08,
  )
})

const plateStress = async (stack: ReturnType<typeof stackByHand>, h: number, d: number, W: number): Promise<number> => {
  const grid = await fillGrid(stack, h, null, null)
  const mesh = cellMesh(grid, 0, [isotropic(E, NU)])
  const held = new Uint8Array(3 * mesh.nNodes)
  let right = 0
  let left = 1e9
  for (let n = 0; n < mesh.nNodes; n++) {
    right = Math.max(right, mesh.nodeAt[3 * n])
    left = Math.min(left, mesh.nodeAt[3 * n])
  }
  const force = new Float64Array(3 * mesh.nNodes)
  const middle = grid.ny / 2
  for (let n = 0; n < mesh.nNodes; n++) {
    const [x, y, z] = [0, 1, 2].map((a) => mesh.nodeAt[3 * n + a])
    if (x === right) held[3 * n] = 1
    if (x === right && Math.abs(y - middle) > 0.5 * (W / h) - 1.1) held[3 * n + 1] = +(y > middle)
    if (z === 0) held[3 * n + 2] = 1
  }
  let total = 0
  for (let c = 0; c < mesh.nCells; c++) {
    if (mesh.cellAt[3 * c] !== left) continue
    for (let k = 0; k < 4; k++) force[3 * mesh.cellNode[4 * c + k]] -= mesh.share[c] / 4
    total += mesh.share[c]
  }
  const solved = await solveField(
    await buildMultigrid(mesh, held),
    force.map((v) => v / total),
    undefined,
    1e-8,
  )
  const { middle: stress, gradient } = cellStress(mesh, solved.move)
  let most = 0
  for (let c = 0; c < mesh.nCells; c++)
    if (mesh.share[c] >= 0.5)
      most = Math.max(most, stress[6 * c] + surfaceShare(mesh.share[c]) * Math.abs(gradient[9 * c + 1]))
  return most * (W - d) * h
}
