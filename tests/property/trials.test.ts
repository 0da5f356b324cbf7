// Trials: what must hold for any outcomes, any cards, any file.

import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import type { PolygonKit } from '../../src/engine/kernel/index.ts'
import { loadPolygonKit } from '../../src/pool/node.ts'
import { STARTING_FILAMENT, STARTING_PRINTER, STARTING_RECIPE } from '../../src/recipe/index.ts'
import {
  addEntry,
  CAUSES,
  type Cause,
  COUPON_QUESTIONS,
  chanceAt,
  diagnose,
  EMPTY_RECORD,
  entropyOf,
  estimateUpAndDown,
  informationAt,
  informationOfRows,
  LADDERS,
  type LadderSetting,
  learn,
  levelsOf,
  makeCoupon,
  planTrial,
  QUESTIONS,
  readTrials,
  SYMPTOM_IDS,
  standing,
  successPrior,
  type TrialEntry,
  thresholdOf,
  wilsonInterval,
  workGroups,
  writeCoupon,
} from '../../src/trials/index.ts'

const cards = { recipe: STARTING_RECIPE, printer: STARTING_PRINTER, filament: STARTING_FILAMENT }
const prior = successPrior({ shape: 'falling', from: 0, to: 100, gridStep: 2, spreads: [3, 9] })
const count = fc
  .tuple(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 1, max: 6 }), fc.double({ min: 0, max: 1, noNaN: true }))
  .map(([rung, tried, share]) => ({ level: 5 * rung, tried, good: Math.round(share * tried) }))

describe('posterior', () => {
  test('the order of outcomes does not matter, and learning at once is learning one by one', () => {
    fc.assert(
      fc.property(fc.array(count, { maxLength: 8 }), (counts) => {
        const once = learn(prior, counts)
        const turned = learn(prior, counts.slice().reverse())
        const steps = counts.reduce((model, one) => learn(model, [one]), prior)
        for (const other of [turned, steps])
          for (let i = 0; i < once.weight.length; i++) expect(other.weight[i]).toBeCloseTo(once.weight[i], 10)
        expect(once.weight.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 10)
      }),
    )
  })

  test('a good print makes good prints likelier everywhere, a bad one less likely', () => {
    fc.assert(
      fc.property(fc.array(count, { maxLength: 5 }), fc.integer({ min: 0, max: 20 }), (counts, rung) => {
        const before = learn(prior, counts)
        const level = 5 * rung
        const good = learn(before, [{ level, good: 1, tried: 1 }])
        const bad = learn(before, [{ level, good: 0, tried: 1 }])
        expect(thresholdOf(good).mean).toBeGreaterThanOrEqual(thresholdOf(bad).mean - 1e-6)
        expect(chanceAt(good, level).mean).toBeGreaterThanOrEqual(chanceAt(before, level).mean - 1e-12)
        expect(chanceAt(bad, level).mean).toBeLessThanOrEqual(chanceAt(before, level).mean + 1e-12)
      }),
    )
  })

  test('information is never negative, never more than a bit a row, never more than there is to know', () => {
    fc.assert(
      fc.property(
        fc.array(count, { maxLength: 5 }),
        fc.uniqueArray(fc.integer({ min: 0, max: 20 }), { minLength: 1, maxLength: 4 }),
        (counts, rungs) => {
          const model = learn(prior, counts)
          const levels = rungs.map((rung) => 5 * rung)
          const all = informationOfRows(model, levels)
          expect(all).toBeGreaterThanOrEqual(0)
          expect(all).toBeLessThanOrEqual(levels.length * Math.LN2 + 1e-9)
          expect(all).toBeLessThanOrEqual(entropyOf(model) + 1e-9)
          expect(informationOfRows(model, levels, workGroups(model, levels, 0.8))).toBeLessThanOrEqual(all + 1e-9)
          for (const level of levels) expect(informationAt(model, level)).toBeLessThanOrEqual(all + 1e-9)
        },
      ),
    )
  })
})

