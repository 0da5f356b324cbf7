// The full field against published benchmarks and handbooks, on grids that the shapes cut: the same cells and solver that figures use.
//
// Displacement and energy are extrapolated from three grids. Surface stress is read from three well-filled cells behind the surface,
// carried on to it (surfaceStress); the case tells the values on the three grids and the order they show. Cells that the surface cuts
// are no measure of a peak: at a fillet theirs went from 1.40 over 1.61 to 1.77 with finer cells, where 1.55 is right.

import { expect, test } from 'vitest'
import type { CellMesh } from '../../src/engine/strength/brick.ts'
import { type CellStress, cellStress, greatestPrincipal } from '../../src/engine/strength/field-stress.ts'
import { extrapolate } from '../../src/engine/strength/index.ts'
import { isotropic } from '../../src/engine/strength/material.ts'
import { buildMultigrid } from '../../src/engine/strength/multigrid.ts'
import { solveField } from '../../src/engine/strength/solve-field.ts'
import { lessExpansion, thermalForces } from '../../src/engine/strength/thermal-load.ts'
import type { Loop } from '../stack-by-hand.ts'
import {
  cellsOf,
  heldWhere,
  loadTop,
  loadWall,
  nodePlace,
  solved,
  surfaceStress,
  type Triple,
} from '../strength-slabs.ts'
import { checkOutside } from '../validation.ts'

const check = (
  model: string,
  what: string,
  source: string,
  expected: number,
  got: number,
  allowed: number,
  unit = '',
): void => checkOutside({ room: 'strength', model, case: what, source, expected, got, allowed, relative: true, unit })

/** The finest of three grids, with all three and the order they show in words. */
const inWords = (values: readonly number[], decimals: number): string => {
  const { order } = extrapolate(values[0], values[1], values[2])
  return `${values.map((v) => v.toFixed(decimals)).join(', ')} on three grids, ${Number.isNaN(order) ? 'no clean order' : `order ${order.toFixed(1)}`}`
}

const E = 2400
const NU = 0.36
const near = (a: number, b = 0): boolean => Math.abs(a - b) < 1e-6

const arc = (a: number, b: number, from: number, to: number, n: number): Loop =>
  Array.from({ length: n + 1 }, (_, i) => {
    const t = from + ((to - from) * i) / n
    return [a * Math.cos(t), b * Math.sin(t)]
  })
const quarter = (outer: readonly [number, number], inner: readonly [number, number]): Loop => [
  ...arc(...outer, 0, Math.PI / 2, 256),
  ...arc(...inner, Math.PI / 2, 0, 256),
]
/** Quarter bodies: planes x = 0, y = 0 and z = 0 are planes of symmetry. */
const onSymmetry = ([x, y, z]: Triple): readonly [boolean, boolean, boolean] => [near(x), near(y), near(z)]
const rowAt = (mesh: CellMesh, y: number): number => Math.round((y - mesh.origin[1]) / mesh.cellMm)

test('elliptic membrane', async () => {
  const outwards = (x: number, y: number): readonly [number, number] => {
    const [nx, ny] = [x / 3.25 ** 2, y / 2.75 ** 2]
    const l = Math.hypot(nx, ny)
    return [nx / l, ny / l]
  }
  const stresses: number[] = []
  for (const h of [0.125, 0.0625, 0.03125]) {
    const mesh = await cellsOf([quarter([3.25, 2.75], [2, 1])], h, h, isotropic(210e3, 0.3))
    const force = loadWall(
      mesh,
      arc(3.25, 2.75, 0, Math.PI / 2, 512),
      (x, y) => [-outwards(x, y)[0], -outwards(x, y)[1]],
      (x, y) => [10 * outwards(x, y)[0], 10 * outwards(x, y)[1], 0],
    )
    const { move } = await solved(mesh, heldWhere(mesh, onSymmetry), force)
    const j = rowAt(mesh, 0)
    stresses.push(
      surfaceStress(
        mesh,
        cellStress(mesh, move),
        (i) => [i, j, 0],
        ([x]) => x - 2,
        1,
      ),
    )
  }
  check(
    'full field, benchmark LE1',
    `elliptic membrane as a slab one cell thick: stress yy at D; ${inWords(stresses, 1)}`,
    'NAFEMS, standard benchmark LE1',
    92.7,
    stresses[2],
    0.02,
    'MPa',
  )
})

