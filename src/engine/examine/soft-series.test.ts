import { expect, test } from 'vitest'
import { cylinder, moved, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import { startWasm } from '../../pool/start-wasm.ts'
import { prepareMesh, writeStl } from '../mesh/index.ts'
import { createExaminer } from './create-examiner.ts'
import { EXAMINE_DEFAULTS } from './settings.ts'
import { softSeries } from './soft-series.ts'

const kit = await loadPolygonKit()
const examiner = createExaminer(kit, startWasm)
const solid = together(cylinder(3, 1, 32), moved(cylinder(1, 7, 32), 0, 0, 0.8))
const file = writeStl(prepareMesh(solid.positions, solid.triangles).mesh)
const settings = { ...EXAMINE_DEFAULTS, scale: { by: 'unit', unit: 'mm' } as const, unit: 'mm' as const }
const whole = await examiner.examine(file, 'post.stl', settings, { heat: 'whole' })
if (!whole.ok) throw new Error(whole.issues[0].message)
const examination = whole.value

test('a whole examination has the tracks of heat, keeps its energy and judges by it', () => {
  const ids = examination.tracks.map(({ id }) => id)
  for (const id of ['landing', 'too-soon', 'soft-again', 'bond']) expect(ids).toContain(id)
  const { full } = examination.heat ?? {}
  expect(Math.abs(full?.energy.imbalanceShare ?? 1)).toBeLessThan(1e-3)
  const soft = examination.findings.filter((f) => f.rule === 'laid-on-soft' || f.rule === 'too-quick')
  expect(soft.length).toBeGreaterThan(0)
  // A post alone on the bed: waiting or company cools it, and every effect says what it costs.
  const [first] = soft
  const waiting = first.remedies.find(({ id }) => id === 'layer-time')
  expect(waiting?.effect?.after).toBeLessThan((waiting?.effect?.before ?? 0) - 5)
  expect(waiting?.effect?.minutes).toBeGreaterThan(0.5)
  const company = first.remedies.find(({ id }) => id === 'together')
  expect(company?.effect?.after).toBeLessThan(company?.effect?.before ?? 0)
})

test('thinner layers soften less depth but not fewer layers; the typed speed matters only where nothing slows it down', async () => {
  const outcome = await softSeries(examination, kit, startWasm, {
    atMm: 5,
    layersMm: [0.1, 0.2],
    speedsMmPerS: [10, 40],
  })
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  const [heights, slowed, typed] = outcome.value.series
  expect(heights.points[0].softDepthMm).toBeLessThan(heights.points[1].softDepthMm)
  expect(heights.points[0].softDepthLayers).toBeGreaterThan(heights.points[1].softDepthLayers)
  expect(slowed.points[0].layerS).toBeCloseTo(slowed.points[1].layerS, 0)
  expect(typed.points[1].layerS).toBeLessThan(typed.points[0].layerS)
  expect(heights.says).toMatch(/^(Least|It makes)/)
})

test('without a whole run, or with a height outside the figure, it says what is missing', async () => {
  const outside = await softSeries(examination, kit, startWasm, { atMm: 50 })
  expect(outside.ok ? '' : outside.issues[0].message).toMatch(/50 mm, expected one within the figure's 7.8 mm/)
  const bare = { ...examination, heat: null }
  const missing = await softSeries(bare, kit, startWasm)
  expect(missing.ok ? '' : missing.issues[0].code).toBe('soft/no-heat')
})
