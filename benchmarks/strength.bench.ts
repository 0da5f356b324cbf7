// Strength of one of the crew: the quick look, and the full field on grids of 0.4 and 0.2 mm with the unknowns a second it solves, one load
// after another on plain arrays and four together as lanes of WebAssembly.

import { readFileSync } from 'node:fs'
import { standUp } from '../src/engine/figure/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { cutLayers, relateLayers } from '../src/engine/sections/index.ts'
import { fieldModel, fillGrid, loadField, quickStrength, type StrengthMaterial } from '../src/engine/strength/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { startWasm } from '../src/pool/start-wasm.ts'
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
    { at: [0, -1, 33], forceN: [0, 1, 0], spreadMm: 0.6 },
    { at: [-7.3, -2.2, 38], forceN: [0, 1, 0], spreadMm: 0.6 },
  ] as const
  for (const cell of [0.4, 0.2]) {
    const grid = await fillGrid(stack, cell, stuffing, null)
    const options = { holdBelowMm: 2, infillShare: 0.5, startWasm }
    const setUp = await least(3, () => fieldModel(grid, PLAIN, options))
    const model = await fieldModel(grid, PLAIN, options)
    const unknowns = 3 * model.mesh.nNodes
    const one = await least(2, () => loadField({ ...model, lanes: null }, loads.slice(0, 1)))
    let early = Infinity
    const four = await least(3, () => {
      const start = performance.now()
      return loadField(model, loads, {
        onPreview: () => {
          early = Math.min(early, (performance.now() - start) / 1000)
        },
      })
    })
    const size = `${cell} mm, ${(unknowns / 1e6).toFixed(2)} M unknowns`
    const rate = (n: number, s: number): string => `${((n * unknowns) / s / 1e6).toFixed(2)} M unknowns a second`
    const kept = Math.round((model.grid.bytes + (model.lanes?.bytes ?? 0)) / 1e6)
    const goal = (words: string): string => (cell === 0.2 ? `; goal ${words}` : '')
    rows.push(
      alone('full field: cells and levels', setUp, `${size}, ${kept} MB kept${goal('1.5')}`),
      {
        subject: 'full field: four loads to 1e-6, as lanes',
        against: 'plain arrays, four times one load',
        oursS: four,
        theirsS: 4 * one,
        note: `${size}, ${rate(4, four)} against ${rate(1, one)}${goal('2')}`,
      },
      alone('full field: first answer of where the loads go', early, `${size}${goal('0.5')}`),
    )
  }
  return rows
}

export default strength
