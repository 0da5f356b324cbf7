import { expect, test } from 'vitest'
import {
  addEntry,
  EMPTY_RECORD,
  outcomesOf,
  readTrials,
  standing,
  type TrialEntry,
  type TrialsRecord,
} from './index.ts'

const trial: TrialEntry = {
  kind: 'trial',
  id: 'trial-1',
  at: '2026-11-25',
  piece: 'pins',
  setting: 'nozzleC',
  levels: [190, 195, 200],
  run: 1,
  recipeValue: 195,
  recipe: { name: 'starting recipe for figures', sha256: null },
  printer: 'bowden machine, 0.4 mm nozzle',
  filament: 'plain PLA',
  figure: null,
  codeSha256: null,
  note: '',
}
const outcome = (id: string, replaces: string | null = null, value = 1): TrialEntry => ({
  kind: 'outcome',
  id,
  at: '2026-11-25T18:04:00Z',
  trial: 'trial-1',
  replaces,
  readings: [{ level: 190, measure: 'strings', value, of: 4 }],
  attachments: [],
  note: '',
})
const withdrawal = (id: string, of: string): TrialEntry => ({ kind: 'withdrawal', id, at: '2026-11-26', of, note: '' })
const record = (...entries: TrialEntry[]): TrialsRecord =>
  entries.reduce((all, entry) => {
    const added = addEntry(all, entry)
    if (!added.ok) throw new Error(added.issues[0].message)
    return added.value
  }, EMPTY_RECORD)
const idsOf = (all: TrialsRecord): string[] => standing(all).map(({ id }) => id)

test('a record is read back as it was written', () => {
  const all = record(trial, outcome('out-1'), withdrawal('back-1', 'out-1'))
  const read = readTrials(JSON.stringify(all))
  expect(read.ok && read.value).toEqual(all)
})

test('outcomes are corrected and undone by new entries; nothing is lost', () => {
  const first = record(trial, outcome('out-1'))
  expect(idsOf(first)).toEqual(['trial-1', 'out-1'])
  const corrected = record(trial, outcome('out-1'), outcome('out-2', 'out-1', 3))
  expect(idsOf(corrected)).toEqual(['trial-1', 'out-2'])
  expect(corrected.entries).toHaveLength(3)
  const undone = record(...corrected.entries, withdrawal('back-1', 'out-2'))
  expect(idsOf(undone)).toEqual(['trial-1', 'out-1'])
  const redone = record(...undone.entries, withdrawal('back-2', 'back-1'))
  expect(idsOf(redone)).toEqual(['trial-1', 'out-2'])
  expect(outcomesOf(redone).map(({ outcome }) => outcome.id)).toEqual(['out-2'])
  expect(outcomesOf(record(...redone.entries, withdrawal('back-3', 'trial-1')))).toEqual([])
})

test('the same entry twice changes nothing; another entry with its id is refused', () => {
  const all = record(trial, outcome('out-1'))
  const again = addEntry(all, outcome('out-1'))
  expect(again.ok && again.value).toBe(all)
  const other = addEntry(all, outcome('out-1', null, 2))
  expect(!other.ok && other.issues[0].message).toContain('the id out-1 stands twice')
})

test.each([
  ['{', 'trials/no-json'],
  ['null', 'trials/wrong-form'],
  ['{"form":"fettle-recipe"}', 'trials/wrong-form'],
  ['{"form":"fettle-trials","version":2,"entries":[]}', 'trials/newer-version'],
  ['{"form":"fettle-trials","version":1,"entries":3}', 'trials/entries'],
])('%s is refused as %s', (text, code) => {
  const read = readTrials(text)
  expect(!read.ok && read.issues[0].code).toBe(code)
})

test('faults are named with entry and key, all at once', () => {
  const read = readTrials(
    JSON.stringify({
      form: 'fettle-trials',
      version: 1,
      entries: [{ ...trial, setting: 'luck' }, trial, { ...outcome('out-1'), trial: 'trial-9' }],
    }),
  )
  expect(!read.ok && read.issues.map(({ code }) => code)).toEqual(['trials/entry', 'trials/misfit'])
  expect(!read.ok && read.issues[0].message).toMatch(/^entry 1, setting: "luck" stands where/)
  const stray = addEntry(record(trial), {
    ...outcome('out-1'),
    readings: [{ level: 205, measure: 'strings', value: 0, of: 4 }],
  } as TrialEntry)
  expect(!stray.ok && stray.issues[0].message).toContain('a reading at 205; the trial had 190, 195, 200')
  const over = addEntry(record(trial), outcome('out-1', null, 5))
  expect(!over.ok && over.issues[0].message).toContain('how many were looked at')
})
