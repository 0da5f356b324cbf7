import { expect, test } from 'vitest'
import type { Finding, Severity } from '../../engine/findings/index.ts'
import { findingChanges, worthRows } from './compare-sheets.ts'

const finding = (rule: string, severity: Severity, fromMm: number, value: number): Finding => ({
  id: `${rule}@${fromMm}`,
  rule,
  severity,
  title: `${rule} at ${fromMm}`,
  place: { fromMm, toMm: fromMm + 1, point: [0, 0, fromMm], areaMm2: 1, fromLayer: 0, toLayer: 1 },
  evidence: [{ label: 'force', value, unit: 'N' }],
  certainty: { share: 1, cause: 'given' },
  why: '',
  remedies: [],
})
const titles = (findings: readonly Finding[]): string[] => findings.map(({ title }) => title)

test('what meets in height is the same, what does not has gone or come', () => {
  const a = [
    finding('snaps', 'breaks', 5, 1),
    finding('vanishes', 'breaks', 20, 1),
    finding('vanishes', 'breaks', 9, 1),
  ]
  const b = [
    finding('snaps', 'breaks', 6.5, 1),
    finding('overhang', 'marks', 3, 1),
    finding('vanishes', 'breaks', 9, 1),
  ]
  const { gone, come, altered } = findingChanges(a, b)
  expect(titles(gone)).toEqual(['vanishes at 20'])
  expect(titles(come)).toEqual(['overhang at 3'])
  expect(altered).toEqual([])
})

test('one of the whole figure stays one finding, though its worst place moved; its number is told', () => {
  const falls = (fromMm: number, value: number) => ({
    ...finding('breaks-in-falls', 'breaks', fromMm, value),
    id: 'breaks-in-falls',
  })
  const { gone, come, altered } = findingChanges([falls(23, 10)], [falls(3, 7)])
  expect([gone, come]).toEqual([[], []])
  expect(altered.map(({ before, after }) => [before.evidence[0].value, after.evidence[0].value])).toEqual([[10, 7]])
})

test('one finding of A answers for one of B only', () => {
  const { come } = findingChanges(
    [finding('vanishes', 'breaks', 9, 1)],
    [finding('vanishes', 'breaks', 9, 1), finding('vanishes', 'breaks', 10, 1)],
  )
  expect(titles(come)).toEqual(['vanishes at 10'])
})

test('notes neither go nor come, but a note that becomes grave is told', () => {
  expect(findingChanges([finding('gaps', 'note', 1, 1)], [])).toEqual({ gone: [], come: [], altered: [] })
  const { altered } = findingChanges([finding('snaps', 'note', 1, 2)], [finding('snaps', 'breaks', 1, 0.4)])
  expect(altered.length).toBe(1)
})

test('findings are not counted while there are more to come', () => {
  const a = { findings: [finding('gaps', 'breaks', 1, 1)] }
  expect(worthRows(a, { findings: [] }).map(({ name, change }) => `${name}: ${change}`)).toContain(
    'places that will fail: 1 less',
  )
  expect(worthRows(a, { findings: [] }, false)).toEqual([])
})
