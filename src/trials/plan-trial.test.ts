import { expect, test } from 'vitest'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../recipe/index.ts'
import { LADDERS, ladderFault, levelsOf, reachable } from './ladders.ts'
import { planTrial } from './plan-trial.ts'
import { addEntry } from './read-record.ts'
import {
  EMPTY_RECORD,
  LADDER_SETTINGS,
  type LadderSetting,
  type Reading,
  type Trial,
  type TrialsRecord,
} from './types.ts'

const cards = { recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }

const withOutcome = (
  record: TrialsRecord,
  piece: Trial['piece'],
  setting: LadderSetting,
  readings: readonly Reading[],
): TrialsRecord => {
  const id = `t-${record.entries.length}`
  const levels = readings.map(({ level }) => level)
  const trial: Trial = {
    kind: 'trial',
    id: `${id}x`,
    at: '2026-11-25',
    piece,
    setting,
    levels,
    run: 1,
    recipeValue: STARTING_RECIPE[setting],
    recipe: { name: STARTING_RECIPE.name, sha256: null },
    printer: STARTING_PRINTER.name,
    filament: STARTING_FILAMENT.name,
    figure: null,
    codeSha256: null,
    note: '',
  }
  const added = addEntry(record, trial)
  if (!added.ok) throw new Error(added.issues[0].message)
  const outcome = addEntry(added.value, {
    kind: 'outcome',
    id: `${id}y`,
    at: '2026-11-25',
    trial: trial.id,
    replaces: null,
    readings: [...readings],
    attachments: [],
    note: '',
  })
  if (!outcome.ok) throw new Error(outcome.issues[0].message)
  return outcome.value
}
const planned = (record: TrialsRecord, piece: Trial['piece'], setting: LadderSetting) => {
  const plan = planTrial(record, piece, setting, cards)
  if (!plan.ok) throw new Error(plan.issues[0].message)
  return plan.value
}

test('the nozzle goes by 5 deg C and never more', () => {
  expect(levelsOf(LADDERS.nozzleC, cards)).toEqual([185, 190, 195, 200, 205])
  expect(reachable(LADDERS.nozzleC, cards, [])).toEqual([190, 195, 200])
  expect(reachable(LADDERS.nozzleC, cards, [190])).toEqual([185, 190, 195, 200])
  expect(ladderFault(LADDERS.nozzleC, cards, [190, 200])).toContain('more than 5 deg C at once')
  expect(ladderFault(LADDERS.nozzleC, cards, [205, 210])).toContain('outside 185 deg C to 205 deg C')
  expect(ladderFault(LADDERS.nozzleC, cards, [200, 195, 190])).toBeNull()
})

test('the recipe stands on a rung of every ladder', () => {
  for (const setting of LADDER_SETTINGS) expect(levelsOf(LADDERS[setting], cards)).toContain(cards.recipe[setting])
})

test('nothing printed: a coupon round the recipe, and the reason', () => {
  const plan = planned(EMPTY_RECORD, 'pins', 'nozzleC')
  expect(plan.next?.levels).toEqual([190, 195, 200])
  expect(plan.stop).toBeNull()
  expect(plan.words[0]).toContain('Nothing has been printed along this ladder yet')
  expect(plan.simple).toEqual({ next: 195, estimate: null })
})

test('strings from 195 on: the plan moves to the cold side and stops when sure', () => {
  const strung = (level: number, value: number): Reading => ({ level, measure: 'strings', value, of: 4 })
  let record = withOutcome(EMPTY_RECORD, 'pins', 'nozzleC', [strung(190, 1), strung(195, 4), strung(200, 4)])
  const first = planned(record, 'pins', 'nozzleC')
  expect(first.best.level).toBe(185)
  expect(first.next?.levels).toContain(185)
  expect(first.simple?.next).toBe(195)
  record = withOutcome(record, 'pins', 'nozzleC', [strung(185, 0), strung(190, 0)])
  record = withOutcome(record, 'pins', 'nozzleC', [strung(190, 0), strung(185, 0)])
  const second = planned(record, 'pins', 'nozzleC')
  expect(second.best.sure).toBeGreaterThan(first.best.sure)
  for (let k = 0; k < 8; k++) record = withOutcome(record, 'pins', 'nozzleC', [strung(185, 0)])
  const last = planned(record, 'pins', 'nozzleC')
  expect(last.stop).toBe('works')
  expect(last.next).toBeNull()
  expect(last.best.level).toBe(185)
})

test('everything strings: nothing works, and that is said', () => {
  let record = EMPTY_RECORD
  for (let k = 0; k < 12; k++)
    record = withOutcome(
      record,
      'pins',
      'nozzleC',
      [185, 190, 195].map((level) => ({ level, measure: 'strings' as const, value: 4, of: 4 })),
    )
  const plan = planned(record, 'pins', 'nozzleC')
  expect(plan.stop).toBe('nothing works')
  expect(plan.words.join(' ')).toContain('diagnose')
})

test('a row told in two ways counts once, by the way that decides', () => {
  const one = withOutcome(EMPTY_RECORD, 'posts', 'leastLayerTimeS', [
    { level: 10, measure: 'leaning', value: 5, of: 5 },
  ])
  const both = withOutcome(EMPTY_RECORD, 'posts', 'leastLayerTimeS', [
    { level: 10, measure: 'leaning', value: 5, of: 5 },
    { level: 10, measure: 'good', value: 5, of: 5 },
  ])
  expect(planned(both, 'posts', 'leastLayerTimeS').threshold).toEqual(
    planned(one, 'posts', 'leastLayerTimeS').threshold,
  )
})

test('grams are planned by expected gain', () => {
  const rod = (level: number, value: number): Reading => ({ level, measure: 'snap', value, of: null })
  const three = [0.95, 1, 1.05].flatMap((share) => [
    rod(190, 400 * share),
    rod(195, 520 * share),
    rod(200, 640 * share),
  ])
  const record = withOutcome(EMPTY_RECORD, 'rods', 'nozzleC', three)
  const plan = planned(record, 'rods', 'nozzleC')
  expect(plan.next?.levels).toEqual([205])
  expect(plan.words.join(' ')).toMatch(/Strongest so far: 20[05] deg C/)
  expect(plan.response?.map(({ level }) => level)).toEqual([185, 190, 195, 200, 205])
})

test('a piece that cannot judge a setting says so', () => {
  const plan = planTrial(EMPTY_RECORD, 'box', 'nozzleC', cards)
  expect(!plan.ok && plan.issues[0].code).toBe('trials/no-such-ladder')
})

test('outcomes of another spool do not count', () => {
  const record = withOutcome(EMPTY_RECORD, 'pins', 'nozzleC', [{ level: 195, measure: 'strings', value: 4, of: 4 }])
  const other = planTrial(record, 'pins', 'nozzleC', { ...cards, filament: { ...STARTING_FILAMENT, name: 'grey PLA' } })
  expect(other.ok && other.value.nOutcomes).toBe(0)
})
