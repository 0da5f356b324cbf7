// Timing a million moves and beads, and reading 200 MB of motion code in pieces. Nothing general does either.

import { createCodeReader, inferBeads, writeCode } from '../src/engine/motioncode/index.ts'
import { timeBeads, timeMoves } from '../src/engine/timing/index.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../src/recipe/index.ts'
import { type BeadSketch, beadPlanOf } from '../tests/bead-plans.ts'
import { freeMachine } from '../tests/moves.ts'
import { type BenchRow, least } from './least.ts'

const N_MOVES = 1_000_000

/** A winding path of short pieces. */
const winding = () => {
  const points = new Float64Array(4 * (N_MOVES + 1))
  let heading = 0
  for (let i = 1; i <= N_MOVES; i++) {
    heading += 0.5 * Math.sin(12.9898 * i)
    points[4 * i] = points[4 * i - 4] + 0.3 * Math.cos(heading)
    points[4 * i + 1] = points[4 * i - 3] + 0.3 * Math.sin(heading)
    points[4 * i + 3] = 0.01 * i
  }
  return { nMoves: N_MOVES, points, speed: new Float64Array(N_MOVES).fill(45) }
}

/** Ten thousand rings of a hundred points. */
const rings = () => {
  const ring = (x: number): [number, number][] =>
    Array.from({ length: 101 }, (_, i) => [x + 5 * Math.cos((i * Math.PI) / 50), 5 * Math.sin((i * Math.PI) / 50)])
  return beadPlanOf(
    Array.from({ length: 250 }, () => ({
      height: 0.1,
      beads: Array.from({ length: 40 }, (_, b): BeadSketch => ({ path: ring(12 * b), retraction: 5 })),
    })),
  )
}

/** About 4 MB of moves as a file has them. */
const block = (): Uint8Array => {
  const lines = ['G21', 'G90', 'M82', 'G1 F2700']
  let e = 0
  for (let i = 0; i < 100_000; i++) {
    e += 0.0123
    const x = (100 + 20 * Math.cos(0.01 * i)).toFixed(3)
    const y = (100 + 20 * Math.sin(0.01 * i)).toFixed(3)
    lines.push(`G1 X${x} Y${y} E${e.toFixed(5)}`)
    if (i % 50 === 0) lines.push(`G0 F6000 X${100 + (i % 37)} Y90`, 'G1 F2700 ; a comment')
  }
  return new TextEncoder().encode(`${lines.join('\n')}\n`)
}

const motion = async (): Promise<BenchRow[]> => {
  const row = (subject: string, oursS: number, note: string): BenchRow => ({
    subject,
    against: '',
    oursS,
    theirsS: Number.NaN,
    note,
  })
  const text = block()
  const times = Math.ceil(200e6 / text.length)
  const readAll = (size: number) => {
    const reader = createCodeReader()
    for (let k = 0; k < times; k++) for (let p = 0; p < text.length; p += size) reader.push(text.subarray(p, p + size))
    const outcome = reader.finish()
    if (!outcome.ok) throw new Error(outcome.issues[0].message)
    return outcome.value
  }
  let nMoves = 0
  const read = await least(2, () => {
    nMoves = readAll(65_536).moves.n
  })
  const megabytes = (times * text.length) / 1e6

  const plan = rings()
  const written = createCodeReader()
  written.push(new TextEncoder().encode(writeCode(plan)))
  const part = written.finish()
  if (!part.ok) throw new Error(part.issues[0].message)
  const inferred = await least(2, () => inferBeads(part.value))

  const list = winding()
  const timedMoves = await least(5, () => {
    timeMoves(list, freeMachine({ curvatureLimit: true }))
  })
  const cards = (leastLayerTimeS: number) => ({
    recipe: { ...STARTING_RECIPE, leastLayerTimeS },
    printer: STARTING_PRINTER,
    filament: STARTING_FILAMENT,
  })
  const timedBeads = await least(3, () => timeBeads(plan, cards(10)))
  const slowed = await least(3, () => timeBeads(plan, cards(80)))
  return [
    row(
      'reading words and moves of a print file',
      read,
      `${megabytes.toFixed(0)} MB in pieces of 64 kB, ${nMoves} moves: ${(megabytes / read).toFixed(0)} MB/s; goal 60`,
    ),
    row('finding beads, layers, widths and roles in a print file', inferred, `${part.value.moves.n} moves`),
    row('look-ahead over plain moves', timedMoves, `${N_MOVES} moves; goal 0.5`),
    row('times of beads', timedBeads, `${plan.points.length / 3} points, no layer slowed; goal 0.5`),
    row('times of beads, every layer slowed', slowed, `${plan.points.length / 3} points, least layer time 80 s`),
  ]
}

export default motion
