// Following the heat of a figure: cell updates per second, beside what the memory of this machine can carry. Nothing general does the same; the plain loops stand beside.

import { computeHeat, quickHeat } from '../src/engine/heat/index.ts'
import { timeBeads } from '../src/engine/timing/index.ts'
import { startWasm } from '../src/pool/start-wasm.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../src/recipe/index.ts'
import { type BeadSketch, beadPlanOf, squarePath } from '../tests/bead-plans.ts'
import { type BenchRow, least } from './least.ts'

/** Bytes that one update reads and writes: nine arrays of single precision, one of double, most of them twice. */
const BYTES = 2 * (9 * 4 + 8)

/** A base of 24 mm with two legs and a trunk, 33 mm tall, 0.1 mm layers. */
const standing = () => {
  const rings = (x: number, y: number, side: number): BeadSketch[] => {
    const beads: BeadSketch[] = []
    for (let inset = 0.2; inset < side / 2 - 0.1; inset += 0.4)
      beads.push({
        path: squarePath(x + inset, y + inset, side - 2 * inset),
        role: inset < 0.3 ? 'outer shell' : 'inner shell',
        speed: inset < 0.3 ? 22.5 : 45,
      })
    return beads
  }
  return beadPlanOf(
    Array.from({ length: 330 }, (_, k) => ({
      height: 0.1,
      fanShare: k === 0 ? 0 : 1,
      nozzleC: 195,
      bedC: 60,
      beads: [
        ...(k < 20
          ? rings(-12, -12, 24)
          : k < 150
            ? [...rings(-4, -1.5, 3), ...rings(1, -1.5, 3)]
            : rings(-4, -2.5, 6)),
        ...(k >= 20 ? rings(7, 0, 1.2) : []),
      ],
    })),
  )
}

const heat = async (): Promise<BenchRow[]> => {
  const cards = { printer: STARTING_PRINTER, filament: STARTING_FILAMENT, recipe: STARTING_RECIPE }
  const plan = standing()
  const timeline = await timeBeads(plan, cards)
  const row = (subject: string, oursS: number, note: string): BenchRow => ({
    subject,
    against: '',
    oursS,
    theirsS: Number.NaN,
    note,
  })
  // What memory carries: a long copy, read and written.
  const from = new Float64Array(8e6).fill(1)
  const to = new Float64Array(8e6)
  const copyS = await least(5, () => {
    to.set(from)
  })
  const bytesPerS = (16 * from.length) / copyS
  const rows: BenchRow[] = []
  for (const cellMm of [0.4, 0.2]) {
    let nUpdates = 0
    const run = (starts: typeof startWasm | null) => async (): Promise<void> => {
      nUpdates = (await computeHeat(plan, timeline, cards, { cellMm, startWasm: starts })).nUpdates
    }
    const plainS = cellMm < 0.3 ? Number.NaN : await least(2, run(null))
    const seconds = await least(cellMm < 0.3 ? 1 : 2, run(startWasm))
    const perS = nUpdates / seconds
    rows.push({
      ...row(
        `heat of a whole figure, cells of ${cellMm} mm`,
        seconds,
        `${(timeline.totals.printS / 60).toFixed(0)} minutes of printing; ${(perS / 1e6).toFixed(0)} M updates/s, ` +
          `${(perS / (bytesPerS / BYTES)).toFixed(2)} of what memory carries; goal ${cellMm < 0.3 ? 12 : 5}`,
      ),
      against: cellMm < 0.3 ? '' : 'the same by plain loops',
      theirsS: plainS,
    })
  }
  const quick = await least(3, () => quickHeat(plan, timeline, cards))
  rows.push(row('quick heat of the same figure, five air speeds', quick, 'goal 0.3'))
  return rows
}

export default heat
