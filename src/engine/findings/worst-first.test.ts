import { expect, test } from 'vitest'
import { RULES } from './judge.ts'
import type { Finding, Severity } from './types.ts'
import { AT_STAKE, worstFirst } from './worst-first.ts'

const finding = (id: string, rule: string, severity: Severity, share: number, fromMm = 0): Finding => ({
  id,
  rule,
  severity,
  title: id,
  place: { fromMm, toMm: fromMm + 1, point: [0, 0, fromMm], areaMm2: 1, fromLayer: 0, toLayer: 1 },
  evidence: [],
  certainty: { share, cause: 'given' },
  why: '',
  remedies: [],
})

const order = (...findings: Finding[]): string[] => worstFirst(findings).map(({ id }) => id)

test('severity comes before everything', () => {
  expect(
    order(
      finding('note', 'does-not-fit', 'note', 1),
      finding('cost', 'does-not-fit', 'costs', 1),
      finding('break', 'crowded-edges', 'breaks', 0.01),
    ),
  ).toEqual(['break', 'cost', 'note'])
})

test('what is hardly sure does not stand before what is certain', () => {
  expect(
    order(finding('gear', 'chewed-filament', 'breaks', 0.4, 1), finding('air', 'starts-in-air', 'breaks', 1, 20)),
  ).toEqual(['air', 'gear'])
})

test('three kinds come before three of one kind, whose own order stays', () => {
  expect(
    order(
      finding('air 20', 'starts-in-air', 'breaks', 1, 20),
      finding('air 10', 'starts-in-air', 'breaks', 1, 10),
      finding('air 30', 'starts-in-air', 'breaks', 1, 30),
      finding('snaps', 'snaps', 'breaks', 0.7, 5),
      finding('lost', 'vanishes', 'breaks', 0.6, 5),
    ),
  ).toEqual(['air 20', 'snaps', 'lost', 'air 10', 'air 30'])
})

test('equal weights stand from the bed upwards; what is given is not changed', () => {
  const given = [finding('b', 'gaps', 'marks', 0.5, 9), finding('a', 'curls', 'marks', 0.5, 2)]
  expect(order(...given)).toEqual(['a', 'b'])
  expect(given[0].id).toBe('b')
})

test('stakes are shares, and each belongs to a rule that is there', () => {
  const ids = new Set(RULES.map(({ id }) => id))
  for (const [rule, stake] of Object.entries(AT_STAKE)) {
    expect(ids.has(rule), rule).toBe(true)
    expect(stake).toBeGreaterThan(0)
    expect(stake).toBeLessThanOrEqual(1)
  }
})
