// Falls by vibrations of one of the crew: modes alone, 64 attitudes on cells of 0.4 mm, and all with the gravest on cells of 0.2 mm.

import { readFileSync } from 'node:fs'
import { standUp } from '../src/engine/figure/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { cutLayers } from '../src/engine/sections/index.ts'
import { type DropModesOptions, dropByModes } from '../src/engine/strength/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { startWasm } from '../src/pool/start-wasm.ts'
import { STARTING_FILAMENT } from '../src/recipe/index.ts'
import { type BenchRow, least } from './least.ts'

const drop = async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const read = await readSculpt(new Uint8Array(readFileSync('dist/crew/keeper.ply')), { name: 'keeper.ply' })
  if (!read.ok) throw new Error(read.issues[0].message)
  const stood = standUp(read.value, { scale: { by: 'unit', unit: 'mm' }, unit: 'mm' })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const { mesh, max } = stood.value
  const stack = await cutLayers(mesh, max[2], { layerHeightMm: 0.1, firstLayerHeightMm: 0.2 }, kit)
  const stuffing = { nShells: 3, beadWidthMm: 0.4, layerHeightMm: 0.1, capThicknessMm: 0.8, infillShare: 0.5 }
  const subject = { stack, material: STARTING_FILAMENT, stuffing, plan: null }
  const row = async (name: string, note: string, options: Partial<DropModesOptions>): Promise<BenchRow> => ({
    subject: `falls by vibrations: ${name}`,
    against: '',
    oursS: await least(1, () => dropByModes(subject, { start: startWasm, ...options })),
    theirsS: Number.NaN,
    note,
  })
  return [
    await row('44 modes and one attitude', '0.4 mm cells', { nAttitudes: 1, nPoses: 0, nTips: 0, fineCellMm: 0 }),
    await row('44 modes and 64 attitudes', '0.4 mm cells', { nPoses: 0, nTips: 0, fineCellMm: 0 }),
    await row('all, the gravest three and ten frequencies on 0.2 mm', 'goal 60 on two cores; this is one', {}),
  ]
}

export default drop
