// Properties of merging notebooks: any order, any number of times, nothing lost and nothing twice; names of trials never mixed up.

import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  addEntry,
  addTrials,
  history,
  mergeInto,
  notebookHash,
  type SqlStore,
  standing,
  trialsIn,
  withdraw,
} from '../../src/notebook/index.ts'
import { readTrials, type TrialEntry } from '../../src/trials/index.ts'
import { figureDraft, memoryNotebook, momentAt, noteDraft, recipeDraft } from '../notebook/memory-store.ts'

type Thing = 'recipe' | 'note' | 'figure'
type Act =
  | { readonly do: Thing; readonly what: number; readonly at: number }
  | { readonly do: 'withdraw'; readonly nth: number; readonly at: number }

const act: fc.Arbitrary<Act> = fc.oneof(
  fc.record({
    do: fc.constantFrom<Thing[]>('recipe', 'note', 'figure'),
    what: fc.integer({ min: 0, max: 4 }),
    at: fc.integer({ min: 0, max: 9 }),
  }),
  fc.record({ do: fc.constant('withdraw' as const), nth: fc.nat(20), at: fc.integer({ min: 0, max: 9 }) }),
)

const written = (acts: readonly Act[]): SqlStore => {
  const store = memoryNotebook()
  for (const one of acts) {
    const at = momentAt(one.at)
    if (one.do === 'recipe') addEntry(store, recipeDraft(`recipe ${one.what}`), at)
    else if (one.do === 'note') addEntry(store, noteDraft(`note ${one.what}`), at)
    else if (one.do === 'figure') addEntry(store, figureDraft(`figure ${one.what}`, Uint8Array.of(one.what, 1, 2)), at)
    else if (one.do === 'withdraw') {
      const all = history(store)
      if (all.length > 0) withdraw(store, all[one.nth % all.length].id, at)
    }
  }
  return store
}

const merged = (...parts: readonly SqlStore[]): SqlStore => {
  const store = memoryNotebook()
  for (const part of parts) {
    const outcome = mergeInto(store, part)
    part.exec('PRAGMA query_only = OFF')
    if (!outcome.ok) throw new Error(outcome.issues[0].message)
  }
  return store
}

const acts = fc.array(act, { maxLength: 12 })

test('a merge is the union: in any order, any number of times', () => {
  fc.assert(
    fc.property(acts, acts, acts, (a, b, c) => {
      const [first, second, third] = [a, b, c].map(written)
      const whole = merged(first, second, third)
      const hash = notebookHash(whole)
      expect(notebookHash(merged(third, first, second))).toBe(hash)
      expect(notebookHash(merged(first, merged(second, third)))).toBe(hash)
      expect(notebookHash(merged(whole, second, whole))).toBe(hash)
      const ids = new Set([first, second, third].flatMap((part) => history(part).map(({ id }) => id)))
      expect(new Set(history(whole).map(({ id }) => id))).toEqual(ids)
      // What holds is told once, whoever wrote it.
      const contents = standing(whole).map(({ kind, content }) => `${kind} ${content}`)
      expect(new Set(contents).size).toBe(contents.length)
    }),
    { numRuns: 40 },
  )
})

const trial = (n: number, run: 1 | 2, day: number): TrialEntry => ({
  kind: 'trial',
  id: `trial-${n}`,
  at: `2026-11-${10 + day}`,
  piece: 'posts',
  setting: 'nozzleC',
  levels: [200, 205],
  run,
  recipeValue: 205,
  recipe: { name: 'evening', sha256: null },
  printer: 'printer',
  filament: 'PLA',
  figure: null,
  codeSha256: null,
  note: '',
})
const outcome = (n: number, of: number, value: number, replaces: number | null): TrialEntry => ({
  kind: 'outcome',
  id: `outcome-${n}`,
  at: '2026-11-20T10:00:00+01:00',
  trial: `trial-${of}`,
  replaces: replaces === null ? null : `outcome-${replaces}`,
  readings: [{ level: 205, measure: 'strings', value, of: 10 }],
  attachments: [],
  note: '',
})

/** Records as two people make them who count their trials from 1: the same names for different prints. */
const record = fc
  .array(fc.record({ run: fc.constantFrom(1 as const, 2 as const), day: fc.nat(2), value: fc.nat(9) }), {
    minLength: 1,
    maxLength: 4,
  })
  .map((rows) => ({
    form: 'fettle-trials' as const,
    version: 1 as const,
    entries: rows.flatMap(({ run, day, value }, i) => [
      trial(i, run, day),
      outcome(2 * i, i, value, null),
      ...(value > 5 ? [outcome(2 * i + 1, i, value - 1, 2 * i)] : []),
      ...(value === 0
        ? [{ kind: 'withdrawal', id: `gone-${i}`, at: '2026-11-21', of: `trial-${i}`, note: '' } as const]
        : []),
    ]),
  }))

test('records of two people with the same names for different trials: all of both comes out again, sound, and goes in without doubles', () => {
  fc.assert(
    fc.property(record, record, (a, b) => {
      const [first, second] = [a, b].map((one) => {
        const store = memoryNotebook()
        expect(addTrials(store, one)).toMatchObject({ ok: true, value: { newEntries: one.entries.length } })
        return store
      })
      expect(
        trialsIn(first)
          .entries.map(({ id }) => id)
          .sort(),
      ).toEqual(a.entries.map(({ id }) => id).sort())
      const whole = merged(first, second)
      const told = trialsIn(whole)
      const ids = new Set([...history(first), ...history(second)].map(({ id }) => id))
      expect(told.entries).toHaveLength(ids.size)
      // The record is sound by its own reader: names stand once, and point at what stands before.
      expect(readTrials(JSON.stringify(told))).toMatchObject({ ok: true })
      const values = (entries: readonly TrialEntry[]) =>
        entries.flatMap((entry) => (entry.kind === 'outcome' ? entry.readings.map(({ value }) => value) : [])).sort()
      if (ids.size === a.entries.length + b.entries.length)
        expect(values(told.entries)).toEqual([...values(a.entries), ...values(b.entries)].sort())
      // Carried out and in again, lengthened names and all, it brings nothing new.
      expect(addTrials(whole, told)).toMatchObject({ ok: true, value: { newEntries: 0 } })
      expect(trialsIn(merged(second, first))).toEqual(told)
    }),
    { numRuns: 40 },
  )
})
