// A file held against the plan it was written from, and against others; plastic weighed against outlines its own shells imply.

import { beforeAll, expect, test } from 'vitest'
import { beadPlanOf, squarePath } from '../../../tests/bead-plans.ts'
import { box, cylinder, moved, together } from '../../../tests/solids.ts'
import { loadPolygonKit } from '../../pool/polygon-kit-node.ts'
import type { BeadPlan } from '../beads/index.ts'
import type { PolygonKit } from '../kernel/index.ts'
import { prepareMesh, writeStl } from '../mesh/index.ts'
import { writeCode } from '../motioncode/index.ts'
import type { CodeExamination } from './code-types.ts'
import { createExaminer } from './create-examiner.ts'
import { type CodeFigure, codeReport, examineCodeFile } from './examine-code.ts'
import { outlinesOfBeads, risesSteadily } from './outlines-of-beads.ts'
import { EXAMINE_DEFAULTS } from './settings.ts'
import type { ExamineSettings } from './types.ts'

let kit: PolygonKit
let figure: CodeFigure
const settings: ExamineSettings = { ...EXAMINE_DEFAULTS, scale: { by: 'unit', unit: 'mm' }, unit: 'mm' }
beforeAll(async () => {
  kit = await loadPolygonKit()
  const solid = together(box(12, 10, 2), moved(cylinder(2, 6, 40), 6, 5, 1.5))
  const outcome = await createExaminer(kit).examine(
    writeStl(prepareMesh(solid.positions, solid.triangles).mesh),
    'bollard.stl',
    settings,
  )
  if (!outcome.ok || !outcome.value.print) throw new Error('expected a print')
  figure = { layers: outcome.value.layers, print: outcome.value.print }
})

/** The plan as text, with flow and motion told, at another place on the bed. */
const textOf = (plan: BeadPlan): Uint8Array =>
  new TextEncoder().encode(
    writeCode(plan, {
      filamentDiameterMm: settings.filament.diameterMm,
      flowShare: settings.recipe.flowShare,
      acceleration: settings.recipe.accelerationMmPerS2,
      cornerSpeed: settings.recipe.cornerSpeedMmPerS,
      originX: 100,
      originY: 80,
    }),
  )
const examined = async (bytes: Uint8Array, against: CodeFigure | null): Promise<CodeExamination> => {
  const outcome = await examineCodeFile(bytes, 'bollard', settings, against, undefined, kit)
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}

test('a file written from the plan differs in nothing but the slow-down that its feeds do not carry', async () => {
  const code = await examined(textOf(figure.print.plan), figure)
  expect(code.flowShare).toBeCloseTo(settings.recipe.flowShare, 3)
  expect([code.placement?.dx, code.placement?.dy].map((shift) => shift?.toFixed(2))).toEqual(['100.00', '80.00'])
  expect(code.outlines).toBe('the figure')
  expect((code.differences ?? []).filter(({ id }) => !id.startsWith('time'))).toEqual([])
  const ours = figure.print.balance.totals
  expect(code.balance?.totals.laidMm3).toBeCloseTo(ours.laidMm3, 0)
  expect(code.balance?.totals.overflowShare).toBeCloseTo(ours.overflowShare, 3)
  expect(code.strings?.nCrossings).toBe(figure.print.strings.nCrossings)
})

test('what was changed at one height is told there, with both numbers, and worst first', async () => {
  const { plan } = figure.print
  const volume = plan.volume.slice()
  for (let layer = 30; layer < 40; layer++)
    for (let b = plan.layerStart[layer]; b < plan.layerStart[layer + 1]; b++) volume[b] *= 1.3
  const code = await examined(textOf({ ...plan, volume }), figure)
  const told = (code.differences ?? []).find(({ id }) => id.startsWith('volume@'))
  expect(told?.fromMm).toBeCloseTo(plan.layerTopZ[29], 6)
  expect(told?.toMm).toBeCloseTo(plan.layerTopZ[39], 6)
  expect((told?.file ?? 0) / (told?.plan ?? 1)).toBeCloseTo(1.3, 2)
  expect(told?.words).toMatch(/^plastic, 3\.1 to 4\.1 mm: .* mm3 in the file, .* mm3 in the plan$/)
  const weights = (code.differences ?? []).map(({ weight }) => weight)
  expect([...weights].sort((a, b) => b - a)).toEqual(weights)
})

