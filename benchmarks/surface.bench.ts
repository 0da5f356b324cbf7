// How it will look, for one of the crew: steps, undersides, props, bead starts and deviation together; the printed solid as a mesh.

import { readFileSync } from 'node:fs'
import { planBeads } from '../src/engine/beads/index.ts'
import { standUp } from '../src/engine/figure/index.ts'
import { readSculpt } from '../src/engine/mesh/index.ts'
import { cutLayers, relateLayers } from '../src/engine/sections/index.ts'
import { lookAtSurface, predictSurface } from '../src/engine/surface/index.ts'
import { findVanishing, measureOutlines, thinnestOver } from '../src/engine/thickness/index.ts'
import { timeBeads } from '../src/engine/timing/index.ts'
import { loadPolygonKit } from '../src/pool/polygon-kit-node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../src/recipe/index.ts'
import { type BenchRow, least } from './least.ts'

const surface = async (): Promise<BenchRow[]> => {
  const kit = await loadPolygonKit()
  const read = await readSculpt(new Uint8Array(readFileSync('dist/crew/lamplighter.ply')), { name: 'lamplighter.ply' })
  if (!read.ok) throw new Error(read.issues[0].message)
  const stood = standUp(read.value, { scale: { by: 'unit', unit: 'mm' }, unit: 'mm' })
  if (!stood.ok) throw new Error(stood.issues[0].message)
  const figure = stood.value
  const recipe = STARTING_RECIPE
  const layers = await cutLayers(figure.mesh, figure.max[2], recipe, kit)
  const relations = await relateLayers(layers, { allowanceMm: recipe.beadWidthMm / 2 }, kit)
  const outlineThickness = thinnestOver(layers, await measureOutlines(layers, {}))
  const vanishing = await findVanishing(layers, { beadWidthMm: recipe.beadWidthMm, outlineThickness }, kit)
  const { plan } = await planBeads(layers, { ...recipe, leftoverPoints: STARTING_PRINTER.leftoverPoints }, kit)
  const cards = { recipe, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
  const timeline = await timeBeads(plan, cards)
  const subject = { figure, layers, relations, vanishing, plan, timeline, ...cards }
  const look = await lookAtSurface(subject, kit)
  const lookS = await least(4, () => lookAtSurface(subject, kit))
  const predicted = await predictSurface(figure, layers, look, recipe, kit)
  const predictS = await least(2, () => predictSurface(figure, layers, look, recipe, kit))
  const thousands = (n: number): string => `${Math.round(n / 1000)} 000 triangles`
  const alone = (subjectWords: string, oursS: number, note: string): BenchRow => ({
    subject: subjectWords,
    against: '',
    oursS,
    theirsS: Number.NaN,
    note,
  })
  return [
    alone(
      'how it will look: steps, undersides, props, starts, deviation',
      lookS,
      `${thousands(figure.mesh.triangles.length / 3)}; goal 1`,
    ),
    alone(
      'printed solid as a mesh, with deviation',
      predictS,
      `${layers.nLayers} layers, ${thousands(predicted.mesh.triangles.length / 3)} out`,
    ),
  ]
}

export default surface