test('up and down: moved and stretched outcomes move and stretch the estimate', () => {
  const walk = fc.array(fc.tuple(fc.integer({ min: 0, max: 6 }), fc.boolean()), { minLength: 4, maxLength: 30 })
  fc.assert(
    fc.property(walk, fc.integer({ min: -50, max: 50 }), fc.integer({ min: 1, max: 9 }), (steps, shift, scale) => {
      const own = estimateUpAndDown(
        steps.map(([level, good]) => ({ level, good })),
        1,
      )
      const moved = estimateUpAndDown(
        steps.map(([level, good]) => ({ level: shift + scale * level, good })),
        scale,
      )
      expect(moved.ok).toBe(own.ok)
      if (!own.ok || !moved.ok) return
      expect(moved.value.threshold).toBeCloseTo(shift + scale * own.value.threshold, 8)
      if (Number.isNaN(own.value.spread)) expect(moved.value.spread).toBeNaN()
      else expect(moved.value.spread).toBeCloseTo(scale * own.value.spread, 8)
    }),
  )
})

test('Wilson: holds the share, mirrors, narrows with more prints', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 200 }), fc.double({ min: 0, max: 1, noNaN: true }), (n, share) => {
      const x = Math.round(share * n)
      const { low, high } = wilsonInterval(x, n)
      expect(low).toBeLessThanOrEqual(x / n + 1e-12)
      expect(high).toBeGreaterThanOrEqual(x / n - 1e-12)
      const mirror = wilsonInterval(n - x, n)
      expect(mirror.low).toBeCloseTo(1 - high, 10)
      const more = wilsonInterval(4 * x, 4 * n)
      expect(more.high - more.low).toBeLessThan(high - low)
    }),
  )
})

const reading = fc.record({
  level: fc.constantFrom(190, 195, 200),
  measure: fc.constantFrom('strings' as const, 'good' as const),
  value: fc.integer({ min: 0, max: 4 }),
  of: fc.constant(4),
})
const trial: TrialEntry = {
  kind: 'trial',
  id: 'trial-0',
  at: '2026-11-25',
  piece: 'pins',
  setting: 'nozzleC',
  levels: [190, 195, 200],
  run: 1,
  recipeValue: 195,
  recipe: { name: cards.recipe.name, sha256: null },
  printer: cards.printer.name,
  filament: cards.filament.name,
  figure: null,
  codeSha256: null,
  note: '',
}

test('any run of entries is read back; what was withdrawn does not count; the plan never goes too far', () => {
  const step = fc.oneof(
    fc.array(reading, { minLength: 1, maxLength: 3 }).map((readings) => ({ kind: 'outcome' as const, readings })),
    fc.nat(20).map((back) => ({ kind: 'withdrawal' as const, back })),
  )
  fc.assert(
    fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
      let record = EMPTY_RECORD
      const add = (entry: TrialEntry): void => {
        const added = addEntry(record, entry)
        if (!added.ok) throw new Error(added.issues[0].message)
        record = added.value
      }
      add(trial)
      steps.forEach((one, i) => {
        const id = `entry-${i}`
        const at = '2026-11-25'
        if (one.kind === 'outcome')
          add({
            kind: 'outcome',
            id,
            at,
            trial: 'trial-0',
            replaces: null,
            readings: one.readings,
            attachments: [],
            note: '',
          })
        else add({ kind: 'withdrawal', id, at, of: record.entries[one.back % record.entries.length].id, note: '' })
      })
      const read = readTrials(JSON.stringify(record))
      expect(read.ok && read.value).toEqual(record)
      const held = standing(record)
      expect(held.every((entry) => record.entries.includes(entry))).toBe(true)
      const plan = planTrial(record, 'pins', 'nozzleC', cards)
      if (!plan.ok) throw new Error(plan.issues[0].message)
      const levels = plan.value.next?.levels ?? []
      for (let i = 1; i < levels.length; i++) expect(levels[i] - levels[i - 1]).toBe(5)
      for (const level of levels) {
        expect(level).toBeGreaterThanOrEqual(185)
        expect(level).toBeLessThanOrEqual(205)
      }
      for (const { chance } of plan.value.levels) {
        expect(chance.mean).toBeGreaterThan(0)
        expect(chance.mean).toBeLessThan(1)
      }
    }),
    { numRuns: 40 },
  )
})