test('another figure is told as such', async () => {
  const other = beadPlanOf([{ height: 0.2, beads: [{ path: squarePath(0, 0, 40), role: 'outer shell' }] }])
  const code = await examined(textOf(other), figure)
  expect(code.placement).toBeNull()
  expect(code.differences?.find(({ id }) => id === 'figure')?.words).toContain('does not fit')
})

test('outlines from shells alone: a ring has the area between its outlines, a lone bead that of its strip', async () => {
  const plan = beadPlanOf([
    {
      height: 0.2,
      beads: [
        { path: squarePath(0.2, 0.2, 9.6), role: 'outer shell' },
        { path: squarePath(2.8, 2.8, 4.4), role: 'outer shell' },
        {
          path: [
            [20, 0],
            [25, 0],
          ],
          role: 'gap bead',
          width: 0.5,
        },
        { path: squarePath(-20, -20, 60), role: 'priming loop' },
      ],
    },
  ])
  const stack = await outlinesOfBeads(plan, kit)
  expect(stack.islandArea.length).toBe(2)
  expect(Math.max(...stack.islandArea)).toBeCloseTo(100 - 16, 3)
  // A strip of 5 by 0.5 with a disc of twelve chords at each end: 0.25^2 * 6 * sin(30 deg) in all.
  expect(Math.min(...stack.islandArea)).toBeCloseTo(2.5 + 6 * 0.25 ** 2 * Math.sin(Math.PI / 6), 3)
  expect(Array.from(stack.loopParent).sort()).toEqual([-1, -1, expect.any(Number)])
})

test('alone, plastic is weighed against outlines that the shells imply; both ways agree', async () => {
  const bytes = textOf(figure.print.plan)
  const [alone, known] = [await examined(bytes, null), await examined(bytes, figure)]
  expect(alone.outlines).toBe('the shells of the file')
  const [a, b] = [alone.balance?.totals, known.balance?.totals]
  expect(Math.abs((a?.roomMm3 ?? 0) / (b?.roomMm3 ?? 1) - 1)).toBeLessThan(0.01)
  expect(alone.leftOut).toEqual([])
  const report = codeReport(alone)
  expect('plan' in report || 'timeline' in report).toBe(false)
  expect(report.layers.nLayers).toBe(figure.print.plan.nLayers)
})

test('layers that do not stand on each other leave the balance out, and say so', async () => {
  const layer = { height: 0.2, beads: [{ path: squarePath(0, 0, 10), role: 'outer shell' as const }] }
  const rising = beadPlanOf([layer, layer, layer])
  expect(risesSteadily(rising)).toBe(true)
  const points = rising.points.slice()
  for (let i = 2; i < 15; i += 3) points[3 * 10 - 15 + i] = 0.2
  const floating = { ...rising, layerTopZ: Float64Array.from([0.2, 0.4, 0.9]) }
  expect(risesSteadily(floating)).toBe(false)
  // Two things one after the other: the second begins on the bed again.
  const text = ['G21', 'G90', 'M83', 'G28']
  for (const x of [0, 30])
    for (const z of [0.2, 0.4])
      text.push(
        `G0 X${x} Y0 Z${z} F6000`,
        ...[`X${x + 10} Y0`, `X${x + 10} Y10`, `X${x} Y10`, `X${x} Y0`].map((p) => `G1 ${p} E0.3 F1200`),
      )
  const code = await examined(new TextEncoder().encode(text.join('\n')), null)
  expect(code.balance).toBeNull()
  expect(code.leftOut.join()).toContain('do not stand one on the other')
})

test('what the file leaves open is filled in and told; malformed bytes are an outcome', async () => {
  const bare = new TextEncoder().encode('G28\nG1 Z0.2 F600\nG1 X10 E0.4 F1200\nG1 Y10 E0.8\nG1 X0 E1.2\nG1 Y0 E1.6\n')
  const code = await examined(bare, null)
  expect(code.assumed.join(' ')).toMatch(/no acceleration: 300 mm\/s2.*no corner speed: 5 mm\/s.*no nozzle temperature/)
  expect(code.nozzleC).toBeNaN()
  const none = await examineCodeFile(new TextEncoder().encode('the ferry leaves\n'), 'x', settings, null)
  expect(none.ok).toBe(false)
})
