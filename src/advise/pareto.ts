// Which of many rows no other row beats: as small in every column and smaller in one. Rows that agree in all columns all stay.

/** Lexicographic order of two rows. */
const compareRows = (rows: Float64Array, k: number, a: number, b: number): number => {
  for (let c = 0; c < k; c++) {
    const d = rows[a * k + c] - rows[b * k + c]
    if (d !== 0) return d
  }
  return a - b
}

const beats = (rows: Float64Array, k: number, a: number, b: number): boolean => {
  let isLess = false
  for (let c = 0; c < k; c++) {
    const x = rows[a * k + c]
    const y = rows[b * k + c]
    if (x > y) return false
    if (x < y) isLess = true
  }
  return isLess
}

/**
 * Indices of the unbeaten rows, rising. Every column is to be small; NaN is not allowed.
 * In lexicographic order a row can be beaten only by one before it, so each row is held against the unbeaten ones so far.
 * @param rows row after row, length n*k @param k columns, 1 or more
 */
export const unbeatenRows = (rows: Float64Array, k: number): number[] => {
  const n = rows.length / k
  const order = Array.from({ length: n }, (_, i) => i).sort((a, b) => compareRows(rows, k, a, b))
  const kept: number[] = []
  for (const i of order) {
    let isBeaten = false
    // The last one kept is most like it: beaten rows are found soonest from there.
    for (let j = kept.length - 1; j >= 0 && !isBeaten; j--) isBeaten = beats(rows, k, kept[j], i)
    if (!isBeaten) kept.push(i)
  }
  return kept.sort((a, b) => a - b)
}

/** A stream of numbers in [0, 1) from a seed (mulberry32): the same on every machine. */
export const seededNumbers = (seed: number): (() => number) => {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** Smallest and greatest of each column over some rows. */
const rangesOf = (rows: Float64Array, k: number, among: readonly number[]): [number, number][] =>
  Array.from({ length: k }, (_, c) => {
    let least = Infinity
    let most = -Infinity
    for (const i of among) {
      least = Math.min(least, rows[i * k + c])
      most = Math.max(most, rows[i * k + c])
    }
    return [least, most]
  })

/**
 * Rows that stand for a set: the best in each column, the one nearest to the best of all, then always the one farthest from those taken.
 * Distances are shares of each column's range. Ties are settled by the seed.
 * @param taken rows that count as taken already and are not chosen again
 */
export const spreadOver = (
  rows: Float64Array,
  k: number,
  among: readonly number[],
  count: number,
  taken: readonly number[],
  random: () => number,
): number[] => {
  const free = among.filter((i) => !taken.includes(i))
  if (free.length <= count) return free
  const ranges = rangesOf(rows, k, [...among, ...taken])
  const share = (i: number, c: number): number => {
    const [least, most] = ranges[c]
    return most > least ? (rows[i * k + c] - least) / (most - least) : 0
  }
  // A fixed number for each row, too small to matter but for ties.
  const tie = new Map(free.map((i) => [i, 1e-9 * random()]))
  const chosen: number[] = []
  const leastBy = (value: (i: number) => number): void => {
    const open = free.filter((i) => !chosen.includes(i))
    if (open.length === 0 || chosen.length >= count) return
    chosen.push(open.reduce((a, b) => (value(b) + (tie.get(b) ?? 0) < value(a) + (tie.get(a) ?? 0) ? b : a)))
  }
  leastBy((i) => Array.from({ length: k }, (_, c) => share(i, c) ** 2).reduce((a, b) => a + b, 0))
  for (let c = 0; c < k; c++) if (ranges[c][1] > ranges[c][0]) leastBy((i) => share(i, c))
  const apart = (i: number, j: number): number => {
    let sum = 0
    for (let c = 0; c < k; c++) sum += (share(i, c) - share(j, c)) ** 2
    return sum
  }
  const nearest = new Map(free.map((i) => [i, Infinity]))
  const near = (j: number): void => {
    for (const i of free) nearest.set(i, Math.min(nearest.get(i) ?? Infinity, apart(i, j)))
  }
  for (const j of [...taken, ...chosen]) near(j)
  while (chosen.length < count) {
    leastBy((i) => -(nearest.get(i) ?? 0))
    near(chosen[chosen.length - 1])
  }
  return chosen
}

/** The row nearest to the best of every column, distances as shares of each column's range. */
export const nearestToBest = (rows: Float64Array, k: number, among: readonly number[]): number =>
  spreadOver(rows, k, among, 1, [], () => 0)[0] ?? among[0]
