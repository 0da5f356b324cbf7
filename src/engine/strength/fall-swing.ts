// What a fall on the base starts swinging: vibrations of the held body, from the field's own stiffness and masses.
//
// The floor stops the base dead while all else goes on at the speed of the fall. Load-dependent vectors (Wilson, Yuan & Dickens 1982):
// the first is the shape that an even acceleration gives, each next one that which the last one's inertia gives; in their span the
// lowest modes that the fall starts are found (Rayleigh and Ritz). Modes add up as root of squares, each with its greater side.

import { partOf, type Task } from '../kernel/index.ts'
import { brickProduct } from './brick.ts'
import { type FieldAnswer, type FieldLoad, type FieldModel, massPerNodeG, usesOf } from './full-field.ts'
import { solveField } from './solve-field.ts'
import { symmetricModes } from './vibration.ts'

/** Vectors: on a clamped rod six give the root's stress within a few hundredths of all modes. */
const N_VECTORS = 6
const TOLERANCE = 1e-4
const TONNES_PER_G = 1e-6

/** The fall as an answer of the field, and the mode that does most at the worst place. */
export interface FallSwing {
  readonly answer: FieldAnswer
  readonly hertz: number
  /** All frequencies found, Hz, ascending. */
  readonly hertzOfModes: readonly number[]
}

/**
 * Swings of a held body whose base stops dead.
 * @param down unit direction of the fall
 */
export const swingAfterFall = async (
  model: FieldModel,
  down: readonly [number, number, number],
  speedMmPerS: number,
  load: FieldLoad,
  task?: Task,
): Promise<FallSwing> => {
  const { mesh, grid, lanes, material, options } = model
  const n = 3 * mesh.nNodes
  const nodeMass = massPerNodeG(mesh, options.infillShare, material.densityGPerCm3)
  const { held } = grid
  const mass = new Float64Array(n)
  for (let i = 0; i < n; i++) mass[i] = held[i] ? 0 : nodeMass[Math.floor(i / 3)] * TONNES_PER_G
  const dot = (x: Float64Array, y: Float64Array): number => {
    let sum = 0
    for (let i = 0; i < n; i++) sum += mass[i] * x[i] * y[i]
    return sum
  }
  const vectors: Float64Array[] = []
  const force = new Float64Array(n)
  for (let k = 0; k < N_VECTORS; k++) {
    for (let i = 0; i < n; i++) force[i] = mass[i] * (k === 0 ? down[i % 3] : vectors[k - 1][i])
    const part = partOf(task, k / N_VECTORS, (k + 1) / N_VECTORS)
    const [{ move }] = lanes
      ? await lanes.solve([force], TOLERANCE, 300, part)
      : [await solveField(grid, force, undefined, TOLERANCE, 300, part)]
    const before = dot(move, move)
    for (let pass = 0; pass < 2; pass++)
      for (const v of vectors) {
        const share = dot(v, move)
        for (let i = 0; i < n; i++) move[i] -= share * v[i]
      }
    const size = dot(move, move)
    if (!(size > 1e-12 * before)) break
    const f = 1 / Math.sqrt(size)
    for (let i = 0; i < n; i++) move[i] *= f
    vectors.push(move)
  }
  const m = vectors.length
  const reduced = new Float64Array(m * m)
  const product = new Float64Array(n)
  vectors.forEach((x, row) => {
    brickProduct(mesh, x, product)
    vectors.forEach((y, column) => {
      let sum = 0
      for (let i = 0; i < n; i++) sum += y[i] * product[i]
      reduced[row * m + column] = sum
    })
  })
  for (let i = 0; i < m; i++)
    for (let j = 0; j < i; j++) reduced[m * i + j] = reduced[m * j + i] = (reduced[m * i + j] + reduced[m * j + i]) / 2
  const { values, vectors: turns } = symmetricModes(reduced, m)

  const within = new Float32Array(mesh.nCells)
  const between = new Float32Array(mesh.nCells)
  const modes: {
    readonly move: Float64Array
    readonly stress: Float64Array
    readonly use: Float32Array
    hertz: number
  }[] = []
  for (let k = 0; k < m; k++) {
    const omega = Math.sqrt(Math.max(values[k], 0))
    if (!(omega > 0)) continue
    const move = new Float64Array(n)
    for (let j = 0; j < m; j++) {
      const w = turns[m * k + j]
      for (let i = 0; i < n; i++) move[i] += w * vectors[j][i]
    }
    let share = 0
    for (let i = 0; i < n; i++) share += mass[i] * down[i % 3] * move[i]
    const amplitude = (share * speedMmPerS) / omega
    for (let i = 0; i < n; i++) move[i] *= amplitude
    const there = usesOf(model, move)
    const back = usesOf(
      model,
      move.map((v) => -v),
    )
    const use = new Float32Array(mesh.nCells)
    for (let c = 0; c < mesh.nCells; c++) {
      const a = Math.max(there.within[c], back.within[c])
      const b = Math.max(there.between[c], back.between[c])
      within[c] += a * a
      between[c] += b * b
      use[c] = Math.max(a, b)
    }
    modes.push({ move, stress: there.stress, use, hertz: omega / (2 * Math.PI) })
  }
  let worst = 0
  const clampRow = Math.round((options.holdBelowMm - mesh.origin[2]) / mesh.cellMm)
  let greatest = 0
  for (let c = 0; c < mesh.nCells; c++) {
    within[c] = Math.sqrt(within[c])
    between[c] = Math.sqrt(between[c])
    const use = Math.max(within[c], between[c])
    if (use > greatest && mesh.cellAt[3 * c + 2] > clampRow) {
      greatest = use
      worst = c
    }
  }
  const leading = modes.reduce((a, b) => (b.use[worst] > a.use[worst] ? b : a))
  return {
    hertz: leading.hertz,
    hertzOfModes: modes.map(({ hertz }) => hertz).sort((a, b) => a - b),
    answer: {
      load,
      move: Float32Array.from(leading.move),
      stress: Float32Array.from(leading.stress),
      useWithin: within,
      useBetween: between,
      greatestUse: greatest,
      greatestAt: [0, 1, 2].map((a) => mesh.origin[a] + mesh.cellMm * (mesh.cellAt[3 * worst + a] + 0.5)) as [
        number,
        number,
        number,
      ],
      between: between[worst] >= within[worst],
      travelMm: leading.move.reduce((most, v) => Math.max(most, Math.abs(v)), 0),
      breakForceN: Number.NaN,
      breakTravelMm: Number.NaN,
      linear: true,
      energyMJ: Number.NaN,
      iterations: 0,
      converged: true,
    },
  }
}
