// The verb "plan": pieces and settings, the next levels from the record, when to stop; as text and as JSON.

import { expect, test } from 'vitest'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import { fettle, scratchFolder, writeBytes } from './run-fettle.ts'

const folder = scratchFolder()
const inFolder = { cwd: folder }

const trial = {
  kind: 'trial',
  id: 'trial-1',
  at: '2026-11-25',
  piece: 'pins',
  setting: 'nozzleC',
  levels: [185, 190, 195],
  run: 1,
  recipeValue: 195,
  recipe: { name: STARTING_RECIPE.name, sha256: null },
  printer: STARTING_PRINTER.name,
  filament: STARTING_FILAMENT.name,
  figure: null,
  codeSha256: null,
  note: '',
}
const outcome = (n: number) => ({
  kind: 'outcome',
  id: `out-${n}`,
  at: '2026-11-25',
  trial: 'trial-1',
  replaces: null,
  readings: [
    { level: 185, measure: 'strings', value: 0, of: 4 },
    { level: 190, measure: 'strings', value: 4, of: 4 },
  ],
  attachments: [],
  note: '',
})
const record = (nOutcomes: number): string =>
  JSON.stringify({
    form: 'fettle-trials',
    version: 1,
    entries: [trial, ...Array.from({ length: nOutcomes }, (_, i) => outcome(i + 1))],
  })

test('without words: every piece and what it judges', async () => {
  const { code, out, err } = await fettle(['plan'], inFolder)
  expect([code, err]).toEqual([0, ''])
  for (const word of ['posts', 'comb', 'pins', 'rods', 'box', 'figure', 'layer-time', 'outer-speed'])
    expect(out).toContain(word)
})

test('an empty record: levels round the recipe, and the coupon to print', async () => {
  const { code, out, err } = await fettle(['plan', 'pins', 'nozzle', '--quick', '--trials', 'new.json'], inFolder)
  expect([code, err]).toEqual([0, ''])
  expect(out).toContain('at\nmost 5 deg C at once')
  expect(out).toContain('Nothing has been printed along this ladder yet')
  expect(out).toContain('fettle coupon pins nozzle --levels 190,195,200 -o pins.gcode --trials new.json')
})

test('outcomes move the plan; JSON says the same; the stop rule is heard', async () => {
  writeBytes(folder, 'one.json', record(1))
  const one = await fettle(['plan', 'pins', 'nozzle', '--quick', '--trials', 'one.json', '--json'], inFolder)
  const plan = JSON.parse(one.out)
  expect(plan).toMatchObject({ form: 'fettle-trial-plan', version: 1, piece: 'pins', setting: 'nozzleC', nOutcomes: 2 })
  expect(plan.best.level).toBe(185)
  expect(plan.next.levels).toContain(185)
  writeBytes(folder, 'many.json', record(14))
  const many = await fettle(['plan', 'pins', 'nozzle', '--quick', '--trials', 'many.json'], inFolder)
  expect(many.out).toContain('Stop: 185 deg C works')
  expect(many.out).not.toContain('fettle coupon')
})

test('the engine has its say unless told to be quiet', async () => {
  const { code, out } = await fettle(['plan', 'pins', 'retraction'], inFolder)
  expect(code).toBe(0)
  expect(out).toContain("the engine's forecast")
  const quick = await fettle(['plan', 'pins', 'retraction', '--quick'], inFolder)
  expect(quick.out).not.toContain("the engine's forecast")
})

test('what is wrong is told with what there is', async () => {
  const told = async (...words: string[]): Promise<string> => {
    const { code, err } = await fettle(['plan', ...words], inFolder)
    expect(code).toBe(2)
    return err
  }
  expect(await told('pins')).toContain('name the setting to try with pins: nozzle, flow, retraction')
  expect(await told('pins', 'luck')).toContain('it judges nozzle, flow, retraction')
  expect(await told('spoons', 'nozzle')).toContain('there is no piece "spoons"')
  expect(await told('pins', 'nozzle', '--rows', '9')).toContain('--rows takes a whole number from 1 to 6')
  expect(await told('pins', 'nozzle', '--wanted', 'all')).toContain('--wanted takes a percentage')
  writeBytes(folder, 'broken.json', '{"form":"fettle-trials","version":1,"entries":[{"kind":"trial"}]}')
  const broken = await fettle(['plan', 'pins', 'nozzle', '--quick', '--trials', 'broken.json'], inFolder)
  expect(broken.code).toBe(3)
  expect(broken.err).toContain('broken.json: entry 1, id')
})
