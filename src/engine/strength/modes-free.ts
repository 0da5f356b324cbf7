// Free-free vibrations of a body: a Krylov space of its flexibility, made four vectors at a time, then Ritz values.
//
// Each round solves K z = M q only to a thousandth: what that leaves out of the space shows in the frequencies as its square, and the
// projection afterwards is exact. Locally optimal block gradients were reckoned too: six rounds of 46 vectors, but 9 GFlop of dense
// products a round against 5 GFlop in all here.

import { breathe, type Task } from '../kernel/index.ts'
import { brickProduct } from './brick.ts'
import { balance, dropRigid, type FreeBody, type FreeSolver, freeSolver } from './modes-body.ts'
import { symmetricModes } from './vibration.ts'

export interface FreeModesOptions {
  /** Elastic modes wanted. */
  readonly nModes: number
  /** Krylov vectors per mode. */
  readonly perMode: number
  /** Residual over load of each solve. */
  readonly tolerance: number
}

export const FREE_MODES_DEFAULTS: FreeModesOptions = Object.freeze({ nModes: 44, perMode: 1.8, tolerance: 5e-3 })

/** Elastic modes of a free body, lowest first. */
export interface FreeModes {
  readonly nModes: number
  /** Displacement, unit modal mass (tonnes), 3*nNodes per mode. */
  readonly shapes: readonly Float64Array[]
  /** Angular frequency, rad/s. */
  readonly omega: Float64Array
  /** Norm of K x - w2 M x over that of w2 M x, weighed by inverse mass. The frequency is off by at most half of it, mostly by its square. */
  readonly residual: Float64Array
}

/** Residual over load when modes are improved: a rough answer moves them as far. */
const REFINE_TOLERANCE = 0.05

/** Vectors taken together. */
const BLOCK = 4

/** Even numbers in [-1, 1) without a pattern that a grid would see: xorshift. */
const noise = (seed: number): (() => number) => {
  let s = seed | 0 || 1
  return () => {
    s ^= s << 13
    s ^= s >>> 17
    s ^= s << 5
    return s / 2147483648
  }
}

/** Below this share of its length a vector that lost so much to the basis is cleared of it once more. */
const LOST = 1e-3

/** Takes the basis out of four vectors, two of the basis at a time. */
const clearOf = (basis: readonly Float64Array[], mass: Float64Array, fresh: readonly Float64Array[]): void => {
  const n = mass.length
  const [a, b, c, d] = fresh
  for (let k = 0; k < basis.length; k += 2) {
    const v = basis[k]
    const two = k + 1 < basis.length
    const w = basis[two ? k + 1 : k]
    let [av, bv, cv, dv, aw, bw, cw, dw] = [0, 0, 0, 0, 0, 0, 0, 0]
    for (let i = 0; i < n; i++) {
      const mv = mass[i] * v[i]
      const mw = mass[i] * w[i]
      av += mv * a[i]
      bv += mv * b[i]
      cv += mv * c[i]
      dv += mv * d[i]
      aw += mw * a[i]
      bw += mw * b[i]
      cw += mw * c[i]
      dw += mw * d[i]
    }
    if (!two) aw = bw = cw = dw = 0
    for (let i = 0; i < n; i++) {
      const p = v[i]
      const q = w[i]
      a[i] -= av * p + aw * q
      b[i] -= bv * p + bw * q
      c[i] -= cv * p + cw * q
      d[i] -= dv * p + dw * q
    }
  }
}

/**
 * Makes up to four vectors square by mass to the basis and to each other, of unit mass, and puts them into it; those that vanish are left
 * out. The vectors are changed.
 */
const intoBasis = (basis: Float64Array[], fresh: readonly Float64Array[], mass: Float64Array): Float64Array[] => {
  const n = mass.length
  const four = [...fresh]
  while (four.length < BLOCK) four.push(new Float64Array(n))
  const before = fresh.map((x) => massDot(mass, x, x))
  clearOf(basis, mass, four)
  if (fresh.some((x, k) => massDot(mass, x, x) < LOST * LOST * before[k])) clearOf(basis, mass, four)
  const kept: Float64Array[] = []
  fresh.forEach((x, k) => {
    for (let pass = 0; pass < 2; pass++)
      for (const v of kept) {
        const dot = massDot(mass, v, x)
        for (let i = 0; i < n; i++) x[i] -= dot * v[i]
      }
    const norm = massDot(mass, x, x)
    if (!(norm > 1e-16 * before[k])) return
    const f = 1 / Math.sqrt(norm)
    for (let i = 0; i < n; i++) x[i] *= f
    kept.push(x)
  })
  basis.push(...kept)
  return kept
}

const massDot = (mass: Float64Array, x: Float64Array, y: Float64Array): number => {
  let sum = 0
  for (let i = 0; i < mass.length; i++) sum += mass[i] * x[i] * y[i]
  return sum
}

/** Products of one vector with up to all of a list, four at a time. */
const dotsWith = (
  list: readonly Float64Array[],
  upTo: number,
  y: Float64Array,
  out: Float64Array,
  at: number,
): void => {
  let k = 0
  for (; k + 4 <= upTo; k += 4) {
    const [a, b, c, d] = [list[k], list[k + 1], list[k + 2], list[k + 3]]
    let da = 0
    let db = 0
    let dc = 0
    let dd = 0
    for (let i = 0; i < y.length; i++) {
      const w = y[i]
      da += w * a[i]
      db += w * b[i]
      dc += w * c[i]
      dd += w * d[i]
    }
    out[at + k] = da
    out[at + k + 1] = db
    out[at + k + 2] = dc
    out[at + k + 3] = dd
  }
  for (; k < upTo; k++) {
    let sum = 0
    for (let i = 0; i < y.length; i++) sum += y[i] * list[k][i]
    out[at + k] = sum
  }
}

