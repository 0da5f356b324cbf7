// Strength of one of the crew: the quick look, and the full field on grids of 0.4 and 0.2 mm with the unknowns a second it solves.

import { readFileSync } from 'node:fs'
import { standUp } from '../src/engine/figure/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { cutLayers, relateLayers } from '../src/engine/sections/index.ts'
import { fieldModel, fillGrid, loadField, quickStrength, type StrengthMaterial } from '../src/engine/strength/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { type BenchRow, least } from './least.ts'

const PLAIN: StrengthMaterial = {
  alongModulusMPa: 2680,
  acrossModulusMPa: 2400,
  poissonRatio: 0.36,
  alongStrengthMPa: 47.4,
  acrossStrengthMPa: 22.8,
  alongBreakStrain: 0.044,
  acrossBreakStrain: 0.021,
  densityGPerCm3: 1.24,
}

const strength = async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const read = await readSculpt(new Uint8Array(readFileSync('dist/crew/keeper.ply')), { name: 'keeper.ply' })
  if (!read.ok) throw new Error(read.issues[0].message)
  const stood = standUp(read.value, { scale: { by: 'unit', unit: 'mm' }, unit: 'mm' })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const figure = stood.value
  const stack = await cutLayers(figure.mesh, figure.max[2], { layerHeightMm: 0.1, firstLayerHeightMm: 0.2 }, kit)
  const relations = await relateLayers(stack, { allowanceMm: 0.2 }, kit)
  const stuffing = { nShells: 3, beadWidthMm: 0.4, layerHeightMm: 0.1, capThicknessMm: 0.8, infillShare: 0.5 }
  const alone = (subject: string, oursS: number, note: string): BenchRow => ({
    subject,
    against: '',
    oursS,
    theirsS: Number.NaN,
    note,
  })
  const triangles = `${Math.round(figure.mesh.triangles.length / 3000)} 000 triangles`
  const quick = await least(4, () => quickStrength(figure, stack, relations, PLAIN, { stuffing }))
  const rows = [alone('quick look at strength with 64 falls', quick, `${triangles}; goal 1`)]
  const loads = [
    { at: [0, -1, 33], forceN: [1, 0, 0], spreadMm: 0.6 },
    { at: [-7.3, -2.2, 38], forceN: [1, 0, 0], spreadMm: 0.6 },
  ] as const
  for (const cell of [0.4, 0.2]) {
    const grid = await fillGrid(stack, cell, stuffing, null)
    const options = { holdBelowMm: 2, infillShare: 0.5 }
    const setUp = await least(2, () => fieldModel(grid, PLAIN, options))
    const model = await fieldModel(grid, PLAIN, options)
    const unknowns = 3 * model.mesh.nNodes
    const one = (await least(2, () => loadField(model, loads))) / loads.length
    const size = `${cell} mm, ${(unknowns / 1e6).toFixed(2)} M unknowns`
    rows.push(
      alone('full field: cells and levels', setUp, `${size}, ${Math.round(model.grid.bytes / 1e6)} MB kept`),
      alone('full field: one load to 1e-6', one, `${size}, ${(unknowns / one / 1e6).toFixed(2)} M unknowns a second`),
    )
  }
  return rows
}

export default strength
