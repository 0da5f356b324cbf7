// Direct solution of sparse symmetric positive systems whose unknowns stand in blocks: reverse Cuthill-McKee order, envelope Cholesky.
//
// Bodies with limbs are nearly trees, so the envelope stays narrow. Sources: Cuthill & McKee 1969; George & Liu 1981, ch. 4.

/** Which blocks are joined: neighbours of block i are list[start[i]] to list[start[i+1]-1]. */
export interface BlockGraph {
  readonly start: Uint32Array
  readonly list: Uint32Array
}

/** Order of blocks with a small envelope: position of each block. */
export const narrowOrder = ({ start, list }: BlockGraph): Uint32Array => {
  const n = start.length - 1
  const order = new Uint32Array(n)
  const seen = new Uint8Array(n)
  const level = new Int32Array(n)
  const degree = (i: number) => start[i + 1] - start[i]
  const queue = new Uint32Array(n)
  const walk = (from: number, mark: number): number => {
    let head = 0
    let tail = 0
    queue[tail++] = from
    level[from] = mark
    while (head < tail) {
      const at = queue[head++]
      for (let k = start[at]; k < start[at + 1]; k++) {
        const to = list[k]
        if (seen[to] || level[to] === mark) continue
        level[to] = mark
        queue[tail++] = to
      }
    }
    return tail
  }
  let done = 0
  let mark = 0
  for (let seed = 0; seed < n; seed++) {
    if (seen[seed]) continue
    // Twice from the far end: an end of the longest way through the piece.
    let end = seed
    for (let pass = 0; pass < 3; pass++) end = queue[walk(end, ++mark) - 1]
    const first = done
    order[done++] = end
    seen[end] = 1
    for (let head = first; head < done; head++) {
      const at = order[head]
      const from = done
      for (let k = start[at]; k < start[at + 1]; k++) {
        const to = list[k]
        if (seen[to]) continue
        seen[to] = 1
        order[done++] = to
      }
      order.subarray(from, done).sort((a, b) => degree(a) - degree(b))
    }
  }
  const position = new Uint32Array(n)
  for (let k = 0; k < n; k++) position[order[n - 1 - k]] = k
  return position
}

/** A symmetric matrix by rows of its lower envelope. */
export class Envelope {
  readonly n: number
  /** First column of each row, and where the row's entries stand: entry (i, j) at rowEnd[i] - (i - j). */
  readonly first: Int32Array
  readonly rowEnd: Float64Array
  readonly values: Float64Array

  /** @param first first column of each row, at most the row's own number */
  constructor(first: Int32Array) {
    this.n = first.length
    this.first = first
    this.rowEnd = new Float64Array(this.n)
    let total = 0
    for (let i = 0; i < this.n; i++) {
      total += i - first[i] + 1
      this.rowEnd[i] = total - 1
    }
    this.values = new Float64Array(total)
  }

  /** Adds to entry (i, j); either order. */
  add(i: number, j: number, value: number): void {
    if (i < j) this.values[this.rowEnd[j] - (j - i)] += value
    else this.values[this.rowEnd[i] - (i - j)] += value
  }

  /** Factors in place. Pivots that vanish (a free direction) are set aside: their unknown comes out as 0. @returns how many */
  factor(): number {
    const { n, first, rowEnd, values } = this
    let free = 0
    for (let i = 0; i < n; i++) {
      const fi = first[i]
      const ri = rowEnd[i] - i
      const before = values[rowEnd[i]]
      for (let j = fi; j < i; j++) {
        const fj = first[j]
        const rj = rowEnd[j] - j
        let sum = values[ri + j]
        // Four sums at once: one alone waits for itself.
        let k = fi > fj ? fi : fj
        let second = 0
        let third = 0
        let fourth = 0
        for (const end = j - 3; k < end; k += 4) {
          sum -= values[ri + k] * values[rj + k]
          second -= values[ri + k + 1] * values[rj + k + 1]
          third -= values[ri + k + 2] * values[rj + k + 2]
          fourth -= values[ri + k + 3] * values[rj + k + 3]
        }
        for (; k < j; k++) sum -= values[ri + k] * values[rj + k]
        sum += second + third + fourth
        values[ri + j] = sum * values[rj + j]
      }
      let pivot = before
      for (let k = fi; k < i; k++) pivot -= values[ri + k] ** 2
      // The diagonal holds the inverse of the pivot's root.
      if (pivot > 1e-13 * before && pivot > 0) values[rowEnd[i]] = 1 / Math.sqrt(pivot)
      else {
        values[rowEnd[i]] = 0
        free++
      }
    }
    return free
  }

  /** Solves in place after factor(). */
  solve(x: Float64Array): void {
    const { n, first, rowEnd, values } = this
    for (let i = 0; i < n; i++) {
      const ri = rowEnd[i] - i
      let sum = x[i]
      for (let k = first[i]; k < i; k++) sum -= values[ri + k] * x[k]
      x[i] = sum * values[ri + i]
    }
    for (let i = n - 1; i >= 0; i--) {
      const ri = rowEnd[i] - i
      const value = x[i] * values[ri + i]
      x[i] = value
      for (let k = first[i]; k < i; k++) x[k] -= values[ri + k] * value
    }
  }
}

/** Empty envelope for blocks of `size` unknowns in the given order. */
export const blockEnvelope = (graph: BlockGraph, position: Uint32Array, size: number): Envelope => {
  const nBlocks = position.length
  const first = new Int32Array(nBlocks * size)
  for (let b = 0; b < nBlocks; b++) {
    let low = position[b]
    for (let k = graph.start[b]; k < graph.start[b + 1]; k++) low = Math.min(low, position[graph.list[k]])
    for (let c = 0; c < size; c++) first[position[b] * size + c] = low * size
  }
  return new Envelope(first)
}