test('thick plate', async () => {
  const stresses: number[] = []
  for (const h of [0.2, 0.1, 0.05]) {
    const rows = Math.round(0.6 / h)
    const mesh = await cellsOf(
      Array.from({ length: rows }, () => quarter([3.25, 2.75], [2, 1])),
      h,
      h,
      isotropic(210e3, 0.3),
      [Math.ceil(3.25 / h - 1e-9) * h, Math.ceil(2.75 / h - 1e-9) * h],
    )
    // The held wall runs between nodes: those within half a cell of it are held too, so that it lies right in the mean.
    const held = heldWhere(mesh, ([x, y, z]) => {
      const outer = (x / (3.25 - h / 2)) ** 2 + (y / (2.75 - h / 2)) ** 2 >= 1
      return [outer || near(x), outer || near(y), outer && Math.abs(z - 0.3) <= h / 2 + 1e-9]
    })
    const { move } = await solved(
      mesh,
      held,
      loadTop(mesh, () => [0, 0, -1]),
    )
    const stress = cellStress(mesh, move)
    const j = rowAt(mesh, 0)
    const under = [0, 1, 2].map((k) =>
      surfaceStress(
        mesh,
        stress,
        (i) => [i, j, rows - 1 - k],
        ([x]) => x - 2,
        1,
      ),
    )
    // From the middles of the three upper rows to the upper face, quadratic.
    stresses.push((15 * under[0] - 10 * under[1] + 3 * under[2]) / 8)
  }
  check(
    'full field, benchmark LE10',
    `thick plate: stress yy at D; ${inWords(stresses, 2)}`,
    'NAFEMS, standard benchmark LE10',
    -5.38,
    stresses[2],
    0.08,
    'MPa',
  )
})

const RING = { a: 5, b: 10 }
const ringMesh = (h: number): Promise<CellMesh> =>
  cellsOf([quarter([RING.b, RING.b], [RING.a, RING.a])], h, h, isotropic(E, NU))
const RING_CELLS = [0.5, 0.25, 0.125]

test('thick cylinder under pressure from inside', async () => {
  const { a, b } = RING
  const pressure = 10
  const k = (b * b + a * a) / (b * b - a * a)
  const moves: number[] = []
  const energies: number[] = []
  const stresses: number[] = []
  for (const h of RING_CELLS) {
    const mesh = await ringMesh(h)
    const force = loadWall(
      mesh,
      arc(a, a, 0, Math.PI / 2, 512),
      (x, y) => [x / a, y / a],
      (x, y) => [(pressure * x) / a, (pressure * y) / a, 0],
    )
    const { move, energyMJ } = await solved(mesh, heldWhere(mesh, onSymmetry), force)
    for (let n = 0; n < mesh.nNodes; n++) {
      const [x, y, z] = nodePlace(mesh, n)
      if (near(x, b) && near(y) && near(z)) moves.push(move[3 * n])
    }
    energies.push(energyMJ / h)
    const j = rowAt(mesh, 0)
    stresses.push(
      surfaceStress(
        mesh,
        cellStress(mesh, move),
        (i) => [i, j, 0],
        ([x]) => x - a,
        1,
      ),
    )
  }
  const source = 'Lamé (Timoshenko & Goodier, section 28), plane stress'
  const energy = ((Math.PI / 4) * pressure ** 2 * a * a * (k + NU)) / E
  check(
    'full field, thick cylinder',
    `growth outside; ${inWords(moves, 5)}, extrapolated`,
    source,
    (2 * pressure * a * a * b) / (E * (b * b - a * a)),
    extrapolate(moves[0], moves[1], moves[2]).limit,
    0.01,
    'mm',
  )
  check(
    'full field, thick cylinder',
    `energy of a quarter 1 mm thick; ${inWords(energies, 5)}, extrapolated`,
    source,
    energy,
    extrapolate(energies[0], energies[1], energies[2]).limit,
    0.01,
    'mJ',
  )
  check(
    'full field, thick cylinder',
    `hoop stress inside; ${inWords(stresses, 3)}`,
    source,
    pressure * k,
    stresses[2],
    0.03,
    'MPa',
  )
})