/** Sums of the basis with the rows of weights, four basis vectors at a time. */
const combined = (basis: readonly Float64Array[], weights: Float64Array, row: number, n: number): Float64Array => {
  const x = new Float64Array(n)
  const m = basis.length
  for (let k = 0; k < m; k += 4) {
    const [a, b, c, d] = [0, 1, 2, 3].map((j) => basis[Math.min(k + j, m - 1)])
    const [wa, wb, wc, wd] = [0, 1, 2, 3].map((j) => (k + j < m ? weights[row * m + k + j] : 0))
    for (let i = 0; i < n; i++) x[i] += wa * a[i] + wb * b[i] + wc * c[i] + wd * d[i]
  }
  return x
}

/** Ritz modes of a basis that is square by mass: lowest first. */
export const ritzModes = async (
  { mesh, mass }: FreeBody,
  basis: readonly Float64Array[],
  nModes: number,
  task?: Task,
): Promise<FreeModes> => {
  const n = mass.length
  const m = basis.length
  const small = new Float64Array(m * m)
  const y = new Float64Array(n)
  for (let a = 0; a < m; a++) {
    brickProduct(mesh, basis[a], y)
    dotsWith(basis, a + 1, y, small, a * m)
    for (let b = 0; b < a; b++) small[b * m + a] = small[a * m + b]
    await breathe(task)
  }
  const { values, vectors } = symmetricModes(small, m)
  const order = Array.from(values.keys()).sort((a, b) => values[a] - values[b])
  const shapes: Float64Array[] = []
  const omega = new Float64Array(Math.min(nModes, m))
  const residual = new Float64Array(omega.length)
  for (let k = 0; k < omega.length; k++) {
    const x = combined(basis, vectors, order[k], n)
    const w2 = Math.max(values[order[k]], 1e-300)
    brickProduct(mesh, x, y)
    let off = 0
    for (let i = 0; i < n; i++) {
      const r = y[i] - w2 * mass[i] * x[i]
      off += (r * r) / mass[i]
    }
    omega[k] = Math.sqrt(w2)
    residual[k] = Math.sqrt(off) / w2
    shapes.push(x)
    await breathe(task)
  }
  return { nModes: omega.length, shapes, omega, residual }
}

/** Elastic modes of a free body. */
export const freeModes = async (
  body: FreeBody,
  options: Partial<FreeModesOptions> = {},
  task?: Task,
  solver?: FreeSolver,
): Promise<FreeModes> => {
  const o = { ...FREE_MODES_DEFAULTS, ...options }
  const solve = solver ?? (await freeSolver(body))
  const { mass } = body
  const n = mass.length
  const next = noise(20_261)
  const quiet = task && { ...task, onProgress: undefined }
  const wanted = Math.min(Math.ceil(o.perMode * o.nModes) + BLOCK, n - 6)
  const basis: Float64Array[] = []
  let loads = Array.from({ length: BLOCK }, () => {
    const f = Float64Array.from({ length: n }, (_, i) => Math.sqrt(mass[i]) * next())
    balance(body, f)
    return f
  })
  while (basis.length < wanted) {
    task?.onProgress?.((0.9 * basis.length) / wanted, 'finding how it vibrates')
    const answers = await solve(loads, o.tolerance, quiet)
    const fresh = intoBasis(basis, answers, mass)
    if (fresh.length === 0) break
    loads = fresh.map((q) => {
      const f = q.map((v, i) => mass[i] * v)
      balance(body, f)
      return f
    })
    await breathe(task)
  }
  task?.onProgress?.(0.9, 'finding how it vibrates')
  return ritzModes(body, basis, o.nModes, task)
}

/**
 * Improves modes that were found on another grid: what their residuals move is added to the space, and what was there before.
 * @param starts displacements on this body, one per mode and a few more
 */
export const refineModes = async (
  body: FreeBody,
  starts: readonly Float64Array[],
  nModes: number,
  rounds: number,
  solve: FreeSolver,
  task?: Task,
): Promise<FreeModes> => {
  const { mesh, mass } = body
  const quiet = task && { ...task, onProgress: undefined }
  const basis: Float64Array[] = []
  const add = (list: readonly Float64Array[]): void => {
    for (let k = 0; k < list.length; k += BLOCK) intoBasis(basis, list.slice(k, k + BLOCK), mass)
  }
  const own = starts.map((x) => {
    dropRigid(body, x)
    return x
  })
  add(own)
  let modes = await ritzModes(body, basis, starts.length, quiet)
  for (let round = 0; round < rounds; round++) {
    task?.onProgress?.(round / rounds, 'checking frequencies on the finer grid')
    const loads = modes.shapes.map((x, k) => {
      const y = new Float64Array(mass.length)
      brickProduct(mesh, x, y)
      const w2 = modes.omega[k] ** 2
      for (let i = 0; i < y.length; i++) y[i] -= w2 * mass[i] * x[i]
      balance(body, y)
      return y
    })
    add(await solve(loads, REFINE_TOLERANCE, quiet))
    modes = await ritzModes(body, basis, starts.length, quiet)
  }
  return {
    nModes: Math.min(nModes, modes.nModes),
    shapes: modes.shapes.slice(0, nModes),
    omega: modes.omega.slice(0, nModes),
    residual: modes.residual.slice(0, nModes),
  }
}
