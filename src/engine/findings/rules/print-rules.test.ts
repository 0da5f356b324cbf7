import { beforeAll, describe, expect, test } from 'vitest'
import { box, cylinder, moved, type Solid, together } from '../../../../tests/solids.ts'
import { loadPolygonKit } from '../../../pool/polygon-kit-node.ts'
import { type Recipe, STARTING_RECIPE } from '../../../recipe/index.ts'
import { createExaminer, EXAMINE_DEFAULTS, type ExamineSettings, withRecipe } from '../../examine/index.ts'
import type { PolygonKit } from '../../kernel/index.ts'
import { prepareMesh, writeStl } from '../../mesh/index.ts'
import type { Finding } from '../types.ts'

let kit: PolygonKit
beforeAll(async () => {
  kit = await loadPolygonKit()
})
const examined = async (
  solid: Solid,
  recipe: Partial<Recipe> = {},
  change: Partial<ExamineSettings> = {},
): Promise<{ findings: readonly Finding[]; of: (rule: string) => Finding | undefined }> => {
  const settings = withRecipe(
    { ...EXAMINE_DEFAULTS, scale: { by: 'unit', unit: 'mm' }, unit: 'mm', ...change },
    { ...STARTING_RECIPE, ...recipe },
  )
  const bytes = writeStl(prepareMesh(Float64Array.from(solid.positions), Uint32Array.from(solid.triangles)).mesh)
  const outcome = await createExaminer(kit).examine(bytes, 'piece.stl', settings)
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  const { findings } = outcome.value
  return { findings, of: (rule) => findings.find((f) => f.rule === rule) }
}
const number = (f: Finding | undefined, label: string): number =>
  f?.evidence.find((e) => e.label === label)?.value ?? Number.NaN
const bollards = together(
  box(12, 12, 2),
  moved(cylinder(1.5, 8, 32), 3, 3, 1.5),
  moved(cylinder(1.5, 8, 32), 9, 9, 1.5),
)

test('two bollards: shells alone in them, short layers, and waiting cures those', async () => {
  const { of } = await examined(bollards)
  expect(of('shells-alone')?.title).toMatch(/^No infill fits in \d+ % of the height/)
  const short = of('short-layers')
  expect(number(short, 'shortest layer')).toBeLessThan(10)
  const wait = short?.remedies.find((r) => r.change.what === 'waitForLayerTime')
  expect(wait?.effect?.resolves).toBe(true)
  expect(wait?.effect?.after).toBeGreaterThan(9.9)
  const { of: after } = await examined(bollards, { waitForLayerTime: true })
  expect(after('short-layers')).toBeUndefined()
})

describe('feed and speed', () => {
  test('long retractions between two bollards chew the filament; the count grows with their length', async () => {
    const short = await examined(bollards, { retractionMm: 5 })
    const long = await examined(bollards, { retractionMm: 9 })
    expect(number(long.of('chewed-filament'), 'most passes')).toBeGreaterThan(
      number(short.of('chewed-filament'), 'most passes') || 0,
    )
  })
  test('a corner speed at the print speed is told, and lowering it is judged', async () => {
    const { of } = await examined(bollards, { cornerSpeedMmPerS: 30 })
    expect(of('corners-too-fast')?.evidence[0].value).toBe(30)
    expect(of('corners-too-fast')?.remedies[0].effect?.resolves).toBe(true)
    expect((await examined(bollards)).of('corners-too-fast')).toBeUndefined()
  })
  test('beads too fast to melt are told', async () => {
    const fast = {
      speedMmPerS: 280,
      outerShellSpeedMmPerS: 280,
      accelerationMmPerS2: 20000,
      cornerSpeedMmPerS: 50,
      leastLayerTimeS: 0,
    }
    const { of } = await examined(box(30, 30, 4), {
      ...fast,
      beadWidthMm: 0.8,
      mostBeadWidthMm: 1.4,
      layerHeightMm: 0.3,
    })
    expect(of('over-melt-limit')?.severity).toBe('breaks')
    expect((await examined(box(30, 30, 4))).of('over-melt-limit')).toBeUndefined()
  })
  test('a piece larger than the bed does not fit', async () => {
    const { of } = await examined(box(240, 20, 1))
    expect(of('does-not-fit')?.severity).toBe('breaks')
  })
})

describe('room for plastic', () => {
  test('too much flow is surplus, and the lower flow it proposes takes it away', async () => {
    const { of } = await examined(box(14, 14, 6), { flowShare: 1.12, infillShare: 1 })
    const surplus = of('surplus')
    expect(number(surplus, 'share of what is laid')).toBeGreaterThan(4)
    const lower = surplus?.remedies.find((r) => r.change.what === 'flowShare')
    expect(Number(lower?.change.to)).toBeLessThan(1.05)
    expect(lower?.effect?.after).toBeLessThan((lower?.effect?.before ?? 0) / 3)
  })
  test('too little flow leaves gaps, and a higher one is proposed', async () => {
    const { of } = await examined(box(14, 14, 6), { flowShare: 0.88 })
    const gaps = of('gaps')
    expect(number(gaps, 'share of what should be solid')).toBeGreaterThan(5)
    expect(gaps?.remedies[0].effect?.after).toBeLessThan(gaps?.remedies[0].effect?.before ?? 0)
  })
})

test('the step from a wide base to a thin post is a jump of the layer time', async () => {
  const { of } = await examined(together(box(24, 24, 2), moved(cylinder(2.5, 8, 32), 12, 12, 1.5)))
  expect(of('layer-time-jumps')?.place.fromMm).toBeGreaterThan(1)
  expect(of('layer-time-jumps')?.place.fromMm).toBeLessThan(2.3)
})
