// What a benchmark returns, and the least time of several runs: the one least disturbed by the rest of the machine.

/** One line of the table: our time against that of a named general-purpose library, or alone. */
export interface BenchRow {
  readonly subject: string
  /** Library and version, and what it does; empty where nothing general does the same. */
  readonly against: string
  readonly oursS: number
  /** NaN where there is nothing to compare with. */
  readonly theirsS: number
  readonly note: string
}

/** Least seconds of several runs. */
export const least = async (runs: number, work: () => unknown): Promise<number> => {
  let best = Infinity
  for (let run = 0; run < runs; run++) {
    const start = performance.now()
    await work()
    best = Math.min(best, (performance.now() - start) / 1000)
  }
  return best
}
