// Vibrations of the limbs that a sudden change of velocity starts: Krylov vectors from that very change, then Ritz values.
//
// The first vectors hold the static answer to the change itself, so few are needed for the stress (Wilson, Yuan & Dickens 1982).

/** Modes as columns: shapes (nModes rows of n), frequency rad/s, and share of each start vector in each mode. */
export interface Modes {
  readonly nModes: number
  readonly shapes: Float64Array
  /** Angular frequency, rad/s, less the shift. */
  readonly omega: Float64Array
  /** Initial modal velocity for each start: nStarts rows of nModes. */
  readonly starts: Float64Array
}

/** Eigenvalues and vectors (rows) of a small symmetric matrix by Jacobi's turns. */
export const symmetricModes = (matrix: Float64Array, n: number): { values: Float64Array; vectors: Float64Array } => {
  const a = matrix.slice()
  const v = new Float64Array(n * n)
  for (let i = 0; i < n; i++) v[i * n + i] = 1
  for (let sweep = 0; sweep < 40; sweep++) {
    let off = 0
    let on = 0
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        if (i === j) on += a[i * n + j] ** 2
        else off += a[i * n + j] ** 2
    if (off <= 1e-26 * on) break
    for (let p = 0; p < n; p++)
      for (let q = p + 1; q < n; q++) {
        const apq = a[p * n + q]
        if (apq === 0) continue
        const theta = (a[q * n + q] - a[p * n + p]) / (2 * apq)
        const t = Math.sign(theta || 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1))
        const c = 1 / Math.sqrt(t * t + 1)
        const s = t * c
        for (let k = 0; k < n; k++) {
          const x = a[k * n + p]
          const y = a[k * n + q]
          a[k * n + p] = c * x - s * y
          a[k * n + q] = s * x + c * y
        }
        for (let k = 0; k < n; k++) {
          const x = a[p * n + k]
          const y = a[q * n + k]
          a[p * n + k] = c * x - s * y
          a[q * n + k] = s * x + c * y
          const vx = v[p * n + k]
          const vy = v[q * n + k]
          v[p * n + k] = c * vx - s * vy
          v[q * n + k] = s * vx + c * vy
        }
      }
  }
  return { values: Float64Array.from({ length: n }, (_, i) => a[i * n + i]), vectors: v }
}

/**
 * Modes that the given velocity fields start.
 * @param solve solves (K + shift M) x = b in place
 * @param mass diagonal
 * @param starts velocity fields
 * @param steps Krylov vectors per start
 */
export const startedModes = (
  solve: (x: Float64Array) => void,
  mass: Float64Array,
  starts: readonly Float64Array[],
  steps: number,
  shift = 0,
): Modes => {
  const n = mass.length
  const basis: Float64Array[] = []
  const answers: Float64Array[] = []
  let fresh: Float64Array[] = starts.map((s) => s.slice())
  for (let round = 0; round < steps && fresh.length > 0; round++) {
    const next: Float64Array[] = []
    for (const x of fresh) {
      let before = 0
      for (let i = 0; i < n; i++) before += mass[i] * x[i] * x[i]
      if (!(before > 0)) continue
      // Twice, so that rounding leaves nothing of the others.
      for (let pass = 0; pass < 2; pass++)
        for (const q of basis) {
          let dot = 0
          for (let i = 0; i < n; i++) dot += mass[i] * q[i] * x[i]
          for (let i = 0; i < n; i++) x[i] -= dot * q[i]
        }
      let norm = 0
      for (let i = 0; i < n; i++) norm += mass[i] * x[i] * x[i]
      if (!(norm > 1e-18 * before)) continue
      norm = Math.sqrt(norm)
      for (let i = 0; i < n; i++) x[i] /= norm
      basis.push(x)
      const z = new Float64Array(n)
      for (let i = 0; i < n; i++) z[i] = mass[i] * x[i]
      solve(z)
      answers.push(z)
      next.push(z.slice())
    }
    fresh = next
  }
  const m = basis.length
  const flexibility = new Float64Array(m * m)
  for (let a = 0; a < m; a++)
    for (let b = 0; b <= a; b++) {
      let dot = 0
      for (let i = 0; i < n; i++) dot += mass[i] * basis[a][i] * answers[b][i]
      flexibility[a * m + b] = flexibility[b * m + a] = dot
    }
  const { values, vectors } = symmetricModes(flexibility, m)
  // Shapes as they bend under their own inertia, w2 K^-1 M phi: the same for a mode that has settled; for the last Krylov vectors, which
  // have not, it is the force of their inertia that counts and not the roughness of their shape (without it a slender rod's foot came
  // out three times too high).
  const shapes = new Float64Array(m * n)
  const omega = new Float64Array(m)
  for (let k = 0; k < m; k++) {
    omega[k] = Math.sqrt(Math.max(1 / Math.max(values[k], 1e-300) - shift, 0))
    const row = shapes.subarray(k * n, k * n + n)
    for (let a = 0; a < m; a++) {
      const c = vectors[k * m + a]
      const z = answers[a]
      const f = c / Math.max(values[k], 1e-300)
      for (let i = 0; i < n; i++) row[i] += f * z[i]
    }
  }
  const inStarts = new Float64Array(starts.length * m)
  starts.forEach((s, r) => {
    const inBasis = basis.map((q) => {
      let dot = 0
      for (let i = 0; i < n; i++) dot += mass[i] * q[i] * s[i]
      return dot
    })
    for (let k = 0; k < m; k++) for (let a = 0; a < m; a++) inStarts[r * m + k] += vectors[k * m + a] * inBasis[a]
  })
  return { nModes: m, shapes, omega, starts: inStarts }
}
