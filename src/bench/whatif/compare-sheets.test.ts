import { expect, test } from 'vitest'
import type { Summary } from '../../engine/examine/index.ts'
import type { Finding, Severity } from '../../engine/findings/index.ts'
import type { SheetParts } from '../messages.ts'
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

test('of two limbs side by side each is held against itself, and one elsewhere is another', () => {
  const at = (x: number, value: number): Finding => {
    const one = finding('snaps', 'breaks', 20, value)
    return { ...one, id: `snaps@20:${x}`, title: `snaps at x ${x}`, place: { ...one.place, point: [x, 0, 20] } }
  }
  const { gone, come, altered } = findingChanges([at(-3, 1), at(3, 2)], [at(3.2, 2.5), at(-3.1, 1)])
  expect([titles(gone), titles(come)]).toEqual([[], []])
  expect(altered.map(({ before, after }) => [before.evidence[0].value, after.evidence[0].value])).toEqual([[2, 2.5]])
  const other = findingChanges([at(-3, 1)], [at(6, 0.7)])
  expect([titles(other.gone), titles(other.come)]).toEqual([['snaps at x -3'], ['snaps at x 6']])
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

test('steps on the face are a row, and none where only one sheet has a face', () => {
  const summary = (steps: Summary['steps']): SheetParts => ({ summary: { steps } as Summary })
  const [fine, coarse] = [0.1, 0.2].map((h) => summary({ on: 'the face', meanUm: 400 * h, shownShare: 2 * h - 0.2 }))
  const names = (a: SheetParts, b: SheetParts) => worthRows(a, b).map(({ name, change }) => [name, change])
  expect(names(fine, coarse)).toEqual([
    ['steps on the face, mean', '40 µm more'],
    ['share of the face that shows steps', '20 % more'],
  ])
  expect(names(fine, summary({ on: 'all but the base', meanUm: 50, shownShare: 0 }))).toEqual([])
})