test('a ring that is warmer inside', async () => {
  const { a, b } = RING
  const [alpha, warm] = [68e-6, 35]
  const temperature = (x: number, y: number): number =>
    (warm * Math.log(b / Math.max(Math.hypot(x, y), 1))) / Math.log(b / a)
  const stresses: number[] = []
  for (const h of RING_CELLS) {
    const mesh = await ringMesh(h)
    const { move } = await solved(mesh, heldWhere(mesh, onSymmetry), thermalForces(mesh, alpha, temperature))
    const stress = lessExpansion(mesh, cellStress(mesh, move), alpha, temperature)
    const j = rowAt(mesh, 0)
    stresses.push(
      surfaceStress(
        mesh,
        stress,
        (i) => [i, j, 0],
        ([x]) => x - a,
        1,
      ),
    )
  }
  const ln = Math.log(b / a)
  check(
    'full field, warmth',
    `disc with a hole, course of temperature as the logarithm, 35 degrees warmer inside: hoop stress inside; ${inWords(stresses, 3)}`,
    'Timoshenko & Goodier, section 151 (thin disc)',
    ((E * alpha * warm) / (2 * ln)) * (1 - ((2 * b * b) / (b * b - a * a)) * ln),
    stresses[2],
    0.04,
    'MPa',
  )
})

test('a cube that cools: free, and held in one, two, three directions', async () => {
  const [alpha, cold] = [68e-6, -35]
  const box: Loop = [
    [0, 0],
    [10, 0],
    [10, 10],
    [0, 10],
  ]
  const mesh = await cellsOf(
    Array.from({ length: 4 }, () => box),
    2.5,
    2.5,
    isotropic(3500, NU),
  )
  const force = thermalForces(mesh, alpha, () => cold)
  const look = async (nHeld: number): Promise<{ stress: CellStress; side: number }> => {
    const far = (v: number, axis: number): boolean => near(v) || (axis < nHeld && near(v, 10))
    const held = heldWhere(mesh, ([x, y, z]) => [far(x, 0), far(y, 1), far(z, 2)])
    const { move } = await solveField(await buildMultigrid(mesh, held), force, undefined, 1e-12)
    const corner = mesh.nNodes - 1
    return { stress: lessExpansion(mesh, cellStress(mesh, move), alpha, () => cold), side: move[3 * corner + 2] }
  }
  const free = await look(0)
  check(
    'full field, warmth',
    'free cube 10 mm, 35 degrees colder: change of a side',
    'closed form',
    -0.0238,
    free.side,
    1e-6,
    'mm',
  )
  checkOutside({
    room: 'strength',
    model: 'full field, warmth',
    case: 'free cube: greatest stress of all cells',
    source: 'closed form: none',
    expected: 0,
    got: Math.max(...free.stress.middle.map(Math.abs)),
    allowed: 1e-6,
    unit: 'MPa',
  })
  for (const [n, mpa] of [
    [1, 8.33],
    [2, 13.016],
    [3, 29.75],
  ])
    check(
      'full field, warmth',
      `held in ${n} direction${n > 1 ? 's' : ''}: stress there`,
      'closed form',
      mpa,
      (await look(n)).stress.middle[0],
      1e-4,
      'MPa',
    )
})

test('a strip with a straight course of temperature bends and stays free of stress', async () => {
  const [alpha, perMm] = [1e-4, 5]
  const strip: Loop = [
    [0, -0.5],
    [2, -0.5],
    [2, 0.5],
    [0, 0.5],
  ]
  const mesh = await cellsOf(
    Array.from({ length: 16 }, () => strip),
    0.5,
    0.5,
    isotropic(E, NU),
  )
  const held = heldWhere(mesh, ([x, y, z]) => {
    const foot = near(x) && near(z)
    return [foot && near(Math.abs(y), 0.5), foot && near(y, -0.5), near(z)]
  })
  const temperature = (x: number): number => perMm * (x - 1)
  const { move } = await solveField(
    await buildMultigrid(mesh, held),
    thermalForces(mesh, alpha, temperature),
    undefined,
    1e-12,
  )
  const stress = lessExpansion(mesh, cellStress(mesh, move), alpha, temperature)
  expect(Math.max(...stress.middle.map(Math.abs), ...stress.gradient.map(Math.abs))).toBeLessThan(1e-4 * E * alpha)
})

