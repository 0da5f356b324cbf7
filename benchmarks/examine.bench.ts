// A first examination, from bytes to findings: a demo figure, and the same figure with its triangles split to about a million.

import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { createExaminer, EXAMINE_DEFAULTS, type ExamineSettings } from '../src/engine/examine/index.ts'
import { readSculpt, writeStl } from '../src/engine/mesh/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import type { BenchRow } from './least.ts'

/** Every triangle split in four at the middles of its edges, as loose triangles; middles of one edge fall on the same numbers. */
const splitInFour = (
  positions: Float64Array,
  triangles: Uint32Array,
): { positions: Float64Array; triangles: Uint32Array } => {
  const out = new Float64Array(triangles.length * 12)
  let at = 0
  const corner = new Float64Array(18)
  for (let t = 0; t < triangles.length; t += 3) {
    for (let e = 0; e < 3; e++) {
      const a = 3 * triangles[t + e]
      const b = 3 * triangles[t + ((e + 1) % 3)]
      for (let r = 0; r < 3; r++) {
        corner[3 * e + r] = positions[a + r]
        corner[9 + 3 * e + r] = Math.fround((positions[a + r] + positions[b + r]) / 2)
      }
    }
    for (const [i, j, k] of [
      [0, 3, 5],
      [3, 1, 4],
      [5, 4, 2],
      [3, 4, 5],
    ]) {
      for (const c of [i, j, k]) for (let r = 0; r < 3; r++) out[at++] = corner[3 * c + r]
    }
  }
  return { positions: out, triangles: Uint32Array.from({ length: out.length / 3 }, (_, i) => i) }
}

/** Seconds from bytes to the first findings, and to the end with beads, thickness in space and remedies. */
const timed = async (
  bytes: Uint8Array,
  settings: ExamineSettings,
): Promise<{ first: number; whole: number; mb: number }> => {
  const kit = await loadPolygonKit()
  const start = performance.now()
  let first = Number.NaN
  const outcome = await createExaminer(kit).examine(bytes, 'keeper', settings, {
    onPartial: (partial) => {
      if (partial.findings && Number.isNaN(first)) first = (performance.now() - start) / 1000
    },
  })
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return { first, whole: (performance.now() - start) / 1000, mb: process.memoryUsage().rss / 2 ** 20 }
}

const examine = async (): Promise<BenchRow[]> => {
  const path = join(process.cwd(), 'dist', 'crew', 'keeper.ply')
  if (!existsSync(path)) return []
  const bytes = new Uint8Array(readFileSync(path))
  const settings: ExamineSettings = {
    ...EXAMINE_DEFAULTS,
    scale: { by: 'scale-height', soleToEyeMm: 28 },
    unit: 'mm',
    eyeLineMm: 28,
  }
  const row = (subject: string, oursS: number, note: string): BenchRow => ({
    subject,
    against: '',
    oursS,
    theirsS: Number.NaN,
    note,
  })
  await timed(bytes, settings)
  const small = await timed(bytes, settings)
  const read = await readSculpt(bytes, { name: 'keeper' })
  if (!read.ok) return []
  const once = splitInFour(read.value.mesh.positions, read.value.mesh.triangles)
  const twice = splitInFour(once.positions, once.triangles)
  const n = (twice.triangles.length / 3e6).toFixed(2)
  const large = writeStl(twice)
  const big = await timed(large, settings)
  return [
    row('demo keeper, 85 k triangles: bytes to findings', small.first, 'goal 1.5 s'),
    row('the same to the end, all remedies tried', small.whole, 'beads, times, plastic, thickness in space included'),
    row(`keeper split to ${n} M triangles: bytes to findings`, big.first, 'goal 8 s for one million'),
    row('the same to the end, all remedies tried', big.whole, `${Math.round(big.mb)} MB at the end (goal 1500)`),
  ]
}

export default examine
