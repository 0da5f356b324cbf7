import { expect, test } from 'vitest'
import { bestRemedy, broughtBy, remedyRank, worthOf } from './best-remedy.ts'
import type { Effect, Remedy } from './types.ts'

const effect = (resolves: boolean, brings: readonly string[] = [], nBrings?: number): Effect => ({
  resolves,
  label: 'area laid on air',
  before: 1,
  after: resolves ? 0 : 0.5,
  unit: 'mm2',
  brings,
  ...(nBrings === undefined ? {} : { nBrings }),
})
const remedy = (id: string, of: Effect | null): Remedy => ({
  id,
  label: id,
  change: { what: 'stance', from: 0, to: 1 },
  effect: of,
})

test('a cure that brings ten findings is no cure', () => {
  expect(worthOf(effect(true))).toBe('cures')
  expect(worthOf(effect(true, ['overhang']))).toBe('trades')
  expect(worthOf(effect(false))).toBe('eases')
  // It stays, and something comes besides: that is no help.
  expect(worthOf(effect(false, ['small-footing']))).toBe('worsens')
  const head = effect(true, ['small-footing', 'overhang (7 more)', 'rim-in-air (2 more)'], 10)
  expect(broughtBy(head)).toBe(10)
  expect(worthOf(head)).toBe('worsens')
})

test('order: a clean cure, a trade, an ease, what worsens, what is not known; the first of equals', () => {
  const all = [
    remedy('unknown', null),
    remedy('head', effect(true, ['overhang (7 more)'], 7)),
    remedy('ease', effect(false)),
    remedy('trade', effect(true, ['gaps'])),
    remedy('cure', effect(true)),
    remedy('other cure', effect(true)),
  ]
  expect(bestRemedy({ remedies: all })?.id).toBe('cure')
  const order = [...all].sort((a, b) => remedyRank(a.effect) - remedyRank(b.effect)).map(({ id }) => id)
  expect(order).toEqual(['cure', 'other cure', 'trade', 'ease', 'head', 'unknown'])
  expect(bestRemedy({ remedies: [] })).toBeNull()
})