test("Cook's membrane", async () => {
  const plate: Loop = [
    [0, 0],
    [48, 44],
    [48, 60],
    [0, 44],
  ]
  const rises: number[] = []
  for (const h of [4, 2, 1]) {
    const mesh = await cellsOf([plate], h, h, isotropic(1, 1 / 3))
    const held = heldWhere(mesh, ([x, , z]) => [near(x), near(x), near(z)])
    const force = loadWall(
      mesh,
      [
        [48, 44],
        [48, 60],
      ],
      () => [-1, 0],
      () => [0, 1 / 16, 0],
    )
    const { move } = await solved(mesh, held, force)
    // One thick in the benchmark, one cell here: the load per thickness is the same.
    let best = Infinity
    let rise = 0
    for (let n = 0; n < mesh.nNodes; n++) {
      const [x, y] = nodePlace(mesh, n)
      const d = Math.hypot(x - 48, y - 52)
      if (d < best - 1e-9) {
        best = d
        rise = move[3 * n + 1]
      }
    }
    rises.push(rise)
  }
  check(
    "full field, Cook's membrane",
    `rise of the middle of the free side; ${inWords(rises, 2)}, extrapolated`,
    'Cook (1974), reference 23.96 (second-hand)',
    23.96,
    extrapolate(rises[0], rises[1], rises[2]).limit,
    0.01,
    'mm',
  )
})

/** Outline of a quarter of a shaft: radius by height. */
const SHOULDER = { D: 3, d: 2, r: 0.4, top: 5, step: 2 }
const radiusAt = (z: number): number => {
  const { D, d, r, step } = SHOULDER
  if (z < step) return D / 2
  const up = z - step
  return up >= r ? d / 2 : d / 2 + r - Math.sqrt(r * r - (r - up) ** 2)
}

test('shouldered round shaft, pulled and bent', async () => {
  const { d, top, step, r } = SHOULDER
  const pulls: number[] = []
  const bends: number[] = []
  for (const h of [1 / 6, 1 / 12, 1 / 24]) {
    // Four layers to a cell, so that the fillet is as round as the cells let it be.
    const layer = h / 4
    const outlines = Array.from(
      { length: Math.round(top / layer) },
      (_, i): Loop => [[0, 0], ...arc(radiusAt((i + 0.5) * layer), radiusAt((i + 0.5) * layer), 0, Math.PI / 2, 48)],
    )
    const mesh = await cellsOf(outlines, layer, h, isotropic(E, NU))
    const area = (Math.PI * d * d) / 16
    const j = rowAt(mesh, 0)
    const most = (stress: CellStress): number => {
      let worst = 0
      for (let k = Math.round((step - r) / h); k < Math.round((step + 2 * r) / h); k++) {
        const surface = radiusAt((k + 0.5) * h)
        const six = [0, 1, 2, 3, 4, 5].map((component) =>
          surfaceStress(
            mesh,
            stress,
            (i) => [Math.ceil(2 / h) - i, j, k],
            ([x]) => surface - x,
            component,
          ),
        )
        worst = Math.max(worst, greatestPrincipal(six[0], six[1], six[2], six[3], six[4], six[5]))
      }
      return worst
    }
    const pull = loadTop(mesh, () => [0, 0, 1])
    const total = pull.reduce((s, v) => s + v, 0)
    const pulled = await solved(mesh, heldWhere(mesh, onSymmetry), pull)
    pulls.push((most(cellStress(mesh, pulled.move)) * area) / total)
    // Bent about y: x = 0 is a plane of antisymmetry, y = 0 one of symmetry.
    const bend = loadTop(mesh, (x) => [0, 0, x])
    const bent = await solved(
      mesh,
      heldWhere(mesh, ([x, y, z]) => [near(z), near(y) || near(x), near(z) || near(x)]),
      bend,
    )
    let moment = 0
    for (let n = 0; n < mesh.nNodes; n++) moment += bend[3 * n + 2] * nodePlace(mesh, n)[0]
    const modulus = (Math.PI * d ** 3) / 32 / 4
    bends.push((most(cellStress(mesh, bent.move)) * modulus) / moment)
  }
  const source = "Peterson's charts 3.4 and 3.10 (fits from memory; two fits differ by up to 4 %)"
  check(
    'full field, notch',
    `shouldered shaft D/d 1.5, r/d 0.2, pulled: greatest over nominal stress; ${inWords(pulls, 3)}`,
    source,
    1.554,
    pulls[2],
    0.08,
  )
  check('full field, notch', `the same, bent; ${inWords(bends, 3)}`, source, 1.467, bends[2], 0.08)
})