test('no file makes the reader throw', () => {
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string(),
        fc.jsonValue().map((value) => JSON.stringify(value)),
      ),
      (text) => {
        const read = readTrials(text)
        expect(read.ok || read.issues.length > 0).toBe(true)
      },
    ),
  )
  fc.assert(
    fc.property(fc.jsonValue(), fc.jsonValue(), (a, b) => {
      const read = readTrials(
        JSON.stringify({ form: 'fettle-trials', version: 1, entries: [a, { ...trial, levels: b }] }),
      )
      expect(read.ok).toBe(false)
    }),
  )
})

test('a reason for a cause never makes it less likely, one against it never more', () => {
  const causes = Object.keys(CAUSES) as Cause[]
  fc.assert(
    fc.property(
      fc.uniqueArray(fc.constantFrom(...SYMPTOM_IDS), { minLength: 1, maxLength: 3 }),
      fc.constantFrom(...causes),
      fc.double({ min: 1, max: 6, noNaN: true }),
      (seen, cause, factor) => {
        const chance = (by: number): number => {
          const found = diagnose({ seen, notSeen: [], answers: {}, evidence: [{ cause, factor: by, because: '' }] })
          if (!found.ok) throw new Error(found.issues[0].message)
          for (const one of found.value.causes) expect(one.chance).toBeLessThanOrEqual(1 + 1e-12)
          return found.value.causes.find((one) => one.cause === cause)?.chance ?? 0
        }
        const plain = chance(1)
        expect(chance(factor)).toBeGreaterThanOrEqual(plain - 1e-12)
        expect(chance(1 / factor)).toBeLessThanOrEqual(plain + 1e-12)
      },
    ),
    { numRuns: 30 },
  )
})

describe('coupons for any cards', () => {
  let kit: PolygonKit
  beforeAll(async () => {
    kit = await loadPolygonKit()
  })
  test('are read back as planned, or refused with a reason', async () => {
    const machine = fc.record({
      question: fc.constantFrom(...COUPON_QUESTIONS),
      layerHeightMm: fc.constantFrom(0.12, 0.16, 0.2, 0.28),
      beadWidthMm: fc.constantFrom(0.35, 0.4, 0.5),
      bedXMm: fc.integer({ min: 80, max: 300 }),
      bedYMm: fc.integer({ min: 80, max: 300 }),
      headRadiusMm: fc.integer({ min: 10, max: 60 }),
      gantryHeightMm: fc.integer({ min: 5, max: 60 }),
      liftMm: fc.constantFrom(0, 0.4),
      fanFromLayer: fc.integer({ min: 1, max: 4 }),
      waitForLayerTime: fc.boolean(),
      retractionMm: fc.constantFrom(0, 1.5, 5),
      rows: fc.integer({ min: 1, max: 3 }),
      backwards: fc.boolean(),
    })
    await fc.assert(
      fc.asyncProperty(
        machine,
        async ({ question, bedXMm, bedYMm, headRadiusMm, gantryHeightMm, rows, backwards, ...lines }) => {
          const own = {
            recipe: { ...cards.recipe, ...lines },
            printer: { ...cards.printer, bedXMm, bedYMm, headRadiusMm, gantryHeightMm },
            filament: cards.filament,
          }
          const setting = Object.keys(QUESTIONS[question].settings)[0] as LadderSetting
          const rising = levelsOf(LADDERS[setting], own).slice(-rows)
          const levels = backwards ? rising.slice().reverse() : rising
          const coupon = await makeCoupon({ question, setting, levels, run: backwards ? 2 : 1 }, own, kit)
          if (!coupon.ok) {
            expect(['trials/does-not-fit', 'trials/too-tall']).toContain(coupon.issues[0].code)
            return
          }
          const written = await writeCoupon(coupon.value)
          expect(written.ok ? [] : written.issues.map(({ message }) => message)).toEqual([])
        },
      ),
      { numRuns: 14 },
    )
  }, 120_000)
})
