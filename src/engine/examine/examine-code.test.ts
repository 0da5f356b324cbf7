import { beforeAll, expect, test } from 'vitest'
import { box, cylinder, moved, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { PolygonKit } from '../kernel/index.ts'
import { prepareMesh, writeStl } from '../mesh/index.ts'
import { readCode, writeCode } from '../motioncode/index.ts'
import { createExaminer } from './create-examiner.ts'
import { examineCode } from './examine-code.ts'
import { EXAMINE_DEFAULTS, withRecipe } from './settings.ts'
import type { Examination, ExamineSettings } from './types.ts'

let kit: PolygonKit
let planned: Examination
const settings: ExamineSettings = { ...EXAMINE_DEFAULTS, scale: { by: 'unit', unit: 'mm' }, unit: 'mm' }
const examined = async (wish: ExamineSettings): Promise<Examination> => {
  const solid = together(box(12, 10, 2), moved(cylinder(2, 6, 40), 6, 5, 1.5))
  const bytes = writeStl(prepareMesh(solid.positions, solid.triangles).mesh)
  const outcome = await createExaminer(kit).examine(bytes, 'bollard', wish)
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}
beforeAll(async () => {
  kit = await loadPolygonKit()
  planned = await examined(settings)
})
const codeOf = ({ print }: Examination): Uint8Array => {
  if (!print) throw new Error('expected a print')
  return new TextEncoder().encode(writeCode(print.plan, { filamentDiameterMm: print.filament.diameterMm }))
}
const readBack = async (bytes: Uint8Array, figure: Examination | null) => {
  const reading = readCode(bytes)
  if (!reading.ok) throw new Error(reading.issues[0].message)
  const outcome = await examineCode(
    reading.value,
    'bollard.code',
    settings,
    figure?.print ? { layers: figure.layers, print: figure.print } : null,
  )
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}

test('the file of the plan itself lays the same plastic in the same layers and about the same time', async () => {
  const print = planned.print as NonNullable<Examination['print']>
  const code = await readBack(codeOf(planned), planned)
  expect(code.plan.nLayers).toBe(print.plan.nLayers)
  expect(Math.abs(code.volumeMm3 / print.report.volumeMm3 - 1)).toBeLessThan(1e-3)
  const weighty = (code.differences ?? []).filter((d) =>
    ['layers', 'volume', 'layer-height', 'first-layer'].includes(d.id),
  )
  expect(weighty).toEqual([])
})

test('a file made with another recipe is told apart: layers, plastic, width', async () => {
  const other = await examined(
    withRecipe(settings, { ...settings.recipe, layerHeightMm: 0.2, flowShare: 1.05, infillShare: 0.2 }),
  )
  const code = await readBack(codeOf(other), planned)
  const ids = (code.differences ?? []).map((d) => d.id)
  expect(ids).toContain('layers')
  expect(ids).toContain('layer-height')
  const height = code.differences?.find((d) => d.id === 'layer-height')
  expect(height?.plan).toBeCloseTo(0.1, 3)
  expect(height?.file).toBeCloseTo(0.2, 3)
  expect(height?.words).toBe('layer height: 0.20 mm in the file, 0.10 mm in the plan')
})

test('alone, a file is read without anything to compare with', async () => {
  const code = await readBack(codeOf(planned), null)
  expect(code.differences).toBeNull()
  expect(code.roles.some((r) => r.role === 'outer shell')).toBe(true)
  expect(code.massG).toBeGreaterThan(0.1)
  expect(code.timeline.totals.printS).toBeGreaterThan(10)
})
