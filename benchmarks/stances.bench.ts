// Two thousand stances of a figure of 100 000 triangles by cheap measures: height, undersides, steps, outlines, contact, limbs, time.

import { readFileSync } from 'node:fs'
import { EXAMINE_DEFAULTS } from '../src/engine/examine/index.ts'
import { standUp } from '../src/engine/figure/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { type SearchBody, searchPrintOf, searchStances, surfaceTable } from '../src/engine/stances/index.ts'
import { type BenchRow, least } from './least.ts'

const stances = async (): Promise<BenchRow[]> => {
  const read = await readSculpt(new Uint8Array(readFileSync('dist/crew/lamplighter.ply')), { name: 'lamplighter.ply' })
  if (!read.ok) throw new Error(read.issues[0].message)
  const stood = standUp(read.value, { scale: { by: 'unit', unit: 'mm' }, unit: 'mm' })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const { mesh, mass, eyeLine } = stood.value
  const isHead = (_x: number, _y: number, z: number): boolean => Math.abs(z - eyeLine.value) < 2
  const table = surfaceTable(mesh, isHead)
  const body: SearchBody = { table, centre: mass.centre, volumeMm3: mass.volume, limbs: null }
  const print = searchPrintOf(EXAMINE_DEFAULTS)
  let n = 0
  const oursS = await least(3, async () => {
    n = (await searchStances(body, print)).nStances
  })
  return [
    {
      subject: 'stances by cheap measures',
      against: '',
      oursS,
      theirsS: Number.NaN,
      note: `${n} stances, ${Math.round(table.nTriangles / 1000)} 000 triangles; goal 3 for 2000 of 100 000`,
    },
  ]
}

export default stances
